#include "note/chance.h"

#include <stdlib.h>
#include <string.h>

#include "lib/harness.h"

static char mem[64];

static const char *words(double p)
{
	struct text t;
	text_over(&t, mem, sizeof mem);
	chance_words(&t, p);
	return t.at;
}

/* By the rule in the header; middles of two are their geometric mean. */
static const struct {
	double p;
	const char *want;
} rows[] = {
    {1, "over 9 in 10"},       {1.0000001, "over 9 in 10"},
    {0.95, "over 9 in 10"},    {0.948, "9 in 10"},
    {0.9, "9 in 10"},          {0.8, "8 in 10"},
    {0.75, "8 in 10"},         {0.74, "7 in 10"},
    {0.7, "7 in 10"},          {0.65, "7 in 10"},
    {0.64, "6 in 10"},         {0.6, "6 in 10"},
    {0.56, "6 in 10"},         {0.5, "1 in 2"},
    {0.45, "1 in 2"},          {0.4, "4 in 10"},
    {0.36, "1 in 3"},          {1 / 3.0, "1 in 3"},
    {0.32, "1 in 3"},          {0.31, "3 in 10"},
    {0.3, "3 in 10"},          {0.25, "1 in 4"},
    {0.2, "1 in 5"},           {1 / 6.0, "1 in 6"},
    {0.15, "1 in 7"},          {1 / 7.0, "1 in 7"},
    {0.12, "1 in 7"},          {0.119, "1 in 10"},
    {0.1, "1 in 10"},          {0.082, "1 in 10"},
    {0.0667, "1 in 15"},       {0.05, "1 in 20"},
    {0.03, "1 in 30"},         {0.02, "1 in 50"},
    {0.0075, "1 in 100"},      {0.01, "1 in 100"},
    {0.007, "under 1 in 100"}, {0, "under 1 in 100"},
    {-1e-9, "under 1 in 100"}, {(double)NAN, "?"},
};

START_TEST(chance_rows)
{
	ROW_MSG(strcmp(words(rows[_i].p), rows[_i].want) == 0, "%g is \"%s\", want \"%s\"", rows[_i].p, mem,
		rows[_i].want);
}
END_TEST

/* Property: what is said is never off by more than the root of two, and each saying is one stretch of chances. */
START_TEST(never_far_off)
{
	char before[64] = "";
	int sayings = 0;
	for (int i = 8000; i <= 948000; i += 10) {
		double p = i / 1e6;
		const char *said = words(p);
		char *end;
		double k = strtod(said, &end);
		ck_assert_msg(strncmp(end, " in ", 4) == 0, "%g: \"%s\"", p, said);
		double n = strtod(end + 4, &end);
		ROW_MSG(p / (k / n) < 1.42 && k / n / p < 1.42, "%g is \"%s\"", p, said);
		if (strcmp(before, said) != 0)
			sayings++;
		memcpy(before, mem, sizeof before);
	}
	ck_assert_int_eq(sayings, 18);
}
END_TEST

START_TEST(in_a_table)
{
	static const struct {
		double p;
		const char *want;
	} row[] = {{1, ">9 in 10"}, {0.6, "6 in 10"}, {0.001, "<1 in 100"}, {(double)NAN, "?"}};
	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		struct text t;
		text_over(&t, mem, sizeof mem);
		chance_cell(&t, row[i].p);
		ck_assert_str_eq(mem, row[i].want);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("chance");
	TCase *tc = tcase_create("chance");
	tcase_add_loop_test(tc, chance_rows, 0, sizeof rows / sizeof *rows);
	tcase_add_test(tc, never_far_off);
	tcase_add_test(tc, in_a_table);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
