#include <stdio.h>
#include <string.h>

#include "base/mem.h"
#include "cli/round.h"
#include "lib/harness.h"

enum { KEY_SIZE = 32, PLACES = 1000, TRIES = 30 };

static const struct fault FINE = {0};
static const struct fault SILENT = {FAULT_TRY_LATER, "pond: no answer"};
static const struct fault REFUSED = {FAULT_UNAVAILABLE, "pond: answers 404"};

static const char *place(int i, char key[static KEY_SIZE])
{
	snprintf(key, KEY_SIZE, "place %d", i);
	return key;
}

START_TEST(a_place_is_asked_for_once)
{
	static const struct fault *const outcome[] = {&FINE, &SILENT, &REFUSED};
	struct round r;
	round_begin(&r, 0);
	struct fault f;
	char key[KEY_SIZE];
	for (int i = 0; i < PLACES; i++) {
		place(i, key);
		ROW_TRUE(key, round_asks(&r, key, "pond", &f));
		ROW_TRUE(key, !r.recalled);
		/* Until it is told what came of it: a garden's own fault is not the place's. */
		ROW_TRUE(key, round_asks(&r, key, "pond", &f));
		round_asked(&r, key, "pond", outcome[i % 3], true);
	}
	for (int i = 0; i < PLACES; i++) {
		place(i, key);
		ROW_TRUE(key, !round_asks(&r, key, "pond", &f));
		ROW_TRUE(key, r.recalled);
		ROW_INT(key, f.code, outcome[i % 3]->code);
		ROW_STR(key, f.text, outcome[i % 3]->text);
	}
	round_free(&r);
}
END_TEST

/* What came of places one after the other: s silent, t silent and nothing was sent, f fine, r refused; asked at last?
 */
static const struct {
	const char *name, *outcomes;
	bool asks;
} ROWS[] = {
    {"three silent", "sss", false},
    {"two silent", "ss", true},
    {"an answer between", "ssfss", true},
    {"a refusal is an answer", "ssrss", true},
    {"three after an answer", "sfsss", false},
    {"too early is no silence", "ttttt", true},
    {"too early between", "stss", false},
};

START_TEST(a_silent_service_is_left_alone)
{
	struct round r;
	round_begin(&r, 0);
	struct fault f = {0};
	char key[KEY_SIZE];
	int i = 0;
	for (const char *o = ROWS[_i].outcomes; *o != '\0'; o++, i++) {
		const struct fault *of = *o == 'f' ? &FINE : *o == 'r' ? &REFUSED : &SILENT;
		place(i, key);
		ROW_TRUE(ROWS[_i].name, round_asks(&r, key, "pond", &f));
		round_asked(&r, key, "pond", of, *o != 't');
	}
	ROW_INT(ROWS[_i].name, round_asks(&r, "the next", "pond", &f), ROWS[_i].asks);
	ROW_TRUE(ROWS[_i].name, round_asks(&r, "the next of brook", "brook", &f));
	if (!ROWS[_i].asks) {
		ROW_INT(ROWS[_i].name, f.code, FAULT_TRY_LATER);
		ROW_TRUE(ROWS[_i].name, strstr(f.text, "pond: not asked") != NULL);
	}
	round_free(&r);
}
END_TEST

/* It asks once more then, and nothing breaks. */
START_TEST(short_of_memory)
{
	for (long after = 0; after < TRIES; after++) {
		struct round r;
		round_begin(&r, 0);
		struct fault f;
		char key[KEY_SIZE];
		mem_fail_after(after, true);
		for (int i = 0; i < TRIES; i++)
			if (round_asks(&r, place(i, key), "pond", &f))
				round_asked(&r, key, "pond", &FINE, true);
		mem_fail_after(-1, false);
		ck_assert(round_asks(&r, "the next", "pond", &f));
		round_free(&r);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *suite = suite_create("round");
	TCase *t = tcase_create("round");
	tcase_add_test(t, a_place_is_asked_for_once);
	tcase_add_loop_test(t, a_silent_service_is_left_alone, 0, sizeof ROWS / sizeof *ROWS);
	tcase_add_test(t, short_of_memory);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	return harness_run(suite());
}
