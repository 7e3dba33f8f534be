#include "lib/harness.h"

#include <string.h>

#include "base/suggest.h"

/* Counted by hand; the last but one is what tells optimal string alignment (3) from the unrestricted form (2). */
static const struct {
	const char *a, *b;
	size_t distance;
} distances[] = {
    {"", "", 0},       {"loam", "loam", 0},   {"Loam", "lOAM", 0},      {"lome", "loam", 2},
    {"", "bed", 3},    {"soil", "soi", 1},    {"soil", "spoil", 1},     {"soil", "sail", 1},
    {"tub", "tbu", 1}, {"wtaer", "water", 1}, {"kitten", "sitting", 3}, {"zucchini", "zuchini", 1},
    {"ca", "abc", 3},  {"flaw", "lawn", 2},
};

START_TEST(counts_edits)
{
	const char *a = distances[_i].a, *b = distances[_i].b;
	ROW_INT(a, (long long)suggest_distance(a, b, 10), (long long)distances[_i].distance);
	ROW_INT(b, (long long)suggest_distance(b, a, 10), (long long)distances[_i].distance);
	for (size_t limit = 0; limit < 4; limit++) {
		size_t want = distances[_i].distance <= limit ? distances[_i].distance : limit + 1;
		ROW_INT(a, (long long)suggest_distance(a, b, limit), (long long)want);
	}
}
END_TEST

START_TEST(endless_words_are_far_from_all)
{
	char word[1000];
	memset(word, 'a', sizeof word - 1);
	word[sizeof word - 1] = '\0';
	ck_assert_uint_eq(suggest_distance(word, word, 2), 3);
	ck_assert_uint_eq(suggest_distance("a", word, 2), 3);
	const char *known[] = {word, "b"};
	ck_assert_ptr_null(suggest(word, known, 2));
}
END_TEST

static const char *const known[] = {"clay", "loam", "sandy loam", "silt", "in", "C", "zucchini"};

static const struct {
	const char *word, *nearest; /* "": none */
} words[] = {
    {"lome", "loam"},
    {"LOAM", "loam"},
    {"laom", "loam"},
    {"sandyloam", "sandy loam"},
    {"zuchinni", "zucchini"},
    {"i", ""},
    {"im", "in"},
    {"inn", "in"},
    {"c", "C"},
    {"F", ""},
    {"", ""},
    {"tomato", ""},
    {"sil", "silt"},
    {"ilt", "silt"},
    {"slt", "silt"},
    {"sit", "silt"},
    {"nis", ""},
};

START_TEST(suggests_the_nearest)
{
	const char *got = suggest(words[_i].word, known, sizeof known / sizeof *known);
	ROW_STR(words[_i].word, got == NULL ? "" : got, words[_i].nearest);
}
END_TEST

START_TEST(suggests_nothing_of_nothing)
{
	ck_assert_ptr_null(suggest("loam", NULL, 0));
}
END_TEST

#define ROWS(table) ((int)(sizeof(table) / sizeof *(table)))

static Suite *suite(void)
{
	Suite *s = suite_create("base/suggest");
	TCase *t = tcase_create("suggest");
	tcase_add_loop_test(t, counts_edits, 0, ROWS(distances));
	tcase_add_test(t, endless_words_are_far_from_all);
	tcase_add_loop_test(t, suggests_the_nearest, 0, ROWS(words));
	tcase_add_test(t, suggests_nothing_of_nothing);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
