#include "physics/leaf.h"

#include <math.h>

#include "physics/humid.h"
#include "physics/sky.h"

static const double AIR_HEAT = 1200;       /* J m-3 K-1: density of air times its specific heat */
static const double PSYCHROMETRIC = 0.066; /* kPa K-1 at sea level */
static const double VAPOUR_HEAT = 0.93;    /* resistance of a leaf's air to vapour over that to heat */
static const double EVAPORATION = 2.45e6;  /* J kg-1, water at 20 C (FAO-56) */
static const double SUBLIMATION = 2.834e6; /* J kg-1, ice at 0 C */

/* Campbell & Norman 1998: g = 0.135 sqrt(u / d) mol m-2 s-1, d = 0.72 of the width, 1.4 outdoors. */
static const double MOLAR_HEAT = 29.3; /* J mol-1 K-1 */
static const double OUTDOORS = 1.4, PLATE = 0.135, WIDTH_THAT_COUNTS = 0.72;
static const double LEAST_WIND_MS = 0.1; /* under it the law of forced flow means nothing */

static const double TEN_M_TO_LEAF = 0.415;
static const double CALM_MS = 0.3;

#define SIDES 2

double leaf_exchange(double wind_ms, double width_m)
{
	if (!(wind_ms >= 0 && width_m > 0))
		return (double)NAN;
	double u = wind_ms > LEAST_WIND_MS ? wind_ms : LEAST_WIND_MS;
	return MOLAR_HEAT * OUTDOORS * PLATE * sqrt(u / (WIDTH_THAT_COUNTS * width_m));
}

double leaf_wind(double wind10_ms, double shelter_frac)
{
	double u = TEN_M_TO_LEAF * wind10_ms * shelter_frac;
	if (!(wind10_ms >= 0 && shelter_frac >= 0))
		return (double)NAN;
	return u > CALM_MS ? u : CALM_MS;
}

static double fourth(double x)
{
	return x * x * (x * x);
}

static double latent_heat(bool frost)
{
	return frost ? SUBLIMATION : EVAPORATION;
}

struct leaf_heat leaf_balance(const struct leaf_env *env, double exchange_wm2k)
{
	struct leaf_heat heat;
	double air_k = env->air_c + SKY_ZERO_K, ground_k = env->ground_c + SKY_ZERO_K;
	double grey = SKY_SURFACE_EMISSIVITY * SKY_STEFAN_BOLTZMANN;
	double above = env->sky_view_frac * env->sky_emissivity + (1 - env->sky_view_frac);

	heat.net_wm2 = env->absorptance_frac * env->shortwave_wm2 + (above - 1) * grey * fourth(air_k) +
		       grey * (fourth(ground_k) - fourth(air_k));

	/* Conductances, m/s: heat, vapour, long waves (4 eps sigma T^3 a side). */
	double to_heat = SIDES * exchange_wm2k / AIR_HEAT;
	double to_vapour = to_heat / VAPOUR_HEAT;
	double to_both = to_heat + SIDES * 4 * grey * (air_k * air_k * air_k) / AIR_HEAT;

	heat.dry_c = env->air_c + heat.net_wm2 / (AIR_HEAT * to_both);
	heat.frost = heat.dry_c < 0;

	double saturated = heat.saturated_kpa = humid_saturation(env->air_c);
	double slope = humid_slope(env->air_c, saturated);
	if (heat.frost) {
		saturated = humid_saturation_ice(env->air_c);
		slope = humid_slope_ice(env->air_c, saturated);
	}
	heat.latent_wm2 = (slope * heat.net_wm2 + AIR_HEAT * to_both * (saturated - env->vapour_kpa)) /
			  (slope + PSYCHROMETRIC * to_both / to_vapour);

	double held_wm2 = env->held_mm * latent_heat(heat.frost) / 3600;
	double evaporating_wm2 = heat.latent_wm2 < held_wm2 ? heat.latent_wm2 : held_wm2;
	heat.taken_wm2 = heat.latent_wm2 > 0 ? evaporating_wm2 : heat.latent_wm2;
	heat.leaf_c = env->air_c + (heat.net_wm2 - heat.taken_wm2) / (AIR_HEAT * to_both);
	return heat;
}

static double within_store(double mm)
{
	return mm < 0 ? 0 : mm > LEAF_HOLDS_MM ? LEAF_HOLDS_MM : mm;
}

void leaf_water_hour(struct leaf_water *water, double latent_wm2, bool frost, double rain_mm)
{
	double gone_mm = latent_wm2 * 3600 / latent_heat(frost);
	bool told = rain_mm >= 0;

	if (isnan(gone_mm)) {
		*water = LEAF_WATER_UNTOLD;
		return;
	}
	water->least_mm = within_store(within_store(water->least_mm + (told ? rain_mm : 0)) - gone_mm);
	water->most_mm = within_store((told ? within_store(water->most_mm + rain_mm) : LEAF_HOLDS_MM) - gone_mm);
}

enum wetness leaf_water_wet(const struct leaf_water *water)
{
	if (water->least_mm >= LEAF_WET_MM)
		return WETNESS_WET;
	return water->most_mm < LEAF_WET_MM ? WETNESS_DRY : WETNESS_CANNOT_TELL;
}

struct leaf_now leaf_step(struct leaf_water *water, const struct leaf_hour *hour, const struct leaf_setup *setup)
{
	struct leaf_env env = {
	    .air_c = hour->air_c,
	    .vapour_kpa = hour->vapour_kpa,
	    .shortwave_wm2 = hour->shortwave_wm2 >= 0 ? hour->shortwave_wm2 : (double)NAN,
	    .absorptance_frac = LEAF_ABSORPTANCE,
	    .sky_emissivity = hour->sky_emissivity,
	    .sky_view_frac = setup->sky_view_frac,
	    .ground_c = hour->ground_c,
	    .held_mm = within_store(water->least_mm + (hour->rain_mm >= 0 ? hour->rain_mm : 0)),
	};
	struct leaf_now now = {
	    .heat = leaf_balance(&env, leaf_exchange(leaf_wind(hour->wind10_ms, setup->shelter_frac), setup->width_m)),
	};

	leaf_water_hour(water, now.heat.latent_wm2, now.heat.frost, hour->rain_mm);
	now.deposit_mm = now.heat.latent_wm2 < 0 ? -now.heat.latent_wm2 * 3600 / latent_heat(now.heat.frost) : 0;
	if (isnan(now.heat.latent_wm2))
		now.deposit_mm = (double)NAN;
	now.wet = leaf_water_wet(water);
	if (hour->vapour_kpa >= LEAF_FOG_FRAC * now.heat.saturated_kpa)
		now.wet = WETNESS_WET;
	return now;
}
