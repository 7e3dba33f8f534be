#include <math.h>

#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "season/standing.h"

static struct crops crops;
static struct garden garden;
static struct season_state state;

static void setup(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_state(&garden, &state);
}

#define NOON_SUN 0.9
static const struct standing_need NEED = {
    .hours = 3, .least = 2, .day_c = 12.5, .gust_ms = 7, .rain_mm = 2.5, .hot_c = 32, .sun_wm2 = 700, .shy = true};

/* 12.5 C is 54.5 F; 7 m/s are 15.7 mph.  Hours by the clock of the invented garden; from < 0: none. */
static const struct {
	const char *name;
	struct bed_weather w;
	int wanted, not_before; /* o'clock */
	enum standing_bar bar;
	int from, to;
	enum standing_bar then;
} rows[] = {
    {"grey, mild, still: the warmest", {50, 65, 5, 5, 0, 0, 0, 0, 0, 0.3}, 3, 0, STANDING_FIT, 14, 17, STANDING_FIT},
    {"five hours of it", {50, 65, 5, 5, 0, 0, 0, 0, 0, 0.3}, 5, 0, STANDING_FIT, 13, 18, STANDING_FIT},
    {"gusts from noon on: before them",
     {50, 65, 5, 25, 12, 20, 0, 0, 0, 0.3},
     3,
     0,
     STANDING_FIT,
     9,
     12,
     STANDING_WIND},
    {"fewer hours than wanted", {50, 65, 5, 25, 11, 20, 0, 0, 0, 0.3}, 5, 0, STANDING_FIT, 8, 11, STANDING_WIND},
    {"gusts all day", {50, 65, 25, 25, 0, 0, 0, 0, 0, 0.3}, 3, 0, STANDING_WIND, -1, -1, STANDING_FIT},
    {"cold", {40, 51, 5, 5, 0, 0, 0, 0, 0, 0.3}, 3, 0, STANDING_COLD, -1, -1, STANDING_FIT},
    {"an hour over the line is too short",
     {40, 54.8, 5, 5, 0, 0, 0, 0, 0, 0.3},
     3,
     0,
     STANDING_COLD,
     -1,
     -1,
     STANDING_FIT},
    {"cold and windy is cold", {40, 51, 25, 25, 0, 0, 0, 0, 0, 0.3}, 3, 0, STANDING_COLD, -1, -1, STANDING_FIT},
    {"hard rain in the afternoon", {50, 65, 5, 5, 0, 0, 4, 13, 20, 0.3}, 3, 0, STANDING_FIT, 10, 13, STANDING_RAIN},
    {"hard rain all day", {50, 65, 5, 5, 0, 0, 4, 0, 24, 0.3}, 3, 0, STANDING_RAIN, -1, -1, STANDING_FIT},
    {"a drizzle bars nothing", {50, 65, 5, 5, 0, 0, 1, 0, 24, 0.3}, 3, 0, STANDING_FIT, 14, 17, STANDING_FIT},
    {"strong sun: after it", {60, 75, 5, 5, 0, 0, 0, 0, 0, NOON_SUN}, 3, 0, STANDING_FIT, 15, 18, STANDING_FIT},
    {"hot: warmth over 24 C does not draw",
     {70, 100, 5, 5, 0, 0, 0, 0, 0, NOON_SUN},
     3,
     0,
     STANDING_FIT,
     7,
     10,
     STANDING_FIT},
    {"a note of the afternoon", {50, 65, 5, 5, 0, 0, 0, 0, 0, 0.3}, 3, 16, STANDING_FIT, 16, 19, STANDING_FIT},
    {"daylight nearly over", {50, 65, 5, 5, 0, 0, 0, 0, 0, 0.3}, 3, 18, STANDING_FIT, 18, 20, STANDING_FIT},
    {"daylight over", {50, 65, 5, 5, 0, 0, 0, 0, 0, 0.3}, 3, 20, STANDING_OVER, -1, -1, STANDING_FIT},
};

START_TEST(windows)
{
	const char *row = rows[_i].name;
	struct standing_need need = NEED;
	need.hours = rows[_i].wanted;
	bed_hours(&state, 0, &rows[_i].w);
	const struct dayhours *d = season_hours(&state, bed_day(0));
	struct standing s = standing_of(d, &need, d->first + (int64_t)rows[_i].not_before * HOUR_S);
	ROW_INT(row, s.bar, rows[_i].bar);
	ROW_INT(row, s.then, rows[_i].then);
	if (rows[_i].from < 0) {
		ROW_TRUE(row, s.from == INSTANT_NONE && s.to == INSTANT_NONE && s.hours == 0);
		return;
	}
	ROW_INT(row, (s.from - d->first) / HOUR_S, rows[_i].from);
	ROW_INT(row, (s.to - d->first) / HOUR_S, rows[_i].to);
}
END_TEST

START_TEST(nothing_known)
{
	const struct dayhours *d = season_hours(&state, bed_day(1));
	struct standing s = standing_of(d, &NEED, INSTANT_NONE);
	ROW_INT("no hours", s.bar, STANDING_UNKNOWN);
	ROW_TRUE("no hours", isnan(s.warmest_c) && isnan(s.gust_ms));
	/* Without wind, rain and sun temperature alone decides. */
	bed_hours(&state, 1, &(struct bed_weather){50, 65, 5, 5, 0, 0, 0, 0, 0, 0.3});
	for (int i = 0; i < 24; i++) {
		struct dayhour *h = &state.hours[STATE_HOURS_BEFORE + 1].hour[i];
		h->gust_ms = h->wind_ms = h->rain_mm = h->sun_wm2 = (double)NAN;
	}
	s = standing_of(d, &NEED, INSTANT_NONE);
	ROW_INT("temperature alone", s.bar, STANDING_FIT);
	ROW_INT("temperature alone", (s.from - d->first) / HOUR_S, 14);
}
END_TEST

/* Whatever the day: no hour of a window is barred, no window is longer than wanted or shorter than the least, and
 * none is as long with more warmth over gusts (by trying all). */
START_TEST(no_better_window)
{
	unsigned seed = 7;
	for (int round = 0; round < 2000; round++) {
		struct dayhours *d = &state.hours[STATE_HOURS_BEFORE];
		bed_hours(&state, 0, &(struct bed_weather){50, 65, 5, 5, 0, 0, 0, 0, 0, 0.3});
		for (int i = 0; i < d->n; i++) {
			seed = seed * 1103515245u + 12345u;
			d->hour[i].air_c = 8 + (seed >> 16) % 120 / 10.0;
			seed = seed * 1103515245u + 12345u;
			d->hour[i].gust_ms = (seed >> 16) % 90 / 10.0;
			seed = seed * 1103515245u + 12345u;
			d->hour[i].rain_mm = (seed >> 16) % 5 == 0 ? 3 : 0;
		}
		struct standing s = standing_of(d, &NEED, INSTANT_NONE);
		int longest = 0, first = -1;
		double most = -1e9;
		for (int hours = NEED.least; hours <= NEED.hours; hours++) {
			for (int from = 0; from + hours <= d->n; from++) {
				double worth = 0;
				bool fit = true;
				for (int i = from; i < from + hours; i++) {
					const struct dayhour *h = &d->hour[i];
					fit =
					    fit && h->light && h->air_c >= 12.5 && h->gust_ms <= 7 && h->rain_mm < 2.5;
					worth += h->air_c - h->gust_ms / 2;
				}
				if (fit && (hours > longest || worth > most + 1e-9)) {
					longest = hours;
					most = worth;
					first = from;
				}
			}
		}
		ROW_MSG(s.hours == longest, "round %d: %d hours, want %d", round, s.hours, longest);
		if (longest > 0)
			ROW_MSG((s.from - d->first) / HOUR_S == first, "round %d: from %d, want %d", round,
				(int)((s.from - d->first) / HOUR_S), first);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("standing");
	TCase *t = tcase_create("standing");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, windows, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, nothing_known);
	tcase_add_test(t, no_better_window);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
