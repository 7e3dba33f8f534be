#include "physics/psychro.h"

#include <math.h>

#include "physics/humid.h"

/* The last step of Newton's method, K: what is left after it is some 0.03 times its square. */
static const double CLOSE_K = 1e-5;

enum {
	ROUNDS_MAX = 40, /* 5 are enough for weather */
};

struct curve {
	double (*saturation)(double t_c);
	double (*slope)(double t_c, double e_kpa);
};

static const struct curve WATER = {humid_saturation, humid_slope};
static const struct curve ICE = {humid_saturation_ice, humid_slope_ice};

/* The x with share e(x) + gamma x = rhs. */
static double solve(const struct curve *c, double share, double gamma, double rhs, double start)
{
	double x = start;
	for (int round = 0; round < ROUNDS_MAX; round++) {
		double e = c->saturation(x);
		double step = (share * e + gamma * x - rhs) / (share * c->slope(x, e) + gamma);
		x -= step;
		if (!(fabs(step) > CLOSE_K))
			break;
	}
	return x;
}

double psychro_vapour(double t_c, double wet_bulb_c, double gamma_kpa_k)
{
	return humid_saturation(wet_bulb_c) - gamma_kpa_k * (t_c - wet_bulb_c);
}

double psychro_wet_bulb(double t_c, double ea_kpa, double gamma_kpa_k)
{
	return solve(&WATER, 1, gamma_kpa_k, ea_kpa + gamma_kpa_k * t_c, t_c);
}

double psychro_freezing_bulb(double t_c, double ea_kpa, double pressure_kpa)
{
	double wet = psychro_wet_bulb(t_c, ea_kpa, PSYCHRO_VENTILATED * pressure_kpa);
	double gamma = PSYCHRO_ICED * pressure_kpa;
	return wet < 0 ? solve(&ICE, 1, gamma, ea_kpa + gamma * t_c, t_c) : wet;
}

/* From temperature and one more. */
static void from_temperature(struct psychro *a, double gamma)
{
	if (!isnan(a->ea_kpa))
		return;
	if (!isnan(a->dew_point_c))
		a->ea_kpa = humid_saturation(a->dew_point_c);
	else if (!isnan(a->rh))
		a->ea_kpa = a->rh * humid_saturation(a->t_c);
	else
		a->ea_kpa = psychro_vapour(a->t_c, a->wet_bulb_c, gamma);
}

/* From two of the others. */
static void without_temperature(struct psychro *a, double gamma)
{
	if (isnan(a->ea_kpa))
		a->ea_kpa = humid_saturation(a->dew_point_c);
	if (!isnan(a->ea_kpa) && !isnan(a->rh)) {
		a->t_c = humid_dew_point(a->ea_kpa / a->rh);
	} else if (!isnan(a->ea_kpa)) {
		a->t_c = a->wet_bulb_c + (humid_saturation(a->wet_bulb_c) - a->ea_kpa) / gamma;
	} else {
		/* From the left the first step goes over to the right, and from there as the wet bulb does. */
		double rhs = humid_saturation(a->wet_bulb_c) + gamma * a->wet_bulb_c;
		a->t_c = solve(&WATER, a->rh, gamma, rhs, a->wet_bulb_c);
		a->ea_kpa = a->rh * humid_saturation(a->t_c);
	}
}

bool psychro_fill(struct psychro *air, double gamma_kpa_k)
{
	if (isnan(air->t_c))
		without_temperature(air, gamma_kpa_k);
	else
		from_temperature(air, gamma_kpa_k);
	air->dew_point_c = humid_dew_point(air->ea_kpa);
	air->rh = air->ea_kpa / humid_saturation(air->t_c);
	air->wet_bulb_c = psychro_wet_bulb(air->t_c, air->ea_kpa, gamma_kpa_k);
	/* Any NaN, and a vapour pressure of nothing, ends here. */
	bool told = isfinite(air->dew_point_c) && isfinite(air->wet_bulb_c) && isfinite(air->rh);
	if (!told)
		*air = (struct psychro){(double)NAN, (double)NAN, (double)NAN, (double)NAN, (double)NAN};
	return told;
}
