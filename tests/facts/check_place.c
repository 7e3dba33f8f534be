#include "facts/place.h"
#include "lib/harness.h"

static const struct {
	const char *row;
	double latitude, longitude, elevation;
	int latitude_cdeg, longitude_cdeg, elevation_m;
} rounded[] = {
    /* Ties are at eighths, which a double holds exactly. */
    {"as it is", 44.31, -89.90, 330, 4431, -8990, 330},
    {"tie, north and east: away from zero", 44.125, 89.375, 325, 4413, 8938, 330},
    {"tie, south and west: away from zero", -44.125, -89.375, -325, -4413, -8938, -330},
    {"below the tie", 44.1249, 89.3749, 324.9, 4412, 8937, 320},
    {"below the tie, negative", -44.1249, -89.3749, -324.9, -4412, -8937, -320},
    {"a hundredth that binary cannot hold", 0.29, 0.57, 1.15, 29, 57, 0},
    {"zero", 0.004, -0.004, 4, 0, 0, 0},
    {"corners", 90, 180, 8849, 9000, 18000, 8850},
    {"corners", -90, -180, -430, -9000, -18000, -430},
    {"elevation unknown", 1, 1, (double)NAN, 100, 100, PLACE_ELEVATION_NONE},
};

START_TEST(rounding)
{
	struct place p = place_at(rounded[_i].latitude, rounded[_i].longitude, rounded[_i].elevation);
	ROW_INT(rounded[_i].row, p.latitude_cdeg, rounded[_i].latitude_cdeg);
	ROW_INT(rounded[_i].row, p.longitude_cdeg, rounded[_i].longitude_cdeg);
	ROW_INT(rounded[_i].row, p.elevation_m, rounded[_i].elevation_m);
	/* Reading it back and rounding again changes nothing. */
	struct place again = place_at(place_latitude(&p), place_longitude(&p), place_elevation(&p));
	ROW_TRUE(rounded[_i].row, place_same(&p, &again));
}
END_TEST

static const struct {
	const char *row;
	double lat1, lon1, lat2, lon2, km, tol;
} distances[] = {
    {"nothing", 44.31, -89.9, 44.31, -89.9, 0, 1e-9},
    {"a quarter of a great circle: R pi/2", 0, 0, 90, 0, 10007.557221, 1e-5},
    {"half of one, along the equator: R pi", 0, -90, 0, 90, 20015.114442, 1e-5},
    {"antipodes, where the haversine is good to a metre", 40, 20, -40, -160, 20015.114442, 1e-3},
    {"one degree of a meridian: R pi/180", 10, 33, 11, 33, 111.195080, 1e-5},
    {"over the date line: as 2 degrees of the equator", 0, 179, 0, -179, 222.390161, 1e-5},
    /* A textbook pair for the haversine (from memory): 36.12 N 86.67 W to 33.94 N 118.40 W is
       2887.25995 km with R = 6372.8 km; scaled to our radius. */
    {"textbook pair", 36.12, -86.67, 33.94, -118.40, 2887.2599506 * 6371.0088 / 6372.8, 1e-4},
};

START_TEST(distance)
{
	struct place p = place_at(distances[_i].lat1, distances[_i].lon1, 0);
	ROW_NEAR(distances[_i].row, place_distance_km(&p, distances[_i].lat2, distances[_i].lon2), distances[_i].km,
		 distances[_i].tol);
	struct place q = place_at(distances[_i].lat2, distances[_i].lon2, 0);
	ROW_NEAR(distances[_i].row, place_distance_km(&q, distances[_i].lat1, distances[_i].lon1), distances[_i].km,
		 distances[_i].tol);
}
END_TEST

START_TEST(sameness)
{
	struct place a = place_at(44.31, -89.90, 330), b = a;
	ck_assert(place_same(&a, &b));
	b.latitude_cdeg++;
	ck_assert(!place_same(&a, &b));
	b = a;
	b.longitude_cdeg--;
	ck_assert(!place_same(&a, &b));
	b = a;
	b.elevation_m = PLACE_ELEVATION_NONE;
	ck_assert(!place_same(&a, &b));
	ck_assert(isnan(place_elevation(&b)));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("place");
	TCase *c = tcase_create("place");
	tcase_add_loop_test(c, rounding, 0, (int)(sizeof rounded / sizeof rounded[0]));
	tcase_add_loop_test(c, distance, 0, (int)(sizeof distances / sizeof distances[0]));
	tcase_add_test(c, sameness);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
