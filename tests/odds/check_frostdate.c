#include "odds/frostdate.h"

#include <stdbool.h>
#include <string.h>

#include "base/text.h"
#include "lib/harness.h"

#define NONE        ((double)NAN)
#define COUNT(rows) (sizeof(rows) / sizeof *(rows))

enum { FIRST_YEAR = 1991, DAYS_MAX = 32 * 366 };

/* An invented station. */
static struct station_day days[DAYS_MAX];
static size_t n;
static struct frostdate f;

static void add(struct date d, double low_c, const char *station)
{
	struct station_day s = {.date = d, .tmin_c = low_c, .tmax_c = NONE, .rain_mm = NONE};
	ck_assert(text_copy(s.station, sizeof s.station, station));
	ck_assert(n < DAYS_MAX);
	days[n++] = s;
}

/* Whole years of seasons, every low 8 C. */
static void mild(bool south, int years)
{
	n = 0;
	struct date end = frostdate_date(south, FIRST_YEAR + years, 1);
	for (struct date d = frostdate_date(south, FIRST_YEAR, 1); d.n < end.n; d = date_add(d, 1))
		add(d, 8, "meadow");
}

static void set(struct date d, double low_c)
{
	int i = date_diff(d, days[0].date);
	ck_assert(i >= 0 && (size_t)i < n);
	days[i].tmin_c = low_c;
}

static void set_span(struct date from, int count, double low_c)
{
	for (int i = 0; i < count; i++)
		set(date_add(from, i), low_c);
}

static const struct frostdate_line *at(enum frostdate_at line, bool south)
{
	frostdate_of(days, n, "meadow", south, &f);
	return &f.at[line];
}

/* Thirty last frosts of spring, days of the year, invented; autumn is the same year's 400 less that. */
static const double spring[] = {112, 98,  121, 105, 109, 117, 94,  103, 126, 110, 101, 115, 108, 119, 97,
				106, 113, 104, 122, 100, 111, 107, 116, 95,  118, 102, 114, 99,  120, 109};

static void thirty_years(bool south)
{
	mild(south, COUNT(spring));
	for (size_t i = 0; i < COUNT(spring); i++) {
		int year = FIRST_YEAR + (int)i;
		set(frostdate_date(south, year, spring[i] - 20), -4);
		set(frostdate_date(south, year, spring[i]), -1);
		set(frostdate_date(south, year, 400 - spring[i]), -1);
		set(frostdate_date(south, year, 420 - spring[i]), -4);
	}
}

static const struct {
	bool south;
} sides[] = {{false}, {true}};

START_TEST(dates_of_thirty_years)
{
	bool south = sides[_i].south;
	thirty_years(south);
	const struct frostdate_line *l = at(FROSTDATE_32F, south);
	ROW_INT("kind", l->kind, FROSTDATE_DATED);
	ROW_INT("years", l->spring.years, 30);
	ROW_INT("years", l->autumn.years, 30);
	ROW_NEAR("derived here: mean", l->spring.mean, 109.0333, 5e-5);
	ROW_NEAR("derived here: spread", l->spring.spread, 8.6681, 5e-5);
	ROW_NEAR("derived here: 90 %", yeardate_normal(&l->spring, 0.9), 97.925, 6e-4);
	ROW_NEAR("derived here: 50 %", yeardate_normal(&l->spring, 0.5), 109.033, 6e-4);
	ROW_NEAR("derived here: 10 %", yeardate_normal(&l->spring, 0.1), 120.142, 6e-4);
	ROW_NEAR("derived here: 10 %, Weibull", yeardate_counted(&l->spring, 0.1, YEARDATE_RANK_WEIBULL), 120.9, 1e-9);
	ROW_NEAR("derived here: later than 115", yeardate_normal_chance(&l->spring, 115), 0.2456, 6e-5);
	ROW_NEAR("derived here: later than 115", yeardate_counted_chance(&l->spring, 115), 0.2667, 6e-5);
	ROW_NEAR("mirrored: mean", l->autumn.mean, 400 - 109.0333, 5e-5);
	ROW_NEAR("mirrored: 10 %", yeardate_normal(&l->autumn, 0.1), 400 - 120.142, 6e-4);
	ROW_NEAR("mirrored: by 285", yeardate_counted_chance(&l->autumn, 284.5), 0.2667, 6e-5);
	/* Twenty days earlier, twenty later: the frosts of -4 C. */
	l = &f.at[FROSTDATE_28F];
	ROW_NEAR("28 F", l->spring.mean, 109.0333 - 20, 5e-5);
	ROW_NEAR("28 F", l->autumn.mean, 420 - 109.0333, 5e-5);
	ROW_NEAR("36 F is 32 F here", f.at[FROSTDATE_36F].spring.mean, 109.0333, 5e-5);
}
END_TEST

/* Seven years of ten have a frost, with a mean of 60 and a spread of 14 (autumn 330 and 12). */
START_TEST(years_without)
{
	const double part[10] = {0, 1, -1, 1, -1, 1, -1, NONE, NONE, NONE};
	mild(false, 10);
	for (int i = 0; i < 10; i++)
		if (!isnan(part[i])) {
			set(yearday_date(FIRST_YEAR + i, 60 + 14 * part[i]), -1);
			set(yearday_date(FIRST_YEAR + i, 330 + 12 * part[i]), -1);
		}
	const struct frostdate_line *l = at(FROSTDATE_32F, false);
	ROW_INT("years", l->spring.years, 10);
	ROW_INT("with", l->spring.with, 7);
	ROW_NEAR("derived here: spring 0.5", yeardate_normal(&l->spring, 0.5), 52.077, 6e-4);
	ROW_NEAR("derived here: spring 0.3", yeardate_normal(&l->spring, 0.3), 62.520, 6e-4);
	ROW_NEAR("derived here: spring 0.1", yeardate_normal(&l->spring, 0.1), 74.946, 6e-4);
	ROW_TRUE("derived here: spring 0.9", isnan(yeardate_normal(&l->spring, 0.9)));
	ROW_NEAR("derived here: autumn 0.5", yeardate_normal(&l->autumn, 0.5), 336.791, 6e-4);
	ROW_NEAR("derived here: autumn 0.3", yeardate_normal(&l->autumn, 0.3), 327.840, 6e-4);
	ROW_NEAR("derived here: autumn 0.1", yeardate_normal(&l->autumn, 0.1), 317.189, 6e-4);
}
END_TEST

/* Whole degrees F as stations write them, in tenths C: as cold or colder counts. */
static const struct {
	double low_c;
	bool frost[FROSTDATE_LINES];
} readings[] = {
    {2.3, {false, false, false}}, {2.2, {true, false, false}}, {0.1, {true, false, false}}, {0.0, {true, true, false}},
    {-0.5, {true, true, false}},  {-2.1, {true, true, false}}, {-2.2, {true, true, true}},  {-40, {true, true, true}},
};

START_TEST(lines)
{
	mild(false, 5);
	set(yearday_date(FIRST_YEAR + 2, 110), readings[_i].low_c);
	set(yearday_date(FIRST_YEAR + 2, 290), readings[_i].low_c);
	for (int line = 0; line < FROSTDATE_LINES; line++) {
		const struct frostdate_line *l = at((enum frostdate_at)line, false);
		ROW_MSG(l->spring.with == readings[_i].frost[line] && l->autumn.with == readings[_i].frost[line],
			"%g C, line %d: %d in spring, %d in autumn", readings[_i].low_c, line, l->spring.with,
			l->autumn.with);
		ROW_INT("as cold or colder", l->kind, readings[_i].frost[line] ? FROSTDATE_DATED : FROSTDATE_NEVER);
	}
}
END_TEST

/* Days missing in the third of six years, whose frosts are on day 110 and 290: is the year used? */
static const struct {
	const char *name;
	int from, count;
	int spring, autumn; /* years used */
} gaps[] = {
    {"ten after the last of spring", 115, 10, 6, 6},
    {"eleven after it", 115, 11, 5, 6},
    {"two months before it", 30, 60, 6, 6},
    {"from 103 on for ten, the frost itself among them", 103, 10, 6, 6},
    {"ten before the first of autumn", 230, 10, 6, 6},
    {"eleven before it", 230, 11, 6, 5},
    {"two months after it", 295, 60, 6, 6},
    {"ten round the turn of the sides", 208, 10, 6, 6},
    {"all of the year", 1, 365, 5, 5},
    {"half of the year", 1, 212, 5, 6},
};

START_TEST(missing_days)
{
	mild(false, 6);
	for (int i = 0; i < 6; i++) {
		set(yearday_date(FIRST_YEAR + i, 110), -1);
		set(yearday_date(FIRST_YEAR + i, 290), -1);
	}
	set_span(yearday_date(FIRST_YEAR + 2, gaps[_i].from), gaps[_i].count, NONE);
	const struct frostdate_line *l = at(FROSTDATE_32F, false);
	ROW_INT(gaps[_i].name, l->spring.years, gaps[_i].spring);
	ROW_INT(gaps[_i].name, l->autumn.years, gaps[_i].autumn);
}
END_TEST

/* The same days not missing but not there: a station has no row for them. */
START_TEST(years_that_are_not_there)
{
	thirty_years(false);
	size_t kept = 0;
	for (size_t i = 0; i < n; i++) {
		int year = yearday_of(days[i].date).year;
		if (year < 2000 || year > 2008)
			days[kept++] = days[i];
	}
	n = kept;
	const struct frostdate_line *l = at(FROSTDATE_32F, false);
	ROW_INT("nine years less", l->spring.years, 21);
	ROW_INT("nine years less", l->autumn.years, 21);
}
END_TEST

/* Where the days end: a spring must be over, an autumn too, though it has frozen. */
static const struct {
	const char *name;
	int last_day; /* of the seventh year */
	int spring, autumn;
} ends[] = {
    {"31 December", 365, 7, 7}, {"21 December", 355, 7, 7},
    {"20 December", 354, 7, 6}, {"1 November", 305, 7, 6},
    {"31 July", 212, 7, 6},     {"21 July: ten to go", 202, 7, 6},
    {"20 July", 201, 6, 6},     {"the evening of a frost", 110, 6, 6},
};

START_TEST(running_year)
{
	mild(false, 7);
	for (int i = 0; i < 7; i++) {
		set(yearday_date(FIRST_YEAR + i, 110), -1);
		set(yearday_date(FIRST_YEAR + i, 290), -1);
	}
	n = (size_t)date_diff(yearday_date(FIRST_YEAR + 6, ends[_i].last_day), days[0].date) + 1;
	const struct frostdate_line *l = at(FROSTDATE_32F, false);
	ROW_INT(ends[_i].name, l->spring.years, ends[_i].spring);
	ROW_INT(ends[_i].name, l->autumn.years, ends[_i].autumn);
}
END_TEST

static const struct {
	const char *name;
	int years;
	enum frostdate_kind kind;
} counts[] = {
    {"no year", 0, FROSTDATE_TOO_FEW},  {"three years", 3, FROSTDATE_TOO_FEW}, {"four years", 4, FROSTDATE_TOO_FEW},
    {"five years", 5, FROSTDATE_DATED}, {"nine years", 9, FROSTDATE_DATED},
};

START_TEST(too_few_years)
{
	mild(false, 30);
	for (int i = 0; i < 30; i++)
		set(yearday_date(FIRST_YEAR + i, 100 + i), -1);
	n = (size_t)date_diff(yearday_date(FIRST_YEAR + counts[_i].years, 1), days[0].date);
	const struct frostdate_line *l = at(FROSTDATE_32F, false);
	ROW_INT(counts[_i].name, l->kind, counts[_i].kind);
	ROW_INT(counts[_i].name, l->spring.years, counts[_i].years);
	ROW_TRUE(counts[_i].name, isnan(yeardate_normal(&l->spring, 0.5)) == (counts[_i].kind == FROSTDATE_TOO_FEW));
}
END_TEST

/* A cold night on the 15th of each month, in so many of ten years. */
static const struct {
	const char *name;
	int years, but_month; /* but_month has none; 0: all have */
	double low_c;
	enum frostdate_kind kind;
} hills[] = {
    {"no frost", 10, 0, 3, FROSTDATE_NEVER},
    {"frost in every month", 10, 0, -3, FROSTDATE_EVERY_MONTH},
    {"in every month of half of the years", 5, 0, -3, FROSTDATE_EVERY_MONTH},
    {"in every month of some years", 4, 0, -3, FROSTDATE_DATED},
    {"but July", 10, 7, -3, FROSTDATE_DATED},
    {"but August", 10, 8, -3, FROSTDATE_DATED},
};

START_TEST(every_month)
{
	for (int south = 0; south < 2; south++) {
		mild(south, 10);
		for (int i = 0; i < hills[_i].years; i++)
			for (int month = 1; month <= 12; month++) {
				struct date d;
				int year = FIRST_YEAR + i + (south && month < 7);
				ck_assert(date_of(year, month, 15, &d));
				if (month != hills[_i].but_month)
					set(d, hills[_i].low_c);
			}
		ROW_INT(hills[_i].name, at(FROSTDATE_32F, south)->kind, hills[_i].kind);
	}
}
END_TEST

/* Frost all year where the station is silent in winter: nobody knows of every month. */
START_TEST(silent_months)
{
	mild(false, 10);
	for (size_t i = 0; i < n; i++)
		days[i].tmin_c = yearday_of(days[i].date).month >= 5 ? -3 : NONE;
	ROW_INT("silent till May", at(FROSTDATE_32F, false)->kind, FROSTDATE_DATED);
}
END_TEST

/* 29 February is another 28 February, north and south. */
START_TEST(leap_days)
{
	struct date leap;
	ck_assert(date_of(1996, 2, 29, &leap));
	for (int south = 0; south < 2; south++) {
		mild(south, 6);
		set(leap, -1);
		const struct frostdate_line *l = at(FROSTDATE_32F, south);
		const struct yeardate *side = south ? &l->autumn : &l->spring;
		ROW_INT("one year with it", side->with, 1);
		ROW_INT("all years used", side->years, 6);
		ROW_NEAR("its day", side->day[0], south ? 59 + 184 : 59, 0);
	}
	/* Its low stands for none of the eleven that are missing. */
	mild(false, 6);
	for (int i = 0; i < 6; i++)
		set(yearday_date(FIRST_YEAR + i, 40), -1);
	set_span(yearday_date(1996, 120), FROSTDATE_MISSING + 1, NONE);
	ROW_INT("a leap day is no other day", at(FROSTDATE_32F, false)->spring.years, 5);
}
END_TEST

START_TEST(one_station_alone)
{
	thirty_years(false);
	size_t all = n;
	static struct station_day both[2 * DAYS_MAX];
	for (size_t i = 0; i < all; i++) {
		both[2 * i] = days[i];
		both[2 * i + 1] = days[i];
		both[2 * i + 1].tmin_c = -10;
		ck_assert(text_copy(both[2 * i + 1].station, STATION_ID_SIZE, "ridge"));
	}
	frostdate_of(both, 2 * all, "meadow", false, &f);
	ROW_NEAR("as if alone", f.at[FROSTDATE_32F].spring.mean, 109.0333, 5e-5);
	ROW_INT("as if alone", f.at[FROSTDATE_32F].spring.years, 30);
	frostdate_of(both, 2 * all, "nobody", false, &f);
	ROW_INT("unknown station", f.at[FROSTDATE_32F].kind, FROSTDATE_TOO_FEW);
}
END_TEST

static const struct {
	const char *date;
	bool south;
	int year, day;
} seasons[] = {
    {"2026-01-01", false, 2026, 1},   {"2026-07-31", false, 2026, 212}, {"2026-08-01", false, 2026, 213},
    {"2026-12-31", false, 2026, 365}, {"2026-06-30", true, 2025, 365},  {"2026-07-01", true, 2026, 1},
    {"2026-12-31", true, 2026, 184},  {"2027-01-01", true, 2026, 185},  {"2027-01-31", true, 2026, 215},
    {"2027-02-01", true, 2026, 216},  {"2028-03-01", true, 2027, 244},
};

START_TEST(season_calendar)
{
	struct date d;
	struct fault fault;
	char text[DATE_TEXT_SIZE];
	ck_assert(!date_parse(seasons[_i].date, &d, &fault));
	ROW_INT(seasons[_i].date, frostdate_year(seasons[_i].south, d), seasons[_i].year);
	ROW_NEAR(seasons[_i].date, frostdate_day(seasons[_i].south, d), seasons[_i].day, 0);
	ROW_STR(seasons[_i].date, date_text(frostdate_date(seasons[_i].south, seasons[_i].year, seasons[_i].day), text),
		seasons[_i].date);
	ROW_TRUE("no day", !date_is(frostdate_date(seasons[_i].south, 2026, NONE)));
}
END_TEST

#define LOOP(tc, fn, rows) tcase_add_loop_test(tc, fn, 0, COUNT(rows))

static Suite *suite(void)
{
	Suite *s = suite_create("frostdate");
	TCase *tc = tcase_create("frostdate");
	LOOP(tc, dates_of_thirty_years, sides);
	tcase_add_test(tc, years_without);
	LOOP(tc, lines, readings);
	LOOP(tc, missing_days, gaps);
	tcase_add_test(tc, years_that_are_not_there);
	LOOP(tc, running_year, ends);
	LOOP(tc, too_few_years, counts);
	LOOP(tc, every_month, hills);
	tcase_add_test(tc, silent_months);
	tcase_add_test(tc, leap_days);
	tcase_add_test(tc, one_station_alone);
	LOOP(tc, season_calendar, seasons);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
