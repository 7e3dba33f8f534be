/*
 * Coordinates as people write them down, or copy them from a map.
 */
#ifndef CLI_COORDINATES_H
#define CLI_COORDINATES_H

#include "base/fault.h"

/*
 * Latitude and longitude in one line, degrees north and east.
 *
 *   44.31, -89.90          decimal degrees, south and west negative
 *   44.31 N 89.90 W        a letter before or behind, then in either order
 *   44 18.6 N, 89 54 W     degrees and minutes, with or without their signs
 *   44°18'36"N 89°54'0"W   and seconds
 *
 * A decimal comma is refused, since the comma stands between the two as well: nothing is guessed.
 * Decimals of minutes or seconds may be written; minutes and seconds are under 60.
 */
enum fault_code coordinates_parse(const char *s, double *latitude, double *longitude, struct fault *f) MUST_USE;

#endif
