/*
 * Radiation on level ground: what would come without air, under a clear sky, under this sky, and what is kept.
 *
 * The formulas of a day and of an hour; which of them an hour's record allows is physics/insolation's business.
 * The sun here is the short series of FAO-56, since its constants were fitted with it; for clocks see physics/sun.
 * No hills, no trees.
 * Units: MJ m-2 in the span (day or hour), angles in radians, temperatures in deg C, vapour pressure in kPa.
 * NaN in gives NaN out everywhere.  Numbers of ASCE-EWRI equations are from memory.
 */
#ifndef PHYSICS_RADIATION_H
#define PHYSICS_RADIATION_H

#include <math.h>
#include <stddef.h>

/* 1 W/m2 through an hour, in MJ m-2. */
#define RADIATION_MJ_PER_WM2_HOUR 0.0036

/* What a figure of radiation rests on, worst first. */
enum radiation_basis {
	RADIATION_UNKNOWN,
	RADIATION_FROM_RANGE,    /* estimated from the day's low and high */
	RADIATION_FROM_CLOUD,    /* estimated from cloud cover */
	RADIATION_FROM_SUNSHINE, /* estimated from the duration of sunshine */
	RADIATION_DARK,          /* the sun is down: nothing, by geometry */
	RADIATION_MEASURED,      /* came in as radiation, from a station or a forecast */
};

/* Whether other quantities had to stand for it. */
static inline int radiation_is_estimated(enum radiation_basis b)
{
	return b == RADIATION_FROM_RANGE || b == RADIATION_FROM_CLOUD || b == RADIATION_FROM_SUNSHINE;
}

/* What all hours of a day at a latitude share. */
struct radiation_day {
	double distance;            /* of the sun, relative, inverse and squared */
	double declination_rad;     /* of the sun */
	double sunset_rad;          /* hour angle of its centre on a flat horizon: 0 polar night, pi midnight sun */
	double sine_part;           /* sin lat sin dec, and */
	double cosine_part;         /* cos lat cos dec: their sum is the sine of noon's altitude */
	double solar_h;             /* apparent less mean solar time */
	double extraterrestrial_mj; /* of the whole day */
};

/*
 * The terms of a day.
 *
 * Given    lat_deg       -90..90, north positive; else NaN
 *          day_of_year   1..366, of the date in local standard time
 * Limits   in winter over 55 deg the result is of little worth (FAO-56)
 * Source   FAO-56 (Allen et al. 1998) eq. 21, 23 to 25, 32, 33
 * Checked  FAO-56 examples 7, 8, 10, 15 to 20; ASCE-EWRI 2005 app. C; a year's course at five latitudes
 */
struct radiation_day radiation_day(double lat_deg, int day_of_year);

/*
 * Daylight between rises and sets of the sun's centre, without refraction.
 *
 * Returned h; mostly shorter than the day that physics/sun knows (see sun_day_length).  Sunshine is a share of this
 * one. Source   FAO-56 eq. 34 Checked  FAO-56 examples 9, 10, 17, 18
 */
double radiation_daylight_h(const struct radiation_day *day);

/*
 * The sun's hour angle, 0 at its noon.
 *
 * Given    utc_h     hours since 0 h UTC of the day's date; may lie outside 0..24
 *          lon_deg   east positive
 * Source   FAO-56 eq. 31, written for UTC
 * Checked  FAO-56 example 19
 */
double radiation_hour_angle(const struct radiation_day *day, double lon_deg, double utc_h);

/* Sine of the sun's altitude at an hour angle, under 0 below the horizon (FAO-56 annex 3). */
double radiation_sun_sine(const struct radiation_day *day, double angle_rad);

/*
 * What would arrive without air between two hour angles.
 *
 * Given    from_rad, to_rad   -2 pi..2 pi, from before to, at most a day; the part below the horizon gives nothing
 * Returned never negative; the spans of a day sum to extraterrestrial_mj
 * Source   FAO-56 eq. 28, held between sunrise and sunset as in ASCE-EWRI 2005 eq. 55, 56
 * Checked  FAO-56 example 19; ASCE-EWRI 2005 app. C; Fallon, 2015-07-01
 */
double radiation_extraterrestrial(const struct radiation_day *day, double from_rad, double to_rad);

struct radiation_hour {
	double extraterrestrial_mj;
	double sun_sine; /* radiation_sun_sine in its middle */
};

/*
 * Both for hours on end, whose sines hang together: a third of the time.
 *
 * Given    middle_rad   hour angle in the middle of the first of the n hours, at most a day
 */
void radiation_hours(const struct radiation_day *day, double middle_rad, size_t n, struct radiation_hour *hour);

/*
 * The same under a clear sky, as a share of what arrives without air.
 *
 * Source   FAO-56 eq. 37 (where no local coefficients are known); ASCE-EWRI 2005 eq. 19, 47
 * Checked  FAO-56 examples 16 to 20; ASCE-EWRI 2005 app. C
 */
double radiation_clear_share(double elevation_m);

/*
 * A day's radiation from its sunshine.
 *
 * Given    sunshine_h   0 up; taken as at most the daylight; under 0 gives NaN
 * Source   FAO-56 eq. 35 with a = 0.25, b = 0.50
 * Checked  FAO-56 examples 10, 17, 18
 */
double radiation_from_sunshine(const struct radiation_day *day, double sunshine_h);

/*
 * The share of clear-sky radiation that comes through cloud.
 *
 * Given    cloud_frac   part of the sky under cloud, 0..1; else NaN
 * Returned 0.25..1
 * Limits   from Hamburg, hourly means; high thin cloud counts like low cloud, half cover comes out bright
 * Source   Kasten & Czeplak 1980, Solar Energy 24:177, 1 - 0.75 c^3.4 (factor as later codes quote it)
 * Checked  nine covers computed from the formula elsewhere
 */
double radiation_cloud_share(double cloud_frac);

/* The cover that would let this share through; 0 and 1 where the share is over or under all covers.  Under 0: NaN. */
double radiation_cloud_behind(double share);

/* Inland, and where a sea or great lake rules the air (FAO-56 eq. 50). */
#define RADIATION_RANGE_INLAND 0.16
#define RADIATION_RANGE_COAST  0.19

/*
 * A day's radiation from its temperature range.
 *
 * Given    tmin_c, tmax_c   low over high gives NaN
 *          factor           one of the two above, K^-0.5
 *          clear_share      the result is at most that of a clear sky
 * Limits   meant for sums of several days, not for one (FAO-56)
 * Source   Hargreaves & Samani 1982; FAO-56 eq. 50
 * Checked  FAO-56 examples 15, 16, 20
 */
double radiation_from_range(const struct radiation_day *day, double tmin_c, double tmax_c, double factor,
			    double clear_share);

#define RADIATION_GRASS_KEEPS 0.77 /* FAO-56 eq. 38: an albedo of 0.23 */

/* FAO-56 eq. 39: longwave loss by cloud, by the air, and 0 C in kelvin; the least share: ASCE-EWRI 2005 eq. 18. */
#define RADIATION_CLOUDY      1.35
#define RADIATION_CLOUDY_LESS 0.35
#define RADIATION_SHARE_LEAST 0.3
#define RADIATION_AIR_CLEAR   0.34
#define RADIATION_AIR_VAPOUR  0.14
#define RADIATION_ZERO_K      273.16

/*
 * Shortwave radiation that grass keeps: all but an albedo of 0.23.
 *
 * Source   FAO-56 eq. 38
 * Checked  FAO-56 examples 12, 16 to 19
 */
static inline double radiation_net_short(double shortwave_mj)
{
	return RADIATION_GRASS_KEEPS * shortwave_mj;
}

/*
 * Longwave loss under this sky as a share of that under a clear one.
 *
 * Given    share   of clear-sky radiation; held between 0.3 and 1
 * Source   1.35 share - 0.35: FAO-56 eq. 39; the lower bound: ASCE-EWRI 2005 eq. 18, 45
 * Checked  FAO-56 examples 11, 16 to 19; ASCE-EWRI 2005 app. C
 */
static inline double radiation_cloudiness(double share)
{
	double kept = share < RADIATION_SHARE_LEAST ? RADIATION_SHARE_LEAST : share > 1 ? 1 : share;
	return RADIATION_CLOUDY * kept - RADIATION_CLOUDY_LESS;
}

/* Stefan-Boltzmann constant, MJ m-2 K-4 a day and an hour, as each standard rounds it. */
#define RADIATION_SIGMA_FAO_DAY   4.903e-9
#define RADIATION_SIGMA_FAO_HOUR  2.043e-10
#define RADIATION_SIGMA_ASCE_DAY  4.901e-9
#define RADIATION_SIGMA_ASCE_HOUR 2.042e-10

/*
 * Longwave radiation that short grass loses.
 *
 * Given    sigma            of the standard and the span
 *          low_c, high_c    of the day; of an hour twice its mean
 *          vapour_kpa       >= 0; less gives NaN
 *          cloudiness       radiation_cloudiness()
 * Source   FAO-56 eq. 39; ASCE-EWRI 2005 eq. 17, 44
 * Checked  FAO-56 table 2.8, examples 11, 16 to 20; ASCE-EWRI 2005 app. C
 */
static inline double radiation_net_long(double sigma, double low_c, double high_c, double vapour_kpa, double cloudiness)
{
	double low_k2 = (low_c + RADIATION_ZERO_K) * (low_c + RADIATION_ZERO_K);
	double high_k2 = (high_c + RADIATION_ZERO_K) * (high_c + RADIATION_ZERO_K);
	double black = sigma * (low_k2 * low_k2 + high_k2 * high_k2) / 2;
	return black * (RADIATION_AIR_CLEAR - RADIATION_AIR_VAPOUR * sqrt(vapour_kpa)) * cloudiness;
}

#endif
