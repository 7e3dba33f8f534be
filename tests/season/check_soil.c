#include <math.h>
#include <stdio.h>

#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "season/soil.h"

static struct entry reading(int day, const char *bed, double c)
{
	struct entry e = {.date = bed_day(day), .amount = c};
	snprintf(e.verb, sizeof e.verb, "%s", verb_word(VERB_SOIL));
	snprintf(e.bed, sizeof e.bed, "%s", bed);
	return e;
}

static const struct {
	const char *name;
	int day[3];
	const char *bed[3];
	double c[3];
	size_t n;
	double want_c; /* NaN: none counts */
	int read;
} rows[] = {
    {"none", {0}, {""}, {0}, 0, (double)NAN, 0},
    {"of its bed", {-2}, {"south"}, {15}, 1, 15, -2},
    {"of another", {-2}, {"north"}, {15}, 1, (double)NAN, 0},
    {"of no bed in particular", {-2}, {""}, {15}, 1, 15, -2},
    {"the last counts", {-4, -2, -1}, {"south", "south", "north"}, {12, 15, 20}, 3, 15, -2},
    {"a week old", {-7}, {"south"}, {15}, 1, 15, -7},
    {"older", {-8}, {"south"}, {15}, 1, (double)NAN, 0},
    {"of tomorrow", {1}, {"south"}, {15}, 1, (double)NAN, 0},
    {"without a number", {-1}, {"south"}, {(double)NAN}, 1, (double)NAN, 0},
};

START_TEST(readings)
{
	struct entry e[3];
	for (size_t i = 0; i < rows[_i].n; i++)
		e[i] = reading(rows[_i].day[i], rows[_i].bed[i], rows[_i].c[i]);
	struct soil s = soil_reading(&(struct diary){e, rows[_i].n}, "south", bed_day(0));
	bool none = isnan(rows[_i].want_c);
	ROW_INT(rows[_i].name, s.basis, none ? SOIL_UNKNOWN : SOIL_READ);
	ROW_TRUE(rows[_i].name, none == isnan(s.c) && none == !date_is(s.read));
	if (!none) {
		ROW_NEAR(rows[_i].name, s.c, rows[_i].want_c, 0);
		ROW_INT(rows[_i].name, date_diff(s.read, bed_day(0)), rows[_i].read);
	}
}
END_TEST

START_TEST(carried)
{
	static const struct {
		const char *name;
		double read_c, then_c, now_c, want_c;
		enum soil_basis basis;
	} row[] = {
	    {"read, and warmed since", 15, 12, 14, 17, SOIL_READ},
	    {"read, and nothing reckoned", 15, (double)NAN, 14, 15, SOIL_READ},
	    {"reckoned alone", (double)NAN, (double)NAN, 14, 14, SOIL_RECKONED},
	    {"nothing", (double)NAN, (double)NAN, (double)NAN, (double)NAN, SOIL_UNKNOWN},
	};
	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		struct soil r = {row[i].read_c, isnan(row[i].read_c) ? SOIL_UNKNOWN : SOIL_READ, date_none()};
		struct soil s = soil_carried(&r, row[i].then_c, row[i].now_c);
		ROW_INT(row[i].name, s.basis, row[i].basis);
		ROW_TRUE(row[i].name, isnan(s.c) == isnan(row[i].want_c));
		if (!isnan(s.c))
			ROW_NEAR(row[i].name, s.c, row[i].want_c, 1e-12);
	}
}
END_TEST

/* 8 am is the end of the hour that begins at 7. */
START_TEST(at_eight)
{
	struct zone z;
	zone_fixed("Test/Lane", -5 * HOUR_S, &z);
	double c[48];
	for (int i = 0; i < 48; i++)
		c[i] = i;
	struct soil_hours h = {instant_at(bed_day(0), 0, -5 * HOUR_S), 48, c};
	ROW_NEAR("first day", soil_reckoned(&h, &z, bed_day(0)), 7, 0);
	ROW_NEAR("second day", soil_reckoned(&h, &z, bed_day(1)), 31, 0);
	ROW_TRUE("before", isnan(soil_reckoned(&h, &z, bed_day(-1))));
	ROW_TRUE("after", isnan(soil_reckoned(&h, &z, bed_day(2))));
	ROW_TRUE("nothing", isnan(soil_reckoned(&(struct soil_hours){0}, &z, bed_day(0))));
}
END_TEST

START_TEST(of_a_day)
{
	struct zone z;
	zone_fixed("Test/Lane", -5 * HOUR_S, &z);
	double c[48];
	for (int i = 0; i < 48; i++)
		c[i] = i < 24 ? i : 10;
	struct soil_hours h = {instant_at(bed_day(0), 0, -5 * HOUR_S), 48, c};
	ROW_NEAR("mean of 0 to 23", soil_day(&h, &z, bed_day(0)), 11.5, 1e-12);
	c[47] = c[46] = c[45] = c[44] = (double)NAN;
	ROW_NEAR("a sixth missing", soil_day(&h, &z, bed_day(1)), 10, 1e-12);
	c[43] = (double)NAN;
	ROW_TRUE("more", isnan(soil_day(&h, &z, bed_day(1))));
	ROW_TRUE("before", isnan(soil_day(&h, &z, bed_day(-1))));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("soil");
	TCase *t = tcase_create("soil");
	tcase_add_loop_test(t, readings, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, carried);
	tcase_add_test(t, at_eight);
	tcase_add_test(t, of_a_day);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
