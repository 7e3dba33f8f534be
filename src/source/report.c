#include "source/report.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"

/* Hours need no minutes and no seconds: "2026-05-12T05Z". */
static void add_until(struct text *t, const char *what, int64_t instant)
{
	char buf[INSTANT_TEXT_SIZE];
	text_addf(t, "%s until %.13sZ, ", what, instant_text(instant_hour(instant), buf));
}

static void add_hour(struct text *t, int64_t hour)
{
	char buf[INSTANT_TEXT_SIZE];
	if (hour == INSTANT_NONE) {
		text_addf(t, "  %-14s", "-");
		return;
	}
	text_addf(t, "  %.13sZ", instant_text(hour, buf));
}

static void add_number(struct text *t, double x)
{
	if (isnan(x))
		text_addf(t, " %8s", "-");
	else
		text_addf(t, " %8.2f", x);
}

static size_t name_width(const struct answer_report *rep)
{
	size_t width = strlen("variable");
	for (size_t i = 0; i < rep->n; i++) {
		size_t n = strlen(var_row(rep->row[i].var)->name);
		width = n > width ? n : width;
	}
	return width;
}

static void add_line(struct text *t, const struct answer_row *row, int width)
{
	const struct var_row *var = var_row(row->var);
	text_addf(t, "%-*s %5zu %5zu %6zu", width, var->name, row->items, row->hours, row->filled);
	add_hour(t, row->first);
	add_hour(t, row->last);
	add_number(t, row->min);
	add_number(t, row->max);
	text_addf(t, " %7zu %7zu %7zu %7zu", row->missing, row->dropped, row->skipped, row->replaced);
	text_addf(t, "  %s -> %s\n", row->unit[0] == '\0' ? "-" : row->unit, var->unit);
}

static void add_gaps(struct text *t, const struct answer_row *row)
{
	text_addf(t, "%s: %zu gap%s:", var_row(row->var)->name, row->gaps, row->gaps == 1 ? "" : "s");
	for (size_t i = 0; i < row->gaps && i < ANSWER_GAPS_MAX; i++) {
		char buf[INSTANT_TEXT_SIZE];
		text_addf(t, "%s %.13sZ, %zu h", i == 0 ? "" : ";", instant_text(row->gap[i].from, buf),
			  row->gap[i].hours);
	}
	text_add(t, row->gaps > ANSWER_GAPS_MAX ? "; ...\n" : "\n");
}

static void add_notes(struct text *t, const struct answer_row *row)
{
	const char *name = var_row(row->var)->name;
	if (row->said[0] != '\0')
		text_addf(t, "%s (line %d): %s%s\n", name, row->at_line, row->refused ? "refused: " : "", row->said);
	if (!isnan(row->amount_in) && row->amount_in > 0)
		text_addf(t, "%s: %.3f mm in, %.3f mm laid into %zu hours, %.3f mm skipped\n", name, row->amount_in,
			  row->amount_out, row->hours, row->amount_skipped);
	if (row->gaps > 0)
		add_gaps(t, row);
}

static void add_issue(struct text *t, const struct issue *out)
{
	char buf[INSTANT_TEXT_SIZE];
	text_addf(t, "issued %s; ", out->issued == INSTANT_NONE ? "not said" : instant_text(out->issued, buf));
	if (isnan(out->cell_latitude) || isnan(out->cell_longitude))
		text_add(t, "cell not said");
	else
		text_addf(t, "cell %.4f, %.4f", out->cell_latitude, out->cell_longitude);
	if (!isnan(out->cell_elevation_m))
		text_addf(t, ", %.0f m", out->cell_elevation_m);
	text_addf(t, "; %zu hours\n", out->hours.n);
}

/* What its hours are worth, as of when it came in. */
static void add_past(struct text *t, const struct issue *out)
{
	static const char *const worth[] = {
	    [ISSUE_PAST_NONE] = "left out", [ISSUE_PAST_ANALYSED] = "analysed", [ISSUE_PAST_OBSERVED] = "observed"};
	add_until(t, worth[out->past], issue_settled(out));
	if (out->observed_after_s > 0)
		add_until(t, "analysed", out->received);
	text_add(t, "forecast from there on\n");
}

void report_print(const struct answer_report *rep, const struct description *d, const struct issue *out, struct text *t)
{
	int width = (int)name_width(rep);
	text_addf(t, "%s: %s\n", d->name, d->title);
	if (out != NULL) {
		add_issue(t, out);
		add_past(t, out);
	}
	text_addf(t, "%-*s %5s %5s %6s  %-14s  %-14s %8s %8s %7s %7s %7s %7s  %s\n", width, "variable", "items",
		  "hours", "filled", "first", "last", "min", "max", "missing", "dropped", "skipped", "again", "unit");
	for (size_t i = 0; i < rep->n; i++)
		add_line(t, &rep->row[i], width);
	for (size_t i = 0; i < rep->n; i++)
		add_notes(t, &rep->row[i]);
}
