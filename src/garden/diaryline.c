#include "garden/diaryline.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#include "base/suggest.h"
#include "base/utf8.h"
#include "garden/diaryday.h"
#include "garden/diaryfigure.h"
#include "garden/diaryname.h"
#include "garden/diaryverb.h"
#include "garden/keyvalue.h"

/* ---- what has been understood so far ---- */

struct reading {
	const char *line;
	const struct garden *g;
	struct date today;
	struct diarywords w; /* what is left to be understood */
	struct date day;     /* DATE_NONE until it was named */
	enum verb verb;
	double amount;
	bool figure; /* an amount was said */
	int sowing;  /* enum garden_sowing; -1 where not said */
	size_t plantings, places;
	const struct planting *planting[DIARYLINE_ENTRIES];
	const char *place[DIARYLINE_ENTRIES]; /* beds and tubs */
};

/* ---- names ---- */

static enum fault_code too_many(struct fault *f)
{
	return fault_set(f, FAULT_DATA, "more than %d names in one line; two lines are right", DIARYLINE_ENTRIES);
}

static enum fault_code add_planting(struct reading *r, const struct planting *p, struct fault *f)
{
	for (size_t i = 0; i < r->plantings; i++)
		if (r->planting[i] == p)
			return FAULT_NONE;
	if (r->plantings == DIARYLINE_ENTRIES)
		return too_many(f);
	r->planting[r->plantings++] = p;
	return FAULT_NONE;
}

static enum fault_code add_place(struct reading *r, const char *name, struct fault *f)
{
	for (size_t i = 0; i < r->places; i++)
		if (r->place[i] == name)
			return FAULT_NONE;
	if (r->places == DIARYLINE_ENTRIES)
		return too_many(f);
	r->place[r->places++] = name;
	return FAULT_NONE;
}

static enum fault_code add_name(struct reading *r, const char *word, bool *is, struct fault *f)
{
	const struct planting *p = diaryname_planting(r->g, word);
	const char *place = p == NULL ? diaryname_place(r->g, word) : NULL;
	*is = true;
	if (p == NULL && place == NULL && diaryname_crop(r->g, word, &p, f))
		return f->code;
	if (p != NULL)
		return add_planting(r, p, f);
	if (place != NULL)
		return add_place(r, place, f);
	*is = false;
	return FAULT_NONE;
}

/* ---- the day ---- */

static enum fault_code set_day(struct reading *r, struct date day, struct fault *f)
{
	if (date_is(r->day) && r->day.n != day.n)
		return fault_set(f, FAULT_DATA, "two days are named; one a line is right");
	r->day = day;
	return FAULT_NONE;
}

/* A day at word i, with "on" before it or not, is taken out; *is: there was one. */
static enum fault_code take_day(struct reading *r, size_t i, bool *is, struct fault *f)
{
	struct date day;
	struct fault wrong = {0};
	size_t on = diarywords_is(&r->w, i, "on") || diarywords_is(&r->w, i, "since") ? 1 : 0;
	*is = false;
	if (i + on < r->w.n && diaryname_is(r->g, r->w.at[i + on]))
		return FAULT_NONE;
	size_t used = diaryday_at(&r->w, i + on, r->today, &day, &wrong);
	if (wrong.code != FAULT_NONE) {
		*f = wrong;
		return f->code;
	}
	if (used == 0)
		return FAULT_NONE;
	diarywords_drop(&r->w, i, used + on);
	*is = true;
	return set_day(r, day, f);
}

/* Days among the grower's own words: one that is passed over would be today's, without a word. */
static enum fault_code take_days(struct reading *r, size_t from, struct fault *f)
{
	bool is;
	for (size_t i = from; i < r->w.n; i += !is)
		if (take_day(r, i, &is, f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

/* ---- the verb ---- */

static enum fault_code no_verb(const struct reading *r, struct fault *f)
{
	size_t first = 0;
	while (first < r->w.n && diaryname_is(r->g, r->w.at[first]))
		first++;
	if (first == r->w.n)
		return fault_set(f, FAULT_DATA,
				 "what was done, seen or measured is missing; as \"%s\" or \"%s\" is right",
				 diaryverb_row(VERB_PLANTED_OUT)->example, diaryverb_row(VERB_LOW)->example);
	const char *word = r->w.at[first];
	const char *hint = diaryverb_hint(word);
	if (hint != NULL)
		return fault_set(f, FAULT_DATA, "\"%s\" is not clear; %s is right", word, hint);
	const char *near = diaryverb_near(&r->w, first);
	if (near != NULL)
		return fault_set(f, FAULT_DATA, "\"%.*s\" is not understood; did you mean \"%s\"?", KEY_SHOWN(word),
				 near);
	return fault_set(
	    f, FAULT_DATA,
	    "\"%.*s\" is not understood; a line begins as \"planted out\", \"watered\", \"picked\", \"low\" or "
	    "\"note\" (dewpost(1) has them all)",
	    KEY_SHOWN(word));
}

static enum fault_code one_verb(const struct reading *r, enum verb v, struct fault *f)
{
	if (r->verb == VERBS || r->verb == v)
		return FAULT_NONE;
	return fault_set(f, FAULT_DATA, "\"%s\" and \"%s\": one thing a line; two lines are right",
			 diaryverb_row(r->verb)->phrase[0], diaryverb_row(v)->phrase[0]);
}

/* From here on the words are the grower's own. */
static bool own_words(const struct reading *r, size_t i)
{
	return r->verb == VERB_FOUND || (r->verb != VERBS && diarywords_is(&r->w, i, "with"));
}

/* Take the one verb out of the line; *at is where it stood. */
static enum fault_code find_verb(struct reading *r, size_t *at, struct fault *f)
{
	size_t words = 0, taken = 0;
	r->verb = VERBS;
	for (size_t i = 0; i < r->w.n && !own_words(r, i); i++) {
		enum verb v = diaryname_is(r->g, r->w.at[i]) ? VERBS : diaryverb_at(&r->w, i, &words);
		if (v == VERBS)
			continue;
		if (one_verb(r, v, f) != FAULT_NONE)
			return f->code;
		*at = taken == 0 ? i : *at;
		taken = taken == 0 ? words : taken;
		r->verb = v;
		i += words - 1;
	}
	if (r->verb == VERBS)
		return no_verb(r, f);
	diarywords_drop(&r->w, *at, taken);
	return FAULT_NONE;
}

/* ---- the rest of the words ---- */

/* Where it was sown: the garden file's to say, so this may only agree with it. */
static bool sown_where(struct reading *r, const char *word)
{
	bool in = strcasecmp(word, "indoors") == 0, out = strcasecmp(word, "outdoors") == 0;
	if (r->verb != VERB_SOWN || (!in && !out))
		return false;
	r->sowing = in ? GARDEN_SOWN_INDOORS : GARDEN_SOWN_OUTDOORS;
	return true;
}

/* "rain 8 in south": the unit may have been left out. */
static bool place_or_inches(const struct reading *r, size_t i, size_t used)
{
	return used == 2 && i + 2 < r->w.n && diarywords_is(&r->w, i + 1, "in") && diaryname_is(r->g, r->w.at[i + 2]);
}

static enum fault_code take_number(struct reading *r, size_t i, size_t *used, struct fault *f)
{
	double amount;
	if (diaryfigure_at(&r->w, i, diaryverb_row(r->verb), (enum unit_system)r->g->units, &amount, used, f) ||
	    *used == 0)
		return f->code;
	if (place_or_inches(r, i, *used))
		return fault_set(f, FAULT_DATA,
				 "%s in: inches, or the place? \"%s mm in %s\" or \"%s in at %s\" is right", r->w.at[i],
				 r->w.at[i], r->w.at[i + 2], r->w.at[i], r->w.at[i + 2]);
	if (r->figure)
		return fault_set(f, FAULT_DATA, "\"%s\" is a second number; one a line is right", r->w.at[i]);
	r->figure = true;
	r->amount = amount;
	return FAULT_NONE;
}

/* "with fleece": how something was done is the grower's own words, to the end or to the day. */
static enum fault_code take_detail(struct reading *r, size_t i, struct fault *f)
{
	if (!diarywords_is(&r->w, i, "with") || diaryverb_row(r->verb)->figure != DIARYVERB_NO_FIGURE)
		return FAULT_NONE;
	if (take_days(r, i, f) != FAULT_NONE)
		return f->code;
	r->w.n = i + 1;
	return FAULT_NONE;
}

/* A day or a number; "6/8" of seeds is no date. */
static enum fault_code take_day_or_number(struct reading *r, size_t i, bool *is, size_t *used, struct fault *f)
{
	bool seeds = diaryverb_row(r->verb)->figure == DIARYVERB_SEEDS;
	*is = false;
	if (seeds && (take_number(r, i, used, f) || *used > 0)) {
		*is = true;
		return f->code;
	}
	if (diaryverb_row(r->verb)->figure == DIARYVERB_COUNT && diaryday_two_ways(&r->w, i))
		return fault_set(f, FAULT_DATA,
				 "\"%s %s %s\" can be read in two ways; the day first, and then %s is right",
				 r->w.at[i], r->w.at[i + 1], r->w.at[i + 2], diaryverb_row(r->verb)->example);
	if (take_day(r, i, is, f) || *is) {
		*used = 0;
		return f->code;
	}
	if (!seeds && take_number(r, i, used, f))
		return f->code;
	*is = *used > 0;
	return FAULT_NONE;
}

static enum fault_code take_word(struct reading *r, size_t i, size_t *used, struct fault *f)
{
	const char *word = r->w.at[i];
	bool is = false;
	*used = 1;
	if (add_name(r, word, &is, f) || is)
		return f->code;
	*used = 0;
	if (take_day_or_number(r, i, &is, used, f) || is)
		return f->code;
	*used = 1;
	if (take_detail(r, i, f))
		return f->code;
	return sown_where(r, word) || diaryverb_filler(word) ? FAULT_NONE : diaryname_unknown(r->g, word, f);
}

static enum fault_code take_rest(struct reading *r, struct fault *f)
{
	size_t used;
	for (size_t i = 0; i < r->w.n; i += used)
		if (take_word(r, i, &used, f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

/* ---- what was found ---- */

/* Where "on green-1 and green-2" begins, which the line ends with; its end where it does not. */
static size_t where_found(const struct reading *r, size_t from)
{
	size_t at = r->w.n;
	for (size_t i = r->w.n; i-- > from;) {
		const char *word = r->w.at[i];
		if (diaryname_is(r->g, word))
			at = i;
		else if (!diaryverb_filler(word))
			break;
	}
	while (at > from && at < r->w.n && diaryverb_filler(r->w.at[at - 1]))
		at--;
	return at;
}

/* The words between verb and names are the grower's own. */
static enum fault_code take_find(struct reading *r, size_t at, struct fault *f)
{
	if (take_days(r, at, f) != FAULT_NONE)
		return f->code;
	size_t names = where_found(r, at);
	if (names == at)
		return fault_set(f, FAULT_DATA, "found what? \"%s\" is right", diaryverb_row(VERB_FOUND)->example);
	diarywords_drop(&r->w, at, names - at);
	return take_rest(r, f);
}

/* ---- the entries ---- */

static enum fault_code lacks(const struct reading *r, const char *what, struct fault *f)
{
	const struct diaryverb *g = diaryverb_row(r->verb);
	return fault_set(f, FAULT_DATA, "%s %s? \"%s\" is right", g->phrase[0], what, g->example);
}

/* A planting named with a place must stand there by the garden file. */
static enum fault_code check_places(const struct reading *r, struct fault *f)
{
	for (size_t i = 0; i < r->plantings && r->places > 0; i++) {
		const struct planting *p = r->planting[i];
		bool there = false;
		for (size_t k = 0; k < r->places; k++)
			there = there || strcmp(r->place[k], p->in) == 0;
		if (!there)
			return fault_set(f, FAULT_DATA, "%s stands in %s by the garden file; in = %s there is right",
					 p->name, p->in[0] != '\0' ? p->in : "no bed", r->place[0]);
	}
	return FAULT_NONE;
}

static enum fault_code check_sowing(const struct reading *r, struct fault *f)
{
	for (size_t i = 0; i < r->plantings && r->sowing >= 0; i++)
		if (r->planting[i]->sowing != r->sowing)
			return fault_set(f, FAULT_DATA, "%s is sown %s by the garden file; start = %s there is right",
					 r->planting[i]->name,
					 r->sowing == GARDEN_SOWN_INDOORS ? "outdoors" : "indoors",
					 r->sowing == GARDEN_SOWN_INDOORS ? "indoors" : "outdoors");
	return FAULT_NONE;
}

static enum fault_code check_day(const struct reading *r, struct fault *f)
{
	char day[DATE_TEXT_SIZE];
	if (!date_is(r->day) || date_diff(r->day, r->today) <= 0)
		return FAULT_NONE;
	return fault_set(f, FAULT_DATA, "%s is still to come; today or a day before it is right",
			 date_text(r->day, day));
}

/* Nothing comes before its beginning by the garden file. */
static enum fault_code check_order(const struct reading *r, struct fault *f)
{
	char begun[DATE_TEXT_SIZE], day[DATE_TEXT_SIZE];
	struct date on = date_is(r->day) ? r->day : r->today;
	bool any = diaryverb_row(r->verb)->about != DIARYVERB_PLANTING || r->verb == VERB_SOWN;
	for (size_t i = 0; i < r->plantings && !any; i++) {
		const struct planting *p = r->planting[i];
		bool out = r->verb == VERB_ENDED && date_is(p->planted);
		struct date from = out ? p->planted : p->sown;
		if (date_is(from) && date_diff(on, from) < 0)
			return fault_set(f, FAULT_DATA,
					 "%s is before %s, the day %s was %s by the garden file; a later day is right",
					 date_text(on, day), date_text(from, begun), p->name, out ? "planted" : "sown");
	}
	return FAULT_NONE;
}

static enum fault_code check_reading(const struct reading *r, struct fault *f)
{
	const struct diaryverb *g = diaryverb_row(r->verb);
	size_t names = r->plantings > 0 ? r->plantings : r->places;
	if (g->about == DIARYVERB_PLANTING && r->plantings == 0)
		return lacks(r, r->places > 0 ? "which planting" : "what", f);
	if (g->about == DIARYVERB_PLACE && names == 0)
		return lacks(r, r->verb == VERB_FOUND ? "on what" : "what", f);
	if (!r->figure && g->figure >= DIARYVERB_TEMPERATURE)
		return lacks(r, "how much", f);
	if (r->figure && names > 1)
		return fault_set(f, FAULT_DATA, "%s: one number for %zu names; a line for each is right", g->phrase[0],
				 names);
	return check_places(r, f) || check_sowing(r, f) || check_day(r, f) || check_order(r, f) ? f->code : FAULT_NONE;
}

static void put_text(const char *line, struct entry *e)
{
	(void)text_copy(e->text, sizeof e->text, line);
	for (size_t n = strlen(e->text); n > 0 && e->text[n - 1] == ' '; n--)
		e->text[n - 1] = '\0';
}

static struct entry *new_entry(const struct reading *r, struct diaryline *out)
{
	struct entry *e = &out->entry[out->n++];
	*e = (struct entry){.date = date_is(r->day) ? r->day : r->today, .amount = r->amount};
	(void)text_copy(e->verb, sizeof e->verb, verb_word(r->verb));
	put_text(r->line, e);
	return e;
}

/* What a planting was when the line was written. */
static void about_planting(const struct reading *r, const struct planting *p, struct entry *e)
{
	bool reading = diaryverb_row(r->verb)->figure == DIARYVERB_TEMPERATURE ||
		       diaryverb_row(r->verb)->figure == DIARYVERB_DEPTH;
	(void)text_copy(e->bed, sizeof e->bed, p->in);
	if (reading)
		return;
	(void)text_copy(e->planting, sizeof e->planting, p->name);
	(void)text_copy(e->crop, sizeof e->crop, p->crop);
	(void)text_copy(e->variety, sizeof e->variety, p->variety);
}

static void make_entries(const struct reading *r, struct diaryline *out)
{
	for (size_t i = 0; i < r->plantings; i++)
		about_planting(r, r->planting[i], new_entry(r, out));
	for (size_t i = 0; i < r->places && r->plantings == 0; i++) {
		struct entry *e = new_entry(r, out);
		(void)text_copy(e->bed, sizeof e->bed, r->place[i]);
	}
	if (r->plantings + r->places == 0)
		new_entry(r, out);
}

/* ---- the line ---- */

static enum fault_code is_line(const char *line, struct fault *f)
{
	size_t n = strlen(line);
	if (n >= ENTRY_TEXT_SIZE)
		return fault_set(f, FAULT_DATA, "%zu bytes in one line; up to %d are right", n, ENTRY_TEXT_SIZE - 1);
	if (utf8_bad(line, n) < n)
		return fault_set(f, FAULT_DATA, "is not UTF-8; save it as UTF-8");
	for (size_t i = 0; i < n; i++)
		if ((unsigned char)line[i] < ' ' || line[i] == '\x7f')
			return fault_set(f, FAULT_DATA,
					 "has a control character in it; one line of plain text is right");
	return FAULT_NONE;
}

static enum fault_code take_away(struct reading *r, struct diaryline *out, struct fault *f)
{
	struct date last;
	r->verb = VERB_AWAY;
	if (date_is(r->day))
		return fault_set(f, FAULT_DATA, "away: the days come after it; \"%s\" is right",
				 diaryverb_row(VERB_AWAY)->example);
	if (diaryday_span(&r->w, 1, r->today, &r->day, &last, f) != FAULT_NONE)
		return f->code;
	r->amount = date_diff(last, r->day) + 1;
	new_entry(r, out);
	return FAULT_NONE;
}

static enum fault_code take_note(struct reading *r, struct diaryline *out, struct fault *f)
{
	r->verb = VERB_NOTE;
	if (r->w.n < 2)
		return fault_set(f, FAULT_DATA, "note what? \"%s\" is right", diaryverb_row(VERB_NOTE)->example);
	if (check_day(r, f) != FAULT_NONE)
		return f->code;
	new_entry(r, out);
	return FAULT_NONE;
}

static enum fault_code take_line(struct reading *r, struct diaryline *out, struct fault *f)
{
	bool is;
	size_t at = 0;
	if (r->w.n == 0)
		return fault_set(f, FAULT_DATA, "nothing is written; as \"%s\" is right",
				 diaryverb_row(VERB_PLANTED_OUT)->example);
	if (take_day(r, 0, &is, f) != FAULT_NONE)
		return f->code;
	if (diarywords_is(&r->w, 0, "note") || diarywords_is(&r->w, 0, "noted"))
		return take_note(r, out, f);
	if (diarywords_is(&r->w, 0, "away"))
		return take_away(r, out, f);
	if (find_verb(r, &at, f) || (r->verb == VERB_FOUND ? take_find(r, at, f) : take_rest(r, f)) ||
	    check_reading(r, f))
		return f->code;
	make_entries(r, out);
	return FAULT_NONE;
}

enum fault_code diaryline_read(const char *line, const struct garden *g, struct date today, struct diaryline *out,
			       struct fault *f)
{
	char plain[ENTRY_TEXT_SIZE];
	struct fault wrong = {0};
	struct reading r = {
	    .line = plain, .g = g, .today = today, .day = date_none(), .amount = (double)NAN, .sowing = -1};
	out->n = 0;
	line += strspn(line, " \t");
	if (text_copy(plain, sizeof plain, line)) {
		for (char *s = strchr(plain, '\t'); s != NULL; s = strchr(s, '\t'))
			*s = ' ';
		line = plain;
	}
	if (is_line(line, &wrong) == FAULT_NONE) {
		diarywords_cut(line, &r.w);
		(void)take_line(&r, out, &wrong);
	}
	if (wrong.code != FAULT_NONE)
		*f = wrong;
	return wrong.code;
}
