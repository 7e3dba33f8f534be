#include "source/manners.h"

#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"

/* Rules and figures are those that the header states; instants are seconds after an invented one. */
#define NOW INT64_C(1778562000)
#define NO  INT64_MIN

enum { MIN = 60 };

static int64_t after(int64_t s)
{
	return s == NO ? INSTANT_NONE : NOW + s;
}

/* ---- when to ask ---- */

static const struct {
	const char *row;
	int64_t asked, answered, not_before; /* after NOW; NO: none */
	int status;
	int64_t until;
	bool failed;
} WAITS[] = {
    {"never asked", NO, NO, NO, 0, NO, false},
    {"asked long ago", -2 * HOUR_S, -2 * HOUR_S, NO, 200, NO, false},
    {"within the interval", -10 * MIN, -10 * MIN, NO, 200, 50 * MIN, false},
    {"the interval has just ended", -HOUR_S, -HOUR_S, NO, 200, NO, false},
    {"Expires later than the interval", -10 * MIN, -10 * MIN, 3 * HOUR_S, 200, 3 * HOUR_S, false},
    {"Expires before it", -10 * MIN, -10 * MIN, 5 * MIN, 200, 50 * MIN, false},
    {"not modified is an answer", -10 * MIN, -10 * MIN, NO, 304, 50 * MIN, false},
    {"a failure is one too", -10 * MIN, -9 * HOUR_S, NO, 503, 50 * MIN, true},
    {"shut out", -2 * HOUR_S, -9 * HOUR_S, 4 * HOUR_S, 403, 4 * HOUR_S, true},
    {"nobody answered: no interval", -1, -9 * HOUR_S, NO, 0, NO, true},
    {"asked in the future", 5, 5, 3 * HOUR_S, 200, NO, false},
};

START_TEST(waits)
{
	const struct description d = {.min_interval_s = HOUR_S};
	const struct memo m = {.asked = after(WAITS[_i].asked),
			       .answered = after(WAITS[_i].answered),
			       .not_before = after(WAITS[_i].not_before),
			       .status = WAITS[_i].status};
	struct manners_wait w = manners_wait(&d, &m, NOW);
	ROW_INT(WAITS[_i].row, w.until, after(WAITS[_i].until));
	ROW_INT(WAITS[_i].row, w.failed, WAITS[_i].failed);
}
END_TEST

/* ---- what an answer says of the next ---- */

enum { ALL = HONOUR_EXPIRES | HONOUR_RETRY_AFTER };

static const struct {
	const char *row;
	unsigned honour;
	int status;
	int64_t expires, date; /* after NOW */
	int64_t retry_after_s; /* -1: not told */
	int64_t want;
} ANSWERS[] = {
    {"says nothing", ALL, 200, NO, NO, -1, NO},
    {"Expires without a Date", ALL, 200, 30 * MIN, NO, -1, 30 * MIN},
    {"by its own clock, an hour ahead", ALL, 200, 90 * MIN, HOUR_S, -1, 30 * MIN},
    {"by its own clock, a year behind", ALL, 200, -365 * DAY_S + 20 * MIN, -365 * DAY_S, -1, 20 * MIN},
    {"expired already", ALL, 200, -5, 0, -1, -5},
    {"Expires that is not to be obeyed", HONOUR_RETRY_AFTER, 200, 30 * MIN, NO, -1, NO},
    {"Expires in a year", ALL, 200, 365 * DAY_S, 0, -1, DAY_S},
    {"503 with Retry-After", ALL, 503, NO, NO, 600, 600},
    {"the later of both", ALL, 503, 2 * HOUR_S, 0, 600, 2 * HOUR_S},
    {"Retry-After that is not to be obeyed", HONOUR_EXPIRES, 503, NO, NO, 600, NO},
    {"429 that says when", ALL, 429, NO, NO, 90, 90},
    {"429 that does not", ALL, 429, NO, NO, -1, HOUR_S},
    {"429 of a service that never does", 0, 429, NO, NO, 90, HOUR_S},
    {"403", ALL, 403, NO, NO, -1, 6 * HOUR_S},
    {"403 that wants longer", ALL, 403, NO, NO, 8 * HOUR_S, 8 * HOUR_S},
    {"404", ALL, 404, NO, NO, -1, NO},
};

START_TEST(answers)
{
	const struct description d = {.honour = ANSWERS[_i].honour};
	const struct net_response r = {.status = ANSWERS[_i].status,
				       .expires = after(ANSWERS[_i].expires),
				       .date = after(ANSWERS[_i].date),
				       .retry_after_s = ANSWERS[_i].retry_after_s};
	ROW_INT(ANSWERS[_i].row, manners_not_before(&d, &r, NOW), after(ANSWERS[_i].want));
}
END_TEST

/* ---- once more in this run ---- */

static const struct {
	const char *row;
	int status;
	int64_t retry_after_s;
	int tries;
	int64_t spent_s;
	double jitter;
	int64_t want_ms;
} RETRIES[] = {
    {"no answer", 0, -1, 1, 0, 0, 2000},
    {"the second time", 0, -1, 2, 2, 0, 8000},
    {"three are enough", 0, -1, 3, 10, 0, -1},
    {"with all the jitter there is", 0, -1, 1, 0, 1, 3000},
    {"with half of it, the second time", 0, -1, 2, 0, 0.5, 10000},
    {"500", 500, -1, 1, 0, 0, 2000},
    {"502", 502, -1, 1, 0, 0, 2000},
    {"503", 503, -1, 1, 0, 0, 2000},
    {"504", 504, -1, 1, 0, 0, 2000},
    {"503 that says when", 503, 30, 1, 0, 1, 30000},
    {"503 that says sooner", 503, 1, 1, 0, 0, 2000},
    {"503 past the end of the run", 503, 301, 1, 0, 0, -1},
    {"503 at its very end", 503, 300, 1, 0, 0, 300000},
    {"late in the run", 503, -1, 2, 295, 0, -1},
    {"501", 501, -1, 1, 0, 0, -1},
    {"505", 505, -1, 1, 0, 0, -1},
    {"400", 400, -1, 1, 0, 0, -1},
    {"401", 401, -1, 1, 0, 0, -1},
    {"403", 403, 5, 1, 0, 0, -1},
    {"404", 404, -1, 1, 0, 0, -1},
    {"408", 408, -1, 1, 0, 0, -1},
    {"422", 422, -1, 1, 0, 0, -1},
    {"429 that says when", 429, 5, 1, 0, 0, 5000},
    {"429 twice", 429, 5, 2, 5, 0, -1},
    {"429 that does not say", 429, -1, 1, 0, 0, -1},
    {"429 for too long", 429, 600, 1, 0, 0, -1},
    {"200", 200, -1, 1, 0, 0, -1},
    {"304", 304, -1, 1, 0, 0, -1},
};

START_TEST(retries)
{
	ROW_INT(RETRIES[_i].row,
		manners_retry_ms(RETRIES[_i].status, RETRIES[_i].retry_after_s, RETRIES[_i].tries, RETRIES[_i].spent_s,
				 MANNERS_RUN_S, RETRIES[_i].jitter),
		RETRIES[_i].want_ms);
}
END_TEST

START_TEST(no_patience_no_second_try)
{
	ck_assert_int_eq(manners_retry_ms(503, -1, 1, 0, 0, 0), -1);
	ck_assert_int_eq(manners_retry_ms(503, -1, 1, 0, 2, 0), 2000);
}
END_TEST

/* ---- apart from each other ---- */

START_TEST(places_are_spread)
{
	enum { OVER_S = 40 * MIN, PLACES = 1000, SLICES = 8, FEW = 80, MANY = 170 };
	int met[SLICES] = {0};
	for (int i = 0; i < PLACES; i++) {
		/* Neighbours, a hundredth of a degree apart. */
		const struct place p = {4400 + i % 40, -9000 + i / 40, 0};
		int64_t s = manners_spread_s(&p, OVER_S);
		ck_assert(s >= 0 && s < OVER_S);
		ck_assert_int_eq(s, manners_spread_s(&p, OVER_S));
		met[s * SLICES / OVER_S]++;
	}
	for (int k = 0; k < SLICES; k++)
		ck_assert_msg(met[k] > FEW && met[k] < MANY, "slice %d: %d of %d", k, met[k], PLACES);
}
END_TEST

START_TEST(no_span_no_wait)
{
	const struct place p = {4431, -8990, 330};
	ck_assert_int_eq(manners_spread_s(&p, 0), 0);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("source/manners");
	TCase *t = tcase_create("manners");
#define LOOP(test, rows) tcase_add_loop_test(t, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(waits, WAITS);
	LOOP(answers, ANSWERS);
	LOOP(retries, RETRIES);
#undef LOOP
	tcase_add_test(t, no_patience_no_second_try);
	tcase_add_test(t, places_are_spread);
	tcase_add_test(t, no_span_no_wait);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
