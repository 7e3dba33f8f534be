#include "physics/soilheat.h"

#include <math.h>

#include "physics/sky.h"
#include "physics/wind.h"

static const double FIRST_LAYER_M = 0.02, LAYER_RATIO = 1.14; /* 16 of them reach 1.02 m */
static const double CRANK_NICOLSON = 0.5, BACKWARD_EULER = 1; /* weight of an hour's end */

enum {
	STARTING_STEPS = 2, /* backward Euler, so that the jump of the start does not ring */
	GAP_WEIGHT_H = 10,  /* hours of settling for an hour's gap (derived here) */
	MEAN_LEAST_H = 24,
};

/* Exchange of the surface with the air, derived here. */
static const double AIR_HEAT = 1200;     /* J m-3 K-1 */
static const double KARMAN = 0.41;       /* von Karman's constant (FAO-56) */
static const double ROUGHNESS_M = 0.005; /* tilled soil */
static const double STILL_WM2K = 5;      /* free convection of still air */

static const double READING_LEAST = 0.25; /* weight of a reading (derived here) */

static const struct soilheat_surface TABLE[SOILHEAT_COVERS] = {
    [SOILHEAT_BARE] = {"bare", "derived here, albedo within the usual 0.10 of moist dark and 0.20 to 0.25 of dry soil",
		       .albedo_moist = 0.10, .albedo_dry = 0.22, .evaporating_moist = 0.5, .evaporating_dry = 0,
		       .resistance_m2kw = 0},
    [SOILHEAT_STRAW] =
	{"straw",
	 "derived here for 5 cm: still straw would have 0.7 m2 K/W; lowered until soil at 5 cm lies 1 to 6 K "
	 "under bare soil in the sun, as published (wind blows through it)",
	 .albedo_moist = 0.30, .albedo_dry = 0.30, .evaporating_moist = 0.2, .evaporating_dry = 0.2,
	 .resistance_m2kw = 0.05},
    [SOILHEAT_PLASTIC] = {"black plastic", "derived here, film in contact with the soil, albedo as usual",
			  .albedo_moist = 0.05, .albedo_dry = 0.05, .evaporating_moist = 0, .evaporating_dry = 0,
			  .resistance_m2kw = 0},
};

const struct soilheat_surface *soilheat_surface(enum soilheat_cover cover)
{
	return &TABLE[cover];
}

static bool share(double x)
{
	return x >= 0 && x <= 1;
}

static double mix(double dry, double moist, double drying_frac)
{
	return dry + (moist - dry) * drying_frac;
}

struct soilheat_edge soilheat_edge(const struct soilheat_hour *hour, const struct soilheat_surface *surface)
{
	if (!(hour->wind2_ms >= 0 && hour->shortwave_wm2 >= 0 && share(hour->drying_frac) && share(hour->shade_frac)))
		return (struct soilheat_edge){(double)NAN, (double)NAN};

	double air_k = hour->air_c + SKY_ZERO_K;
	double grey = SKY_SURFACE_EMISSIVITY * SKY_STEFAN_BOLTZMANN * (air_k * air_k * air_k);
	double albedo = mix(surface->albedo_dry, surface->albedo_moist, hour->drying_frac);
	double net_wm2 =
	    (1 - hour->shade_frac) * ((1 - albedo) * hour->shortwave_wm2 + (hour->sky_emissivity - 1) * grey * air_k);
	/* Dew on soil is left out: at night all of the loss cools it. */
	if (net_wm2 > 0)
		net_wm2 *= 1 - mix(surface->evaporating_dry, surface->evaporating_moist, hour->drying_frac);

	double log_height = log(WIND_LOW_M / ROUGHNESS_M);
	double moving_wm2k = AIR_HEAT * KARMAN * KARMAN * hour->wind2_ms / (log_height * log_height);
	double exchange_wm2k = (moving_wm2k > STILL_WM2K ? moving_wm2k : STILL_WM2K) + 4 * grey;
	return (struct soilheat_edge){
	    .outer_c = hour->air_c + net_wm2 / exchange_wm2k,
	    .resistance_m2kw = 1 / exchange_wm2k + surface->resistance_m2kw,
	};
}

double soilheat_mean(const double *air_c, size_t n)
{
	double sum = 0;
	int known = 0;

	for (size_t i = 0; i < n && i < SOILHEAT_SETTLE_H; i++)
		if (!isnan(air_c[i])) {
			sum += air_c[i];
			known++;
		}
	return known >= MEAN_LEAST_H ? sum / known : (double)NAN;
}

/*
 * The tridiagonal system of a step, eliminated from the bottom up: only the
 * uppermost row knows the weather, so that the factors of all others stay.
 */
static struct soilheat_factors eliminate(const struct soilheat *soil, double weight)
{
	const double *k = soil->between_wm2k;
	struct soilheat_factors f = {0};

	for (int i = SOILHEAT_LAYERS - 1; i > 0; i--) {
		f.inverse[i] = 1 / (soil->store_wm2k[i] + weight * (k[i - 1] + k[i] * (1 - f.carry[i])));
		f.carry[i - 1] = weight * k[i - 1] * f.inverse[i];
	}
	f.top_wm2k = soil->store_wm2k[0] + weight * k[0] * (1 - f.carry[0]);
	return f;
}

void soilheat_start(struct soilheat *soil, double mean_c)
{
	double thick_m = FIRST_LAYER_M, top_m = 0;

	*soil = (struct soilheat){.settling_h = SOILHEAT_SETTLE_H};
	for (int i = 0; i < SOILHEAT_LAYERS; i++) {
		soil->node_c[i] = mean_c;
		soil->depth_m[i] = top_m + thick_m / 2;
		soil->store_wm2k[i] = SOILHEAT_CAPACITY * thick_m / 3600;
		top_m += thick_m;
		thick_m *= LAYER_RATIO;
	}
	for (int i = 0; i < SOILHEAT_LAYERS - 1; i++)
		soil->between_wm2k[i] = SOILHEAT_CONDUCTIVITY / (soil->depth_m[i + 1] - soil->depth_m[i]);
	soil->factors = eliminate(soil, CRANK_NICOLSON);
}

/* Solve for the hour's end; returns the uppermost layer's temperature as the flux at the top sees it. */
static double solve(struct soilheat *soil, double top_wm2k, double outer_c, double weight,
		    const struct soilheat_factors *f)
{
	double right[SOILHEAT_LAYERS];
	double *t = soil->node_c;
	double before = t[0], rest = 1 - weight, down = 0;

	/* Right side: what a layer has, and the flux of the hour's begin through both its faces. */
	for (int i = 0; i < SOILHEAT_LAYERS - 1; i++) {
		double next = soil->between_wm2k[i] * (t[i] - t[i + 1]);
		right[i] = soil->store_wm2k[i] * t[i] + rest * (down - next);
		down = next;
	}
	right[SOILHEAT_LAYERS - 1] = soil->store_wm2k[SOILHEAT_LAYERS - 1] * t[SOILHEAT_LAYERS - 1] + rest * down;
	right[0] += top_wm2k * (outer_c - rest * before);

	for (int i = SOILHEAT_LAYERS - 2; i >= 0; i--)
		right[i] += f->carry[i] * right[i + 1];
	t[0] = right[0] / (f->top_wm2k + weight * top_wm2k);
	for (int i = 1; i < SOILHEAT_LAYERS; i++)
		t[i] = right[i] * f->inverse[i] + f->carry[i - 1] * t[i - 1];
	return weight * t[0] + rest * before;
}

static void count_settling(struct soilheat *soil)
{
	if (soil->gap)
		soil->settling_h += GAP_WEIGHT_H;
	else if (soil->settling_h > 0)
		soil->settling_h--;
	if (soil->settling_h > SOILHEAT_SETTLE_H)
		soil->settling_h = SOILHEAT_SETTLE_H;
}

double soilheat_step(struct soilheat *soil, struct soilheat_edge edge)
{
	double top_wm2k = 1 / (edge.resistance_m2kw + soil->depth_m[0] / SOILHEAT_CONDUCTIVITY);
	double seen_c = 0;

	soil->gap = isnan(edge.outer_c) || !(edge.resistance_m2kw >= 0);
	if (soil->gap) {
		edge.outer_c = 0;
		top_wm2k = 0;
	}
	if (soil->steps < STARTING_STEPS) {
		struct soilheat_factors f = eliminate(soil, BACKWARD_EULER);
		seen_c = solve(soil, top_wm2k, edge.outer_c, BACKWARD_EULER, &f);
		soil->steps++;
	} else {
		seen_c = solve(soil, top_wm2k, edge.outer_c, CRANK_NICOLSON, &soil->factors);
	}
	count_settling(soil);
	return soil->gap ? (double)NAN : top_wm2k * (edge.outer_c - seen_c);
}

double soilheat_at(const struct soilheat *soil, double depth_m)
{
	if (soil->gap || !(depth_m >= soil->depth_m[0] && depth_m <= soil->depth_m[SOILHEAT_LAYERS - 1]))
		return (double)NAN;

	int i = 0;
	while (i < SOILHEAT_LAYERS - 2 && depth_m > soil->depth_m[i + 1])
		i++;
	double part = (depth_m - soil->depth_m[i]) / (soil->depth_m[i + 1] - soil->depth_m[i]);
	return soil->node_c[i] + part * (soil->node_c[i + 1] - soil->node_c[i]) + soil->shift_k;
}

void soilheat_read(struct soilheat *soil, double depth_m, double reading_c)
{
	double off_k = reading_c - soilheat_at(soil, depth_m);
	if (isnan(off_k))
		return;

	soil->readings++;
	double weight = 1.0 / soil->readings;
	soil->shift_k += (weight > READING_LEAST ? weight : READING_LEAST) * off_k;
}

bool soilheat_settled(const struct soilheat *soil)
{
	return soil->settling_h == 0;
}
