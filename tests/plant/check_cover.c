#include <string.h>

#include "lib/harness.h"
#include "plant/cover.h"

#define NO (double)NAN

static const struct cover fleece = {
    .name = "fleece", .gain_c = {1.3, 0.5, 2.5}, .spoilt_frac = 0.5, .windy_ms = 4, .sunless_frac = 0.3};

/* Half of the gain is left over 4 m/s, and after a day of less than 30 % of a clear day's radiation: derived here. */
static const struct {
	const char *name;
	double wind_ms, sun_frac, left;
} night[] = {
    {"clear, calm, after sun", 1, 0.9, 1}, {"wind at the limit", 4, 0.9, 1}, {"wind over it", 4.1, 0.9, 0.5},
    {"sun at the limit", 1, 0.3, 1},       {"sun under it", 1, 0.29, 0.5},   {"both spoil it once", 9, 0.1, 0.5},
    {"wind not known", NO, 0.9, 1},        {"sun not known", 1, NO, 1},      {"neither known", NO, NO, 1},
    {"wind known alone", 9, NO, 0.5},
};

START_TEST(gain)
{
	struct spread got = cover_gain(&fleece, night[_i].wind_ms, night[_i].sun_frac);

	ROW_NEAR(night[_i].name, got.likely, 1.3 * night[_i].left, 1e-12);
	ROW_NEAR(night[_i].name, got.least, 0.5 * night[_i].left, 1e-12);
	ROW_NEAR(night[_i].name, got.most, 2.5 * night[_i].left, 1e-12);
}
END_TEST

START_TEST(gain_not_known)
{
	struct cover sheet = {.gain_c = {NO, NO, NO}, .spoilt_frac = NO, .windy_ms = NO, .sunless_frac = NO};
	struct cover jug = {.gain_c = {0, NO, NO}, .spoilt_frac = NO, .windy_ms = NO, .sunless_frac = NO};

	ck_assert(isnan(cover_gain(&sheet, 9, 0.1).likely));
	ROW_NEAR("nothing stays nothing", cover_gain(&jug, 9, 0.1).likely, 0, 0);
	ck_assert(isnan(cover_gain(&jug, 9, 0.1).least));
	/* when wind spoils it is known, how much is not: the gain is left as it is */
	jug = fleece;
	jug.spoilt_frac = NO;
	ROW_NEAR("share not known", cover_gain(&jug, 9, 0.1).likely, 1.3, 0);
}
END_TEST

START_TEST(find)
{
	static struct covers cs = {.n = 2, .at = {{.name = "one"}, {.name = "two"}}};

	ck_assert_ptr_eq(cover_find(&cs, "two"), &cs.at[1]);
	ck_assert_ptr_null(cover_find(&cs, "tw"));
	ck_assert_uint_eq(cover_index(&cs, "one"), 0);
	ck_assert_uint_eq(cover_index(&cs, "three"), 2);
}
END_TEST

/* One row a figure, each with its own place, and a basis of its own but for the title. */
START_TEST(rows)
{
	for (int i = 0; i < COVER_FIGURES; i++) {
		const struct key *k = &cover_key[i];

		ck_assert_msg(k->name && *k->name, "figure %d has no key", i);
		ROW_TRUE(k->name, k->help && k->example);
		ROW_TRUE(k->name,
			 k->basis_at ==
			     (i == COVER_TITLE ? 0 : offsetof(struct cover, basis) + (size_t)i * COVER_BASIS_SIZE));
		for (int j = 0; j < i; j++) {
			ROW_TRUE(k->name, strcmp(k->name, cover_key[j].name) != 0);
			ROW_TRUE(k->name, k->at != cover_key[j].at);
		}
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("cover");
	TCase *t = tcase_create("cover");

	tcase_add_loop_test(t, gain, 0, sizeof night / sizeof *night);
	tcase_add_test(t, gain_not_known);
	tcase_add_test(t, find);
	tcase_add_test(t, rows);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
