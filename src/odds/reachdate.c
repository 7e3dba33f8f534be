#include "odds/reachdate.h"

#include <math.h>
#include <string.h>

#include "odds/frostdate.h"
#include "odds/runs.h"

static const double STEP_C = 0.1; /* stations report in tenths C (GHCN-Daily readme) */

struct pass {
	int year;
	struct date last; /* of the low before */
	int known, run;   /* lows of this year; nights in a row up to now */
	double day;       /* of its date; NaN as long as there is none */
	int known_at;     /* lows up to it */
};

static void close_year(const struct pass *p, struct yeardate *y)
{
	double missing = isnan(p->day) ? YEAR_DAYS - p->known : p->day - p->known_at;
	if (p->known > 0 && missing <= FROSTDATE_MISSING)
		yeardate_add(y, p->day);
}

void reachdate_of(const struct station_day *day, size_t n, const char *station, bool south, double line_c, int nights,
		  struct yeardate *y)
{
	struct pass p = {.last = date_none(), .day = NAN};
	double from_c = runs_reads_over_c(line_c, STEP_C);
	yeardate_start(y, YEARDATE_FIRST);
	for (size_t i = 0; i < n; i++) {
		struct date d = day[i].date;
		if (isnan(day[i].tmin_c) || strcmp(day[i].station, station) != 0)
			continue;
		int year = frostdate_year(south, d);
		if (year != p.year) {
			close_year(&p, y);
			p = (struct pass){.year = year, .last = date_none(), .day = NAN};
		}
		p.known += !yearday_of(d).leap_day;
		bool follows = p.run > 0 && date_diff(d, p.last) == 1;
		p.run = day[i].tmin_c >= from_c ? (follows ? p.run : 0) + 1 : 0;
		p.last = d;
		if (p.run >= nights && isnan(p.day)) {
			p.day = frostdate_day(south, d);
			p.known_at = p.known;
		}
	}
	/* A year that still runs would count where it came early, and not where it did not. */
	if (date_is(p.last) && frostdate_day(south, p.last) >= YEAR_DAYS - FROSTDATE_MISSING)
		close_year(&p, y);
	yeardate_close(y);
}
