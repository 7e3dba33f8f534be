#include "season/station.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

enum { NOON_HHMM = 1200 };

struct count {
	const char *station;
	int days;
};

static struct count *count_of(struct count *counts, int *n, const char *station)
{
	for (int i = 0; i < *n; i++)
		if (strcmp(counts[i].station, station) == 0)
			return &counts[i];
	if (*n == STATIONS_MAX)
		return NULL;
	counts[*n] = (struct count){.station = station};
	return &counts[(*n)++];
}

const char *station_main(const struct station_days *days, int *of)
{
	struct count counts[STATIONS_MAX];
	const struct count *best = NULL;
	*of = 0;
	for (size_t i = 0; i < days->n; i++) {
		const struct station_day *day = &days->day[i];
		bool both = !isnan(day->tmin_c) && !isnan(day->tmax_c);
		struct count *c = both ? count_of(counts, of, day->station) : NULL;
		if (c != NULL)
			c->days++;
	}
	for (int i = 0; i < *of; i++) {
		const struct count *c = &counts[i];
		bool equal = best != NULL && c->days == best->days;
		if (best == NULL || c->days > best->days || (equal && strcmp(c->station, best->station) < 0))
			best = c;
	}
	return best != NULL ? best->station : NULL;
}

static bool before(const struct station_day *a, struct date d, const char *station)
{
	return a->date.n != d.n ? a->date.n < d.n : strcmp(a->station, station) < 0;
}

/* The station's entry of a date; NULL where it has none. */
static const struct station_day *entry(const struct station_days *days, const char *station, struct date d)
{
	size_t low = 0, high = days->n;
	while (low < high) {
		size_t mid = low + (high - low) / 2;
		if (before(&days->day[mid], d, station))
			low = mid + 1;
		else
			high = mid;
	}
	if (low == days->n)
		return NULL;
	const struct station_day *found = &days->day[low];
	return found->date.n == d.n && strcmp(found->station, station) == 0 ? found : NULL;
}

static double low_of(const struct station_day *day)
{
	return day != NULL ? day->tmin_c : (double)NAN;
}

static double high_of(const struct station_day *day)
{
	return day != NULL ? day->tmax_c : (double)NAN;
}

static bool read_in_the_morning(const struct station_day *day)
{
	return day->observed_hhmm > 0 && day->observed_hhmm < NOON_HHMM;
}

struct degree_extremes station_extremes(const struct station_days *days, const char *station, struct date d)
{
	const struct station_day *own = entry(days, station, d), *next = entry(days, station, date_add(d, 1));
	double high_c = own != NULL && !read_in_the_morning(own) ? high_of(own) : (double)NAN;
	/* Of two readings that both had the afternoon, where the observer changed his hour, the day's own goes first.
	 */
	if (isnan(high_c) && next != NULL && read_in_the_morning(next))
		high_c = high_of(next);
	return (struct degree_extremes){.tmin_c = low_of(own), .tmax_c = high_c, .next_tmin_c = low_of(next)};
}
