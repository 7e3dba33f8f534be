#include "physics/vapour.h"

#include "base/instant.h"
#include "lib/harness.h"

static const double NONE = (double)NAN;

enum { HOURS = 8 };

static const struct {
	const char *name;
	double air_c, dew_point_c, rh;
	uint8_t air_from, humid_from;
	enum humid_verdict verdict;
	double dew_c; /* NaN: none */
	uint8_t from;
} rows[HOURS] = {
    {"dew point", 20, 10, NAN, ORIGIN_OBSERVED, ORIGIN_FORECAST, HUMID_SOUND, 10, ORIGIN_FORECAST},
    {"dew point, better than the air", 18, 10, NAN, ORIGIN_FORECAST, ORIGIN_OBSERVED, HUMID_SOUND, 10, ORIGIN_OBSERVED},
    {"fog by humidity", 15, NAN, 1, ORIGIN_FORECAST, ORIGIN_OBSERVED, HUMID_SOUND, 15, ORIGIN_FORECAST},
    {"just over", 14, 14.4, NAN, ORIGIN_OBSERVED, ORIGIN_OBSERVED, HUMID_CLAMPED, 14, ORIGIN_OBSERVED},
    {"refused", 14, 16, NAN, ORIGIN_OBSERVED, ORIGIN_OBSERVED, HUMID_REFUSED, NAN, ORIGIN_NONE},
    {"missing", 14, NAN, NAN, ORIGIN_OBSERVED, ORIGIN_NONE, HUMID_MISSING, NAN, ORIGIN_NONE},
    {"for the whole hour", 13, 9, NAN, ORIGIN_FORECAST, ORIGIN_FORECAST | ORIGIN_WHOLE_HOUR, HUMID_SOUND, 9,
     ORIGIN_FORECAST},
    {"last", 13, 9, NAN, ORIGIN_FORECAST, ORIGIN_FORECAST, HUMID_SOUND, 9, ORIGIN_FORECAST},
};

static void make(struct hours *h)
{
	struct fault f;
	ck_assert_int_eq(hours_init(h, 0, HOURS, &f), FAULT_NONE);
	for (int i = 0; i < HOURS; i++) {
		int64_t t = (int64_t)i * HOUR_S;
		hours_set(h, VAR_AIR_TEMPERATURE, t, rows[i].air_c, rows[i].air_from);
		hours_set(h, VAR_DEW_POINT, t, rows[i].dew_point_c, rows[i].humid_from);
		hours_set(h, VAR_HUMIDITY, t, rows[i].rh, rows[i].humid_from);
	}
}

START_TEST(states_at_the_start)
{
	struct hours h;
	double dew_c[HOURS], deficit[HOURS], ea[HOURS];
	uint8_t from[HOURS];
	size_t count[HUMID_VERDICTS], want[HUMID_VERDICTS] = {0};

	make(&h);
	vapour_hours(&h, &(struct vapour){dew_c, deficit, ea, from}, count);
	for (int i = 0; i < HOURS; i++) {
		want[rows[i].verdict]++;
		ROW_INT(rows[i].name, from[i], rows[i].from);
		if (isnan(rows[i].dew_c)) {
			ROW_TRUE(rows[i].name, isnan(dew_c[i]) && isnan(deficit[i]));
			continue;
		}
		ROW_NEAR(rows[i].name, dew_c[i], rows[i].dew_c, 1e-9);
		ROW_NEAR(rows[i].name, deficit[i], humid_saturation(rows[i].air_c) - humid_saturation(rows[i].dew_c),
			 1e-12);
	}
	for (int v = 0; v < HUMID_VERDICTS; v++)
		ROW_INT("count", count[v], want[v]);
	hours_free(&h);
}
END_TEST

START_TEST(vapour_in_the_middle)
{
	struct hours h;
	double ea[HOURS];
	size_t count[HUMID_VERDICTS];

	make(&h);
	vapour_hours(&h, &(struct vapour){NULL, NULL, ea, NULL}, count);
	ROW_NEAR("10 and 10 C", ea[0], humid_saturation(10), 1e-12);
	ROW_NEAR("10 and 15 C", ea[1], (humid_saturation(10) + humid_saturation(15)) / 2, 1e-12);
	ROW_NEAR("15 and 14 C", ea[2], (humid_saturation(15) + humid_saturation(14)) / 2, 1e-12);
	ROW_TRUE("the next refused", isnan(ea[3]));
	ROW_TRUE("refused", isnan(ea[4]));
	ROW_TRUE("missing", isnan(ea[5]));
	ROW_NEAR("the whole hour", ea[6], humid_saturation(9), 1e-12);
	ROW_TRUE("nothing after the last", isnan(ea[7]));
	hours_free(&h);
}
END_TEST

START_TEST(no_hours)
{
	struct hours h;
	struct fault f;
	double none[1] = {NONE};
	size_t count[HUMID_VERDICTS] = {9, 9, 9, 9};

	ck_assert_int_eq(hours_init(&h, 0, 0, &f), FAULT_NONE);
	vapour_hours(&h, &(struct vapour){none, none, none, NULL}, count);
	for (int v = 0; v < HUMID_VERDICTS; v++)
		ROW_INT("count", count[v], 0);
	ROW_TRUE("left alone", isnan(none[0]));
	hours_free(&h);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("vapour");
	TCase *c = tcase_create("vapour");
	tcase_add_test(c, states_at_the_start);
	tcase_add_test(c, vapour_in_the_middle);
	tcase_add_test(c, no_hours);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
