/*
 * The sky's own warmth: how strongly it sends long waves down, against a black body as warm as the air.
 *
 * Leaves and soil lose heat to it at night.  Sunlight is not known here.
 * Units: vapour pressure in kPa, cloud 0..1, emissivity 0..1.
 */
#ifndef PHYSICS_SKY_H
#define PHYSICS_SKY_H

/* Stefan-Boltzmann constant, W m-2 K-4 (CODATA 2018). */
#define SKY_STEFAN_BOLTZMANN 5.670374e-8

/* Emissivity of leaves and soil alike, 0..1 (Campbell & Norman 1998, from memory). */
#define SKY_SURFACE_EMISSIVITY 0.97

/* 0 C in kelvin. */
#define SKY_ZERO_K 273.15

/*
 * Emissivity of the sky over air at 2 m.
 *
 * Given    vapour_kpa   vapour pressure at 2 m, >= 0; less, or NaN, gives NaN
 *          air_c        at 2 m, deg C
 *          cloud_frac   part of the sky under cloud, 0..1; else, or NaN, NaN
 * Limits   found good at night, too high by day (Granada 1983-85); high thin cloud counts like low cloud
 * Source   clear: Brutsaert 1975, 1.24 (e / T)^(1/7), e in hPa, T in K; cloud: Unsworth & Monteith 1975,
 *          (1 - 0.84 c) clear + 0.84 c (both from memory)
 * Checked  eight rows of temperature and humidity, three of cloud, computed from the formulas elsewhere
 */
double sky_emissivity(double vapour_kpa, double air_c, double cloud_frac);

#endif
