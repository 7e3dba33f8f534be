#include "facts/place.h"

#include <math.h>

enum { CENTI = 100, ELEVATION_STEP_M = 10 };

static const double EARTH_KM = 6371.0088; /* mean radius R1, IUGG */
static const double RAD = 0.017453292519943295;

struct place place_at(double latitude_deg, double longitude_deg, double elevation_m)
{
	return (struct place){
	    .latitude_cdeg = (int)lround(latitude_deg * CENTI),
	    .longitude_cdeg = (int)lround(longitude_deg * CENTI),
	    .elevation_m = isnan(elevation_m) ? (int)PLACE_ELEVATION_NONE
					      : (int)lround(elevation_m / ELEVATION_STEP_M) * ELEVATION_STEP_M,
	};
}

double place_latitude(const struct place *p)
{
	return p->latitude_cdeg / (double)CENTI;
}

double place_longitude(const struct place *p)
{
	return p->longitude_cdeg / (double)CENTI;
}

double place_elevation(const struct place *p)
{
	return p->elevation_m == PLACE_ELEVATION_NONE ? (double)NAN : (double)p->elevation_m;
}

bool place_same(const struct place *a, const struct place *b)
{
	return a->latitude_cdeg == b->latitude_cdeg && a->longitude_cdeg == b->longitude_cdeg &&
	       a->elevation_m == b->elevation_m;
}

double place_distance_km(const struct place *p, double latitude_deg, double longitude_deg)
{
	double phi1 = place_latitude(p) * RAD, phi2 = latitude_deg * RAD;
	double north = sin((phi2 - phi1) / 2), east = sin((longitude_deg - place_longitude(p)) * RAD / 2);
	double a = north * north + cos(phi1) * cos(phi2) * east * east;
	return 2 * EARTH_KM * asin(sqrt(fmin(a, 1)));
}
