#include "season/night.h"

#include "lib/harness.h"

enum { NIGHTS_MAX = 12 };

#define LINE 10.0

/*
 * Nights from a pattern: + holds, - does not, ? nobody can tell; past ones first, then R and the
 * running one, then | and the coming ones ("++R+|+-").  Evenings count from day 100.
 */
static size_t nights_of(const char *pattern, struct night nights[NIGHTS_MAX])
{
	enum night_phase phase = NIGHT_PAST;
	size_t n = 0;

	for (const char *p = pattern; *p != '\0'; p++) {
		if (*p == 'R') {
			phase = NIGHT_RUNNING;
			continue;
		}
		if (*p == '|') {
			phase = NIGHT_COMING;
			continue;
		}
		double low = *p == '+' ? 12 : *p == '-' ? 8 : (double)NAN;
		ck_assert_uint_lt(n, NIGHTS_MAX);
		nights[n] = (struct night){.evening = {100 + (int)n},
					   .phase = phase,
					   .complete = *p != '?',
					   .low_c = low,
					   .lowest_seen_c = low};
		n++;
	}
	return n;
}

static const struct {
	const char *pattern;
	int past;
	bool past_open;
	enum night_answer running;
	int coming;
	bool coming_open;
} runs[] = {
    {"", 0, true, NIGHT_CANNOT_TELL, 0, true},
    {"+++", 3, true, NIGHT_CANNOT_TELL, 0, true},
    {"-++", 2, false, NIGHT_CANNOT_TELL, 0, true},
    {"+?++", 2, true, NIGHT_CANNOT_TELL, 0, true},
    {"+++-", 0, false, NIGHT_CANNOT_TELL, 0, true},
    {"+++?", 0, true, NIGHT_CANNOT_TELL, 0, true},
    {"-+|++-+", 1, false, NIGHT_CANNOT_TELL, 2, false},
    {"-+|++?+", 1, false, NIGHT_CANNOT_TELL, 2, true},
    {"|-++", 0, true, NIGHT_CANNOT_TELL, 0, false},
    {"-+R+|++", 1, false, NIGHT_YES, 2, true},
    {"-+R-|++", 1, false, NIGHT_NO, 2, true},
    {"-+R?|+-", 1, false, NIGHT_CANNOT_TELL, 1, false},
    {"-+R+", 1, false, NIGHT_YES, 0, true},
};

START_TEST(run)
{
	const char *row = runs[_i].pattern;
	struct night nights[NIGHTS_MAX];
	struct night_run r = night_run(nights, nights_of(row, nights), LINE);

	ROW_INT(row, r.past, runs[_i].past);
	ROW_INT(row, r.past_open, runs[_i].past_open);
	ROW_INT(row, r.running, runs[_i].running);
	ROW_INT(row, r.coming, runs[_i].coming);
	ROW_INT(row, r.coming_open, runs[_i].coming_open);
}
END_TEST

static const struct {
	const char *pattern;
	size_t k;
	enum night_answer want;
	int evening; /* index */
} firsts[] = {
    {"--R+|+++", 3, NIGHT_YES, 3},      /* the running night is no part of it */
    {"++|-+++-", 3, NIGHT_YES, 3},      /* nor are past ones */
    {"|--++--", 3, NIGHT_NO, 0},        /* two are not three */
    {"|+?++", 2, NIGHT_YES, 2},         /* sure before early */
    {"|+?+-", 3, NIGHT_CANNOT_TELL, 0}, /* one unknown decides */
    {"|-?--", 2, NIGHT_NO, 0},          /* the unknown cannot help */
    {"|++", 3, NIGHT_NO, 0},            /* fewer nights than asked for */
    {"", 1, NIGHT_NO, 0},
    {"", 0, NIGHT_NO, 0},
    {"+++|", 1, NIGHT_NO, 0},
};

START_TEST(first_run)
{
	const char *row = firsts[_i].pattern;
	struct night nights[NIGHTS_MAX];
	struct date evening = date_none();
	size_t n = nights_of(row, nights);

	ROW_INT(row, night_first_run(nights, n, firsts[_i].k, LINE, &evening), firsts[_i].want);
	if (firsts[_i].want == NIGHT_YES)
		ROW_INT(row, evening.n, 100 + firsts[_i].evening);
	else
		ROW_TRUE(row, !date_is(evening));
}
END_TEST

/*
 * "At least k of n" by its meaning, over all patterns of five nights: yes if it holds however the unknown
 * nights turn out, no if it holds however in none, else nobody can tell.
 */
START_TEST(at_least)
{
	enum { N = 5, PATTERNS = 243 };
	for (int code = 0; code < PATTERNS; code++) {
		char pattern[N + 1] = "";
		int yes = 0, unknown = 0;
		for (int i = 0, c = code; i < N; i++, c /= 3) {
			pattern[i] = "+-?"[c % 3];
			yes += c % 3 == 0;
			unknown += c % 3 == 2;
		}
		struct night nights[NIGHTS_MAX];
		size_t n = nights_of(pattern, nights);
		for (int k = 0; k <= N + 1; k++) {
			bool always = true, ever = false;
			for (int good = 0; good <= unknown; good++) {
				always = always && yes + good >= k;
				ever = ever || yes + good >= k;
			}
			enum night_answer want = always ? NIGHT_YES : ever ? NIGHT_CANNOT_TELL : NIGHT_NO;
			ROW_INT(pattern, night_at_least(nights, n, (size_t)k, LINE), want);
		}
	}
}
END_TEST

/* An incomplete night seen under the line does not hold, whatever its missing hours were. */
START_TEST(seen_under)
{
	struct night n = {.complete = false, .low_c = (double)NAN, .lowest_seen_c = 8};
	ROW_INT("seen under", night_holds(&n, LINE), NIGHT_NO);
	n.lowest_seen_c = 12;
	ROW_INT("seen over", night_holds(&n, LINE), NIGHT_CANNOT_TELL);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("night_run");
	TCase *c = tcase_create("runs");
	tcase_add_loop_test(c, run, 0, (int)(sizeof runs / sizeof *runs));
	tcase_add_loop_test(c, first_run, 0, (int)(sizeof firsts / sizeof *firsts));
	tcase_add_test(c, at_least);
	tcase_add_test(c, seen_under);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
