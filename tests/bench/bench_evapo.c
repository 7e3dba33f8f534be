/*
 * Thirty years of hours: sunlight and reference evapotranspiration out of arrays, beside the
 * same formulas called one hour at a time, each with the terms of its day anew.
 */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "base/date.h"
#include "base/instant.h"
#include "bench.h"
#include "physics/evapo.h"
#include "physics/humid.h"
#include "physics/wind.h"

enum { HOURS = 262800, YEAR_H = 8766, PERMILLE = 1000, PATH_SIZE = 256, COMMAND_SIZE = 512 };

#define AIM_S 0.015 /* on one core */

static const int64_t FIRST = 1893520800; /* 2030-01-01T18:00:00Z, high sun: nothing is carried from before */

/* An invented place on the prairie. */
static const struct insolation_site sky = {44.31, -89.90, 330, RADIATION_RANGE_INLAND};
static const struct evapo_site site = {-89.90, 330, WIND_HIGH_M, EVAPO_DEW_UNDER_LOW_HUMID};

static double air[HOURS], vapour[HOURS], wind[HOURS], light_given[HOURS], cloud_given[HOURS];
static double light[HOURS], clear[HOURS], cloud[HOURS], mm[HOURS];
static uint8_t sun_mark[HOURS], mark[HOURS];
static const struct insolation sun = {light, clear, cloud, sun_mark};

/* Weather with years, days and a week's fronts in it. */
static void make_weather(void)
{
	struct insolation_given in = {FIRST, HOURS, NULL, NULL, NULL};
	insolation_hours(&sky, &in, &sun);
	for (int i = 0; i < HOURS; i++) {
		double year = -cos(2 * M_PI * i / YEAR_H), week = sin(2 * M_PI * i / 150.0);
		air[i] = 9 + 14 * year + 5 * sin(2 * M_PI * (i - 9) / 24.0) + 4 * week;
		double under_k = 1 + 3 * (1 + sin(2 * M_PI * (i - 9) / 24.0)) + (i * 31 % 7) * 0.2;
		vapour[i] = humid_saturation(air[i] - under_k);
		wind[i] = 2.5 + 2 * week + (i * 17 % 10) * 0.1;
		cloud_given[i] = 0.5 - 0.4 * week;
		light_given[i] =
		    clear[i] * (0.35 + 0.3 * (1 + week)) * (1 - (double)(i * 7 % PERMILLE) / PERMILLE / 20);
	}
}

static double by_arrays(void)
{
	struct insolation_given above = {FIRST, HOURS, light_given, cloud_given, air};
	struct evapo_given below = {FIRST, HOURS, air, vapour, wind};

	insolation_hours(&sky, &above, &sun);
	evapo_hours(EVAPO_SHORT, &site, &below, &sun, mm, mark);
	double sum = 0;
	for (int i = 0; i < HOURS; i++)
		sum += mm[i];
	return sum;
}

static double by_hours(void)
{
	int offset_s = instant_standard_offset(sky.lon_deg);
	double sum = 0, cloudiness = radiation_cloudiness(EVAPO_NIGHT_SHARE);

	for (int i = 0; i < HOURS; i++) {
		int64_t t = FIRST + (int64_t)i * HOUR_S;
		struct date d = instant_date(t, offset_s);
		struct radiation_day day = radiation_day(sky.lat_deg, date_day_of_year(d));
		double utc_h = (double)(t - instant_at(d, 0, 0)) / HOUR_S + 0.5;
		double angle = radiation_hour_angle(&day, sky.lon_deg, utc_h);
		double ra = radiation_extraterrestrial(&day, angle - M_PI / 24, angle + M_PI / 24);
		struct evapo_hour h = {.air_c = air[i],
				       .vapour_kpa = vapour[i],
				       .wind_ms = wind_at(wind[i], site.wind_height_m, WIND_LOW_M),
				       .shortwave_mj = RADIATION_MJ_PER_WM2_HOUR * light_given[i],
				       .psychrometric_kpa_k = humid_psychrometric(humid_pressure(site.elevation_m))};
		if (radiation_sun_sine(&day, angle) >= sin(0.3))
			cloudiness =
			    radiation_cloudiness(h.shortwave_mj / (radiation_clear_share(sky.elevation_m) * ra));
		h.cloudiness = cloudiness;
		sum += evapo_hour(EVAPO_SHORT, &h).mm;
	}
	return sum;
}

/* The same arrays with numpy, where a Python that has it is found: that of "make outside", or the system's. */
static bool by_numpy(double *took_s, double *sum)
{
	static const char *const python[] = {"build/outside/venv/bin/python", "/usr/bin/python3"};
	const char *tmp = getenv("TMPDIR");
	char path[PATH_SIZE], command[COMMAND_SIZE];
	(void)snprintf(path, sizeof path, "%s/dewpost-bench-XXXXXX", tmp ? tmp : "/tmp");
	int fd = mkstemp(path);
	FILE *file = fd < 0 ? NULL : fdopen(fd, "wb");
	bool found = false;

	if (!file ||
	    fwrite(air, sizeof air, 1, file) + fwrite(vapour, sizeof vapour, 1, file) +
		    fwrite(wind, sizeof wind, 1, file) + fwrite(light_given, sizeof light_given, 1, file) !=
		4 ||
	    fclose(file) != 0)
		exit(1);
	for (size_t i = 0; i < sizeof python / sizeof python[0] && !found; i++) {
		(void)snprintf(command, sizeof command,
			       "%s tests/outside/numpy_evapo.py %s %lld %g %g %g %g %d 2>/dev/null", python[i], path,
			       (long long)FIRST, sky.lat_deg, sky.lon_deg, sky.elevation_m, site.wind_height_m,
			       BENCH_ROUNDS);
		FILE *p = popen(command, "r");
		found = p && fscanf(p, "%lf %lf", took_s, sum) == 2;
		if (p)
			(void)pclose(p);
	}
	(void)unlink(path);
	return found;
}

/* Sums first, then times. */
static void agree(double got, double want)
{
	if (!(fabs(got - want) <= 1e-9 * fabs(want)))
		exit(1);
}

void bench_evapo(void)
{
	double arrays[BENCH_ROUNDS], hours[BENCH_ROUNDS], sum = 0, want = 0, numpy_s, numpy_sum;

	make_weather();
	for (int i = 0; i < BENCH_ROUNDS; i++) {
		double from = bench_cpu();
		sum = by_arrays();
		arrays[i] = bench_cpu() - from;
	}
	for (int i = 0; i < BENCH_ROUNDS; i++) {
		double from = bench_cpu();
		want = by_hours();
		hours[i] = bench_cpu() - from;
	}
	double ours = bench_median(arrays, BENCH_ROUNDS);
	printf("%d hours: %.4f mm by arrays, %.4f mm hour by hour; %.1f ns an hour\n", HOURS, sum, want,
	       1e9 * ours / HOURS);
	agree(sum, want);
	bench_line("radiation and evapotranspiration", ours, "an hour at a time", bench_median(hours, BENCH_ROUNDS),
		   1.0);
	bench_line("radiation and evapotranspiration", ours, "the aim", AIM_S, 1.0);
	if (!by_numpy(&numpy_s, &numpy_sum)) {
		printf("no Python with numpy here; make outside brings one\n");
		return;
	}
	printf("numpy: %.4f mm\n", numpy_sum);
	agree(sum, numpy_sum);
	bench_line("radiation and evapotranspiration", ours, "numpy, the same arrays", numpy_s, 1.0);
}
