#include "physics/sun.h"

#include <stdbool.h>

#include "base/instant.h"
#include "lib/harness.h"

enum { TOLERANCE_S = 10 };

static struct date date(int year, int month, int day)
{
	struct date d = date_none();
	ck_assert(date_of(year, month, day, &d));
	return d;
}

static int64_t clock(struct date d, int hour, int minute, int second)
{
	return instant_at(d, hour * HOUR_S + minute * 60 + second, 0);
}

/* Meeus 1998 eq. 25.6, from the two numbers that it rests on. */
static double right_ascension(const struct sun_orbit *o)
{
	const double deg = M_PI / 180;
	double l = o->apparent_longitude_deg * deg;
	return fmod(atan2(cos(o->obliquity_deg * deg) * sin(l), cos(l)) / deg + 360, 360);
}

/* Meeus 1998, examples 25.a (printed there) and 28.b: 1992-10-13 0h, JD 2448908.5. */
START_TEST(meeus)
{
	struct sun_orbit o = sun_orbit(instant_at(date(1992, 10, 13), 0, 0));

	ROW_NEAR("25.a", o.mean_longitude_deg, 201.80720, 0.00001);
	ROW_NEAR("25.a", o.mean_anomaly_deg, 278.99397, 0.00001);
	ROW_NEAR("25.a", o.eccentricity, 0.016711668, 0.000000001);
	ROW_NEAR("25.a", o.centre_deg, -1.89732, 0.00001);
	ROW_NEAR("25.a", o.mean_longitude_deg + o.centre_deg, 199.90987, 0.00001);
	ROW_NEAR("25.a", o.apparent_longitude_deg, 199.90895, 0.00002);
	ROW_NEAR("25.a", o.obliquity_deg, 23.43999, 0.00001);
	ROW_NEAR("25.a", o.declination_deg, -7.78507, 0.00001);
	ROW_NEAR("28.b", o.equation_min, 13 + 42.7 / 60, 0.002);
	ROW_NEAR("25.a, right ascension", right_ascension(&o), 198.38083, 0.00002);
}
END_TEST

/* The epoch of the Julian day number, seen through the mean longitude (Meeus ch. 7 and 25.2). */
START_TEST(julian_day)
{
	struct sun_orbit o = sun_orbit(clock(date(2000, 1, 1), 12, 0, 0)); /* JD 2451545.0 */
	ROW_NEAR("2000-01-01 12h", o.mean_longitude_deg, 280.46646, 1e-9);
	o = sun_orbit(clock(date(1987, 1, 27), 0, 0, 0)); /* JD 2446822.5 */
	ROW_NEAR("1987-01-27 0h", o.mean_longitude_deg,
		 fmod(280.46646 + 36000.76983 * ((2446822.5 - 2451545) / 36525), 360) + 360, 1e-4);
	o = sun_orbit(clock(date(1957, 10, 4), 19, 26, 24)); /* JD 2436116.31 */
	ROW_NEAR("1957-10-04.81", o.mean_longitude_deg,
		 fmod(280.46646 + 36000.76983 * ((2436116.31 - 2451545) / 36525), 360) + 360, 1e-3);
}
END_TEST

/* Reda & Andreas 2004 (NREL SPA), the worked example, and this algorithm's distance from it. */
START_TEST(nrel)
{
	const double lat = 39.742476, lon = -105.1786;
	struct date d = date(2003, 10, 17);
	int64_t t = clock(d, 19, 30, 30);
	struct sun_orbit o = sun_orbit(t);
	struct sun_day day = sun_day(d, lat, lon), before = sun_day(date_add(d, -1), lat, lon);

	ROW_NEAR("SPA", o.declination_deg, -9.31434, 0.005);
	ROW_NEAR("SPA", o.equation_min, 14.641503, 0.01);
	ROW_NEAR("SPA, right ascension", right_ascension(&o), 202.22741, 0.005);
	ROW_NEAR("SPA, azimuth", sun_azimuth(t, lat, lon), 194.34024, 0.005);
	ROW_NEAR("azimuth of this series", sun_azimuth(t, lat, lon), 194.3426, 0.00005);
	ROW_NEAR("SPA, refracted", 90 - sun_apparent(sun_altitude(t, lat, lon)), 50.11162, 0.01);
	ROW_NEAR("true zenith", 90 - sun_altitude(t, lat, lon), 50.1279, 0.0001);
	ROW_NEAR("SPA rise", (double)(day.rise - clock(d, 13, 12, 43)), 0, 5);
	ROW_NEAR("SPA transit", (double)(day.noon - clock(d, 18, 46, 5)), 0, 5);
	ROW_NEAR("SPA set of the UTC date", (double)(before.set - clock(d, 0, 20, 19)), 0, 5);
	ROW_NEAR("set of the solar day", (double)(day.set - clock(date_add(d, 1), 0, 18, 51)), 0, 1);
}
END_TEST

/* Almanac for Computers 1990: Wayne NJ, day 176, sunrise 9.4414 h UT; the method is good for a minute or two. */
START_TEST(almanac)
{
	struct sun_day day = sun_day(date(1990, 6, 25), 40.9, -74.3);
	ROW_NEAR("Wayne", (double)(day.rise - clock(date(1990, 6, 25), 9, 26, 29)), 0, 60);
}
END_TEST

#define AT(days, hour, minute, second) ((((days)*24 + (hour)) * 60 + (minute)) * 60 + (second))

/*
 * Full theories, UTC, events of the local solar day: astronomy-engine 2.1.19 (34' and the true
 * disc), to 1 s equal to ephem 4.1.4; the last column is the apparent altitude at noon.
 */
static const struct {
	const char *name;
	double lat, lon;
	int month, day;
	enum sun_state state;
	int64_t rise, noon, set; /* seconds after 0 h UTC of the date */
	double altitude;
} full[] = {
    {"69.65 N 18.96 E, 2025-03-20", 69.65, 18.96, 3, 20, SUN_RISES, AT(0, 4, 42, 48), AT(0, 10, 51, 31),
     AT(0, 17, 2, 27), 20.423},
    {"69.65 N 18.96 E, 2025-06-21", 69.65, 18.96, 6, 21, SUN_UP_ALL_DAY, INSTANT_NONE, AT(0, 10, 46, 0), INSTANT_NONE,
     43.804},
    {"69.65 N 18.96 E, 2025-09-22", 69.65, 18.96, 9, 22, SUN_RISES, AT(0, 4, 24, 55), AT(0, 10, 36, 48),
     AT(0, 16, 46, 32), 20.517},
    {"69.65 N 18.96 E, 2025-12-21", 69.65, 18.96, 12, 21, SUN_DOWN_ALL_DAY, INSTANT_NONE, AT(0, 10, 42, 18),
     INSTANT_NONE, -2.459},
    {"51.5074 N 0.1278 W, 2025-03-20", 51.5074, -0.1278, 3, 20, SUN_RISES, AT(0, 6, 2, 50), AT(0, 12, 7, 52),
     AT(0, 18, 13, 54), 38.563},
    {"51.5074 N 0.1278 W, 2025-06-21", 51.5074, -0.1278, 6, 21, SUN_RISES, AT(0, 3, 43, 10), AT(0, 12, 2, 22),
     AT(0, 20, 21, 33), 61.938},
    {"51.5074 N 0.1278 W, 2025-09-22", 51.5074, -0.1278, 9, 22, SUN_RISES, AT(0, 5, 46, 52), AT(0, 11, 53, 8),
     AT(0, 17, 58, 25), 38.616},
    {"51.5074 N 0.1278 W, 2025-12-21", 51.5074, -0.1278, 12, 21, SUN_RISES, AT(0, 8, 3, 50), AT(0, 11, 58, 41),
     AT(0, 15, 53, 32), 15.113},
    {"40.7128 N 74.0060 W, 2025-03-20", 40.7128, -74.0060, 3, 20, SUN_RISES, AT(0, 10, 58, 53), AT(0, 17, 3, 19),
     AT(0, 23, 8, 26), 49.432},
    {"40.7128 N 74.0060 W, 2025-06-21", 40.7128, -74.0060, 6, 21, SUN_RISES, AT(0, 9, 25, 5), AT(0, 16, 57, 55),
     AT(1, 0, 30, 44), 72.729},
    {"40.7128 N 74.0060 W, 2025-09-22", 40.7128, -74.0060, 9, 22, SUN_RISES, AT(0, 10, 43, 52), AT(0, 16, 48, 35),
     AT(0, 22, 52, 37), 49.325},
    {"40.7128 N 74.0060 W, 2025-12-21", 40.7128, -74.0060, 12, 21, SUN_RISES, AT(0, 12, 16, 40), AT(0, 16, 54, 18),
     AT(0, 21, 31, 56), 25.881},
    {"0 N 78.5 W, 2025-03-20", 0, -78.5, 3, 20, SUN_RISES, AT(0, 11, 18, 2), AT(0, 17, 21, 17), AT(0, 23, 24, 32),
     89.863},
    {"0 N 78.5 W, 2025-06-21", 0, -78.5, 6, 21, SUN_RISES, AT(0, 11, 12, 14), AT(0, 17, 15, 54), AT(0, 23, 19, 33),
     66.569},
    {"0 N 78.5 W, 2025-09-22", 0, -78.5, 9, 22, SUN_RISES, AT(0, 11, 3, 19), AT(0, 17, 6, 33), AT(0, 23, 9, 47),
     89.980},
    {"0 N 78.5 W, 2025-12-21", 0, -78.5, 12, 21, SUN_RISES, AT(0, 11, 8, 31), AT(0, 17, 12, 17), AT(0, 23, 16, 3),
     66.568},
    {"33.8688 S 151.2093 E, 2025-03-20", -33.8688, 151.2093, 3, 20, SUN_RISES, AT(-1, 19, 58, 8), AT(0, 2, 2, 38),
     AT(0, 8, 6, 37), 56.256},
    {"33.8688 S 151.2093 E, 2025-06-21", -33.8688, 151.2093, 6, 21, SUN_RISES, AT(-1, 21, 0, 1), AT(0, 1, 56, 55),
     AT(0, 6, 53, 49), 32.717},
    {"33.8688 S 151.2093 E, 2025-09-22", -33.8688, 151.2093, 9, 22, SUN_RISES, AT(-1, 19, 45, 1), AT(0, 1, 47, 56),
     AT(0, 7, 51, 23), 55.873},
    {"33.8688 S 151.2093 E, 2025-12-21", -33.8688, 151.2093, 12, 21, SUN_RISES, AT(-1, 18, 40, 44), AT(0, 1, 53, 8),
     AT(0, 9, 5, 32), 79.571},
    {"54.80 S 68.30 W, 2025-03-20", -54.80, -68.30, 3, 20, SUN_RISES, AT(0, 10, 34, 57), AT(0, 16, 40, 30),
     AT(0, 22, 44, 55), 35.096},
    {"54.80 S 68.30 W, 2025-06-21", -54.80, -68.30, 6, 21, SUN_RISES, AT(0, 12, 58, 55), AT(0, 16, 35, 5),
     AT(0, 20, 11, 17), 11.838},
    {"54.80 S 68.30 W, 2025-09-22", -54.80, -68.30, 9, 22, SUN_RISES, AT(0, 10, 20, 50), AT(0, 16, 25, 46),
     AT(0, 22, 31, 49), 35.191},
    {"54.80 S 68.30 W, 2025-12-21", -54.80, -68.30, 12, 21, SUN_RISES, AT(0, 7, 51, 30), AT(0, 16, 31, 28),
     AT(1, 1, 11, 27), 58.647},
};

static void event_near(const char *row, int64_t got, int64_t midnight, int64_t want)
{
	if (want == INSTANT_NONE)
		ROW_TRUE(row, got == INSTANT_NONE);
	else
		ROW_NEAR(row, (double)(got - midnight), (double)want, TOLERANCE_S);
}

START_TEST(full_theories)
{
	struct date d = date(2025, full[_i].month, full[_i].day);
	int64_t midnight = instant_at(d, 0, 0);
	struct sun_day s = sun_day(d, full[_i].lat, full[_i].lon);

	ROW_INT(full[_i].name, s.state, full[_i].state);
	event_near(full[_i].name, s.rise, midnight, full[_i].rise);
	event_near(full[_i].name, s.noon, midnight, full[_i].noon);
	event_near(full[_i].name, s.set, midnight, full[_i].set);
	ROW_NEAR(full[_i].name, sun_apparent(s.noon_altitude_deg), full[_i].altitude, 0.01);
}
END_TEST

/* US Naval Observatory, tables for 2019: UT, hhmm, the event that falls on the date in UT. */
static const struct {
	const char *name;
	double lat, lon;
	int month, day, rise, set;
} usno[] = {
    {"60 N 0 E, 2019-01-01", 60, 0, 1, 1, 902, 1505},         {"60 N 0 E, 2019-02-14", 60, 0, 2, 14, 742, 1648},
    {"60 N 0 E, 2019-03-20", 60, 0, 3, 20, 603, 1814},        {"60 N 0 E, 2019-04-15", 60, 0, 4, 15, 445, 1917},
    {"60 N 0 E, 2019-05-15", 60, 0, 5, 15, 323, 2031},        {"60 N 0 E, 2019-06-21", 60, 0, 6, 21, 236, 2128},
    {"60 N 0 E, 2019-08-01", 60, 0, 8, 1, 340, 2031},         {"60 N 0 E, 2019-09-23", 60, 0, 9, 23, 546, 1758},
    {"60 N 0 E, 2019-10-31", 60, 0, 10, 31, 719, 1608},       {"60 N 0 E, 2019-12-22", 60, 0, 12, 22, 902, 1455},
    {"60 S 150 W, 2019-01-01", -60, -150, 1, 1, 1243, 724},   {"60 S 150 W, 2019-03-20", -60, -150, 3, 20, 1600, 416},
    {"60 S 150 W, 2019-06-21", -60, -150, 6, 21, 1906, 58},   {"60 S 150 W, 2019-09-23", -60, -150, 9, 23, 1545, 359},
    {"60 S 150 W, 2019-12-22", -60, -150, 12, 22, 1232, 724}, {"29 N 81 W, 2019-01-10", 29, -81, 1, 10, 1219, 2244},
    {"29 N 81 W, 2019-03-20", 29, -81, 3, 20, 1128, 2335},    {"29 N 81 W, 2019-06-21", 29, -81, 6, 21, 1026, 26},
    {"29 N 81 W, 2019-09-23", 29, -81, 9, 23, 1113, 2320},    {"29 N 81 W, 2019-11-05", 29, -81, 11, 5, 1139, 2235},
    {"29 N 81 W, 2019-12-22", 29, -81, 12, 22, 1214, 2231},
};

static int hhmm(int64_t t)
{
	int minute = (int)((t + 30) % DAY_S / 60);
	return minute / 60 * 100 + minute % 60;
}

static bool is_on(int64_t t, struct date d)
{
	return t != INSTANT_NONE && instant_date(t, 0).n == d.n;
}

START_TEST(naval_observatory)
{
	struct date d = date(2019, usno[_i].month, usno[_i].day);
	int rises = 0, sets = 0;

	for (int day = -1; day <= 1; day++) {
		struct sun_day s = sun_day(date_add(d, day), usno[_i].lat, usno[_i].lon);
		if (is_on(s.rise, d)) {
			rises++;
			ROW_INT(usno[_i].name, hhmm(s.rise), usno[_i].rise);
		}
		if (is_on(s.set, d)) {
			sets++;
			ROW_INT(usno[_i].name, hhmm(s.set), usno[_i].set);
		}
	}
	ROW_INT(usno[_i].name, rises, 1);
	ROW_INT(usno[_i].name, sets, 1);
}
END_TEST

/* ephem 4.1.4, pressure 0, topocentric (the sun's parallax is up to 0.0024 deg). */
START_TEST(positions)
{
	static const struct {
		double lat, lon;
		int year, month, day, hour, minute, second;
		double altitude, azimuth;
	} rows[] = {
	    {39.742476, -105.1786, 2003, 10, 17, 19, 30, 30, 39.872, 194.340},
	    {51.5074, -0.1278, 2025, 6, 21, 6, 0, 0, 17.789, 74.477},
	    {-33.8688, 151.2093, 2025, 3, 20, 4, 0, 0, 46.432, 314.678},
	    {0, -78.5, 2025, 6, 21, 17, 0, 0, 66.246, 9.087},
	    {69.65, 18.96, 2025, 6, 21, 22, 45, 0, 3.084, 359.744},
	    {40.7128, -74.0060, 2025, 12, 21, 20, 0, 0, 12.712, 222.937},
	    {-54.80, -68.30, 2025, 9, 22, 11, 0, 0, 4.809, 82.939},
	    {90, 0, 2025, 6, 21, 6, 0, 0, 23.436, 89.549},
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		int64_t t =
		    clock(date(rows[i].year, rows[i].month, rows[i].day), rows[i].hour, rows[i].minute, rows[i].second);
		ROW_NEAR("ephem", sun_altitude(t, rows[i].lat, rows[i].lon), rows[i].altitude, 0.006);
		ROW_NEAR("ephem", sun_azimuth(t, rows[i].lat, rows[i].lon), rows[i].azimuth, 0.01);
	}
}
END_TEST

static bool both(struct sun_day s)
{
	return s.rise != INSTANT_NONE && s.set != INSTANT_NONE;
}

/* Polar limits of 2025 at 69.65 N 18.96 E, flat horizon (computed independently with the same formulas). */
START_TEST(polar_limits)
{
	const double lat = 69.65, lon = 18.96;
	struct sun_day s = sun_day(date(2025, 1, 14), lat, lon);
	ROW_INT("last day of the night", s.state, SUN_DOWN_ALL_DAY);
	s = sun_day(date(2025, 1, 15), lat, lon);
	ROW_INT("first sunrise", s.state, SUN_RISES);
	ROW_NEAR("first sunrise", (double)(s.rise - clock(date(2025, 1, 15), 10, 24, 44)), 0, TOLERANCE_S);
	ROW_NEAR("first sunset", (double)(s.set - clock(date(2025, 1, 15), 11, 23, 16)), 0, TOLERANCE_S);

	/* Days with both a rise and a set; the day at each end of the midnight sun has one of the two. */
	ROW_TRUE("last with both", both(sun_day(date(2025, 5, 16), lat, lon)));
	for (struct date d = date(2025, 5, 17); d.n <= date(2025, 7, 25).n; d = date_add(d, 1))
		ROW_TRUE("not both", !both(sun_day(d, lat, lon)));
	ROW_INT("midsummer", sun_day(date(2025, 6, 1), lat, lon).state, SUN_UP_ALL_DAY);
	ROW_TRUE("first with both", both(sun_day(date(2025, 7, 26), lat, lon)));

	ROW_TRUE("last rise", sun_day(date(2025, 11, 26), lat, lon).rise != INSTANT_NONE);
	for (struct date d = date(2025, 11, 27); d.n <= date(2025, 12, 31).n; d = date_add(d, 1))
		ROW_INT("no rise", sun_day(d, lat, lon).state, SUN_DOWN_ALL_DAY);
}
END_TEST

/* At rise and set the centre stands at -0.833 deg, at noon nothing nearby stands higher: everywhere, all year. */
START_TEST(events_agree_with_altitude)
{
	for (int lat = -89; lat <= 89; lat += 2) {
		for (int day = 0; day < 365; day += 3) {
			double lon = (lat * 37 + day * 11) % 181;
			struct date d = date_add(date(2026, 1, 1), day);
			struct sun_day s = sun_day(d, lat, lon);
			if (s.rise != INSTANT_NONE)
				ROW_NEAR("rise", sun_altitude(s.rise, lat, lon), SUN_HORIZON_DEG, 0.01);
			if (s.set != INSTANT_NONE)
				ROW_NEAR("set", sun_altitude(s.set, lat, lon), SUN_HORIZON_DEG, 0.01);
			if (s.state == SUN_DOWN_ALL_DAY)
				ROW_TRUE("down", sun_altitude(s.noon, lat, lon) < SUN_HORIZON_DEG + 0.01);
			if (s.state == SUN_UP_ALL_DAY)
				ROW_TRUE("up", sun_altitude(s.noon + DAY_S / 2, lat, lon) > SUN_HORIZON_DEG - 0.01);
			ROW_NEAR("noon altitude", s.noon_altitude_deg, sun_altitude(s.noon, lat, lon), 0.005);
			ROW_TRUE("noon", fabs((double)(s.noon -
						       instant_at(d, DAY_S / 2, instant_standard_offset(lon)))) < 3000);
		}
	}
}
END_TEST

START_TEST(ends_of_the_earth)
{
	ROW_TRUE("NaN", isnan(sun_altitude(0, (double)NAN, 0)) && isnan(sun_altitude(0, 0, (double)NAN)));
	ROW_TRUE("NaN", isnan(sun_apparent((double)NAN)));
	ROW_TRUE("NaN", isnan(sun_azimuth(0, (double)NAN, 0)) && isnan(sun_azimuth(0, 0, (double)NAN)));
	const double nowhere[][3] = {{NAN, 0, 0}, {0, NAN, 0}, {90.1, 0, 0}, {-91, 0, 0}, {0, 180.5, 0}, {0, 0, NAN}};
	for (size_t i = 0; i < sizeof nowhere / sizeof *nowhere; i++) {
		struct sun_day s = sun_day_at(date(2025, 6, 21), nowhere[i][0], nowhere[i][1], nowhere[i][2]);
		ROW_INT("nowhere", s.state, SUN_UNTOLD);
		ROW_TRUE("nowhere", s.rise == INSTANT_NONE && s.noon == INSTANT_NONE && s.set == INSTANT_NONE);
		ROW_TRUE("nowhere", isnan(s.noon_altitude_deg) && isnan(sun_day_length(&s)));
	}
	ROW_INT("north pole in June", sun_day(date(2025, 6, 21), 90, 0).state, SUN_UP_ALL_DAY);
	ROW_INT("south pole in June", sun_day(date(2025, 6, 21), -90, 0).state, SUN_DOWN_ALL_DAY);
	/* One meridian, two dates: east of the date line it is a day later. */
	struct sun_day east = sun_day(date(2025, 6, 21), -17, 180), west = sun_day(date(2025, 6, 20), -17, -180);
	ROW_INT("date line", east.rise, west.rise);
	ROW_INT("date line", east.noon, west.noon);
	ROW_NEAR("nadir", sun_apparent(-90), -90, 1e-9);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("sun");
	TCase *c = tcase_create("sun");
	tcase_add_test(c, meeus);
	tcase_add_test(c, julian_day);
	tcase_add_test(c, nrel);
	tcase_add_test(c, almanac);
	tcase_add_loop_test(c, full_theories, 0, (int)(sizeof full / sizeof *full));
	tcase_add_loop_test(c, naval_observatory, 0, (int)(sizeof usno / sizeof *usno));
	tcase_add_test(c, positions);
	tcase_add_test(c, polar_limits);
	tcase_add_test(c, events_agree_with_altitude);
	tcase_add_test(c, ends_of_the_earth);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
