#include "season/derived.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/mem.h"
#include "physics/evapo.h"
#include "physics/insolation.h"
#include "physics/leaf.h"
#include "physics/sky.h"
#include "physics/soilheat.h"
#include "physics/vapour.h"
#include "physics/wind.h"

static const double HALF_DRY_FRAC = 0.5, DEPTH_M[] = {0.025, 0.05, 0.10};
enum { DEPTHS = sizeof DEPTH_M / sizeof *DEPTH_M };

/* What columns are made of, beside them: in the hour's middle. */
enum work { WORK_AIR, WORK_VAPOUR, WORK_WIND, WORK_CLOUD_GIVEN, WORK_CLEAR, WORK_CLOUD, WORK_SKY, WORKS };

struct series {
	const struct hours *h;
	const struct derived_site *site;
	struct derived *d;
	double *work[WORKS];
};

const struct derived_row *derived_row(enum derived_column c)
{
	static const struct derived_row rows[DERIVED_COLUMNS] = {
	    [DERIVED_DEW_POINT] = {"reckoned_dew_point", "C"},
	    [DERIVED_DEFICIT] = {"water_vapor_saturation_deficit_in_air", "kPa"},
	    [DERIVED_SUNLIGHT] = {"reckoned_sunlight", "W/m2"},
	    [DERIVED_ET0] = {"reference_evapotranspiration", "mm"},
	    [DERIVED_LEAF] = {"leaf_temperature", "C"},
	    [DERIVED_LEAF_WATER] = {"leaf_water", "mm"},
	    [DERIVED_LEAF_WET] = {"leaf_wet", "1"},
	    [DERIVED_SOIL_2_5CM] = {"bare_soil_temperature_2.5cm", "C"},
	    [DERIVED_SOIL_5CM] = {"bare_soil_temperature_5cm", "C"},
	    [DERIVED_SOIL_10CM] = {"bare_soil_temperature_10cm", "C"},
	};
	return &rows[c];
}

static void humidity(struct series *s)
{
	size_t count[HUMID_VERDICTS] = {0};
	const struct vapour out = {.dew_point_c = s->d->value[DERIVED_DEW_POINT],
				   .deficit_kpa = s->d->value[DERIVED_DEFICIT],
				   .vapour_kpa = s->work[WORK_VAPOUR]};
	vapour_hours(s->h, &out, count);
	s->d->clamped = count[HUMID_CLAMPED];
	s->d->refused = count[HUMID_REFUSED];
}

static void sunlight(struct series *s)
{
	const struct insolation_site site = {.lat_deg = s->site->lat_deg,
					     .lon_deg = s->site->lon_deg,
					     .elevation_m = s->site->elevation_m,
					     .range_factor = RADIATION_RANGE_INLAND};
	const struct insolation_given in = {.first = s->h->first,
					    .n = s->h->n,
					    .shortwave_wm2 = s->h->value[VAR_SHORTWAVE],
					    .cloud_frac = s->work[WORK_CLOUD_GIVEN],
					    .air_c = s->work[WORK_AIR]};
	const struct insolation out = {.shortwave_wm2 = s->d->value[DERIVED_SUNLIGHT],
				       .clear_wm2 = s->work[WORK_CLEAR],
				       .cloud_frac = s->work[WORK_CLOUD],
				       .mark = s->d->sun_mark};
	const struct evapo_site grass = {.lon_deg = s->site->lon_deg,
					 .elevation_m = s->site->elevation_m,
					 .wind_height_m = WIND_HIGH_M,
					 .dew_under_low_k = EVAPO_DEW_UNDER_LOW_HUMID};
	const struct evapo_given given = {.first = s->h->first,
					  .n = s->h->n,
					  .air_c = s->work[WORK_AIR],
					  .vapour_kpa = s->work[WORK_VAPOUR],
					  .wind_ms = s->work[WORK_WIND]};
	insolation_hours(&site, &in, &out);
	evapo_hours(EVAPO_SHORT, &grass, &given, &out, s->d->value[DERIVED_ET0], s->d->et0_mark);
	for (size_t i = 0; i < s->h->n; i++)
		s->work[WORK_SKY][i] =
		    sky_emissivity(s->work[WORK_VAPOUR][i], s->work[WORK_AIR][i], s->work[WORK_CLOUD][i]);
}

static double wet_number(enum wetness w)
{
	return w == WETNESS_CANNOT_TELL ? (double)NAN : w == WETNESS_WET;
}

static void leaf(struct series *s)
{
	const struct leaf_setup open = {.width_m = s->site->leaf_m, .sky_view_frac = 1, .shelter_frac = 1};
	struct leaf_water water = LEAF_WATER_UNTOLD;
	for (size_t i = 0; i < s->h->n; i++) {
		const struct leaf_hour hour = {.air_c = s->work[WORK_AIR][i],
					       .vapour_kpa = s->work[WORK_VAPOUR][i],
					       .wind10_ms = s->work[WORK_WIND][i],
					       .cloud_frac = s->work[WORK_CLOUD][i],
					       .sky_emissivity = s->work[WORK_SKY][i],
					       .shortwave_wm2 = s->d->value[DERIVED_SUNLIGHT][i],
					       .ground_c = s->work[WORK_AIR][i],
					       .rain_mm = s->h->value[VAR_PRECIPITATION][i]};
		struct leaf_now now = leaf_step(&water, &hour, &open);
		bool told = now.wet != WETNESS_CANNOT_TELL;
		s->d->value[DERIVED_LEAF][i] = now.heat.leaf_c;
		s->d->value[DERIVED_LEAF_WATER][i] = told ? water.least_mm : (double)NAN;
		s->d->value[DERIVED_LEAF_WET][i] = wet_number(now.wet);
	}
}

static void soil(struct series *s)
{
	static const enum derived_column column[DEPTHS] = {DERIVED_SOIL_2_5CM, DERIVED_SOIL_5CM, DERIVED_SOIL_10CM};
	const struct soilheat_surface *bare = soilheat_surface(SOILHEAT_BARE);
	double factor = wind_factor(WIND_HIGH_M, WIND_LOW_M);
	struct soilheat column_of;
	soilheat_start(&column_of, soilheat_mean(s->work[WORK_AIR], s->h->n));
	for (size_t i = 0; i < s->h->n; i++) {
		const struct soilheat_hour hour = {.air_c = s->work[WORK_AIR][i],
						   .wind2_ms = factor * s->work[WORK_WIND][i],
						   .shortwave_wm2 = s->d->value[DERIVED_SUNLIGHT][i],
						   .sky_emissivity = s->work[WORK_SKY][i],
						   .drying_frac = HALF_DRY_FRAC};
		double flux = soilheat_step(&column_of, soilheat_edge(&hour, bare));
		bool told = !isnan(flux) && soilheat_settled(&column_of);
		for (int k = 0; k < DEPTHS; k++)
			s->d->value[column[k]][i] = told ? soilheat_at(&column_of, DEPTH_M[k]) : (double)NAN;
	}
}

/* All arrays in one block, those of the work behind those that stay. */
static enum fault_code take_memory(struct series *s, struct fault *f)
{
	size_t n = s->h->n > 0 ? s->h->n : 1;
	double *at = mem_new(n, (DERIVED_COLUMNS + WORKS) * sizeof *at + 2);
	if (at == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	s->d->block = at;
	for (int c = 0; c < DERIVED_COLUMNS; c++, at += n)
		s->d->value[c] = at;
	for (int w = 0; w < WORKS; w++, at += n)
		s->work[w] = at;
	s->d->sun_mark = (uint8_t *)at;
	s->d->et0_mark = s->d->sun_mark + n;
	s->d->n = s->h->n;
	return FAULT_NONE;
}

enum fault_code derived_init(const struct hours *h, const struct derived_site *site, struct derived *d, struct fault *f)
{
	struct derived_site here = *site;
	struct series s = {.h = h, .site = &here, .d = d};
	*d = (struct derived){.n = 0};
	if (take_memory(&s, f) != FAULT_NONE)
		return f->code;
	if (isnan(here.elevation_m))
		here.elevation_m = 0;
	hours_middle(h, VAR_AIR_TEMPERATURE, s.work[WORK_AIR]);
	hours_middle(h, VAR_WIND, s.work[WORK_WIND]);
	hours_middle(h, VAR_CLOUD, s.work[WORK_CLOUD_GIVEN]);
	humidity(&s);
	sunlight(&s);
	leaf(&s);
	soil(&s);
	return FAULT_NONE;
}

void derived_free(struct derived *d)
{
	mem_free(d->block);
	*d = (struct derived){.n = 0};
}

const char *derived_basis(const struct derived *d, size_t i)
{
	switch ((enum radiation_basis)(d->sun_mark[i] & INSOLATION_BASIS)) {
	case RADIATION_MEASURED:
		return "measured";
	case RADIATION_FROM_SUNSHINE:
		return "sunshine";
	case RADIATION_FROM_CLOUD:
		return "cloud";
	case RADIATION_FROM_RANGE:
		return "range";
	case RADIATION_DARK:
		return "dark";
	case RADIATION_UNKNOWN:
		break;
	}
	return "";
}
