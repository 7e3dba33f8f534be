#include "odds/climate.h"

#include <math.h>
#include <string.h>

void climate_of(const struct station_day *day, size_t n, const char *station, struct climate *c)
{
	int year = 0;
	*c = (struct climate){0};
	for (size_t i = 0; i < n; i++) {
		double low_c = day[i].tmin_c, high_c = day[i].tmax_c;
		if (strcmp(day[i].station, station) != 0)
			continue;
		struct yearday y = yearday_of(day[i].date);
		if (!isnan(high_c)) {
			c->highs[y.day - 1]++;
			c->high_sum_c[y.day - 1] += high_c;
		}
		if (isnan(low_c))
			continue;
		c->years += y.year != year;
		year = y.year;
		c->lows[y.day - 1]++;
		c->sum_c[y.day - 1] += low_c;
		c->squares[y.day - 1] += low_c * low_c;
	}
}

struct runs_night climate_night(const struct climate *c, struct date evening)
{
	int middle = yearday_of(date_add(evening, 1)).day - 1, n = 0;
	double sum = 0, squares = 0;
	for (int side = -CLIMATE_SIDE_DAYS; side <= CLIMATE_SIDE_DAYS; side++) {
		int d = (middle + side + YEAR_DAYS) % YEAR_DAYS;
		n += c->lows[d];
		sum += c->sum_c[d];
		squares += c->squares[d];
	}
	if (n < CLIMATE_LOWS_MIN)
		return (struct runs_night){NAN, NAN, CLIMATE_RHO};
	double mean = sum / n, variance = (squares - n * mean * mean) / (n - 1);
	return (struct runs_night){mean, sqrt(fmax(variance, 0)), CLIMATE_RHO};
}

static double mean_round(const int *count, const double *sum_c, int middle)
{
	int n = 0;
	double sum = 0;
	for (int side = -CLIMATE_SIDE_DAYS; side <= CLIMATE_SIDE_DAYS; side++) {
		int d = (middle + side + YEAR_DAYS) % YEAR_DAYS;
		n += count[d];
		sum += sum_c[d];
	}
	return n < CLIMATE_LOWS_MIN ? (double)NAN : sum / n;
}

struct climate_day climate_day(const struct climate *c, struct date d)
{
	int middle = yearday_of(d).day - 1;
	return (struct climate_day){.low_c = mean_round(c->lows, c->sum_c, middle),
				    .high_c = mean_round(c->highs, c->high_sum_c, middle)};
}
