#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/instant.h"
#include "bench.h"
#include "physics/humid.h"
#include "season/derived.h"

/*
 * The whole chain over thirty years of an invented climate: humidity, sunlight from cloud, reference
 * evapotranspiration, a leaf, soil, from the record's hours to their columns, memory taken and given back.
 * Beside it what adding up the same columns takes.
 */

enum { CHAIN_H = 262800, CHAIN_MS = 100, YEAR_H = 8766 };

static const struct derived_site here = {.lat_deg = 44.31, .lon_deg = -89.90, .elevation_m = 330, .leaf_m = 0.25};

static void fill(struct hours *h)
{
	for (size_t i = 0; i < h->n; i++) {
		double x = (double)i, front = sin(2 * M_PI * x / 117);
		int64_t t = h->first + (int64_t)i * HOUR_S;
		double air_c =
		    9 + 11 * sin(2 * M_PI * (x - 2500) / YEAR_H) + 5 * sin(2 * M_PI * (x - 15) / 24) + 4 * front;
		hours_set(h, VAR_AIR_TEMPERATURE, t, air_c, ORIGIN_OBSERVED);
		hours_set(h, VAR_HUMIDITY, t, 0.75 + 0.2 * sin(2 * M_PI * (x - 3) / 24), ORIGIN_OBSERVED);
		hours_set(h, VAR_WIND, t, 3 + 2 * front, ORIGIN_OBSERVED);
		hours_set(h, VAR_CLOUD, t, 0.5 - 0.5 * front, ORIGIN_OBSERVED);
		hours_set(h, VAR_PRECIPITATION, t, front < -0.9 ? 1 : 0, ORIGIN_OBSERVED);
	}
}

static double sum_of(const struct derived *d)
{
	double sum = 0;
	for (int c = 0; c < DERIVED_COLUMNS; c++)
		for (size_t i = 0; i < d->n; i++)
			sum += isnan(d->value[c][i]) ? 0 : d->value[c][i];
	return sum;
}

void bench_chain(void)
{
	double ours[BENCH_ROUNDS], floor[BENCH_ROUNDS], first = 0;
	struct fault f;
	struct hours h;
	if (hours_init(&h, 0, CHAIN_H, &f) != FAULT_NONE)
		exit(EXIT_FAILURE);
	fill(&h);
	for (int i = 0; i < BENCH_ROUNDS; i++) {
		struct derived d;
		double start = bench_cpu();
		if (derived_init(&h, &here, &d, &f) != FAULT_NONE)
			exit(EXIT_FAILURE);
		ours[i] = bench_cpu() - start;
		start = bench_cpu();
		double sum = sum_of(&d);
		floor[i] = bench_cpu() - start;
		if (i > 0 && (sum < first || sum > first)) {
			(void)fprintf(stderr, "derived columns: %.17g, before %.17g\n", sum, first);
			exit(EXIT_FAILURE);
		}
		first = sum;
		derived_free(&d);
	}
	double ms = 1e3 * bench_median(ours, BENCH_ROUNDS);
	bench_line("all columns of hours: 262,800 hours", ms / 1e3, "adding up the same columns",
		   bench_median(floor, BENCH_ROUNDS), 0);
	printf("%-38s %9.2f ms   at most %d: %s\n", "", ms, CHAIN_MS, ms <= CHAIN_MS ? "kept" : "MISSED");
	hours_free(&h);
}
