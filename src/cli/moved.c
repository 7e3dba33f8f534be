#include "cli/moved.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "cli/compose.h"
#include "note/phrase.h"
#include "season/night.h"

/* From before a night that may be running to past the end of the last one. */
enum { BEHIND_S = 2 * DAY_S, AHEAD_S = (MOVED_NIGHTS + 2) * DAY_S, ONE_SIZE = 16 };

enum fault_code moved_lows(struct context *c, struct moved_lows *lows, struct fault *f)
{
	struct hours h;
	int64_t hour = instant_hour(c->now);
	enum fault_code code = compose_known(c, hour - BEHIND_S, c->now, hour + AHEAD_S, &h, NULL, f);
	lows->today = zone_date(&c->zone, c->now);
	for (int i = 0; code == FAULT_NONE && i < MOVED_NIGHTS; i++)
		lows->low_c[i] =
		    night_of(&h, date_add(lows->today, i), c->garden.latitude, c->garden.longitude, c->now).low_c;
	hours_free(&h);
	return code;
}

/* What is printed decides: a hundredth that tips a rounding is no news, nor is one that does not. */
static bool same(double a_c, double b_c, int units)
{
	char a[ONE_SIZE], b[ONE_SIZE];
	struct text one, other;
	text_over(&one, a, sizeof a);
	text_over(&other, b, sizeof b);
	phrase_degrees(&one, a_c, units);
	phrase_degrees(&other, b_c, units);
	return strcmp(one.at, other.at) == 0;
}

static bool any_known(const struct moved_lows *lows)
{
	for (int i = 0; i < MOVED_NIGHTS; i++)
		if (!isnan(lows->low_c[i]))
			return true;
	return false;
}

static void one_night(const struct moved_lows *after, int i, double was_c, int units, struct text *t)
{
	phrase_night(t, date_add(after->today, i), after->today);
	text_add(t, " ");
	phrase_degrees_unit(t, after->low_c[i], units);
	text_add(t, " (was ");
	if (isnan(was_c))
		text_add(t, "not known");
	else
		phrase_degrees(t, was_c, units);
	text_add(t, ")");
}

void moved_words(const struct moved_lows *before, const struct moved_lows *after, int units, struct text *t)
{
	if (!any_known(before)) {
		text_add(t, any_known(after) ? "Lows: none was known before.\n" : "Lows: none is known.\n");
		return;
	}
	size_t start = t->len;
	for (int i = 0; i < MOVED_NIGHTS; i++) {
		if (same(before->low_c[i], after->low_c[i], units))
			continue;
		text_add(t, t->len == start ? "Lows: " : ", ");
		one_night(after, i, before->low_c[i], units, t);
	}
	text_add(t, t->len == start ? "Lows: as before.\n" : ".\n");
}
