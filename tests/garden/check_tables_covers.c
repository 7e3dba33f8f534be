#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "garden/tables.h"
#include "lib/harness.h"

/* Every figure of our table of covers, against what was read; and what is wrong with a table of the grower's. */

#define NO (double)NAN

static struct covers covers;
static struct faults all;

static const char *said(void)
{
	static char buf[FAULTS_MAX * FAULT_TEXT_SIZE];
	struct text t;

	text_over(&t, buf, sizeof buf);
	for (size_t i = 0; i < all.n; i++)
		text_addf(&t, "%s\n", all.at[i].text);
	return buf;
}

static void load_ours(void)
{
	all = (struct faults){0};
	ck_assert_msg(tables_covers("config", NULL, &covers, &all) == FAULT_NONE, "%s", said());
}

static enum fault_code lay(const char *bytes, bool ours)
{
	all = (struct faults){0};
	return tables_covers_lay("covers.ini", bytes, strlen(bytes), ours, &covers, &all);
}

static void near_or_missing(const char *row, double got, double want)
{
	if (isnan(want))
		ROW_TRUE(row, isnan(got));
	else
		ROW_NEAR(row, got, want, 1e-9);
}

/*
 * Gains: Oregon State 1988 (17 to 19 g/m2, films), Delaware (41 g/m2), Savage 1980 (tunnel), Michigan 1995 (jug),
 * the rest derived or of the trade, the lower ones.  Light: trade pages.  Off by, off over: common practice, 8 o'clock
 * of a day over 60 F for plastic, jugs and buckets; over 85 F for fleece.
 */
static const struct {
	const char *name;
	double likely, least, most, light_frac;
	double off_by_h, off_over_f, vent_over_f;
	int day;
	bool spoilt;
} ours[] = {
    {"insect-net", 0, 0, 1.1, 0.9, NO, NO, NO, COVER_UNTIL_FLOWER, false},
    {"fleece-17", 0.5, 0, 1.8, 0.8, NO, 85, NO, COVER_UNTIL_FLOWER, true},
    {"fleece-30", 1.3, 0.5, 2.5, 0.7, NO, 85, NO, COVER_UNTIL_FLOWER, true},
    {"fleece-41", 2, 1, 2.5, 0.7, NO, 85, NO, COVER_UNTIL_FLOWER, true},
    {"fleece-50", 2.5, 1.5, 3.5, 0.3, NO, 85, NO, COVER_UNTIL_FLOWER, true},
    {"tunnel", 1.3, 0, 1.5, NO, 8, 60, 80, COVER_NIGHT_ONLY, true},
    {"perforated", 1.4, 0, 1.7, NO, 8, 60, NO, COVER_NIGHT_ONLY, true},
    {"jug", 0, NO, NO, NO, 8, 60, NO, COVER_NIGHT_ONLY, false},
    {"bucket", NO, NO, NO, NO, 8, 60, NO, COVER_NIGHT_ONLY, false},
    {"sheet", NO, NO, NO, NO, NO, NO, NO, COVER_NIGHT_ONLY, false},
    {"cold-frame", 5.6, NO, NO, NO, NO, NO, NO, COVER_ALWAYS, false},
};

START_TEST(figures)
{
	const char *name = ours[_i].name;

	load_ours();
	ck_assert_uint_eq(covers.n, sizeof ours / sizeof *ours);
	const struct cover *c = cover_find(&covers, name);
	ck_assert_msg(c != NULL, "%s is not there", name);
	near_or_missing(name, c->gain_c.likely, ours[_i].likely);
	near_or_missing(name, c->gain_c.least, ours[_i].least);
	near_or_missing(name, c->gain_c.most, ours[_i].most);
	near_or_missing(name, c->light_frac, ours[_i].light_frac);
	near_or_missing(name, c->off_by_s, ours[_i].off_by_h * 3600);
	near_or_missing(name, c->off_over_c, (ours[_i].off_over_f - 32) / 1.8);
	near_or_missing(name, c->vent_over_c, (ours[_i].vent_over_f - 32) / 1.8);
	near_or_missing(name, c->spoilt_frac, ours[_i].spoilt ? 0.5 : NO);
	near_or_missing(name, c->windy_ms, ours[_i].spoilt ? 4 : NO);
	near_or_missing(name, c->sunless_frac, ours[_i].spoilt ? 0.3 : NO);
	ROW_INT(name, c->day, ours[_i].day);
	ROW_TRUE(name, !c->touch);
}
END_TEST

static bool known(const struct cover *c, enum cover_figure i)
{
	double x;

	memcpy(&x, (const char *)c + cover_key[i].at, sizeof x);
	return i == COVER_DAY || i == COVER_TOUCH || !isnan(x);
}

START_TEST(bases)
{
	static const char *const kind[] = {"published: ", "common practice", "judgement", "derived here",
					   "from memory"};

	load_ours();
	for (size_t i = 0; i < covers.n; i++) {
		const struct cover *c = &covers.at[i];

		ROW_TRUE(c->name, *c->title != '\0');
		for (int k = COVER_GAIN; k < COVER_FIGURES; k++) {
			size_t is = 0;

			while (is < 5 && strncmp(c->basis[k], kind[is], strlen(kind[is])) != 0)
				is++;
			ck_assert_msg(known(c, (enum cover_figure)k) ? is < 5 : !*c->basis[k], "%s: %s: basis \"%s\"",
				      c->name, cover_key[k].name, c->basis[k]);
		}
	}
}
END_TEST

/* Among fleeces the heavier one gains more and lets less light through. */
START_TEST(heavier_fleece)
{
	static const char *const fleece[] = {"insect-net", "fleece-17", "fleece-30", "fleece-41", "fleece-50"};

	load_ours();
	for (size_t i = 1; i < sizeof fleece / sizeof *fleece; i++) {
		const struct cover *light = cover_find(&covers, fleece[i - 1]), *heavy = cover_find(&covers, fleece[i]);

		ROW_TRUE(fleece[i], heavy->gain_c.likely > light->gain_c.likely);
		ROW_TRUE(fleece[i], heavy->gain_c.least >= light->gain_c.least);
		ROW_TRUE(fleece[i], heavy->light_frac <= light->light_frac);
	}
}
END_TEST

START_TEST(laid_over)
{
	load_ours();
	size_t n = covers.n;

	ck_assert_msg(lay("[cover fleece-30]\ngain = 2 (1-3) F\n[cover tarp]\ntitle = tarp\nday = never\ntouch = no\n",
			  false) == FAULT_NONE,
		      "%s", said());
	ck_assert_uint_eq(covers.n, n + 1);
	const struct cover *c = cover_find(&covers, "fleece-30");
	ROW_NEAR("gain", c->gain_c.likely, 2 / 1.8, 1e-12);
	ROW_NEAR("gain", c->gain_c.least, 1 / 1.8, 1e-12);
	ROW_STR("gain", c->basis[COVER_GAIN], "the grower's own figure, line 2 of covers.ini");
	ROW_NEAR("the rest is ours", c->light_frac, 0.7, 1e-12);
	c = cover_find(&covers, "tarp");
	ROW_TRUE("what is not given is missing", isnan(c->gain_c.likely) && isnan(c->off_by_s));
	ROW_STR("a new one's", c->basis[COVER_DAY], "the grower's own figure, line 5 of covers.ini");
}
END_TEST

static const struct {
	const char *name, *bytes;
	bool ours;
	const char *want;
} bad[] = {
    {"new cover, not whole", "[cover tarp]\n", false,
     "covers.ini:1: cover \"tarp\": title is missing; as title = NAME\n"
     "covers.ini:1: cover \"tarp\": day is missing; as day = never\n"
     "covers.ini:1: cover \"tarp\": touch is missing; as touch = no\n"},
    {"gain without a unit", "[cover fleece-30]\ngain = 2\n", false,
     "covers.ini:2: cover \"fleece-30\": gain \"2\" does not end in a unit of temperature difference; F or C\n"},
    {"gain as it is sold", "[cover fleece-30]\ngain = 40 F\n", false,
     "covers.ini:2: cover \"fleece-30\": gain 40 F is outside -5..15 C (-9..27 F)\n"},
    {"clock time", "[cover jug]\noff_by = 25 h\n", false,
     "covers.ini:2: cover \"jug\": off_by 25 h is outside 0..24 h\n"},
    {"light over all", "[cover jug]\nlight = 120 %\n", false,
     "covers.ini:2: cover \"jug\": light 120 % is outside 0..100 %\n"},
    {"day misspelt", "[cover jug]\nday = alway\n", false,
     "covers.ini:2: cover \"jug\": day \"alway\" is not known; did you mean \"always\"?\n"},
    {"figure unknown", "[cover jug]\ncolour = white\n", false,
     "covers.ini:2: cover \"jug\": key \"colour\" is not known; title, gain, spoilt, windy, sunless, light, off_by, "
     "off_over, vent_over, day or touch\n"},
    {"ours without a basis", "[cover jug]\nlight = 20 %\n", true,
     "covers.ini:2: cover \"jug\": light has no basis; as light.basis = where it comes from\n"},
    {"a crop among covers", "[crop jug]\n", false, "covers.ini:1: section [crop] is not known; cover\n"},
};

START_TEST(bad_tables)
{
	load_ours();
	ROW_INT(bad[_i].name, lay(bad[_i].bytes, bad[_i].ours), FAULT_CONFIG);
	ROW_STR(bad[_i].name, said(), bad[_i].want);
}
END_TEST

START_TEST(too_many)
{
	struct text t;

	covers.n = 0;
	text_init(&t, 1 << 16);
	for (int i = 0; i <= COVERS_MAX; i++)
		text_addf(&t, "[cover n%d]\ntitle = n\nday = never\ntouch = no\n", i);
	ck_assert_int_eq(lay(t.at, false), FAULT_CONFIG);
	ROW_STR("one too many", said(), "covers.ini:129: cover \"n32\" is one too many; at most 32\n");
	text_free(&t);
}
END_TEST

START_TEST(sample)
{
	struct text t;

	load_ours();
	text_init(&t, 1 << 16);
	tables_covers_sample(&t);
	ck_assert_msg(lay(t.at, false) == FAULT_NONE, "as printed: %s", said());
	/* every line opened, it is a whole cover of our own */
	for (char *s = t.at; *s; s += strcspn(s, "\n"), s += *s == '\n')
		if (s[0] == '#' && s[1] != ' ')
			*s = ' ';
	covers.n = 0;
	ck_assert_msg(lay(t.at, true) == FAULT_NONE, "with every key: %s", said());
	ck_assert_uint_eq(covers.n, 1);
	text_free(&t);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("tables_covers");
	TCase *t = tcase_create("tables_covers");

	tcase_add_loop_test(t, figures, 0, sizeof ours / sizeof *ours);
	tcase_add_test(t, bases);
	tcase_add_test(t, heavier_fleece);
	tcase_add_test(t, laid_over);
	tcase_add_loop_test(t, bad_tables, 0, sizeof bad / sizeof *bad);
	tcase_add_test(t, too_many);
	tcase_add_test(t, sample);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
