#include <string.h>

#include "facts/verb.h"
#include "lib/harness.h"

/* What the record of a season before may hold: the words are for good. */
static const struct {
	const char *word;
	enum verb verb;
} rows[] = {
    {"sown", VERB_SOWN},
    {"up", VERB_UP},
    {"true leaf", VERB_TRUE_LEAF},
    {"thinned", VERB_THINNED},
    {"potted on", VERB_POTTED_ON},
    {"put out", VERB_PUT_OUT},
    {"planted out", VERB_PLANTED_OUT},
    {"male flower", VERB_MALE},
    {"female flower", VERB_FEMALE},
    {"pollinated", VERB_POLLINATED},
    {"picked", VERB_PICKED},
    {"watered", VERB_WATERED},
    {"fed", VERB_FED},
    {"strawed", VERB_STRAWED},
    {"covered", VERB_COVERED},
    {"uncovered", VERB_UNCOVERED},
    {"found", VERB_FOUND},
    {"ended", VERB_ENDED},
    {"low", VERB_LOW},
    {"soil", VERB_SOIL},
    {"rain", VERB_RAIN},
    {"sprouted", VERB_SPROUTED},
    {"away", VERB_AWAY},
    {"note", VERB_NOTE},
    {"", VERBS},
    {"sow", VERBS},
    {"planted", VERBS},
    {"grafted", VERBS},
};

START_TEST(words)
{
	struct entry e = {.verb = ""};
	strncpy(e.verb, rows[_i].word, sizeof e.verb - 1);
	ROW_INT(rows[_i].word, verb_of(&e), rows[_i].verb);
	if (rows[_i].verb < VERBS)
		ROW_STR(rows[_i].word, verb_word(rows[_i].verb), rows[_i].word);
}
END_TEST

START_TEST(every_verb_has_its_row)
{
	ck_assert_uint_eq(sizeof rows / sizeof *rows, VERBS + 4);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("verb");
	TCase *c = tcase_create("verb");
	tcase_add_loop_test(c, words, 0, (int)(sizeof rows / sizeof *rows));
	tcase_add_test(c, every_verb_has_its_row);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
