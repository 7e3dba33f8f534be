/*
 * Guesses of the zone, out of folders that stand for /etc; and the town of a zone.
 */
#include "base/zoneguess.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "lib/harness.h"
#include "lib/scratch.h"

static const struct {
	const char *row, *link, *timezone, *zone; /* NULL: not there; "" no guess */
} guesses[] = {
    {"a link", "/usr/share/zoneinfo/America/Chicago", NULL, "America/Chicago"},
    {"a link from beside", "../usr/share/zoneinfo/Europe/Berlin", NULL, "Europe/Berlin"},
    {"the link goes before the name", "/usr/share/zoneinfo/Asia/Tokyo", "Europe/Paris\n", "Asia/Tokyo"},
    {"three words", "/usr/share/zoneinfo/America/Indiana/Knox", NULL, "America/Indiana/Knox"},
    {"no link, a name", NULL, "Australia/Hobart\n", "Australia/Hobart"},
    {"a name without a line's end", NULL, "Pacific/Auckland", "Pacific/Auckland"},
    {"UTC is of no place", "/usr/share/zoneinfo/Etc/UTC", NULL, ""},
    {"UTC by its short name", "/usr/share/zoneinfo/UTC", NULL, ""},
    {"a link of UTC, and a name", "/usr/share/zoneinfo/Etc/UTC", "America/Denver\n", "America/Denver"},
    {"a link elsewhere", "/somewhere/America/Chicago", NULL, ""},
    {"a zone that is none", "/usr/share/zoneinfo/America/Chigago", NULL, ""},
    {"a name that is none", NULL, "Middle/Earth\n", ""},
    {"out of the folder", NULL, "../../../../etc/passwd\n", ""},
    {"nothing in the file", NULL, "\n", ""},
    {"nothing there", NULL, NULL, ""},
};

START_TEST(guesses_the_zone)
{
	char folder[SCRATCH_SIZE], path[SCRATCH_SIZE], zone[ZONE_NAME_SIZE] = "x";
	scratch_make(folder);
	if (guesses[_i].link != NULL) {
		scratch_path(folder, "localtime", path);
		ck_assert_int_eq(symlink(guesses[_i].link, path), 0);
	}
	if (guesses[_i].timezone != NULL) {
		scratch_path(folder, "timezone", path);
		FILE *file = fopen(path, "w");
		ck_assert_ptr_nonnull(file);
		fputs(guesses[_i].timezone, file);
		fclose(file);
	}
	bool is = zoneguess_machine(folder, zone);
	scratch_remove(folder);
	ROW_STR(guesses[_i].row, zone, guesses[_i].zone);
	ROW_INT(guesses[_i].row, is, guesses[_i].zone[0] != '\0');
}
END_TEST

/* Coordinates: the towns' own, by any map, to half a degree. */
static const struct {
	const char *zone, *country;
	double latitude, longitude;
} towns[] = {
    {"America/Chicago", "US", 41.88, -87.63},
    {"Europe/Berlin", "DE", 52.52, 13.40},
    {"Australia/Sydney", "AU", -33.87, 151.21},
    {"America/Argentina/Ushuaia", "AR", -54.80, -68.30},
    {"America/Indiana/Knox", "US", 41.30, -86.62}, /* in the list with seconds */
    {"Etc/UTC", "", NAN, NAN},
    {"America", "", NAN, NAN},
};

START_TEST(knows_the_town_of_a_zone)
{
	struct zoneguess_town town;
	zoneguess_town(towns[_i].zone, &town);
	ROW_STR(towns[_i].zone, town.country, towns[_i].country);
	if (isnan(towns[_i].latitude)) {
		ROW_TRUE(towns[_i].zone, isnan(town.latitude) && isnan(town.longitude));
	} else {
		ROW_NEAR(towns[_i].zone, town.latitude, towns[_i].latitude, 0.5);
		ROW_NEAR(towns[_i].zone, town.longitude, towns[_i].longitude, 0.5);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("zoneguess");
	TCase *t = tcase_create("zoneguess");
	tcase_add_loop_test(t, guesses_the_zone, 0, sizeof guesses / sizeof guesses[0]);
	tcase_add_loop_test(t, knows_the_town_of_a_zone, 0, sizeof towns / sizeof towns[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
