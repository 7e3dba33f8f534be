/*
 * The air's and the sun's numbers as the outside checks ask: physics sun|air|surface|hours, doubles on standard
 * input, doubles on standard output, a row for a row.
 *
 *   sun       day (since 1970), latitude, longitude  ->  rise, noon, set (UTC seconds; NaN where there is none)
 *   altitude  UTC seconds, latitude, longitude       ->  altitude, azimuth
 *   air       t, humidity 0..1, elevation            ->  dew point, frost point, wet bulb, bulb that may freeze
 *   soil      cover, drying, shade, air, wind at 2 m, sunlight, sky emissivity; a row an hour of one column that
 *             starts at the first row's air              ->  2.5, 5, 10 cm, heat into the soil
 *   hours     first hour, latitude, longitude, elevation, leaf width, 0; then of every hour temperature, humidity,
 *             wind, rain, cloud, sunlight                ->  of every hour what season/derived has, in its order
 */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sysexits.h>

#include "base/mem.h"
#include "physics/humid.h"
#include "physics/psychro.h"
#include "physics/soilheat.h"
#include "physics/sun.h"
#include "season/derived.h"

enum { ROW_MAX = DERIVED_COLUMNS, HOURS_ROW = 6 };

static double instant(int64_t t)
{
	return t == INT64_MIN ? (double)NAN : (double)t;
}

static void sun(const double *in, double *out)
{
	struct sun_day day = sun_day((struct date){(int32_t)in[0]}, in[1], in[2]);
	out[0] = instant(day.rise);
	out[1] = instant(day.noon);
	out[2] = instant(day.set);
}

static void altitude(const double *in, double *out)
{
	out[0] = sun_altitude((int64_t)in[0], in[1], in[2]);
	out[1] = sun_azimuth((int64_t)in[0], in[1], in[2]);
}

static void air(const double *in, double *out)
{
	double pressure = humid_pressure(in[2]), ea = in[1] * humid_saturation(in[0]);
	out[0] = humid_dew_point(ea);
	out[1] = humid_frost_point(ea);
	out[2] = psychro_wet_bulb(in[0], ea, PSYCHRO_VENTILATED * pressure);
	out[3] = psychro_freezing_bulb(in[0], ea, pressure);
}

static struct soilheat column;
static bool started;

static void soil(const double *in, double *out)
{
	const struct soilheat_hour hour = {.drying_frac = in[1],
					   .shade_frac = in[2],
					   .air_c = in[3],
					   .wind2_ms = in[4],
					   .shortwave_wm2 = in[5],
					   .sky_emissivity = in[6]};
	if (!started)
		soilheat_start(&column, in[3]);
	started = true;
	out[3] = soilheat_step(&column, soilheat_edge(&hour, soilheat_surface((enum soilheat_cover)in[0])));
	out[0] = soilheat_at(&column, 0.025);
	out[1] = soilheat_at(&column, 0.05);
	out[2] = soilheat_at(&column, 0.10);
}

static const struct question {
	const char *name;
	size_t in, out;
	void (*answer)(const double *in, double *out);
} QUESTION[] = {
    {"sun", 3, 3, sun},
    {"altitude", 3, 2, altitude},
    {"air", 3, 4, air},
    {"soil", 7, 4, soil},
};

/* Rows of standard input behind each other; NULL without memory. */
static double *all_rows(size_t width, size_t *n)
{
	double *rows = NULL, row[HOURS_ROW];
	size_t room = 0;
	for (*n = 0; fread(row, sizeof *row, width, stdin) == width; ++*n) {
		if (*n == room) {
			room = room * 2 + 1024;
			double *more = mem_resize(rows, room, width * sizeof *row);
			if (more == NULL) {
				mem_free(rows);
				return NULL;
			}
			rows = more;
		}
		memcpy(rows + *n * width, row, width * sizeof *row);
	}
	return rows;
}

static void print_hours(const struct derived *d)
{
	for (size_t i = 0; i < d->n; i++)
		for (int c = 0; c < DERIVED_COLUMNS; c++)
			fwrite(&d->value[c][i], sizeof(double), 1, stdout);
}

static enum fault_code hours(struct fault *f)
{
	static const enum var column_of[HOURS_ROW] = {VAR_AIR_TEMPERATURE, VAR_HUMIDITY, VAR_WIND,
						      VAR_PRECIPITATION,   VAR_CLOUD,    VAR_SHORTWAVE};
	struct hours h = {0};
	struct derived d = {0};
	size_t n = 0;
	double *rows = all_rows(HOURS_ROW, &n);
	if (rows == NULL || n == 0)
		return fault_set(f, FAULT_DATA, "no rows");
	const struct derived_site site = {
	    .lat_deg = rows[1], .lon_deg = rows[2], .elevation_m = rows[3], .leaf_m = rows[4]};
	enum fault_code code = hours_init(&h, (int64_t)rows[0], n - 1, f);
	for (size_t i = 0; code == FAULT_NONE && i < h.n; i++)
		for (int c = 0; c < HOURS_ROW; c++)
			hours_set(&h, column_of[c], h.first + (int64_t)i * 3600, rows[(i + 1) * HOURS_ROW + (size_t)c],
				  ORIGIN_OBSERVED);
	if (code == FAULT_NONE)
		code = derived_init(&h, &site, &d, f);
	if (code == FAULT_NONE)
		print_hours(&d);
	derived_free(&d);
	hours_free(&h);
	mem_free(rows);
	return code;
}

int main(int argc, char **argv)
{
	struct fault f = {0};
	double in[ROW_MAX], out[ROW_MAX];
	if (argc == 2 && strcmp(argv[1], "hours") == 0) {
		if (hours(&f) != FAULT_NONE)
			fprintf(stderr, "%s\n", f.text);
		return (int)f.code;
	}
	for (size_t q = 0; argc == 2 && q < sizeof QUESTION / sizeof *QUESTION; q++) {
		if (strcmp(argv[1], QUESTION[q].name) != 0)
			continue;
		while (fread(in, sizeof *in, QUESTION[q].in, stdin) == QUESTION[q].in) {
			QUESTION[q].answer(in, out);
			fwrite(out, sizeof *out, QUESTION[q].out, stdout);
		}
		return 0;
	}
	return EX_USAGE;
}
