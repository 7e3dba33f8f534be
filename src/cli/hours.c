#include <math.h>

#include "base/instant.h"
#include "cli/command.h"
#include "cli/compose.h"
#include "cli/context.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "season/derived.h"

/*
 * Rows go out in pieces of HOURS_PIECE.  HOURS_RUN_IN days before the first are looked at too: what is reckoned of the
 * soil depends on the weeks before it (ten days to settle, and the warmth of the layers under it).
 */
enum {
	HOURS_PIECE = 64 * 1024,
	HOURS_ROW_MAX = 2048,
	HOURS_WEEK = 7,
	HOURS_AHEAD = STATE_AHEAD,
	HOURS_RUN_IN = 60,
	SAID_SIZE = 160
};

/* A squash leaf: the widest, and the coldest at night. */
static const double HOURS_LEAF_M = 0.25;

static void head(struct text *t)
{
	text_add(t, "time,local");
	for (int v = 0; v < VARS; v++) {
		const struct var_row *of = var_row((enum var)v);
		text_addf(t, ",%s [%s],%s_from", of->name, of->unit, of->name);
	}
	for (int d = 0; d < DERIVED_COLUMNS; d++) {
		const struct derived_row *of = derived_row((enum derived_column)d);
		text_addf(t, ",%s [%s]", of->name, of->unit);
		if (d == DERIVED_SUNLIGHT)
			text_addf(t, ",%s_from", of->name);
	}
	text_add(t, "\n");
}

static void local_time(const struct zone *z, int64_t at, struct text *t)
{
	char day[DATE_TEXT_SIZE];
	int minute = zone_second(z, at) / 60, offset = zone_offset(z, at) / 60;
	int apart = offset < 0 ? -offset : offset;
	text_addf(t, "%sT%02d:%02d%c%02d:%02d", date_text(zone_date(z, at), day), minute / 60, minute % 60,
		  offset < 0 ? '-' : '+', apart / 60, apart % 60);
}

static void derived_values(const struct derived *d, size_t i, struct text *t)
{
	for (int k = 0; k < DERIVED_COLUMNS; k++) {
		text_add(t, ",");
		if (!isnan(d->value[k][i]))
			text_addf(t, "%.6g", d->value[k][i]);
		if (k == DERIVED_SUNLIGHT)
			text_addf(t, ",%s", derived_basis(d, i));
	}
}

static void row(const struct context *c, const struct hours *h, const struct derived *d, size_t i, struct text *t)
{
	char at[INSTANT_TEXT_SIZE];
	int64_t hour = h->first + (int64_t)i * HOUR_S;
	text_addf(t, "%s,", instant_text(hour, at));
	local_time(&c->zone, hour, t);
	for (int v = 0; v < VARS; v++) {
		if (isnan(h->value[v][i]))
			text_add(t, ",,");
		else
			text_addf(t, ",%.6g,%s", h->value[v][i],
				  origin_name((enum origin)(h->origin[v][i] & ORIGIN_MASK)));
	}
	derived_values(d, i, t);
	text_add(t, "\n");
}

static bool any_value(const struct hours *h, size_t i)
{
	for (int v = 0; v < VARS; v++)
		if (!isnan(h->value[v][i]))
			return true;
	return false;
}

static enum fault_code print(const struct context *c, const struct hours *h, const struct derived *d, size_t first,
			     struct fault *f)
{
	struct text t;
	size_t n = h->n;
	enum fault_code code = FAULT_NONE;
	/* Where no day was asked for, it begins and ends with what is known. */
	while (!date_is(c->options->until) && n > 0 && !any_value(h, n - 1))
		n--;
	while (!date_is(c->options->since) && first < n && !any_value(h, first))
		first++;
	text_init(&t, HOURS_PIECE + HOURS_ROW_MAX);
	head(&t);
	for (size_t i = first; code == FAULT_NONE && i < n; i++) {
		row(c, h, d, i, &t);
		if (t.len >= HOURS_PIECE) {
			code = screen_text(&t, "a piece of the table", f);
			text_clear(&t);
		}
	}
	if (code == FAULT_NONE)
		code = screen_text(&t, "a piece of the table", f);
	text_free(&t);
	return code;
}

static void say_refused(const struct derived *d)
{
	char mem[SAID_SIZE];
	struct text t;
	if (d->refused == 0)
		return;
	text_over(&t, mem, sizeof mem);
	text_addf(&t,
		  "%zu hour%s of these and the %d days before: dew point or humidity far beyond saturation, left out",
		  d->refused, d->refused == 1 ? "" : "s", HOURS_RUN_IN);
	screen_warning(t.at);
}

static enum fault_code print_from(const struct context *c, const struct hours *h, size_t first, struct fault *f)
{
	const struct derived_site site = {.lat_deg = c->garden.latitude,
					  .lon_deg = c->garden.longitude,
					  .elevation_m = c->garden.elevation_m,
					  .leaf_m = HOURS_LEAF_M};
	struct derived d;
	enum fault_code code = derived_init(h, &site, &d, f);
	if (code == FAULT_NONE)
		code = print(c, h, &d, first, f);
	if (code == FAULT_NONE)
		say_refused(&d);
	derived_free(&d);
	return code;
}

/* The span asked for, from midnight to midnight by the garden's clock. */
static enum fault_code span(const struct context *c, int64_t *from, int64_t *to, struct fault *f)
{
	struct date today = zone_date(&c->zone, c->now);
	struct date first = date_is(c->options->since) ? c->options->since : date_add(today, -HOURS_WEEK);
	struct date last = date_is(c->options->until) ? c->options->until : date_add(today, HOURS_AHEAD);
	if (date_diff(last, first) < 0)
		return fault_set(f, FAULT_USAGE, "--until is before --since; the later day goes to --until");
	*from = instant_hour(zone_day_start(&c->zone, first));
	*to = instant_hour(zone_day_start(&c->zone, date_add(last, 1)));
	if ((*to - *from) / HOUR_S > HOURS_MAX - HOURS_RUN_IN * DAY_S / HOUR_S)
		return fault_set(f, FAULT_USAGE, "more than %d hours from --since to --until; ask for fewer",
				 (int)(HOURS_MAX - HOURS_RUN_IN * DAY_S / HOUR_S));
	return FAULT_NONE;
}

enum fault_code command_hours(struct context *c, struct fault *f)
{
	struct hours h;
	int64_t from = 0, to = 0;
	if (context_load(c, f) || span(c, &from, &to, f) || context_peek(c, f))
		return f->code;
	if (c->record == NULL)
		return fault_set(f, FAULT_NO_INPUT, "%s: there is no record yet; the first fetch makes it",
				 c->record_path);
	int64_t run_in = (int64_t)HOURS_RUN_IN * DAY_S;
	enum fault_code code = compose_known(c, from - run_in, c->now, to, &h, NULL, f);
	if (code == FAULT_NONE)
		code = print_from(c, &h, (size_t)(run_in / HOUR_S), f);
	hours_free(&h);
	return code;
}
