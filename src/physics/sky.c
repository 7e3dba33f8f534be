#include "physics/sky.h"

#include <math.h>

static const double CLEAR = 1.24, CLEAR_POWER = 1.0 / 7, HPA_PER_KPA = 10; /* Brutsaert 1975 */
static const double CLOUD = 0.84;                                          /* Unsworth & Monteith 1975 */

double sky_emissivity(double vapour_kpa, double air_c, double cloud_frac)
{
	if (!(vapour_kpa >= 0 && cloud_frac >= 0 && cloud_frac <= 1))
		return (double)NAN;

	double clear = CLEAR * pow(HPA_PER_KPA * vapour_kpa / (air_c + SKY_ZERO_K), CLEAR_POWER);
	return (1 - CLOUD * cloud_frac) * clear + CLOUD * cloud_frac;
}
