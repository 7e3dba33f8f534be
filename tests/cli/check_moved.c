#include "cli/moved.h"

#include <string.h>

#include "base/num.h"
#include "base/unit.h"
#include "lib/harness.h"

enum { SIZE = 512 };

/* Seven lows of an invented week from Tuesday on, in F; ? is not known. */
static const struct {
	const char *row, *before, *after, *says;
	int units;
} LINES[] = {
    {"one fell", "44 38 39 47 55 60 62", "44 33 39 47 55 60 62", "Lows: tomorrow night 33 F (was 38).\n", UNIT_US},
    {"two moved", "44 38 39 47 55 60 62", "45 38 39 47 55 60 61",
     "Lows: tonight 45 F (was 44), Monday night 61 F (was 62).\n", UNIT_US},
    {"none moved", "44 38 39 47 55 60 62", "44 38 39 47 55 60 62", "Lows: as before.\n", UNIT_US},
    {"less than what is printed", "44.1 38 39 47 55 60 62", "44.4 38 39 47 55 60 62", "Lows: as before.\n", UNIT_US},
    {"a night more", "44 38 39 47 55 60 ?", "44 38 39 47 55 60 62", "Lows: Monday night 62 F (was not known).\n",
     UNIT_US},
    {"a night less", "44 38 39 47 55 60 62", "44 38 39 47 55 60 ?", "Lows: Monday night ? F (was 62).\n", UNIT_US},
    {"the first", "? ? ? ? ? ? ?", "44 38 39 47 55 60 62", "Lows: none was known before.\n", UNIT_US},
    {"still nothing", "? ? ? ? ? ? ?", "? ? ? ? ? ? ?", "Lows: none is known.\n", UNIT_US},
    {"metric", "41 38 39 47 55 60 62", "32 38 39 47 55 60 62", "Lows: tonight 0 C (was 5).\n", UNIT_METRIC},
};

static void read_lows(const char *words, struct moved_lows *lows)
{
	struct date d;
	ck_assert(date_of(2026, 5, 19, &d)); /* a Tuesday */
	lows->today = d;
	for (int i = 0; i < MOVED_NIGHTS; i++) {
		double f;
		struct fault unused;
		char word[8] = "";
		size_t n = strcspn(words, " ");
		ck_assert_uint_lt(n, sizeof word);
		memcpy(word, words, n);
		bool known = num_double(word, -99, 199, &f, &unused) == FAULT_NONE;
		lows->low_c[i] = known ? (f - 32) / 1.8 : (double)NAN;
		words += n + (words[n] == ' ');
	}
}

START_TEST(lines)
{
	char mem[SIZE];
	struct text t;
	struct moved_lows before, after;
	read_lows(LINES[_i].before, &before);
	read_lows(LINES[_i].after, &after);
	text_over(&t, mem, sizeof mem);
	moved_words(&before, &after, LINES[_i].units, &t);
	ROW_STR(LINES[_i].row, t.at, LINES[_i].says);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("moved");
	TCase *t = tcase_create("moved");
	tcase_add_loop_test(t, lines, 0, (int)(sizeof LINES / sizeof *LINES));
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
