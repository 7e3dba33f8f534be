/*
 * The sun: where it stands, when it rises, culminates and sets, and twilight.
 *
 * For clocks and for radiation on a flat horizon at sea level.  Hills, trees
 * and buildings are not known here.  Formulas that were fitted with the short
 * series of FAO-56 have that sun in physics/radiation, and their own length of
 * the day.
 * Units: degrees (north and east positive), minutes of time for the equation
 * of time, instants in UTC seconds.
 */
#ifndef PHYSICS_SUN_H
#define PHYSICS_SUN_H

#include <stdint.h>

#include "base/date.h"

/*
 * Altitude of the sun's centre at sunrise and sunset: 34' of refraction and 16'
 * of semi-diameter below the horizon (zenith distance 90.833 deg).
 */
#define SUN_HORIZON_DEG (-0.833)

/* Altitude of its centre where civil, nautical and astronomical twilight begin and end. */
#define SUN_CIVIL_DEG        (-6.0)
#define SUN_NAUTICAL_DEG     (-12.0)
#define SUN_ASTRONOMICAL_DEG (-18.0)

/* The orbit's numbers at an instant, in the order in which they follow from each other. */
struct sun_orbit {
	double mean_longitude_deg;     /* 0..360 */
	double mean_anomaly_deg;       /* 0..360 */
	double eccentricity;           /* of the earth's orbit */
	double centre_deg;             /* equation of the centre */
	double apparent_longitude_deg; /* nutation and aberration in it */
	double obliquity_deg;          /* corrected for nutation */
	double declination_deg;
	double equation_min; /* equation of time: apparent less mean solar time */
};

/*
 * Declination and equation of time.
 *
 * Given    t   UTC seconds; taken for dynamical time (the minute or so between them moves nothing here)
 * Limits   about 0.01 deg from 1900 to 2100
 * Source   Meeus 1998, Astronomical Algorithms, ch. 22, 25, 28 (low accuracy), as NOAA's
 *          solar calculator uses it (from memory)
 * Checked  Meeus examples 25.a and 28.b; NREL SPA example of 2003-10-17
 */
struct sun_orbit sun_orbit(int64_t t);

/*
 * Altitude of the sun's centre without refraction, as radiation formulas want it.
 *
 * Given    t                  UTC seconds
 *          lat_deg, lon_deg   -90..90, -180..180; NaN gives NaN
 * Returned deg, negative below the horizon
 */
double sun_altitude(int64_t t, double lat_deg, double lon_deg);

/*
 * The compass bearing of the sun's centre.
 *
 * Given    as sun_altitude
 * Returned deg, 0..360, clockwise from north.  With the sun overhead any bearing is as good; at a pole, where
 *          every way leads from it, north is the way on along the meridian lon_deg + 180 (at 90 N; lon_deg at 90 S).
 * Source   Meeus 1998 eq. 13.5
 * Checked  NREL SPA example of 2003-10-17; ephem 4.1.4
 */
double sun_azimuth(int64_t t, double lat_deg, double lon_deg);

/*
 * The altitude at which the eye sees it: refraction at 1010 hPa and 10 deg C added.
 *
 * Source   Saemundsson 1986, in Meeus 1998 eq. 16.4; under -1 deg falling linearly
 *          to nothing at the nadir (common practice)
 */
double sun_apparent(double altitude_deg);

enum sun_state {
	SUN_RISES,        /* at least one of the two events happens */
	SUN_UP_ALL_DAY,   /* midnight sun */
	SUN_DOWN_ALL_DAY, /* polar night */
	SUN_UNTOLD,       /* latitude or longitude is no number or out of range; no instant is told */
};

struct sun_day {
	enum sun_state state;
	int64_t rise, noon, set;  /* to the second; rise and set are INSTANT_NONE where there is none */
	double noon_altitude_deg; /* without refraction */
};

/*
 * Sunrise, solar noon and sunset of the local solar day.
 *
 * Given    d                  the date of its noon in local standard time, UTC + round(longitude / 15) h;
 *                             rise and set lie within 12 h of that noon, so their UTC date may be another
 *          lat_deg, lon_deg   -90..90, -180..180
 * Returned the events, each computed with the sun of its own instant; on the days on which polar
 *          day begins or ends, one of the two may be missing while the other is there
 * Limits   5 s against full theories under 66 deg of latitude; a minute where the sun grazes the horizon
 * Source   as sun_orbit; cos H = cos 90.833 / (cos lat cos dec) - tan lat tan dec
 * Checked  full theories at six places (2025), US Naval Observatory tables (2019)
 */
struct sun_day sun_day(struct date d, double lat_deg, double lon_deg);

/*
 * The same for another altitude than the horizon's: dawn and dusk.
 *
 * Given    altitude_deg   of the centre without refraction, as SUN_CIVIL_DEG
 * Returned rise and set are the instants at which the sun passes it; states speak of it, so that
 *          SUN_UP_ALL_DAY is a night that never gets darker
 * Checked  ephem 4.1.4, three twilights at eleven days and places (2025)
 */
struct sun_day sun_day_at(struct date d, double lat_deg, double lon_deg, double altitude_deg);

/*
 * Length of the day, from rise to set, as clocks and eyes have it.
 *
 * Returned h, 0..24: all of the 24 h about noon in the midnight sun; where one of the two events is missing,
 *          to the end of these 24 h.  NaN where SUN_UNTOLD.
 *          Not the geometric day of physics/radiation, which is 6 min shorter on the equator, up to half an hour
 *          at 60 deg (in southern summers it may be longer, by its short series): never mix the two.
 */
double sun_day_length(const struct sun_day *day);

#endif
