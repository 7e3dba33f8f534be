#include "physics/insolation.h"

#include <stdbool.h>

#include "base/date.h"
#include "base/instant.h"
#include "lib/harness.h"

enum { DAYS = 6, N = DAYS * 24 };

/* An invented place on the prairie; days of local standard time begin at 06 h UTC. */
static const struct insolation_site prairie = {44.31, -89.90, 330, RADIATION_RANGE_INLAND};
enum { OFFSET_S = -6 * HOUR_S };

static double given_light[N], given_cloud[N], given_air[N];
static double light[N], clear[N], cloud[N];
static uint8_t mark[N];
static const struct insolation out = {light, clear, cloud, mark};

static struct date date(int year, int month, int day)
{
	struct date d = date_none();
	ck_assert(date_of(year, month, day, &d));
	return d;
}

/* Nothing known, from the local midnight of a date. */
static struct insolation_given blank(struct date d)
{
	for (int i = 0; i < N; i++)
		given_light[i] = given_cloud[i] = given_air[i] = light[i] = clear[i] = cloud[i] = (double)NAN;
	return (struct insolation_given){instant_at(d, 0, OFFSET_S), N, given_light, given_cloud, given_air};
}

static unsigned basis(int i)
{
	return mark[i] & INSOLATION_BASIS;
}

/* Of a whole day, MJ m-2. */
static double sum_mj(const double *wm2, int day)
{
	double sum = 0;
	for (int h = 0; h < 24; h++)
		sum += wm2[day * 24 + h] * RADIATION_MJ_PER_WM2_HOUR;
	return sum;
}

static struct radiation_day terms(struct date first, int day)
{
	return radiation_day(prairie.lat_deg, date_day_of_year(date_add(first, day)));
}

START_TEST(clear_sky)
{
	struct date d = date(2031, 6, 18);
	struct insolation_given in = blank(d);
	insolation_hours(&prairie, &in, &out);
	for (int day = 0; day < DAYS; day++) {
		struct radiation_day t = terms(d, day);
		ROW_NEAR("hours sum to the day", sum_mj(clear, day),
			 radiation_clear_share(prairie.elevation_m) * t.extraterrestrial_mj, 1e-9);
		for (int h = 0; h < 24; h++) {
			int i = day * 24 + h;
			double angle = radiation_hour_angle(&t, prairie.lon_deg, h + 0.5 + 6);
			bool high = radiation_sun_sine(&t, angle) >= sin(0.3);
			ROW_TRUE("high sun", high == ((mark[i] & INSOLATION_HIGH_SUN) != 0));
			ROW_TRUE("dark or unknown", clear[i] > 0 ? isnan(light[i]) && basis(i) == RADIATION_UNKNOWN
								 : light[i] == 0 && basis(i) == RADIATION_DARK);
			ROW_TRUE("no cloud from nothing", isnan(cloud[i]) && !(mark[i] & INSOLATION_CLOUD_ESTIMATED));
		}
	}
}
END_TEST

/* All three together on one day: measured before cloud before range, each marked. */
START_TEST(ladder)
{
	struct insolation_given in = blank(date(2031, 6, 18));
	for (int i = 0; i < 24; i++)
		given_air[i] = 20 + 7 * cos((i - 15) * M_PI / 12);
	given_light[10] = 321;
	given_light[11] = -2; /* a pyranometer's cold dome */
	given_cloud[10] = given_cloud[11] = 0.5;
	given_cloud[12] = 1.5;
	given_light[1] = 0.4; /* dark, but reported */
	insolation_hours(&prairie, &in, &out);

	ROW_NEAR("measured", light[10], 321, 0);
	ROW_INT("measured", basis(10), RADIATION_MEASURED);
	ROW_NEAR("reported at night", light[1], 0.4, 0);
	ROW_INT("reported at night", basis(1), RADIATION_MEASURED);
	ROW_NEAR("from cloud", light[11], clear[11] * radiation_cloud_share(0.5), 1e-9);
	ROW_INT("from cloud", basis(11), RADIATION_FROM_CLOUD);
	ROW_NEAR("cloud as it came", cloud[11], 0.5, 0);
	ROW_TRUE("cloud as it came", !(mark[11] & INSOLATION_CLOUD_ESTIMATED));
	ROW_INT("impossible cloud", basis(12), RADIATION_FROM_RANGE);
	ROW_TRUE("impossible cloud", mark[12] & INSOLATION_CLOUD_ESTIMATED);
	ROW_INT("from range", basis(13), RADIATION_FROM_RANGE);
	ROW_NEAR("spread like clear sky", light[13] / light[12], clear[13] / clear[12], 1e-12);
	ROW_INT("night", basis(0), RADIATION_DARK);
	ROW_INT("the next day", basis(24 + 12), RADIATION_UNKNOWN);
	ROW_TRUE("the next day", isnan(light[24 + 12]));
}
END_TEST

/* FAO-56 eq. 50 on the day comes back as the sum of the hours. */
START_TEST(range_sums_to_the_day)
{
	struct date d = date(2031, 6, 18);
	struct insolation_given in = blank(d);
	for (int i = 0; i < N; i++)
		given_air[i] = 20 + (i / 24) * cos((i % 24 - 15) * M_PI / 12);
	in.shortwave_wm2 = in.cloud_frac = NULL;
	insolation_hours(&prairie, &in, &out);
	for (int day = 0; day < DAYS; day++) {
		struct radiation_day t = terms(d, day);
		double share = radiation_clear_share(prairie.elevation_m);
		double want = radiation_from_range(&t, 20 - day, 20 + day, RADIATION_RANGE_INLAND, share);
		ROW_NEAR("day", sum_mj(light, day), want, 1e-9);
		ROW_INT("noon", basis(day * 24 + 12), RADIATION_FROM_RANGE);
	}
}
END_TEST

START_TEST(range_needs_a_day)
{
	struct insolation_given in = blank(date(2031, 6, 18));
	for (int i = 0; i < INSOLATION_HOURS_ENOUGH - 1; i++)
		given_air[i] = given_air[24 + i] = i;
	given_air[24 + INSOLATION_HOURS_ENOUGH] = 3;
	insolation_hours(&prairie, &in, &out);
	ROW_TRUE("19 hours", isnan(light[12]) && basis(12) == RADIATION_UNKNOWN);
	ROW_TRUE("20 hours", light[24 + 12] > 0 && basis(24 + 12) == RADIATION_FROM_RANGE);
}
END_TEST

START_TEST(single_hour)
{
	struct insolation_given in = blank(date(2031, 6, 18));
	in.first += 12 * HOUR_S;
	in.n = 1;
	given_air[0] = 20;
	insolation_hours(&prairie, &in, &out);
	ROW_TRUE("temperature alone", isnan(light[0]) && isnan(cloud[0]) && clear[0] > 800);
	given_light[0] = clear[0] * radiation_cloud_share(0.6);
	insolation_hours(&prairie, &in, &out);
	ROW_TRUE("one bright hour is no day", isnan(cloud[0]) && basis(0) == RADIATION_MEASURED);
	in.n = 0;
	insolation_hours(&prairie, &in, &out);
}
END_TEST

/* Days of one cover each: it comes back for the night that follows, and the first morning looks ahead. */
START_TEST(cloud_of_the_night)
{
	static const double cover[DAYS] = {0.3, 0.9, (double)NAN, 0.7, 0.0, 1.0};
	struct insolation_given in = blank(date(2031, 6, 18));
	insolation_hours(&prairie, &in, &out);
	for (int i = 0; i < N; i++)
		given_light[i] = clear[i] * radiation_cloud_share(cover[i / 24]);
	insolation_hours(&prairie, &in, &out);
	for (int i = 0; i < N; i++) {
		int day = i / 24, belongs = clear[i] > 0 || i % 24 > 12 || day == 0 ? day : day - 1;
		if (isnan(cover[belongs]) && belongs < day)
			belongs = day; /* a morning after a lost day */
		if (isnan(cover[belongs])) {
			ROW_TRUE("a lost day", isnan(cloud[i]) && !(mark[i] & INSOLATION_CLOUD_ESTIMATED));
			continue;
		}
		ROW_NEAR("cover", cloud[i], cover[belongs], 1e-9);
		ROW_TRUE("marked", mark[i] & INSOLATION_CLOUD_ESTIMATED);
	}
}
END_TEST

START_TEST(half_the_light_is_enough)
{
	struct insolation_given in = blank(date(2031, 6, 18));
	insolation_hours(&prairie, &in, &out);
	for (int i = 0; i < 24; i++)
		given_light[i] = i < 11 ? 0.5 * clear[i] : (double)NAN;
	for (int i = 24; i < 48; i++)
		given_light[i] = i < 24 + 14 ? 0.5 * clear[i] : (double)NAN;
	insolation_hours(&prairie, &in, &out);
	ROW_TRUE("up to 11 h", isnan(cloud[23]));
	ROW_NEAR("up to 14 h", cloud[47], radiation_cloud_behind(0.5), 1e-12);
}
END_TEST

START_TEST(polar)
{
	struct insolation_site north = prairie;
	struct insolation_given in = blank(date(2031, 12, 18));
	for (int i = 0; i < N; i++)
		given_air[i] = -20 + i % 24;
	north.lat_deg = 80;
	insolation_hours(&north, &in, &out);
	for (int i = 0; i < N; i++) {
		ROW_TRUE("polar night", light[i] == 0 && clear[i] == 0 && basis(i) == RADIATION_DARK);
		ROW_TRUE("nothing tells of cloud", isnan(cloud[i]));
	}
	in.first = instant_at(date(2031, 6, 18), 0, OFFSET_S);
	north.lat_deg = 90;
	insolation_hours(&north, &in, &out);
	for (int i = 0; i < N; i++) {
		ROW_TRUE("pole in summer", clear[i] > 0 && light[i] > 0 && light[i] <= clear[i]);
		ROW_NEAR("the same all day", clear[i], clear[i / 24 * 24], 1e-9);
	}
}
END_TEST

START_TEST(lost_places)
{
	struct insolation_site lost[3] = {prairie, prairie, prairie};
	struct insolation_given in = blank(date(2031, 6, 18));
	lost[0].lat_deg = lost[1].lon_deg = lost[2].elevation_m = (double)NAN;
	for (int i = 0; i < N; i++) {
		given_air[i] = i % 24;
		given_cloud[i] = 0.5;
	}
	given_light[12] = 500;
	for (int p = 0; p < 3; p++) {
		insolation_hours(&lost[p], &in, &out);
		ROW_TRUE("no estimate", isnan(light[13]) && isnan(clear[13]) && basis(13) == RADIATION_UNKNOWN);
		ROW_NEAR("measured", light[12], 500, 0);
		ROW_INT("measured", mark[12], RADIATION_MEASURED);
	}
}
END_TEST

/* A series may begin and end anywhere: the same hours have the same sunlight. */
START_TEST(pieces)
{
	static double whole[N];
	struct insolation_given in = blank(date(2031, 6, 18));
	for (int i = 0; i < N; i++)
		given_cloud[i] = (i * 7 % 11) / 10.0;
	insolation_hours(&prairie, &in, &out);
	for (int i = 0; i < N; i++)
		whole[i] = light[i];
	for (size_t k = 1; k < 30; k++) {
		struct insolation_given piece = {in.first + (int64_t)k * HOUR_S, N - 2 * k, NULL, given_cloud + k,
						 NULL};
		insolation_hours(&prairie, &piece, &out);
		for (size_t i = 0; i < piece.n; i++)
			ROW_NEAR("hour", light[i], whole[i + k], 1e-9);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("insolation");
	TCase *tc = tcase_create("insolation");
	tcase_add_test(tc, clear_sky);
	tcase_add_test(tc, ladder);
	tcase_add_test(tc, range_sums_to_the_day);
	tcase_add_test(tc, range_needs_a_day);
	tcase_add_test(tc, single_hour);
	tcase_add_test(tc, cloud_of_the_night);
	tcase_add_test(tc, half_the_light_is_enough);
	tcase_add_test(tc, polar);
	tcase_add_test(tc, lost_places);
	tcase_add_test(tc, pieces);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
