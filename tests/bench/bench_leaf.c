/*
 * Sky, bed, leaf and soil over thirty years of hours, beside a pass over the same arrays that adds them up.
 * At most 85 ms on one core: the whole chain has 100, and evapotranspiration with its radiation 15 of them.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "bench.h"
#include "physics/bed.h"
#include "physics/humid.h"
#include "physics/sky.h"
#include "physics/soilheat.h"
#include "physics/wind.h"

enum { CHAIN_H = 30 * 365 * 24, CHAIN_MS = 85, COLUMNS = 11, YEAR_H = 365 * 24 };

enum column { AIR, VAPOUR, WIND, CLOUD, SUN, RAIN, OUT_BED, OUT_LEAF, OUT_SOIL_25, OUT_SOIL_5, OUT_SOIL_10 };

static double hours[COLUMNS][CHAIN_H];

/* An invented climate: seasons, days, fronts of five days. */
static void fill(void)
{
	for (int h = 0; h < CHAIN_H; h++) {
		double season = sin(2 * M_PI * (h - 2500) / YEAR_H), day = sin(2 * M_PI * (h - 9) / 24.0);
		double front = sin(2 * M_PI * h / 117.0);
		hours[AIR][h] = 9 + 11 * season + 5 * day + 4 * front;
		hours[VAPOUR][h] = (0.75 - 0.2 * day + 0.05 * front) * humid_saturation(hours[AIR][h]);
		hours[WIND][h] = 2.5 + 1.5 * day + front;
		hours[CLOUD][h] = 0.5 - 0.5 * front;
		hours[SUN][h] =
		    fmax(0, (500 + 250 * season) * sin(2 * M_PI * (h - 6) / 24.0)) * (1 - 0.6 * hours[CLOUD][h]);
		hours[RAIN][h] = front < -0.9 ? 1 : 0;
	}
}

static double one_hour(int h, struct leaf_water *water, struct soilheat *soil, double to_low)
{
	const struct leaf_setup setup = {.width_m = 0.25, .sky_view_frac = 1, .shelter_frac = 1};
	double air_c = hours[AIR][h], sky = sky_emissivity(hours[VAPOUR][h], air_c, hours[CLOUD][h]);
	struct leaf_hour leaf = {air_c, hours[VAPOUR][h], hours[WIND][h], hours[CLOUD][h],
				 sky,   hours[SUN][h],    air_c,          hours[RAIN][h]};
	struct soilheat_hour ground = {air_c, to_low * hours[WIND][h], hours[SUN][h], sky, 0.5, 0.3};
	struct bed_now now = bed_step(water, &leaf, &setup, false);

	soilheat_step(soil, soilheat_edge(&ground, soilheat_surface(SOILHEAT_BARE)));
	hours[OUT_BED][h] = now.bed_c;
	hours[OUT_LEAF][h] = now.leaf_c;
	hours[OUT_SOIL_25][h] = soilheat_at(soil, 0.025);
	hours[OUT_SOIL_5][h] = soilheat_at(soil, 0.05);
	hours[OUT_SOIL_10][h] = soilheat_at(soil, 0.10);
	return now.leaf_c + hours[OUT_SOIL_5][h];
}

static double chain(void)
{
	struct leaf_water water = LEAF_WATER_UNTOLD;
	struct soilheat soil;
	double sum = 0, to_low = wind_factor(WIND_HIGH_M, WIND_LOW_M);

	soilheat_start(&soil, soilheat_mean(hours[AIR], CHAIN_H));
	for (int h = 0; h < CHAIN_H; h++)
		sum += one_hour(h, &water, &soil, to_low);
	return sum;
}

static double pass(void)
{
	double sum = 0;
	for (int c = 0; c < COLUMNS; c++)
		for (int h = 0; h < CHAIN_H; h++)
			sum += hours[c][h];
	return sum;
}

void bench_leaf(void)
{
	double ours[BENCH_ROUNDS], floor[BENCH_ROUNDS], sum = 0;

	fill();
	double first = chain();
	for (int i = 0; i < BENCH_ROUNDS; i++) {
		double start = bench_now();
		sum = chain();
		ours[i] = bench_now() - start;
		start = bench_now();
		double total = pass();
		floor[i] = bench_now() - start;
		if (!isfinite(total) || sum != first) {
			(void)fprintf(stderr, "sky, bed, leaf, soil: %.17g, before %.17g\n", sum, first);
			exit(EXIT_FAILURE);
		}
	}
	double ms = 1e3 * bench_median(ours, BENCH_ROUNDS);
	bench_line("sky, bed, leaf, soil: 262,800 hours", ms / 1e3, "adding up the same arrays",
		   bench_median(floor, BENCH_ROUNDS), 0);
	printf("%-38s %9.2f ms   at most %d: %s\n", "", ms, CHAIN_MS, ms <= CHAIN_MS ? "kept" : "MISSED");
}
