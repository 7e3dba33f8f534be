#include "cli/findings.h"

#include <math.h>

#include "base/instant.h"
#include "base/mem.h"
#include "base/unit.h"
#include "cli/moved.h"
#include "note/phrase.h"
#include "record/fetchlog.h"
#include "record/issuestore.h"

enum {
	HEAD_COLUMNS = 10,
	RUNS = 3,
	FAR_KM = 20,   /* from the garden to the middle of its cell, and ... */
	APART_M = 150, /* ... up or down: 1 C by the standard atmosphere's 6.5 C/km (ICAO); both judgement */
};

/* A bed under a clear calm night against the air at 2 m, deg C: Snyder & de Melo-Abreu 2005 and the forecast centres'
 * own guides. */
static const double BED_LESS_C = 1, BED_MUCH_LESS_C = 2;

void findings_head(struct findings *w, const char *what)
{
	text_addf(&w->lines, "%-*s", HEAD_COLUMNS, what);
}

void findings_wrong(struct findings *w, const char *what, const struct fault *f)
{
	findings_head(w, what);
	text_addf(&w->lines, "%s\n", f->text);
	w->code = w->code == FAULT_NONE ? f->code : w->code;
}

void findings_all_wrong(struct findings *w, const char *what, struct faults *list)
{
	for (size_t i = 0; i < list->n; i++)
		findings_wrong(w, what, &list->at[i]);
	if (list->more > 0) {
		findings_head(w, what);
		text_addf(&w->lines, "and %zu more\n", list->more);
	}
	*list = (struct faults){0};
}

/* A cell far off or much higher is another climate: a wrong place is worse than none. */
static void say_cell(const struct context *c, const struct issue *newest, struct findings *w)
{
	if (isnan(newest->cell_latitude) || isnan(newest->cell_longitude))
		return;
	double far_km = place_distance_km(&c->garden.place, newest->cell_latitude, newest->cell_longitude);
	double apart_m = newest->cell_elevation_m - c->garden.elevation_m;
	findings_head(w, "cell");
	text_addf(&w->lines, "its forecast is for a cell %.0f km from the garden", far_km);
	if (!isnan(apart_m))
		text_addf(&w->lines, ", %.0f m %s", fabs(apart_m), apart_m > 0 ? "higher" : "lower");
	text_add(&w->lines, "\n");
	if (far_km <= FAR_KM && !(fabs(apart_m) >= APART_M))
		return;
	findings_head(w, "");
	text_add(&w->lines, "that is another climate: look at latitude, longitude and elevation in the garden file\n");
}

static void say_issues(const struct context *c, const struct issue *newest, size_t issues, struct findings *w)
{
	findings_head(w, "record");
	text_addf(&w->lines, "fine: %s, ", c->record_path);
	if (newest->source[0] == '\0') {
		text_add(&w->lines, "no forecast yet: dewpost fetch\n");
		return;
	}
	text_addf(&w->lines, "%zu forecast%s, the newest %s came in ", issues, issues == 1 ? "" : "s", newest->source);
	phrase_age(&w->lines, c->now > newest->received ? c->now - newest->received : 0);
	text_add(&w->lines, " ago\n");
	say_cell(c, newest, w);
}

static void say_run(const struct context *c, const struct run *run, struct findings *w)
{
	findings_head(w, "run");
	phrase_age(&w->lines, c->now > run->started ? c->now - run->started : 0);
	text_addf(&w->lines, " ago, %s: ", run->source);
	if (run->code != FAULT_NONE) {
		text_addf(&w->lines, "failed (%d), %s\n", run->code, run->said);
		return;
	}
	text_addf(&w->lines, "%s, %d request%s, %lld bytes, %lld hours that were new\n", run->said, run->requests,
		  run->requests == 1 ? "" : "s", (long long)run->bytes, (long long)run->gained);
}

static void say_runs(const struct context *c, struct findings *w)
{
	struct fault f = {0};
	struct run *runs = NULL;
	size_t n = 0;
	if (fetchlog_runs(c->record, c->place, RUNS, &runs, &n, &f) != FAULT_NONE)
		findings_wrong(w, "run", &f);
	for (size_t i = 0; i < n; i++)
		say_run(c, &runs[i], w);
	mem_free(runs);
}

/* Nobody can tell from here whether the cell's nights are the garden's: one low read there does. */
static void ask_for_a_low(struct context *c, struct findings *w)
{
	struct fault f = {0};
	struct moved_lows lows;
	int units = c->garden.units;
	if (moved_lows(c, &lows, &f) != FAULT_NONE || isnan(lows.low_c[0]))
		return;
	findings_head(w, "compare");
	text_add(&w->lines, "read your own thermometer at dawn: ");
	phrase_degrees_unit(&w->lines, lows.low_c[0], units);
	text_add(&w->lines, " is forecast for tonight. Clear and calm, a bed lies\n");
	findings_head(w, "");
	text_addf(&w->lines, "%.0f to ", unit_outside(UNIT_DIFFERENCE, (enum unit_system)units, BED_LESS_C));
	phrase_difference(&w->lines, BED_MUCH_LESS_C, units);
	text_add(&w->lines, " under that; far from it, and the cell does not fit your garden\n");
}

static void say_record(struct context *c, const struct issue *newest, size_t issues, bool runs, struct findings *w)
{
	say_issues(c, newest, issues, w);
	if (runs)
		say_runs(c, w);
	ask_for_a_low(c, w);
}

void findings_record(struct context *c, bool runs, struct findings *w)
{
	struct fault f = {0};
	struct issue newest;
	struct issue_row *rows = NULL;
	size_t issues = 0;
	issue_init(&newest);
	if (context_peek(c, &f) != FAULT_NONE) {
		findings_wrong(w, "record", &f);
		return;
	}
	if (!c->placed) {
		findings_head(w, "record");
		text_addf(&w->lines, "none yet of this place: dewpost fetch makes %s\n", c->record_path);
		return;
	}
	if (record_check(c->record, &f) != FAULT_NONE ||
	    issuestore_list(c->record, c->place, &rows, &issues, &f) != FAULT_NONE ||
	    issuestore_head_at(c->record, c->place, c->now, 0, &newest, &f) != FAULT_NONE)
		findings_wrong(w, "record", &f);
	else
		say_record(c, &newest, issues, runs, w);
	mem_free(rows);
	issue_free(&newest);
}
