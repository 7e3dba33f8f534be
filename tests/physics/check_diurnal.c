#include "physics/diurnal.h"

#include "base/instant.h"
#include "lib/harness.h"
#include "physics/sun.h"
#include "plant/degree.h"

static const double NONE = (double)NAN;

static struct date date(int year, int month, int day)
{
	struct date d = date_none();
	ck_assert(date_of(year, month, day, &d));
	return d;
}

/* The check day: low 10, high 25, sunrise 5 h, sunset 19 h, the same every day. */
static void check_days(struct diurnal_day day[static 3])
{
	for (int i = 0; i < 3; i++)
		day[i] = (struct diurnal_day){10, 25, (i - 1) * DAY_S + 5 * HOUR_S, (i - 1) * DAY_S + 19 * HOUR_S};
}

/* Linvill 1990 in the continuous form, computed independently from the equations. */
START_TEST(check_day)
{
	static const struct {
		int hour;
		double t_c;
	} rows[] = {{0, 12.4372},  {3, 10.8069},  {5, 10.0000},  {6, 12.6047},  {9, 19.6418}, {12, 24.0954},
		    {14, 25.0000}, {15, 24.7721}, {18, 21.4907}, {21, 15.2244}, {23, 13.1703}};
	struct diurnal_day day[3];
	double hour_c[24];

	check_days(day);
	diurnal_hours(day, 3, 0, 24, hour_c);
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
		ROW_NEAR("Linvill 1990", hour_c[rows[i].hour], rows[i].t_c, 0.00005);
}
END_TEST

/* Its degree days by the hour (the single sine would say 5.8143 and 7.5000). */
START_TEST(check_day_degrees)
{
	struct diurnal_day day[3];
	double hour_c[24];

	check_days(day);
	diurnal_hours(day, 3, 0, 24, hour_c);
	struct degree_rule rule = {12, 30, DEGREE_HOURLY, DEGREE_HORIZONTAL};
	ROW_NEAR("12/30 C", degree_day_hours(&rule, hour_c, NULL, 24, NULL).dd_c, 5.8321, 0.00005);
	rule.base_c = 10;
	ROW_NEAR("10/30 C", degree_day_hours(&rule, hour_c, NULL, 24, NULL).dd_c, 7.5941, 0.00005);
}
END_TEST

/* Low at sunrise, high two hours after the middle of the day, no step anywhere, nothing outside the extremes. */
static void sound(const struct diurnal_day *a, const struct diurnal_day *b)
{
	const double low = fmin(a->tmin_c, b->tmin_c), a_step = 0.2 * fmax(1, a->tmax_c - low);
	double before = a->tmin_c;

	ROW_NEAR("the low", diurnal_at(a, b, a->rise), a->tmin_c, 1e-9);
	ROW_NEAR("the next low", diurnal_at(a, b, b->rise), b->tmin_c, 1e-9);
	ROW_NEAR("the high", diurnal_at(a, b, (a->rise + a->set) / 2 + 2 * HOUR_S), a->tmax_c, 1e-4);
	for (int64_t t = a->rise; t <= b->rise; t += 30) {
		double now = diurnal_at(a, b, t);
		ROW_TRUE("within the extremes", now >= low - 1e-9 && now <= fmax(a->tmax_c, b->tmin_c) + 1e-9);
		ROW_TRUE("no step", fabs(now - before) < a_step);
		before = now;
	}
}

START_TEST(curves_are_sound)
{
	const double lat[] = {0, 44.3, -33.9, 66.4, 69.65, -78, 90};
	const double low[] = {-4, 12, 3, 9.5, 9.5, 11}, high[] = {6, 12, 21, 19.5, 9.5, 30};

	for (size_t i = 0; i < sizeof lat / sizeof *lat; i++) {
		for (int n = 0; n < 73; n++) {
			struct date d = date_add(date(2026, 1, 2), 5 * n);
			struct diurnal_day a = diurnal_day(d, lat[i], 18.96, low[n % 6], high[n % 6]);
			struct diurnal_day b =
			    diurnal_day(date_add(d, 1), lat[i], 18.96, low[(n + 1) % 6], high[(n + 1) % 6]);
			sound(&a, &b);
		}
	}
}
END_TEST

/* What the sun does not say is said about its noon. */
START_TEST(polar)
{
	struct date june = date(2025, 6, 21), december = date(2025, 12, 21);
	int64_t noon = sun_day(june, 69.65, 18.96).noon;
	struct diurnal_day day = diurnal_day(june, 69.65, 18.96, 8, 17);
	ROW_INT("midnight sun", day.rise, noon - 11 * HOUR_S);
	ROW_INT("midnight sun", day.set, noon + 11 * HOUR_S);
	noon = sun_day(december, 69.65, 18.96).noon;
	day = diurnal_day(december, 69.65, 18.96, -9, -5);
	ROW_INT("polar night", day.rise, noon - 2 * HOUR_S);
	ROW_INT("polar night", day.set, noon + 2 * HOUR_S);
	day = diurnal_day(june, 44.31, -89.90, 8, 17);
	struct sun_day sun = sun_day(june, 44.31, -89.90);
	ROW_NEAR("else the sun's own", (double)(day.rise - sun.rise), 0, 60);
	ROW_NEAR("else the sun's own", (double)(day.set - sun.set), 0, 60);
	/* Days on which the midnight sun begins and ends have one event of two. */
	for (int n = 0; n < 365; n++) {
		struct date d = date_add(date(2025, 1, 1), n);
		sun = sun_day(d, 69.65, 18.96);
		day = diurnal_day(d, 69.65, 18.96, 8, 17);
		ROW_NEAR("about noon", (double)(day.set - sun.noon), (double)(sun.noon - day.rise), 0);
		ROW_TRUE("4 to 22 h", day.set - day.rise >= 4 * HOUR_S && day.set - day.rise <= 22 * HOUR_S);
	}
}
END_TEST

enum { ROW_DAYS = 5, ROW_HOURS = ROW_DAYS * 24 };

/* Days of the check day's clock; day i is lost where lost has bit i. */
static void row_of_days(unsigned lost, double t_c[static ROW_HOURS])
{
	struct diurnal_day day[ROW_DAYS];
	for (int i = 0; i < ROW_DAYS; i++) {
		bool gone = lost >> i & 1;
		day[i] = (struct diurnal_day){gone ? NONE : 10 + i, gone ? NONE : 20 + i, i * DAY_S + 5 * HOUR_S,
					      i * DAY_S + 19 * HOUR_S};
	}
	diurnal_hours(day, ROW_DAYS, 0, ROW_HOURS, t_c);
}

static int known(const double *t_c, int from, int to)
{
	int n = 0;
	for (int i = from; i < to; i++)
		n += !isnan(t_c[i]);
	return n;
}

/* A lost day takes its light hours, the night before (its low) and the night after (its sunset); no others. */
START_TEST(gaps)
{
	double t_c[ROW_HOURS];

	row_of_days(0, t_c);
	ROW_INT("all but both ends", known(t_c, 0, ROW_HOURS), ROW_HOURS - 5 - 5);
	ROW_INT("before the first sunrise", known(t_c, 0, 5), 0);
	ROW_INT("from the last sunset", known(t_c, ROW_HOURS - 5, ROW_HOURS), 0);

	row_of_days(1U << 2, t_c);
	ROW_INT("before it", known(t_c, 5, 24 + 19), 24 + 14);
	ROW_INT("its day and both nights", known(t_c, 24 + 19, 72 + 5), 0);
	ROW_INT("after it", known(t_c, 72 + 5, ROW_HOURS - 5), 24 + 14);

	row_of_days(~0U, t_c);
	ROW_INT("nothing from nothing", known(t_c, 0, ROW_HOURS), 0);
	diurnal_hours(NULL, 0, 0, ROW_HOURS, t_c);
	ROW_INT("no days", known(t_c, 0, ROW_HOURS), 0);
}
END_TEST

START_TEST(nothing_from_nothing)
{
	struct date d = date(2026, 5, 1);
	struct diurnal_day day = diurnal_day(d, 44, 0, 10, 20), odd = diurnal_day(d, 44, 0, 20, 10);
	ROW_TRUE("low over high", isnan(odd.tmin_c) && isnan(odd.tmax_c) && odd.rise == day.rise);
	odd = diurnal_day(d, 44, 0, NONE, 10);
	ROW_TRUE("no low", isnan(odd.tmin_c) && isnan(diurnal_at(&odd, NULL, odd.rise + HOUR_S)));
	odd = diurnal_day(d, NONE, 0, 10, 20);
	double t_c = 0;
	ROW_TRUE("nowhere", isnan(odd.tmin_c) && isnan(odd.tmax_c));
	diurnal_hours(&odd, 1, day.rise, 1, &t_c);
	ROW_TRUE("nowhere", isnan(t_c));
	ROW_TRUE("before sunrise", isnan(diurnal_at(&day, NULL, day.rise - 1)));
	ROW_NEAR("the day needs no next", diurnal_at(&day, NULL, day.rise), 10, 1e-9);
	ROW_TRUE("the night does", isnan(diurnal_at(&day, NULL, day.set)));
	struct diurnal_day next = diurnal_day(date_add(d, 1), 44, 0, 10, 20);
	ROW_TRUE("past the next sunrise", isnan(diurnal_at(&day, &next, next.rise + 1)));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("diurnal");
	TCase *c = tcase_create("diurnal");
	tcase_add_test(c, check_day);
	tcase_add_test(c, check_day_degrees);
	tcase_add_test(c, curves_are_sound);
	tcase_add_test(c, polar);
	tcase_add_test(c, gaps);
	tcase_add_test(c, nothing_from_nothing);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
