#include "note/say.h"

#include <math.h>

#include "advice/calendar.h"
#include "advice/sow.h"
#include "note/phrase.h"
#include "note/sentence.h"
#include "note/stageline.h"

enum { WEEK = 7 };

static int units_of(const struct note_facts *n)
{
	return n->garden->units;
}

static struct step step(const struct advice *a, enum step_kind kind)
{
	return advice_step_of(a, kind, 0);
}

static const struct planting *planting_of(const struct note_facts *n, const struct advice *a)
{
	return &n->garden->planting[a->planting];
}

static bool indoors(const struct note_facts *n, const struct advice *a)
{
	return planting_of(n, a)->sowing == GARDEN_SOWN_INDOORS;
}

static void on(const struct note_facts *n, struct date d, struct text *t)
{
	phrase_date(t, d, n->state->today);
}

static void crop_of(const struct note_facts *n, const struct advice *a, struct text *t)
{
	text_add(t, n->crops->at[planting_of(n, a)->crop_index].title);
}

/* ---- what is to be done ---- */

static void sow_act(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	if (sow_is_another(a)) {
		text_add(t, " another ");
		crop_of(n, a, t);
		text_add(t, " by ");
		on(n, a->day, t);
		return;
	}
	text_add(t, " ");
	say_plantings(n, l, t);
	if (date_is(step(a, STEP_SOW_READY).date)) {
		text_add(t, " indoors now");
	} else if (indoors(n, a)) {
		text_add(t, " indoors by ");
		on(n, a->day, t);
	} else {
		text_add(t, " in place, today or in the next days");
	}
}

static void act(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	switch ((int)a->verdict) {
	case VERDICT_SOW:
		sow_act(n, l, t);
		return;
	case VERDICT_WAIT_SOWING:
		text_add(t, " with sowing ");
		break;
	case VERDICT_TEST:
		text_add(t, " the seed of ");
		break;
	case VERDICT_DIG:
		text_add(t, " up one seed of ");
		break;
	default:
		text_add(t, " ");
		break;
	}
	say_plantings(n, l, t);
	if (a->verdict == VERDICT_TEST) {
		text_add(t, " by ");
		on(n, a->day, t);
	} else if (a->verdict == VERDICT_WAIT_SOWING && date_is(a->day)) {
		text_add(t, " till ");
		on(n, a->day, t);
		text_add(t, sow_at_earliest(a) ? " at the earliest" : "");
	} else if (a->verdict == VERDICT_THIN) {
		text_add(t, indoors(n, a) ? " to one plant a pot" : " to one plant a spot");
	}
}

/* ---- indoors ---- */

static void likely_out(const struct advice *a, struct text *t)
{
	struct step early = step(a, STEP_OUT_EARLY), late = step(a, STEP_OUT_LATE), frost = step(a, STEP_FROST_TENTH);
	if (early.date.n == late.date.n) {
		text_add(t, " Planned planting out: ");
		phrase_day_month(t, early.date);
	} else {
		text_add(t, " Likely planting out: ");
		stageline_span(early.date, late.date, t);
	}
	/* The dates of frost have a row of their own. */
	if (frost.value < YEARDATE_ENOUGH)
		text_addf(t, " (rough: %.0f years)", frost.value);
	text_add(t, ".");
}

static void weeks(const struct advice *a, struct text *t)
{
	double least = step(a, STEP_SOW_TO).value / WEEK, most = step(a, STEP_SOW_FROM).value / WEEK;
	text_addf(t, "%.0f", round(least));
	if (round(most) > round(least))
		text_addf(t, " to %.0f", round(most));
	text_addf(t, " week%s", say_plural(most, "", "s"));
}

/* What a test said, or that none did. */
static void seed_words(const struct advice *a, struct text *t)
{
	struct step sprouted = step(a, STEP_SPROUTED), year = step(a, STEP_SEED_YEAR);
	if (!isnan(sprouted.value)) {
		bool good = sprouted.value >= SOW_TEST_GOOD;
		text_addf(t, " Your test: %.0f of %d sprouted, %s.", sprouted.value, SOW_TEST_OF,
			  good ? "so two seeds a pot" : "so buy fresh seed");
	} else if (!isnan(year.value)) {
		text_addf(t, " Seed of %.0f, not tested: three a pot, or fresh seed.", year.value);
	}
}

static void up_words(const struct note_facts *n, const struct advice *a, struct text *t)
{
	struct step up = step(a, STEP_UP_DAYS);
	if (isnan(up.value))
		return;
	text_addf(t, " Up in about %.0f days, ", up.value);
	on(n, up.date, t);
	text_add(t, ".");
}

static void wait_indoors(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	if (a->cannot_tell) {
		text_add(t, ": I cannot tell when nights here are fit for it. Give me the days of a station near by "
			    "(dewpost import), or a day of your own: planted = in the garden file.");
		return;
	}
	text_add(t, "; ");
	on(n, step(a, STEP_SOW_TO).date, t);
	text_add(t, " is early enough.");
	likely_out(a, t);
	text_add(t, " It wants ");
	weeks(a, t);
	text_add(t, " in its pot; sown today it would be root-bound by then.");
}

static void sow_indoors(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	struct step ready = step(a, STEP_SOW_READY);
	if (date_is(ready.date)) {
		text_add(t, ": late, and still worth it till ");
		on(n, a->day, t);
		text_add(t, ". Fit for the bed on ");
		on(n, ready.date, t);
		text_add(t, "; in place is as good once the soil is warm.");
	} else {
		text_add(t, ".");
	}
	likely_out(a, t);
	up_words(n, a, t);
	seed_words(a, t);
}

/* ---- in place ---- */

static const char *soil_basis(const struct advice *a)
{
	return date_is(step(a, STEP_SEED_READ).date) ? "by your reading, carried forward" : "reckoned";
}

static void depth(const struct note_facts *n, struct text *t)
{
	text_add(t, "soil ");
	phrase_length(t, SAY_SEED_M, units_of(n));
	text_add(t, " down");
}

static void mornings(const struct note_facts *n, const struct advice *a, struct text *t)
{
	for (size_t i = 0; i < SOW_MORNINGS; i++) {
		text_add(t, i == 0 ? " " : i + 1 == SOW_MORNINGS ? " and " : ", ");
		phrase_degrees(t, advice_step_of(a, STEP_SEED_SOIL, i).value, units_of(n));
	}
	text_addf(t, " %s", unit_label(UNIT_TEMPERATURE, (enum unit_system)units_of(n)));
}

static void sow_outdoors(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	text_add(t, ": ");
	depth(n, t);
	text_add(t, " was");
	mornings(n, a, t);
	text_addf(t, " on three mornings (%s)", soil_basis(a));
	text_add(t, date_is(step(a, STEP_SEED_COLDEST).date) ? ", and stays as warm." : ".");
	up_words(n, a, t);
	text_add(t, " Two seeds a spot; the better one stays.");
	seed_words(a, t);
}

static void wait_outdoors(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	struct step frost = step(a, STEP_FROST_TENTH);
	text_add(t, ": ");
	if (a->cannot_tell) {
		text_add(t, "I cannot tell the ");
		depth(n, t);
		text_add(t, ".");
	} else if (isnan(a->number_c)) {
		text_add(t, "not yet.");
	} else {
		depth(n, t);
		text_add(t, " is ");
		phrase_degrees_unit(t, a->number_c, units_of(n));
		text_addf(t, " at 8 am (%s).", soil_basis(a));
	}
	text_add(t, " Seed wants ");
	phrase_degrees_unit(t, a->line_c, units_of(n));
	text_add(t, " three mornings running; in cold wet soil it rots.");
	if (sow_at_earliest(a)) {
		text_add(t, " One year in ten has frost after ");
		phrase_day_month(t, frost.date);
		text_add(t, ".");
	}
}

/* ---- old seed, late seed, and too much of it ---- */

static void test_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	text_addf(t, ", packed for %.0f: ", step(a, STEP_SEED_YEAR).value);
	text_add(t, units_of(n) == UNIT_US ? "ten in damp paper at 75-80 F." : "ten in damp paper at 24-27 C.");
	text_add(t, " Seven or more sprouted by ");
	on(n, step(a, STEP_TEST_DAYS).date, t);
	text_add(t, ", begun today: sow two a pot. Fewer: buy fresh.");
}

static void dig_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	struct step again = step(a, STEP_SOW_AGAIN), up = step(a, STEP_UP_DAYS);
	text_addf(t, " if none shows: sown %.0f days ago, due about ", step(a, STEP_SOWN).value);
	on(n, up.date, t);
	text_add(t, !isnan(step(a, STEP_AIR_DAYS).value) ? " (a guess, by the air)." : ".");
	text_add(t, " Firm, with a root: give it some days more. Soft or gone: sow again");
	if (date_is(again.date)) {
		text_add(t, ", by ");
		on(n, again.date, t);
	}
	text_add(t, ".");
}

static void thin_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	struct step spacing = step(a, STEP_SPACING);
	text_add(t, ", as soon as the first true leaf is open");
	if (!isnan(spacing.value)) {
		text_add(t, ", at least ");
		phrase_length(t, spacing.value, units_of(n));
		text_add(t, " apart");
	}
	text_add(t, ": the stout one stays; cut, don't pull, or both roots tear.");
}

static void another_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	struct step pick = step(a, STEP_PICK), frost = step(a, STEP_FROST_FIRST);
	(void)n;
	text_addf(t, ", if you want a fresh plant for autumn: first pick about %.0f days on, ", pick.value);
	phrase_day_month(t, pick.date);
	text_add(t, ", two weeks before half of the years have frost (");
	phrase_day_month(t, frost.date);
	text_add(t, ").");
}

static void rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	bool in = indoors(n, a);
	switch ((int)a->verdict) {
	case VERDICT_SOW:
		(sow_is_another(a) ? another_rest : in ? sow_indoors : sow_outdoors)(n, l, t);
		break;
	case VERDICT_WAIT_SOWING:
		(in ? wait_indoors : wait_outdoors)(n, l, t);
		break;
	case VERDICT_TEST:
		test_rest(n, l, t);
		break;
	case VERDICT_DIG:
		dig_rest(n, l, t);
		break;
	default:
		thin_rest(n, l, t);
		break;
	}
}

static void head(const struct note_facts *n, const struct line *l, struct text *t)
{
	(void)n;
	switch ((int)l->lead->verdict) {
	case VERDICT_SOW:
		text_add(t, "time to sow");
		break;
	case VERDICT_WAIT_SOWING:
		text_add(t, "too early to sow");
		break;
	case VERDICT_TEST:
		text_add(t, "time to test old seed");
		break;
	case VERDICT_DIG:
		text_add(t, "seed is overdue");
		break;
	default:
		text_add(t, "first true leaves");
		break;
	}
}

const struct saying say_sow = {act, rest, head};
