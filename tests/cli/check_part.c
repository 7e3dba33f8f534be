#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/hash.h"
#include "cli/part.h"
#include "lib/harness.h"

enum { NAMES = 20000, NAME_SIZE = 48, PARTS = 12, SIGMAS = 5, SEED = 20260519 };

static const struct {
	const char *word;
	int k, n; /* 0: refused */
} WORDS[] = {
    {"1/1", 1, 1},
    {"2/4", 2, 4},
    {"10000/10000", 10000, 10000},
    {"0/2", 0, 0},
    {"3/2", 0, 0},
    {"2", 0, 0},
    {"/2", 0, 0},
    {"2/", 0, 0},
    {"", 0, 0},
    {"1/2/3", 0, 0},
    {"-1/2", 0, 0},
    {"1/10001", 0, 0},
    {"x/2", 0, 0},
    {"1/x", 0, 0},
    {"1.5/2", 0, 0},
    {"1/0", 0, 0},
    {"99999999999999999999/99999999999999999999", 0, 0},
};

START_TEST(words)
{
	struct garden_part p = {0};
	struct fault f;
	bool right = WORDS[_i].n > 0;
	enum fault_code code = part_parse(WORDS[_i].word, &p, &f);
	ROW_INT(WORDS[_i].word, code, right ? FAULT_NONE : FAULT_USAGE);
	ROW_INT(WORDS[_i].word, p.k, WORDS[_i].k);
	ROW_INT(WORDS[_i].word, p.n, WORDS[_i].n);
	if (!right)
		ROW_TRUE(WORDS[_i].word, strstr(f.text, "right is K/N") != NULL);
}
END_TEST

/* Names as people give them, numbered ones and ones of random letters. */
static void make_name(int i, char name[static NAME_SIZE])
{
	const int numbers[] = {SEED, i};
	uint64_t bits = hash_bytes(HASH_START, numbers, sizeof numbers);
	if (i % 2 == 0) {
		snprintf(name, NAME_SIZE, "plot-%05d.ini", i / 2);
		return;
	}
	size_t n = 1 + bits % 30;
	for (size_t k = 0; k < n; k++) {
		bits = hash_bytes(bits, &k, sizeof k);
		name[k] = (char)('!' + bits % 90);
	}
	name[n] = '\0';
}

/* Each name is in just one of n parts, and the parts are about as large as chance makes them. */
START_TEST(parts_make_the_whole)
{
	int in[PARTS + 1] = {0}, n = _i + 1;
	char name[NAME_SIZE];
	for (int i = 0; i < NAMES; i++) {
		int owners = 0;
		make_name(i, name);
		for (int k = 1; k <= n; k++) {
			bool has = part_has((struct garden_part){k, n}, name);
			owners += has;
			in[k] += has;
		}
		ROW_INT(name, owners, 1);
		ROW_TRUE(name, part_has((struct garden_part){0}, name));
	}
	double share = 1.0 / n, spread = sqrt(NAMES * share * (1 - share));
	for (int k = 1; k <= n; k++)
		ROW_NEAR("part", in[k], NAMES * share, SIGMAS * spread + 1e-9);
}
END_TEST

static Suite *suite(void)
{
	Suite *suite = suite_create("part");
	TCase *t = tcase_create("part");
	tcase_add_loop_test(t, words, 0, sizeof WORDS / sizeof *WORDS);
	tcase_add_loop_test(t, parts_make_the_whole, 0, PARTS);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	return harness_run(suite());
}
