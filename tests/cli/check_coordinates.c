/*
 * Coordinates in all the forms that maps and people write; values by hand: minutes are sixtieths.
 */
#include "cli/coordinates.h"

#include <string.h>

#include "lib/harness.h"

static const struct {
	const char *s;
	double latitude, longitude;
} right[] = {
    {"44.31, -89.90", 44.31, -89.90},
    {"44.31,-89.90", 44.31, -89.90},
    {"44.31 -89.90", 44.31, -89.90},
    {"  +44.31 ;  -89.9 ", 44.31, -89.90},
    {"44, -89", 44, -89},
    {"-33.87 151.21", -33.87, 151.21},
    {"44.31 N 89.90 W", 44.31, -89.90},
    {"44.31N, 89.90W", 44.31, -89.90},
    {"n44.31 w89.90", 44.31, -89.90},
    {"N 44.31, W 89.90", 44.31, -89.90},
    {"89.90 W, 44.31 N", 44.31, -89.90},
    {"W 89.90 N 44.31", 44.31, -89.90},
    {"33.87 S 151.21 E", -33.87, 151.21},
    {"44 18.6 N, 89 54 W", 44.31, -89.90},
    {"44 18 36 N 89 54 0 W", 44.31, -89.90},
    {"N44 18.6 W89 54", 44.31, -89.90},
    {"44\u00b018.6' N 89\u00b054' W", 44.31, -89.90},
    {"44\u00b018'36\"N 89\u00b054'0\"W", 44.31, -89.90},
    {"44\u00b018\u203236\u2033N, 89\u00b054\u2032W", 44.31, -89.90},
    {"44\u00b0 18\u2019 36\u201d N 89\u00b0 54\u2019 W", 44.31, -89.90},
    {"44\u00ba18'36''N 89\u00ba54'W", 44.31, -89.90},
    {"44.31\u00b0, \u221289.90\u00b0", 44.31, -89.90},
    {"44.31\u00a0N\u00a089.90\u00a0W", 44.31, -89.90},
    {"44\u00b018.6', -89\u00b054'", 44.31, -89.90},
    {"0, 0", 0, 0},
    {"90 N 180 W", 90, -180},
};

START_TEST(reads)
{
	struct fault f = {0};
	double north = NAN, east = NAN;
	ck_assert_msg(coordinates_parse(right[_i].s, &north, &east, &f) == FAULT_NONE, "%s: %s", right[_i].s, f.text);
	ROW_NEAR(right[_i].s, north, right[_i].latitude, 1e-9);
	ROW_NEAR(right[_i].s, east, right[_i].longitude, 1e-9);
}
END_TEST

static const struct {
	const char *s, *says;
} wrong[] = {
    {"", "is no latitude and longitude; as 44.31, -89.90"},
    {"44.31", "is no latitude and longitude"},
    {"44.31 N", "is no latitude and longitude"},
    {"here", "is no latitude and longitude"},
    {"44,31 89,9", "write decimals with a point"},
    {"48,13", "write decimals with a point"},
    {"44,31 N 89,90 W", "write decimals with a point"},
    {"44.31, -89.90, 330", "is no latitude and longitude"},
    {"44 18 89 54", "is no latitude and longitude"},
    {"44.31 N 33.87 S", "is no latitude and longitude"},
    {"44.31 N -89.90 W", "is no latitude and longitude"},
    {"44.31 N 89.90", "is no latitude and longitude"},
    {"44 60 N 89 54 W", "is no latitude and longitude"},
    {"44 18 60 N 89 54 W", "is no latitude and longitude"},
    {"44.5 18 N 89 54 W", "is no latitude and longitude"},
    {"44 18 36 1 N 89 54 W", "is no latitude and longitude"},
    {"44.31 N W 89.90 E", "is no latitude and longitude"},
    {"0x44, 0x10", "is no latitude and longitude"},
    {"nan, nan", "is no latitude and longitude"},
    {"91, 10", "latitude 91 is outside -90..90"},
    {"-89.90, 44.31, ", "is no latitude and longitude"},
    {"10, 180.5", "longitude 180.5 is outside -180..180"},
    {"95 S 10 E", "latitude -95 is outside -90..90"},
    {"44.31 N 89.90 W 44.31 N 89.90 W 44.31 N 89.90 W 44.31 N 89.90 W 44.31 N 89.90 W 44.31 N 89.90 W 44.31 N 89.90 W "
     "44.31 N 89.90 W 44.31 N 89.90 W",
     "is no latitude and longitude"},
};

START_TEST(refuses)
{
	struct fault f = {0};
	double north = 7, east = 8;
	ROW_INT(wrong[_i].s, coordinates_parse(wrong[_i].s, &north, &east, &f), FAULT_CONFIG);
	ck_assert_msg(strstr(f.text, wrong[_i].says) != NULL, "%s: says %s", wrong[_i].s, f.text);
	ROW_TRUE(wrong[_i].s, north == 7 && east == 8);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("coordinates");
	TCase *t = tcase_create("coordinates");
	tcase_add_loop_test(t, reads, 0, sizeof right / sizeof right[0]);
	tcase_add_loop_test(t, refuses, 0, sizeof wrong / sizeof wrong[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
