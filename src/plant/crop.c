#include "plant/crop.h"

#include <stdbool.h>
#include <string.h>

size_t crop_index(const struct crops *cs, const char *name)
{
	size_t i = 0;

	while (i < cs->n && strcmp(cs->at[i].name, name) != 0)
		i++;
	return i;
}

const struct crop *crop_find(const struct crops *cs, const char *name)
{
	size_t i = crop_index(cs, name);

	return i < cs->n ? &cs->at[i] : NULL;
}

const char *crop_figure_key(enum crop_figure i)
{
	static const char *const key[CROP_FIGURES] = {
	    [CROP_BASE] = "base",
	    [CROP_CAP] = "cap",
	    [CROP_METHOD] = "method",
	    [CROP_CUTOFF] = "cutoff",
	    [CROP_NIGHT_LINE] = "night_line",
	    [CROP_SLOW] = "slow",
	    [CROP_STALL] = "stall",
	    [CROP_KILL] = "kill",
	    [CROP_COVER] = "cover",
	    [CROP_SETTLE] = "settle_days",
	    [CROP_TRAY] = "tray_days",
	};

	return i < CROP_FIGURES ? key[i] : "";
}

enum fault_code crop_check(const struct crop *c, struct fault *f)
{
	const struct {
		enum crop_figure lower, upper;
		double low_c, high_c;
		bool may_equal;
	} pair[] = {
	    {CROP_KILL, CROP_STALL, c->kill_c, c->stall_c, false},
	    {CROP_STALL, CROP_SLOW, c->stall_c, c->slow_c, true},
	    {CROP_SLOW, CROP_NIGHT_LINE, c->slow_c, c->night_line_c, true},
	    {CROP_KILL, CROP_COVER, c->kill_c, c->cover_c, true},
	    {CROP_BASE, CROP_CAP, c->rule.base_c, c->rule.cap_c, false},
	};

	for (size_t i = 0; i < sizeof pair / sizeof *pair; i++) {
		/* written so that a NaN fails too */
		if (pair[i].low_c < pair[i].high_c || (pair[i].may_equal && pair[i].low_c <= pair[i].high_c))
			continue;
		return fault_set(f, FAULT_CONFIG,
				 "%s (%.4g C) is not under %s (%.4g C); kill < stall <= slow <= night_line, "
				 "kill <= cover and base < cap",
				 crop_figure_key(pair[i].lower), pair[i].low_c, crop_figure_key(pair[i].upper),
				 pair[i].high_c);
	}
	if (!degree_rule_ok(&c->rule))
		return fault_set(f, FAULT_CONFIG,
				 "cutoff does not go with method; a simple average knows none and horizontal");
	return FAULT_NONE;
}
