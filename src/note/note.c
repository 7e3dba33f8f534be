#include "note/note.h"

#include <math.h>
#include <string.h>

#include "base/utf8.h"
#include "note/credit.h"
#include "note/changed.h"
#include "note/frostline.h"
#include "note/head.h"
#include "note/phrase.h"
#include "note/sentence.h"
#include "note/soilline.h"
#include "note/tellme.h"

enum {
	NOTE_PIECE = 2048,
	NOTE_DIARY = 6,     /* lines of the grower's own file told */
	NOTE_CHANGES = 4,   /* sentences under CHANGED */
	NOTE_ROW_ITEMS = 5, /* nights and days shown */
	NOTE_ROW_INDENT = 8,
	NOTE_ROW_SPACE = 3,
	NOTE_LINE_INDENT = 2,
};

/* What makes a night or day worth a word (judgement; 15 mph and 25 mph, 1 mm). */
static const double NOTE_CLEAR_FRAC = 0.25, NOTE_GREY_FRAC = 0.8, NOTE_CALM_MS = 2.0, NOTE_WINDY_MS = 15 * 0.44704,
		    NOTE_GUSTY_MS = 25 * 0.44704, NOTE_RAIN_MM = 1.0, NOTE_RAIN_FRAC = 0.5;

static void title(const struct note_facts *n, struct text *t)
{
	char left_mem[NOTE_PIECE], right_mem[NOTE_PIECE];
	struct text left, right;
	text_over(&left, left_mem, sizeof left_mem);
	text_over(&right, right_mem, sizeof right_mem);
	text_addf(&left, "%s, ", n->garden->name);
	phrase_date_full(&left, n->state->today);
	head_words(n, &right);
	size_t used = utf8_width(left.at, left.len) + utf8_width(right.at, right.len);
	utf8_wrap(t, left.at, 0, 0, NOTE_COLUMNS);
	if (used + NOTE_ROW_SPACE > NOTE_COLUMNS)
		text_add(t, "\n");
	else
		text_add_char(t, ' ', NOTE_COLUMNS - used);
	text_add_n(t, right.at, right.len);
	text_add(t, "\n");
}

void note_line(const struct note_facts *n, size_t k, struct text *t)
{
	char mem[NOTE_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	sentence_line(n, &n->lines->at[k], &words);
	text_addf(t, "%zu ", k + 1);
	utf8_wrap(t, words.at, NOTE_LINE_INDENT, NOTE_LINE_INDENT, NOTE_COLUMNS);
	text_add(t, "\n");
}

static void changed(const struct note_facts *n, struct text *t)
{
	if (n->changes->n == 0)
		return;
	char mem[NOTE_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	text_add(&words, n->evening ? "CHANGED since this morning: " : "CHANGED since yesterday: ");
	for (size_t i = 0; i < n->changes->n && i < NOTE_CHANGES; i++) {
		text_add(&words, i > 0 ? "; " : "");
		changed_words(n, &n->changes->at[i], &words);
	}
	if (n->changes->n > NOTE_CHANGES)
		text_addf(&words, "; and %zu more", n->changes->n - NOTE_CHANGES);
	text_add(&words, ".");
	utf8_wrap(t, words.at, 0, NOTE_LINE_INDENT, NOTE_COLUMNS);
	text_add(t, "\n");
}

/* A row of short items: each stays whole, and the row goes on under its first item. */
struct row {
	struct text *t;
	size_t column;
	bool begun;
};

static struct row row_begin(struct text *t, const char *head)
{
	text_addf(t, "%-*s", NOTE_ROW_INDENT, head);
	return (struct row){.t = t, .column = NOTE_ROW_INDENT};
}

static void row_item(struct row *r, const char *item, size_t len)
{
	size_t width = utf8_width(item, len);
	if (r->begun && r->column + NOTE_ROW_SPACE + width > NOTE_COLUMNS) {
		text_add(r->t, "\n");
		text_add_char(r->t, ' ', NOTE_ROW_INDENT);
		r->column = NOTE_ROW_INDENT;
	} else if (r->begun) {
		text_add_char(r->t, ' ', NOTE_ROW_SPACE);
		r->column += NOTE_ROW_SPACE;
	}
	text_add_n(r->t, item, len);
	r->column += width;
	r->begun = true;
}

/* The highest slow line of what grows: under it, what the sky does at night is worth a word. */
static double slow_line(const struct note_facts *n)
{
	double line_c = NAN;
	for (size_t i = 0; i < n->state->plantings; i++) {
		enum planting_where where = n->state->planting[i].where;
		double slow_c = n->garden->planting[i].figures.slow_c;
		if ((where == PLANTING_OUT || where == PLANTING_IN_TRAY) && !(slow_c <= line_c))
			line_c = slow_c;
	}
	return line_c;
}

/* Of the sky and the wind only what is known of most of the dark. */
static const char *night_word(const struct night *night, double slow_c)
{
	bool sky = night_cloud_told(night), wind = night_wind_told(night);
	if (!(night->low_c < slow_c))
		return "";
	if (wind && night->wind_ms >= NOTE_WINDY_MS)
		return " wind";
	if (sky && night->cloud_frac <= NOTE_CLEAR_FRAC)
		return wind && night->wind_ms <= NOTE_CALM_MS ? " clear, calm" : " clear";
	return sky && night->cloud_frac >= NOTE_GREY_FRAC ? " cloud" : "";
}

/* A wet or windy hour is one, however little else is known; the sky is the whole day's. */
static const char *day_word(const struct day *day)
{
	if (day->rain_mm >= NOTE_RAIN_MM || day->rain_chance_frac >= NOTE_RAIN_FRAC)
		return " rain";
	if (day->wind_ms >= NOTE_WINDY_MS || day->gust_ms >= NOTE_GUSTY_MS)
		return " wind";
	if (!day_cloud_told(day))
		return "";
	if (day->cloud_frac <= NOTE_CLEAR_FRAC)
		return " sun";
	return day->cloud_frac >= NOTE_GREY_FRAC ? " grey" : "";
}

/* What a row shows of one day or night. */
struct reading {
	struct date date;
	double c; /* NaN: not known */
	const char *word;
};

/* The last that is known, in NOTE_ROW_ITEMS; these where none is. */
static size_t last_known(const struct reading *of)
{
	size_t last = NOTE_ROW_ITEMS;
	for (size_t i = 0; i < NOTE_ROW_ITEMS; i++)
		last = isnan(of[i].c) ? last : i;
	return last;
}

/* "Wed not known", "Thu to Sat not known"; the last of them comes back. */
static size_t unknown_words(const struct reading *of, size_t i, struct text *item)
{
	size_t to = i;
	while (to + 1 < NOTE_ROW_ITEMS && isnan(of[to + 1].c))
		to++;
	if (i > 0 || to + 1 < NOTE_ROW_ITEMS)
		text_addf(item, "%s ", date_weekday_short(date_weekday(of[i].date)));
	if (to > i && (i > 0 || to + 1 < NOTE_ROW_ITEMS))
		text_addf(item, "to %s ", date_weekday_short(date_weekday(of[to].date)));
	text_add(item, "not known");
	return to;
}

/* The last number carries the unit of all. */
static void row_write(const struct note_facts *n, const char *head, const struct reading *of, struct text *t)
{
	struct row r = row_begin(t, head);
	size_t last = last_known(of);
	for (size_t i = 0; i < NOTE_ROW_ITEMS; i++) {
		char mem[NOTE_PIECE];
		struct text item;
		text_over(&item, mem, sizeof mem);
		if (isnan(of[i].c)) {
			i = unknown_words(of, i, &item);
		} else {
			text_addf(&item, "%s ", date_weekday_short(date_weekday(of[i].date)));
			phrase_degrees(&item, of[i].c, n->garden->units);
			if (i == last) {
				text_addf(&item, " %s",
					  unit_label(UNIT_TEMPERATURE, (enum unit_system)n->garden->units));
			}
			text_add(&item, of[i].word);
		}
		row_item(&r, item.at, item.len);
	}
	text_add(t, "\n");
}

static void nights(const struct note_facts *n, struct text *t)
{
	struct reading of[NOTE_ROW_ITEMS];
	double slow_c = slow_line(n);
	for (size_t i = 0; i < NOTE_ROW_ITEMS; i++) {
		const struct night *night = &season_tonight(n->state)[i];
		of[i] = (struct reading){night->evening, night->low_c, night_word(night, slow_c)};
	}
	row_write(n, "Nights", of, t);
}

static void days(const struct note_facts *n, struct text *t)
{
	struct reading of[NOTE_ROW_ITEMS];
	for (size_t i = 0; i < NOTE_ROW_ITEMS; i++) {
		const struct day *day = &n->state->day[i + 1];
		of[i] = (struct reading){day->date, day->tmax_c, day_word(day)};
	}
	row_write(n, "Days", of, t);
}

/* The rows of an old forecast are what it said on its day. */
static void as_of(const struct note_facts *n, struct text *t)
{
	if (n->state->forecast.trust < TRUST_OLD)
		return;
	text_add(t, "As it was forecast on ");
	phrase_date_full(t, zone_date(n->zone, n->state->forecast.made));
	text_add(t, ":\n");
}

/* What a day may be called besides its high. */
enum layer { LAYER_RAIN, LAYER_CLOUD, LAYER_WIND, LAYERS };

static int hours_known(const struct day *day, enum layer of)
{
	switch (of) {
	case LAYER_RAIN:
		return day->rain_known + day->rain_chance_known;
	case LAYER_CLOUD:
		return day->cloud_known;
	case LAYER_WIND:
	case LAYERS:
		break;
	}
	return day->wind_known;
}

/* Of the days shown, tomorrow the first, how many one after the other a layer is told of; -1 not even of today. */
static int days_told(const struct note_facts *n, enum layer of)
{
	static bool (*const told[LAYERS])(const struct day *) = {
	    [LAYER_RAIN] = day_rain_told, [LAYER_CLOUD] = day_cloud_told, [LAYER_WIND] = day_wind_told};
	const struct day *day = n->state->day;
	int run = 0;
	while (run < NOTE_ROW_ITEMS && told[of](&day[run + 1]))
		run++;
	bool any = run > 0 || hours_known(&day[0], of) > 0 || hours_known(&day[1], of) > 0;
	return any ? run : -1;
}

/* Of the days shown, those up to the last with a temperature: what is not known after that is said by the row. */
static int days_shown(const struct note_facts *n)
{
	int run = 0;
	for (int i = 0; i < NOTE_ROW_ITEMS; i++)
		run = isnan(n->state->day[i + 1].tmax_c) ? run : i + 1;
	return run;
}

static void ended_with(const struct note_facts *n, const int ends[LAYERS], int end, struct text *t)
{
	static const char *const what[LAYERS] = {"rain", "cloud", "wind"};
	size_t count = 0, said = 0;
	for (size_t i = 0; i < LAYERS; i++)
		count += ends[i] == end;
	for (size_t i = 0; i < LAYERS; i++)
		if (ends[i] == end)
			phrase_listed(t, what[i], said++, count);
	if (end == 0)
		text_add(t, " after today");
	else if (end > 0)
		text_addf(t, " after %s", date_weekday_short(date_weekday(n->state->day[end].date)));
}

/* Where rain, cloud or wind ends before the row of days does: its silence must not read as a dry or a still day. */
static void not_told(const struct note_facts *n, struct text *t)
{
	const int ends[LAYERS] = {days_told(n, LAYER_RAIN), days_told(n, LAYER_CLOUD), days_told(n, LAYER_WIND)};
	int shown = days_shown(n);
	bool any = false;
	for (int end = -1; end < shown || end <= 0; end++) {
		if (ends[LAYER_RAIN] != end && ends[LAYER_CLOUD] != end && ends[LAYER_WIND] != end)
			continue;
		text_add(t, any ? ", " : "Not in this forecast: ");
		ended_with(n, ends, end, t);
		any = true;
	}
	text_add(t, any ? ". " : "");
}

/* Whether the forecast is one that anything is told of. */
static bool forecast_told(const struct note_facts *n)
{
	return n->state->forecast.any && n->state->forecast.trust < TRUST_SPENT;
}

/* Whether a day to plant out is weighed, so that the days beside it are worth a look. */
static bool weighs_days(const struct lines *lines)
{
	for (size_t k = 0; k < lines->n; k++)
		if (lines->at[k].lead->decision == DECISION_PLANT_OUT && !lines->at[k].lead->cannot_tell)
			return true;
	return false;
}

static void foot(const struct note_facts *n, struct text *t)
{
	char mem[NOTE_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	if (n->lines->left_out > 0) {
		text_addf(&words, "%zu more line%s: dewpost morning --json has them. ", n->lines->left_out,
			  n->lines->left_out == 1 ? "" : "s");
	}
	if (weighs_days(n->lines))
		text_add(&words, "All the days side by side: dewpost plantout. ");
	if (n->trouble != NULL)
		text_addf(&words, "This %s's fetch failed: %s. ", n->evening ? "afternoon" : "morning", n->trouble);
	else if (n->state->forecast.any && n->state->forecast.trust >= TRUST_OLD)
		text_add(&words, "No newer forecast has come; dewpost fetch tells why. ");
	if (forecast_told(n) && !n->evening)
		not_told(n, &words);
	sentence_forecast(n, &words);
	credit_words(n, n->state->night[0].first, &words);
	utf8_wrap(t, words.at, 0, 0, NOTE_COLUMNS);
	text_add(t, "\n");
}

/* What the grower's own file had that is new, to be looked over: a misread line is seen on its first day. */
static void diary(const struct note_facts *n, struct text *t)
{
	size_t k = 0;
	const char *s = n->diary != NULL ? n->diary : "";
	for (size_t len; *s != '\0'; s += len + (s[len] == '\n'), k++) {
		char mem[NOTE_PIECE];
		struct text line;
		len = strcspn(s, "\n");
		if (k >= NOTE_DIARY)
			continue;
		text_over(&line, mem, sizeof mem);
		text_add_n(&line, s, len);
		text_addf(t, "%-*s", NOTE_ROW_INDENT, k == 0 ? "Diary" : "");
		utf8_wrap(t, line.at, NOTE_ROW_INDENT, NOTE_ROW_INDENT + 2, NOTE_COLUMNS);
		text_add(t, "\n");
	}
	if (k > NOTE_DIARY)
		text_addf(t, "%*sand %zu more: dewpost diary list\n", NOTE_ROW_INDENT, "", k - NOTE_DIARY);
}

void note_write(const struct note_facts *n, struct text *t)
{
	title(n, t);
	text_add(t, "\n");
	for (size_t k = 0; k < n->lines->n; k++)
		note_line(n, k, t);
	if (n->lines->n > 0)
		text_add(t, "\n");
	changed(n, t);
	if (n->evening) {
		foot(n, t);
		return;
	}
	if (forecast_told(n)) {
		as_of(n, t);
		nights(n, t);
		days(n, t);
	}
	frostline_write(n, t);
	soilline_write(n, t);
	diary(n, t);
	tellme_write(n, t);
	foot(n, t);
}
