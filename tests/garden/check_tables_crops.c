#include <math.h>
#include <string.h>

#include "base/text.h"
#include "garden/tables.h"
#include "lib/harness.h"

/* Every figure of our table of crops, against what was read; what is not in these rows nobody gives. */

enum { ZUCCHINI, WINTER, CUCUMBER, MELON, WATERMELON, TOMATO, PEPPER, EGGPLANT, BEAN, CORN, BASIL, LETTUCE, OURS };

static const char *const name_of[OURS] = {"zucchini",   "winter-squash", "cucumber", "melon",
					  "watermelon", "tomato",        "pepper",   "eggplant",
					  "bean",       "sweet-corn",    "basil",    "lettuce"};

static struct crops crops;

static void load_ours(void)
{
	struct faults all = {0};
	enum fault_code code = tables_crops("config", NULL, &crops, &all);

	ck_assert_msg(code == FAULT_NONE, "%s", all.n ? all.at[0].text : "");
}

static const struct crop *ours(int i)
{
	const struct crop *c = crop_find(&crops, name_of[i]);

	ck_assert_msg(c != NULL, "%s is not there", name_of[i]);
	return c;
}

#define NO (double)NAN

enum in { AS_IT_IS, FAHRENHEIT, INCHES, PERCENT, CENTIMETRES };

static double inside(double x, enum in unit)
{
	switch (unit) {
	case FAHRENHEIT:
		return (x - 32) * 5 / 9;
	case INCHES:
		return x * 0.0254;
	case PERCENT:
	case CENTIMETRES:
		return x / 100;
	case AS_IT_IS:
		break;
	}
	return x;
}

/*
 * One row a figure, one column a crop, in the unit in which it was read.
 *   grower  common practice and judgement of growers: slow/stall lines, hardening, squash emergence, cover in the bed
 *   table   published tables of crops (University of California, Utah State, Knott 1997 and others, each named in the
 *           basis), weeks in the tray as days
 */
static const struct {
	const char *source;
	enum crop_figure figure;
	enum in unit;
	double want[OURS];
} row[] = {
    /*                             zuc   win   cuc    mel   wat   tom   pep   egg   bean  corn  bas   let */
    {"table; memory",
     CROP_BASE,
     AS_IT_IS,
     {8, 12, 12.2, 10, (55 - 32) / 1.8, 10, 10, (60 - 32) / 1.8, 10, 10, 10, (40 - 32) / 1.8}},
    {"table; memory", CROP_CAP, AS_IT_IS, {32, 35, 32, 32, 32, 30, 30, 30, 30, 30, 32, 24}},
    {"table", CROP_NIGHT_LINE, FAHRENHEIT, {60, 55, 60, 60, 60, 55, 58, 58, 50, 50, 60, 45}},
    {"grower", CROP_SLOW, FAHRENHEIT, {50, 50, 55, 55, 55, 50, 55, 55, 50, 50, 55, 45}},
    {"grower", CROP_STALL, FAHRENHEIT, {45, 45, 50, 50, 50, 42, 48, 48, 40, 41, 50, 32}},
    {"0 C at the leaf", CROP_KILL, FAHRENHEIT, {32, 32, 32, 32, 32, 32, 32, 32, 32, 32, 32, 28}},
    {"grower", CROP_COVER, FAHRENHEIT, {38, 38, 38, 38, 38, 38, 38, 38, 38, 38, 38, 30}},
    {"grower", CROP_SETTLE, AS_IT_IS, {10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10}},
    {"judgement: 1 in 10", CROP_COVER_AT, PERCENT, {10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10}},
    {"grower: basil, cucumber, squash, pepper, tomato",
     CROP_FROST_ORDER,
     AS_IT_IS,
     {3, 11, 2, 5, 6, 10, 8, 7, 4, 9, 1, NO}},
    {"Harrington", CROP_SOW_SOIL, FAHRENHEIT, {60, 60, 60, 60, 60, 50, 60, NO, 60, 50, NO, 35}},
    {"table", CROP_SOW_SOIL_GOOD, FAHRENHEIT, {65, 75, 64, 68, 72, 55, 70, NO, 65, 60, 65, 45}},
    {"grower; fits", CROP_EMERGE_BASE, AS_IT_IS, {11.5, 11.5, 10.4, 13.7, 14, 7.5, 10.5, NO, 6.4, 7.8, NO, 2.8}},
    {"grower; fits", CROP_EMERGE, AS_IT_IS, {70, 70, 59, 48, 62, 103, 118, NO, 144, 74, NO, 47}},
    {"table", CROP_TRAY, AS_IT_IS, {21, 21, 21, 21, 21, 35, 42, 42, 14, 21, 28, 28}},
    {"table", CROP_TRAY_MOST, AS_IT_IS, {35, 28, 28, 28, 35, 49, 56, 56, 21, 28, 42, 42}},
    {"grower", CROP_HARDEN_DAY, FAHRENHEIT, {55, 55, 58, 58, 58, 50, 58, 58, NO, NO, 58, NO}},
    {"grower; seed-trade list", CROP_HARDEN_NIGHT, FAHRENHEIT, {50, 50, 55, 55, 55, 47, 55, 55, NO, 50, 55, 45}},
    {"judgement", CROP_BEETLES, AS_IT_IS, {21, 21, 21, 21, 21, NO, NO, NO, NO, NO, NO, NO}},
    {"grower", CROP_STRAW, FAHRENHEIT, {70, 70, 70, 70, 70, 70, 70, 70, NO, NO, NO, NO}},
    {"table", CROP_SPACING, INCHES, {24, 48, 12, 18, NO, 18, 12, NO, 2, 8, 8, 8}},
    {"practice", CROP_ROW_SPACING, INCHES, {36, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"judgement", CROP_LEAF_WIDTH, CENTIMETRES, {25, 25, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"Souza et al. 2017", CROP_MALE_SOWN, AS_IT_IS, {415, 833, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"Souza et al. 2017", CROP_FEMALE_SOWN, AS_IT_IS, {475, 859, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"Oregon State, F", CROP_PICK_SOWN, AS_IT_IS, {550, NO, NO, NO, NO, NO, NO, NO, NO, 1539 / 1.8, NO, NO}},
    {"derived", CROP_MALE_PLANTED, AS_IT_IS, {215, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"derived", CROP_FEMALE_PLANTED, AS_IT_IS, {275, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"derived", CROP_PICK_PLANTED, AS_IT_IS, {350, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"derived", CROP_FRUIT, AS_IT_IS, {75, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"University of California", CROP_PICK_SIZE, INCHES, {7, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"grower", CROP_PICK_DAILY, FAHRENHEIT, {70, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"grower", CROP_PICK_SECOND, FAHRENHEIT, {60, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"FAO-56 table 12", CROP_KC_INI, AS_IT_IS, {.5, .5, .6, .5, .4, .6, .6, .6, .5, NO, NO, .7}},
    {"FAO-56 table 12", CROP_KC_MID, AS_IT_IS, {.95, 1, 1, 1.05, 1, 1.15, 1.05, 1.05, 1.05, NO, NO, 1}},
    {"FAO-56 table 12", CROP_KC_END, AS_IT_IS, {.75, .8, .75, .75, .75, .8, .9, .9, .9, NO, NO, .95}},
    {"judgement", CROP_ROOT_START, CENTIMETRES, {15, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
    {"FAO-56 table 22", CROP_ROOT_DEPTH, CENTIMETRES, {45, 100, 70, 80, 80, 70, 50, 70, 50, NO, NO, 30}},
    {"FAO-56 table 22", CROP_DEPLETION, PERCENT, {45, 35, 50, 40, 40, 40, 30, 45, 45, NO, NO, 30}},
    {"judgement", CROP_DEPLETION_FRUIT, PERCENT, {30, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO, NO}},
};

enum { ROWS = sizeof row / sizeof *row };

START_TEST(figures)
{
	char what[80];
	struct text t;

	load_ours();
	text_over(&t, what, sizeof what);
	for (int i = 0; i < OURS; i++) {
		double want = inside(row[_i].want[i], row[_i].unit), got = crop_figure(ours(i), row[_i].figure);

		text_clear(&t);
		text_addf(&t, "%s %s (%s)", name_of[i], crop_figure_key(row[_i].figure), row[_i].source);
		if (isnan(want))
			ROW_TRUE(what, isnan(got));
		else
			ROW_NEAR(what, got, want, 1e-9);
	}
}
END_TEST

/* A figure that comes to the table later must come to the rows above too. */
START_TEST(all_figures)
{
	for (int k = CROP_BASE; k < CROP_FIGURES; k++) {
		size_t i = 0;

		while (i < ROWS && row[i].figure != (enum crop_figure)k)
			i++;
		bool number = crop_key[k].kind != KEY_CHOICE && crop_key[k].kind != KEY_TEXT;

		ROW_TRUE(crop_key[k].name, i < ROWS || !number);
	}
}
END_TEST

/* The least and the most of the zucchini's degree days: derived from two dated trials, males shifted by 60. */
static const struct {
	const char *name;
	size_t at;
	double least, most;
} ends[] = {
    {"male, sown", offsetof(struct crop, male_sown_dd), 290, 590},
    {"female, sown", offsetof(struct crop, female_sown_dd), 350, 650},
    {"pick, sown", offsetof(struct crop, pick_sown_dd), 400, 750},
    {"male, planted", offsetof(struct crop, male_planted_dd), 135, 280},
    {"female, planted: pick less fruit", offsetof(struct crop, female_planted_dd), 250 - 55, 450 - 110},
    {"pick, planted", offsetof(struct crop, pick_planted_dd), 250, 450},
    {"fruit", offsetof(struct crop, fruit_dd), 55, 110},
    {"size, 6 to 8 in", offsetof(struct crop, pick_size_m), 6 * 0.0254, 8 * 0.0254},
};

START_TEST(spreads)
{
	struct spread x;

	load_ours();
	memcpy(&x, (const char *)ours(ZUCCHINI) + ends[_i].at, sizeof x);
	ROW_NEAR(ends[_i].name, x.least, ends[_i].least, 1e-9);
	ROW_NEAR(ends[_i].name, x.most, ends[_i].most, 1e-9);
}
END_TEST

/* Days from the trade and from trials at a steady mean, and what our figures make of it. */
static const struct {
	const char *name;
	enum crop_figure figure, base;
	double mean_c, days, tol;
} pace[] = {
    {"up at 65 F", CROP_EMERGE, CROP_EMERGE_BASE, (65 - 32) / 1.8, 10, 0.5},
    {"up at 68 F", CROP_EMERGE, CROP_EMERGE_BASE, 20, 8, 0.5},
    {"up at 77 F", CROP_EMERGE, CROP_EMERGE_BASE, 25, 5, 0.5},
    {"up at 86 F", CROP_EMERGE, CROP_EMERGE_BASE, 30, 4, 0.5},
    {"sown to pick at 16 C", CROP_PICK_SOWN, CROP_BASE, 16, 69, 0.5},
    {"sown to pick at 20 C", CROP_PICK_SOWN, CROP_BASE, 20, 46, 0.5},
    {"sown to pick at 24 C", CROP_PICK_SOWN, CROP_BASE, 24, 34, 0.5},
    {"fruit at 16 C", CROP_FRUIT, CROP_BASE, 16, 9.4, 0.05},
    {"fruit at 20 C", CROP_FRUIT, CROP_BASE, 20, 6.3, 0.05},
    {"fruit at 24 C", CROP_FRUIT, CROP_BASE, 24, 4.7, 0.05},
    {"fruit at 27 C", CROP_FRUIT, CROP_BASE, 27, 3.9, 0.06},
};

START_TEST(paces)
{
	load_ours();
	const struct crop *c = ours(ZUCCHINI);
	double days = crop_figure(c, pace[_i].figure) / (pace[_i].mean_c - crop_figure(c, pace[_i].base));

	ROW_NEAR(pace[_i].name, days, pace[_i].days, pace[_i].tol);
}
END_TEST

/*
 * Days to emergence, seed 1/2 in deep, soil in 5 C steps from from_c: Harrington & Minges 1954 in Knott 1997.
 * Base and thermal time are the least-squares line of 1/days on the soil's temperature, rounded.
 */
static const struct {
	int crop;
	double from_c;
	int n;
	double days[5];
} emergence[] = {
    {CUCUMBER, 15, 4, {13, 6, 4, 3}}, {MELON, 20, 3, {8, 4, 3}},         {WATERMELON, 20, 4, {12, 5, 4, 3}},
    {TOMATO, 10, 4, {43, 14, 8, 6}},  {PEPPER, 15, 3, {25, 13, 8}},      {BEAN, 15, 4, {16, 11, 8, 6}},
    {CORN, 10, 4, {22, 12, 7, 4}},    {LETTUCE, 5, 5, {15, 7, 4, 3, 2}},
};

START_TEST(emergence_fits)
{
	double mean_c = emergence[_i].from_c + 2.5 * (emergence[_i].n - 1), rate = 0, sxy = 0, sxx = 0;
	const char *name = name_of[emergence[_i].crop];

	load_ours();
	for (int i = 0; i < emergence[_i].n; i++) {
		double off_c = emergence[_i].from_c + 5 * i - mean_c;

		rate += 1 / emergence[_i].days[i] / emergence[_i].n;
		sxy += off_c / emergence[_i].days[i];
		sxx += off_c * off_c;
	}
	ROW_NEAR(name, ours(emergence[_i].crop)->emerge_base_c, mean_c - rate * sxx / sxy, 0.051);
	ROW_NEAR(name, ours(emergence[_i].crop)->emerge_dd, sxx / sxy, 0.51);
}
END_TEST

/* Optimum and upper limit of each crop's climate, deg C: FAO ECOCROP; bounds, not bases. */
static const struct {
	int crop;
	double best_c, most_c;
} bound[] = {
    {ZUCCHINI, 17, 40},   {WINTER, 20, 38}, {CUCUMBER, 18, 38}, {MELON, 18, 35},
    {WATERMELON, 20, 40}, {TOMATO, 20, 35}, {PEPPER, 17, 35},   {EGGPLANT, 20, 35},
    {BEAN, 16, 32},       {CORN, 16, 38},   {BASIL, 18, 36},    {LETTUCE, 12, 30},
};

START_TEST(bounds)
{
	load_ours();
	for (size_t i = 0; i < sizeof bound / sizeof *bound; i++) {
		const struct crop *c = ours(bound[i].crop);

		ROW_TRUE(c->name, c->rule.base_c < bound[i].best_c);
		ROW_TRUE(c->name, c->rule.cap_c > bound[i].best_c && c->rule.cap_c <= bound[i].most_c);
		ROW_INT(c->name, c->rule.method, DEGREE_HOURLY);
		ROW_INT(c->name, c->rule.cutoff, DEGREE_HORIZONTAL);
	}
}
END_TEST

static bool has_kind_of_basis(const char *basis)
{
	static const char *const kind[] = {"published: ", "common practice", "judgement", "derived here",
					   "from memory"};

	for (size_t i = 0; i < sizeof kind / sizeof *kind; i++)
		if (strncmp(basis, kind[i], strlen(kind[i])) == 0)
			return true;
	return false;
}

START_TEST(bases)
{
	load_ours();
	ck_assert_uint_eq(crops.n, OURS);
	for (size_t i = 0; i < crops.n; i++) {
		const struct crop *c = &crops.at[i];
		struct fault f = {0};

		ck_assert_msg(crop_check(c, &f) == FAULT_NONE, "%s: %s", c->name, f.text);
		ROW_TRUE(c->name, *c->title != '\0');
		for (int k = CROP_BASE; k < CROP_FIGURES; k++) {
			const char *basis = crops.basis[i].of[k];
			bool text = crop_key[k].kind == KEY_TEXT && ((const char *)c)[crop_key[k].at] != '\0';
			bool known =
			    text || crop_key[k].kind == KEY_CHOICE || !isnan(crop_figure(c, (enum crop_figure)k));

			ck_assert_msg(known ? has_kind_of_basis(basis) : !*basis, "%s: %s: basis \"%s\"", c->name,
				      crop_key[k].name, basis);
		}
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("tables_crops");
	TCase *t = tcase_create("tables_crops");

	tcase_add_loop_test(t, figures, 0, ROWS);
	tcase_add_test(t, all_figures);
	tcase_add_loop_test(t, spreads, 0, sizeof ends / sizeof *ends);
	tcase_add_loop_test(t, paces, 0, sizeof pace / sizeof *pace);
	tcase_add_loop_test(t, emergence_fits, 0, sizeof emergence / sizeof *emergence);
	tcase_add_test(t, bounds);
	tcase_add_test(t, bases);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
