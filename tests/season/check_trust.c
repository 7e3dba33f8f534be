#include "season/trust.h"

#include "lib/harness.h"

/* The limits are the header's; each to the second. */
static const struct {
	const char *name;
	int64_t age_s, max_age_s;
	enum trust want;
} rows[] = {
    {"just made", 0, 0, TRUST_FULL},
    {"a clock is wrong", -3 * HOUR_S, 0, TRUST_FULL},
    {"1 h", HOUR_S, 0, TRUST_FULL},
    {"17 h", 17 * HOUR_S, 0, TRUST_FULL},
    {"18 h", 18 * HOUR_S, 0, TRUST_FULL},
    {"18 h and a second", 18 * HOUR_S + 1, 0, TRUST_AGED},
    {"19 h", 19 * HOUR_S, 0, TRUST_AGED},
    {"35 h", 35 * HOUR_S, 0, TRUST_AGED},
    {"36 h", 36 * HOUR_S, 0, TRUST_AGED},
    {"36 h and a second", 36 * HOUR_S + 1, 0, TRUST_OLD},
    {"37 h", 37 * HOUR_S, 0, TRUST_OLD},
    {"3 d", 72 * HOUR_S, 0, TRUST_OLD},
    {"4 d", 96 * HOUR_S, 0, TRUST_OLD},
    {"4 d and a second", 96 * HOUR_S + 1, 0, TRUST_SPENT},
    {"8 d", 192 * HOUR_S, 0, TRUST_SPENT},
    {"its own limit", 6 * HOUR_S, 6 * HOUR_S, TRUST_FULL},
    {"its own limit, a second over", 6 * HOUR_S + 1, 6 * HOUR_S, TRUST_AGED},
    {"a longer limit", 30 * HOUR_S, 30 * HOUR_S, TRUST_FULL},
    {"a limit over 36 h does not stretch it", 36 * HOUR_S + 1, 72 * HOUR_S, TRUST_OLD},
    {"a limit of weeks does not stretch it", 96 * HOUR_S + 1, 1000 * HOUR_S, TRUST_SPENT},
};

START_TEST(by_age)
{
	ROW_STR(rows[_i].name, trust_name(trust_of(rows[_i].age_s, rows[_i].max_age_s)), trust_name(rows[_i].want));
}
END_TEST

/* No forecast gets better by waiting. */
START_TEST(never_back)
{
	for (int64_t limit = 0; limit <= 120; limit += 5) {
		enum trust last = TRUST_FULL;
		for (int64_t age = -1; age < 200; age++) {
			enum trust now = trust_of(age * HOUR_S, limit * HOUR_S);
			ROW_TRUE("never back", now >= last);
			last = now;
		}
		ROW_INT("in the end", last, TRUST_SPENT);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("trust");
	TCase *c = tcase_create("trust");
	tcase_add_loop_test(c, by_age, 0, sizeof rows / sizeof *rows);
	tcase_add_test(c, never_back);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
