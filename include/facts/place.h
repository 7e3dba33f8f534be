/*
 * A place on the ground, as precisely as services are told and the record keys it.
 *
 * Latitude and longitude to 2 decimals, elevation to 10 m.
 */
#ifndef FACTS_PLACE_H
#define FACTS_PLACE_H

#include <stdbool.h>

enum { PLACE_ELEVATION_NONE = -32768 };

struct place {
	int latitude_cdeg;  /* hundredths of a degree, north positive */
	int longitude_cdeg; /* east positive */
	int elevation_m;    /* a multiple of 10; PLACE_ELEVATION_NONE where unknown */
};

/* Rounded half away from zero; elevation NaN is none. */
struct place place_at(double latitude_deg, double longitude_deg, double elevation_m);

double place_latitude(const struct place *p);
double place_longitude(const struct place *p);
double place_elevation(const struct place *p); /* NaN where unknown */
bool place_same(const struct place *a, const struct place *b);

/* Great-circle distance to a point, km (haversine, mean radius 6371.0088 km, IUGG). */
double place_distance_km(const struct place *p, double latitude_deg, double longitude_deg);

#endif
