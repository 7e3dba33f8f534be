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
	struct derived_site site;
	struct derived *d;
	double *block; /* the columns, then the work, n each */
};

static double *column(const struct series *s, enum derived_column c)
{
	return s->block + (size_t)c * s->h->n;
}

static double *work(const struct series *s, enum work w)
{
	return s->block + (size_t)(DERIVED_COLUMNS + w) * s->h->n;
}

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
	const struct vapour out = {.dew_point_c = column(s, DERIVED_DEW_POINT),
				   .deficit_kpa = column(s, DERIVED_DEFICIT),
				   .vapour_kpa = work(s, WORK_VAPOUR)};
	vapour_hours(s->h, &out, count);
	s->d->clamped = count[HUMID_CLAMPED];
	s->d->refused = count[HUMID_REFUSED];
}

/* Sunlight as the arrays of insolation have it. */
static struct insolation light_of(const struct series *s)
{
	return (struct insolation){.shortwave_wm2 = column(s, DERIVED_SUNLIGHT),
				   .clear_wm2 = work(s, WORK_CLEAR),
				   .cloud_frac = work(s, WORK_CLOUD),
				   .mark = s->d->sun_mark};
}

static void sunlight(struct series *s)
{
	const struct insolation_site site = {.lat_deg = s->site.lat_deg,
					     .lon_deg = s->site.lon_deg,
					     .elevation_m = s->site.elevation_m,
					     .range_factor = RADIATION_RANGE_INLAND};
	const struct insolation_given in = {.first = s->h->first,
					    .n = s->h->n,
					    .shortwave_wm2 = s->h->value[VAR_SHORTWAVE],
					    .cloud_frac = work(s, WORK_CLOUD_GIVEN),
					    .air_c = work(s, WORK_AIR)};
	const struct insolation out = light_of(s);
	insolation_hours(&site, &in, &out);
	for (size_t i = 0; i < s->h->n; i++)
		work(s, WORK_SKY)[i] =
		    sky_emissivity(work(s, WORK_VAPOUR)[i], work(s, WORK_AIR)[i], work(s, WORK_CLOUD)[i]);
}

static void evapotranspiration(struct series *s)
{
	const struct evapo_site grass = {.lon_deg = s->site.lon_deg,
					 .elevation_m = s->site.elevation_m,
					 .wind_height_m = WIND_HIGH_M,
					 .dew_under_low_k = EVAPO_DEW_UNDER_LOW_HUMID};
	const struct evapo_given given = {.first = s->h->first,
					  .n = s->h->n,
					  .air_c = work(s, WORK_AIR),
					  .vapour_kpa = work(s, WORK_VAPOUR),
					  .wind_ms = work(s, WORK_WIND)};
	const struct insolation light = light_of(s);
	evapo_hours(EVAPO_SHORT, &grass, &given, &light, column(s, DERIVED_ET0), s->d->et0_mark);
}

static double wet_number(enum wetness w)
{
	return w == WETNESS_CANNOT_TELL ? (double)NAN : w == WETNESS_WET;
}

static void leaf(struct series *s)
{
	const struct leaf_setup open = {.width_m = s->site.leaf_m, .sky_view_frac = 1, .shelter_frac = 1};
	struct leaf_water water = LEAF_WATER_UNTOLD;
	for (size_t i = 0; i < s->h->n; i++) {
		const struct leaf_hour hour = {.air_c = work(s, WORK_AIR)[i],
					       .vapour_kpa = work(s, WORK_VAPOUR)[i],
					       .wind10_ms = work(s, WORK_WIND)[i],
					       .cloud_frac = work(s, WORK_CLOUD)[i],
					       .sky_emissivity = work(s, WORK_SKY)[i],
					       .shortwave_wm2 = column(s, DERIVED_SUNLIGHT)[i],
					       .ground_c = work(s, WORK_AIR)[i],
					       .rain_mm = s->h->value[VAR_PRECIPITATION][i]};
		struct leaf_now now = leaf_step(&water, &hour, &open);
		bool told = now.wet != WETNESS_CANNOT_TELL;
		column(s, DERIVED_LEAF)[i] = now.heat.leaf_c;
		column(s, DERIVED_LEAF_WATER)[i] = told ? water.least_mm : (double)NAN;
		column(s, DERIVED_LEAF_WET)[i] = wet_number(now.wet);
	}
}

static void soil(struct series *s)
{
	static const enum derived_column out[DEPTHS] = {DERIVED_SOIL_2_5CM, DERIVED_SOIL_5CM, DERIVED_SOIL_10CM};
	const struct soilheat_surface *bare = soilheat_surface(SOILHEAT_BARE);
	double factor = wind_factor(WIND_HIGH_M, WIND_LOW_M);
	struct soilheat layers;
	soilheat_start(&layers, soilheat_mean(work(s, WORK_AIR), s->h->n));
	for (size_t i = 0; i < s->h->n; i++) {
		const struct soilheat_hour hour = {.air_c = work(s, WORK_AIR)[i],
						   .wind2_ms = factor * work(s, WORK_WIND)[i],
						   .shortwave_wm2 = column(s, DERIVED_SUNLIGHT)[i],
						   .sky_emissivity = work(s, WORK_SKY)[i],
						   .drying_frac = HALF_DRY_FRAC};
		double flux = soilheat_step(&layers, soilheat_edge(&hour, bare));
		bool told = !isnan(flux) && soilheat_settled(&layers);
		for (int k = 0; k < DEPTHS; k++)
			column(s, out[k])[i] = told ? soilheat_at(&layers, DEPTH_M[k]) : (double)NAN;
	}
}

/* All arrays in one block, those of the work behind those that stay, the marks at its end. */
static enum fault_code take_memory(struct series *s, struct fault *f)
{
	size_t n = s->h->n, doubles = DERIVED_COLUMNS + WORKS;
	s->block = mem_new(n > 0 ? n : 1, doubles * sizeof *s->block + 2);
	if (s->block == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	s->d->block = s->block;
	s->d->n = n;
	for (int c = 0; c < DERIVED_COLUMNS; c++)
		s->d->value[c] = column(s, (enum derived_column)c);
	s->d->sun_mark = (uint8_t *)(s->block + doubles * n);
	s->d->et0_mark = s->d->sun_mark + n;
	return FAULT_NONE;
}

/* What leaf, grass and soil stand on. */
static enum fault_code begin(struct series *s, struct fault *f)
{
	if (isnan(s->site.elevation_m))
		s->site.elevation_m = 0;
	*s->d = (struct derived){.n = 0};
	if (take_memory(s, f) != FAULT_NONE)
		return f->code;
	hours_middle(s->h, VAR_AIR_TEMPERATURE, work(s, WORK_AIR));
	hours_middle(s->h, VAR_WIND, work(s, WORK_WIND));
	hours_middle(s->h, VAR_CLOUD, work(s, WORK_CLOUD_GIVEN));
	humidity(s);
	sunlight(s);
	return FAULT_NONE;
}

enum fault_code derived_init(const struct hours *h, const struct derived_site *site, struct derived *d, struct fault *f)
{
	struct series s = {.h = h, .site = *site, .d = d};
	if (begin(&s, f) != FAULT_NONE)
		return f->code;
	evapotranspiration(&s);
	leaf(&s);
	soil(&s);
	return FAULT_NONE;
}

enum fault_code derived_soil(const struct hours *h, const struct derived_site *site, struct derived *d, struct fault *f)
{
	static const enum derived_column without[] = {DERIVED_ET0, DERIVED_LEAF, DERIVED_LEAF_WATER, DERIVED_LEAF_WET};
	struct series s = {.h = h, .site = *site, .d = d};
	if (begin(&s, f) != FAULT_NONE)
		return f->code;
	soil(&s);
	for (size_t i = 0; i < sizeof without / sizeof *without; i++)
		d->value[without[i]] = NULL;
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
