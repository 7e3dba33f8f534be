/* Twilight, the length of days, and years of them; single events and positions are in check_sun. */
#include "physics/sun.h"

#include "base/instant.h"
#include "lib/harness.h"
#include "physics/radiation.h"

enum { TOLERANCE_S = 10 };

#define AT(days, hour, minute, second) ((((days)*24 + (hour)) * 60 + (minute)) * 60 + (second))

static struct date date(int year, int month, int day)
{
	struct date d = date_none();
	ck_assert(date_of(year, month, day, &d));
	return d;
}

static void event_near(const char *row, int64_t got, int64_t midnight, int64_t want)
{
	if (want == INSTANT_NONE)
		ROW_TRUE(row, got == INSTANT_NONE);
	else
		ROW_NEAR(row, (double)(got - midnight), (double)want, TOLERANCE_S);
}

/*
 * Twilight, UTC, the local solar day of 2025: ephem 4.1.4, pressure 0, the sun's centre at the altitude;
 * INSTANT_NONE for its AlwaysUpError.
 */
static const struct {
	const char *name;
	double lat, lon;
	int month, day;
	int64_t dawn[3], dusk[3]; /* seconds after 0 h UTC of the date: civil, nautical, astronomical */
} twilight[] = {
    {"51.5074 N, 03-20",
     51.5074,
     -0.1278,
     3,
     20,
     {AT(0, 5, 29, 36), AT(0, 4, 50, 17), AT(0, 4, 9, 23)},
     {AT(0, 18, 47, 16), AT(0, 19, 26, 44), AT(0, 20, 7, 53)}},
    {"51.5074 N, 06-21",
     51.5074,
     -0.1278,
     6,
     21,
     {AT(0, 2, 55, 22), AT(0, 1, 40, 42), INSTANT_NONE},
     {AT(0, 21, 9, 21), AT(0, 22, 24, 0), INSTANT_NONE}},
    {"40.7128 N, 03-20",
     40.7128,
     -74.0060,
     3,
     20,
     {AT(0, 10, 31, 37), AT(0, 9, 59, 41), AT(0, 9, 27, 10)},
     {AT(0, 23, 35, 46), AT(1, 0, 7, 47), AT(1, 0, 40, 25)}},
    {"40.7128 N, 06-21",
     40.7128,
     -74.0060,
     6,
     21,
     {AT(0, 8, 51, 38), AT(0, 8, 8, 58), AT(0, 7, 18, 33)},
     {AT(1, 1, 4, 12), AT(1, 1, 46, 52), AT(1, 2, 37, 16)}},
    {"40.7128 N, 12-21",
     40.7128,
     -74.0060,
     12,
     21,
     {AT(0, 11, 45, 42), AT(0, 11, 11, 12), AT(0, 10, 37, 51)},
     {AT(0, 22, 2, 55), AT(0, 22, 37, 25), AT(0, 23, 10, 47)}},
    {"equator, 06-21",
     0,
     -78.5,
     6,
     21,
     {AT(0, 10, 49, 41), AT(0, 10, 23, 28), AT(0, 9, 57, 7)},
     {AT(0, 23, 42, 7), AT(1, 0, 8, 21), AT(1, 0, 34, 41)}},
    {"33.8688 S, 12-21",
     -33.8688,
     151.2093,
     12,
     21,
     {AT(-1, 18, 11, 36), AT(-1, 17, 35, 41), AT(-1, 16, 56, 22)},
     {AT(0, 9, 34, 42), AT(0, 10, 10, 36), AT(0, 10, 49, 56)}},
    {"54.80 S, 12-21",
     -54.80,
     -68.30,
     12,
     21,
     {AT(0, 6, 54, 4), INSTANT_NONE, INSTANT_NONE},
     {AT(1, 2, 8, 53), INSTANT_NONE, INSTANT_NONE}},
    {"69.65 N, 12-21",
     69.65,
     18.96,
     12,
     21,
     {AT(0, 8, 31, 24), AT(0, 6, 46, 51), AT(0, 5, 28, 27)},
     {AT(0, 12, 53, 13), AT(0, 14, 37, 47), AT(0, 15, 56, 10)}},
    {"69.65 N, 06-21",
     69.65,
     18.96,
     6,
     21,
     {INSTANT_NONE, INSTANT_NONE, INSTANT_NONE},
     {INSTANT_NONE, INSTANT_NONE, INSTANT_NONE}},
    {"69.65 N, 03-20",
     69.65,
     18.96,
     3,
     20,
     {AT(0, 3, 42, 40), AT(0, 2, 26, 16), AT(0, 0, 44, 5)},
     {AT(0, 18, 3, 4), AT(0, 19, 20, 33), AT(0, 21, 6, 55)}},
};

START_TEST(twilights)
{
	struct date d = date(2025, twilight[_i].month, twilight[_i].day);
	int64_t midnight = instant_at(d, 0, 0);
	const double altitude[3] = {SUN_CIVIL_DEG, SUN_NAUTICAL_DEG, SUN_ASTRONOMICAL_DEG};

	for (int i = 0; i < 3; i++) {
		int64_t dawn = twilight[_i].dawn[i];
		struct sun_day s = sun_day_at(d, twilight[_i].lat, twilight[_i].lon, altitude[i]);
		ROW_INT(twilight[_i].name, s.state, dawn == INSTANT_NONE ? SUN_UP_ALL_DAY : SUN_RISES);
		event_near(twilight[_i].name, s.rise, midnight, dawn);
		event_near(twilight[_i].name, s.set, midnight, twilight[_i].dusk[i]);
	}
}
END_TEST

/* Days of 2025, h, computed independently: from rise to set, and FAO-56's (eq. 34), which has neither refraction nor
 * disc. */
START_TEST(day_lengths)
{
	static const struct {
		const char *name;
		double lat, lon;
		int month, day;
		double h, tol, fao_h;
	} rows[] = {
	    {"51.5074 N, 03-20", 51.5074, -0.1278, 3, 20, 12.19, 0.006, 11.88},
	    {"51.5074 N, 06-21", 51.5074, -0.1278, 6, 21, 16.64, 0.006, 16.40},
	    {"51.5074 N, 12-21", 51.5074, -0.1278, 12, 21, 7.83, 0.006, 7.60},
	    {"equator, 03-20", 0, -78.5, 3, 20, 12.12, 0.016, 12.00},
	    {"equator, 06-21", 0, -78.5, 6, 21, 12.12, 0.016, 12.00},
	    {"equator, 09-22", 0, -78.5, 9, 22, 12.12, 0.016, 12.00},
	    {"equator, 12-21", 0, -78.5, 12, 21, 12.12, 0.016, 12.00},
	    {"69.65 N, 03-20", 69.65, 18.96, 3, 20, 12.33, 0.006, 11.75},
	    {"69.65 N, 06-21", 69.65, 18.96, 6, 21, 24, 0, 24},
	    {"69.65 N, 12-21", 69.65, 18.96, 12, 21, 0, 0, 0},
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		struct sun_day s = sun_day(date(2025, rows[i].month, rows[i].day), rows[i].lat, rows[i].lon);
		ROW_NEAR(rows[i].name, sun_day_length(&s), rows[i].h, rows[i].tol);
		struct date d = date(2025, rows[i].month, rows[i].day);
		struct radiation_day r = radiation_day(rows[i].lat, date_day_of_year(d));
		ROW_NEAR(rows[i].name, radiation_daylight_h(&r), rows[i].fao_h, 0.006);
	}
}
END_TEST

/*
 * The two day lengths stay apart: 0.833 deg at each end are 6.7 min on the equator at equinox and more wherever the
 * sun's way is flatter.  FAO-56's short series is not quite the sun: in the south it takes some minutes away.
 */
START_TEST(two_lengths)
{
	for (int lat = 0; lat <= 60; lat += 5) {
		for (int day = 0; day < 365; day++) {
			struct sun_day s = sun_day(date_add(date(2026, 1, 1), day), lat, 0);
			struct radiation_day r = radiation_day(lat, day + 1);
			double longer_min = 60 * (sun_day_length(&s) - radiation_daylight_h(&r));
			ROW_TRUE("longer", longer_min > 6 && longer_min < 35);
			if (lat == 0)
				ROW_NEAR("equator", longer_min, 7.0, 0.6);
		}
	}
}
END_TEST

/*
 * A year of days tiles: noon follows noon by a day and half a minute at most, events stand in order within
 * the 24 h about it, and dusk is never brighter than day.
 */
static void year_tiles(double lat, double lon)
{
	const double altitude[] = {SUN_HORIZON_DEG, SUN_CIVIL_DEG, SUN_NAUTICAL_DEG, SUN_ASTRONOMICAL_DEG};
	struct sun_day before = sun_day(date(2025, 12, 31), lat, lon);

	for (int day = 0; day < 366; day++) {
		struct date d = date_add(date(2026, 1, 1), day);
		double shorter = -1;
		for (size_t i = 0; i < sizeof altitude / sizeof *altitude; i++) {
			struct sun_day s = sun_day_at(d, lat, lon, altitude[i]);
			double h = sun_day_length(&s);
			ROW_TRUE("longer with twilight", h >= shorter && h <= 24);
			ROW_TRUE("in order",
				 s.rise == INSTANT_NONE || (s.rise <= s.noon && s.noon - s.rise <= DAY_S / 2));
			ROW_TRUE("in order", s.set == INSTANT_NONE || (s.noon <= s.set && s.set - s.noon <= DAY_S / 2));
			ROW_TRUE("all day or not",
				 s.state == SUN_RISES ? h > 0 : h == (s.state == SUN_UP_ALL_DAY ? 24 : 0));
			shorter = h;
		}
		struct sun_day s = sun_day(d, lat, lon);
		ROW_NEAR("noon to noon", (double)(s.noon - before.noon), DAY_S, 31);
		if (before.set != INSTANT_NONE && s.rise != INSTANT_NONE)
			ROW_TRUE("a night between", before.set < s.rise);
		before = s;
	}
}

START_TEST(days_tile)
{
	for (int lat = -90; lat <= 90; lat += 6)
		year_tiles(lat, (lat * 41) % 180);
}
END_TEST

/* At the poles the year is one day: the sun stays up while its noon stands over the altitude, down else. */
START_TEST(poles)
{
	for (int side = -1; side <= 1; side += 2) {
		int up = 0, turns = 0;
		enum sun_state before = sun_day(date(2024, 12, 31), side * 90, 0).state;
		for (int day = 0; day < 365; day++) {
			struct sun_day s = sun_day(date_add(date(2025, 1, 1), day), side * 90, 0);
			ROW_TRUE("no rise of the day", s.rise == INSTANT_NONE && s.set == INSTANT_NONE);
			ROW_TRUE("one or the other", s.state == SUN_UP_ALL_DAY || s.state == SUN_DOWN_ALL_DAY);
			ROW_TRUE("by altitude", (s.noon_altitude_deg > SUN_HORIZON_DEG) == (s.state == SUN_UP_ALL_DAY));
			up += s.state == SUN_UP_ALL_DAY;
			turns += s.state != before;
			before = s.state;
		}
		ROW_INT("one sunrise and one sunset a year", turns, 2);
		/* Equinox to equinox of 2025: 20 March 09:01, 22 September 18:19 UTC, 186.4 days (178.8 in the south);
		 * 0.833 deg are passed in 2.1 days at each end. */
		ROW_NEAR("days of sun", up, side > 0 ? 190.6 : 183, 1.1);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("sun_days");
	TCase *c = tcase_create("sun_days");
	tcase_add_loop_test(c, twilights, 0, (int)(sizeof twilight / sizeof *twilight));
	tcase_add_test(c, day_lengths);
	tcase_add_test(c, two_lengths);
	tcase_add_test(c, days_tile);
	tcase_add_test(c, poles);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
