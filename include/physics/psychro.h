/*
 * The psychrometer: wet bulb and ice bulb, and any two humidity numbers into all others.
 *
 * Temperatures in deg C, pressures in kPa, humidity 0..1 over water; NaN in
 * gives NaN out.  The equation is e = es(tw) - gamma (t - tw) with gamma the
 * instrument's coefficient times air pressure, kPa K-1.  What a wet leaf does
 * is the leaf's business: it also radiates.
 */
#ifndef PHYSICS_PSYCHRO_H
#define PHYSICS_PSYCHRO_H

#include <stdbool.h>

/* Coefficients, K-1: FAO-56 eq. 16, by how the bulb is aired; an iced one: WMO-No. 8 annex 4.B. */
#define PSYCHRO_VENTILATED 0.000662 /* some 5 m/s */
#define PSYCHRO_NATURAL    0.000800 /* some 1 m/s */
#define PSYCHRO_INDOOR     0.001200 /* still air */
#define PSYCHRO_ICED       0.000575 /* ventilated */

/*
 * Vapour pressure from dry and wet bulb.
 *
 * Given    gamma_kpa_k   as PSYCHRO_VENTILATED * humid_pressure(elevation)
 * Returned kPa; 0 or less where no air is as dry as that
 * Source   FAO-56 eq. 15
 * Checked  FAO-56 example 4
 */
double psychro_vapour(double t_c, double wet_bulb_c, double gamma_kpa_k);

/*
 * Wet bulb over water, below 0 C too.
 *
 * Given    ea_kpa        0 up to saturation at t_c; over it the result is over t_c
 *          gamma_kpa_k   over 0
 * Returned deg C, from the dew point to t_c
 * Limits   1e-9 K from the equation; the ventilated bulb is within 0.1 K of the thermodynamic
 *          one up to 25 C, 0.2 K above
 * Source   FAO-56 eq. 15 solved for the wet bulb by Newton's method, which cannot miss: the
 *          equation rises and is hollow, so that each step from t_c stays on the same side
 * Checked  psychrolib 1.1.1, 26 rows
 */
double psychro_wet_bulb(double t_c, double ea_kpa, double gamma_kpa_k);

/*
 * The temperature of a bulb that is allowed to freeze: iced where its water would be below 0 C.
 *
 * Given    pressure_kpa   the two coefficients differ, so this takes the air's pressure
 * Limits   jumps by up to 0.2 K where freezing sets in
 * Source   as psychro_wet_bulb, with humid_saturation_ice and PSYCHRO_ICED
 * Checked  psychrolib 1.1.1, 26 rows
 */
double psychro_freezing_bulb(double t_c, double ea_kpa, double pressure_kpa);

/* Air by all its humidity numbers. */
struct psychro {
	double t_c, dew_point_c, wet_bulb_c; /* wet bulb over water */
	double rh;
	double ea_kpa;
};

/*
 * The others from any two that are not NaN.
 *
 * Given    *air   of more than two known, the temperature goes with the first of vapour pressure, dew point,
 *                 humidity and wet bulb; without it the first of vapour pressure and dew point with
 *                 the first of humidity and wet bulb; the rest is written over
 * Returned false where it cannot be told: fewer than two known, vapour pressure and dew point alone
 *          (they are one number), or no vapour in the air; *air is then NaN throughout
 * Limits   does not mind air over saturation (see humid_hour)
 * Source   humid.h, FAO-56 eq. 15
 */
bool psychro_fill(struct psychro *air, double gamma_kpa_k);

#endif
