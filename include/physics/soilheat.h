/*
 * Soil warmth by the hour: a column of bare or covered soil, heated and cooled at its top.
 *
 * Conduction alone, to 1 m down.  Water in the soil is known only by how dry
 * the surface is (drying_frac); neither freezing nor rain moves heat here.
 * The surface's own numbers decide the answer: they are the rows of
 * soilheat_surface(), and all of them are derived here.
 * Units: deg C, m, W m-2, and m2 K W-1 for resistances.
 */
#ifndef PHYSICS_SOILHEAT_H
#define PHYSICS_SOILHEAT_H

#include <stdbool.h>
#include <stddef.h>

enum { SOILHEAT_LAYERS = 16, SOILHEAT_SETTLE_H = 240 };

/* Moist loam (derived here): together a diffusivity of 0.5e-6 m2/s, between dry and wet clay of Oke 1987. */
#define SOILHEAT_CONDUCTIVITY 1.0   /* W m-1 K-1 */
#define SOILHEAT_CAPACITY     2.0e6 /* J m-3 K-1 */

enum soilheat_cover { SOILHEAT_BARE, SOILHEAT_STRAW, SOILHEAT_PLASTIC, SOILHEAT_COVERS };

/* What a surface does with sun and heat. */
struct soilheat_surface {
	const char *name, *basis;
	double albedo_moist, albedo_dry; /* 0..1, by drying_frac between them */
	double evaporating_moist;        /* share of its net radiation by day that evaporates while moist */
	double evaporating_dry;          /* and while dry */
	double resistance_m2kw;          /* of what lies on the soil */
};

const struct soilheat_surface *soilheat_surface(enum soilheat_cover cover);

/* An hour's weather: states in its middle, sun as its mean. NaN where missing. */
struct soilheat_hour {
	double air_c;
	double wind2_ms;       /* at 2 m */
	double shortwave_wm2;  /* sun and sky on level ground; 0 at night */
	double sky_emissivity; /* sky_emissivity() of physics/sky */
	double drying_frac;    /* 1 the surface is moist, 0 air-dry */
	double shade_frac;     /* part of the ground under leaves, which are as warm as the air */
};

/* What the soil meets at its top: a temperature, and the resistance between it and the soil's surface. */
struct soilheat_edge {
	double outer_c, resistance_m2kw;
};

/*
 * The edge of an hour: air warmed by the sun that stays in the surface, behind its exchange with the air.
 *
 * Given    any number NaN, or wind, sun or a share outside their range, gives NaN
 * Source   h = max(5, 1200 * 0.41^2 * u2 / ln(2 / 0.005)^2) + 4 eps sigma T^3 (derived here: neutral exchange over
 *          5 mm of roughness, 5 W m-2 K-1 in still air, and long waves)
 */
struct soilheat_edge soilheat_edge(const struct soilheat_hour *hour, const struct soilheat_surface *surface);

/* Plain data; a copy goes on by itself. */
struct soilheat {
	double node_c[SOILHEAT_LAYERS];       /* in the middle of the layers, at the end of the last hour */
	double depth_m[SOILHEAT_LAYERS];      /* of the middles */
	double store_wm2k[SOILHEAT_LAYERS];   /* what warms a layer by 1 K in an hour */
	double between_wm2k[SOILHEAT_LAYERS]; /* conductance from a layer's middle to the next one's; last 0 */
	struct soilheat_factors {
		double top_wm2k; /* of the uppermost row, without what the weather adds */
		double inverse[SOILHEAT_LAYERS], carry[SOILHEAT_LAYERS];
	} factors;      /* of the elimination, Crank-Nicolson */
	double shift_k; /* what the grower's readings add */
	int readings;
	int steps;      /* hours since the start, held at the number of starting steps */
	int settling_h; /* hours yet in which the start, or a gap, still shows */
	bool gap;       /* the last hour had no weather */
};

/*
 * Where a column starts: mean of the first ten days of hourly air temperature.
 *
 * Returned deg C; NaN where under a day of it is known
 */
double soilheat_mean(const double *air_c, size_t n);

/* A column of mean_c throughout, settling. */
void soilheat_start(struct soilheat *soil, double mean_c);

/*
 * One hour.
 *
 * Given    edge   of the hour; NaN: no heat passes the top, the hour has no temperatures, and ten hours more
 *                 count as settling (a day without weather: all ten days)
 * Returned heat into the soil, mean of the hour, W m-2; NaN in such an hour
 * Limits   at a step of one hour the daily wave is 1.5 % off in size and lag down to 20 cm
 * Source   conduction (Fourier), Crank-Nicolson, two steps of backward Euler first; 16 layers from 2 cm, each
 *          1.14 times the one over it, no flux at the bottom
 * Checked  damped wave in closed form (Campbell & Norman 1998); heat in against heat stored
 */
double soilheat_step(struct soilheat *soil, struct soilheat_edge edge);

/*
 * Temperature at the end of the last hour, linear between the middles of layers.
 *
 * Given    depth_m   0.01 to 0.9; else NaN
 */
double soilheat_at(const struct soilheat *soil, double depth_m);

/*
 * A reading of the grower's, at the end of the last hour: shifts all that is told from now on.
 *
 * Notes    Weighs 1/n, at least a quarter, so that old readings fade; NaN does nothing.
 */
void soilheat_read(struct soilheat *soil, double depth_m, double reading_c);

/* Whether the start, or a gap, no longer shows. */
bool soilheat_settled(const struct soilheat *soil);

#endif
