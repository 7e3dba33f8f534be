/*
 * One leaf in the open: its heat balance, how cold it is, and the water on it (dew, frost, rain).
 *
 * A single flat leaf with two sides, facing sky and ground, in air whose
 * temperature and humidity are those of 2 m.  The way from a forecast to a bed
 * is physics/bed; spells of wetness, and rules without a balance, are
 * physics/wetness.
 * Units: deg C, kPa, m/s, W m-2, mm of water (litres a square metre of leaf).
 */
#ifndef PHYSICS_LEAF_H
#define PHYSICS_LEAF_H

#include <stdbool.h>

#include "physics/wetness.h"

/* What a leaf is exposed to. */
struct leaf_env {
	double air_c, vapour_kpa; /* at 2 m */
	double shortwave_wm2;     /* sun and sky on level ground, >= 0 */
	double absorptance_frac;  /* of it, by the leaf */
	double sky_emissivity;    /* sky_emissivity() */
	double sky_view_frac;     /* part of the upper half that is sky; the rest is as warm as the air */
	double ground_c;          /* what the lower side sees; air_c where nothing better is known */
	double held_mm;           /* water on it that may evaporate within the hour */
};

struct leaf_heat {
	double net_wm2;       /* radiation a leaf at air temperature keeps, both sides */
	double latent_wm2;    /* as if water enough were held: over 0 evaporates, under 0 is dew or frost */
	double taken_wm2;     /* of latent_wm2, what applies: all dew; evaporation up to held_mm */
	double dry_c;         /* the leaf, if no water came or went */
	double saturated_kpa; /* over water, at air_c */
	double leaf_c;        /* with taken_wm2 */
	bool frost;           /* dry_c is under 0: what it holds is ice */
};

/*
 * Heat balance of a leaf, linear in its temperature about that of the air.
 *
 * Given    exchange_wm2k   heat exchange with the air, one side, W m-2 K-1, > 0
 *          any number NaN makes the numbers that follow from it NaN
 * Limits   no free convection (a calm leaf is too cold), no stored heat; linear: 0.04 K off at 4 K depression.
 *          The psychrometric constant stays that of water at sea level over ice too: at most a tenth less frost.
 * Source   Penman's combination for two sides with radiative exchange (Monteith & Unsworth 2013, Campbell & Norman
 *          1998, from memory); this form: derived here
 * Checked  nine hours and a day computed twice from the formulas elsewhere; twelve leaf temperatures of
 *          the balance solved without linearisation; night depressions of Leuning & Cremer 1988
 */
struct leaf_heat leaf_balance(const struct leaf_env *env, double exchange_wm2k);

/*
 * Heat exchange of one side of a leaf.
 *
 * Given    wind_ms   at the leaf, >= 0, taken as at least 0.1; under 0, or NaN, gives NaN
 *          width_m   greatest width, > 0; 0.72 of it is the length that counts
 * Returned W m-2 K-1
 * Source   Campbell & Norman 1998, laminar flow over a plate, 1.4 for the turbulence outdoors (from memory)
 */
double leaf_exchange(double wind_ms, double width_m);

/*
 * Wind among leaves from that at 10 m.
 *
 * Given    wind10_ms      >= 0; else NaN
 *          shelter_frac   part that walls and hedges leave of it, 0..1
 * Returned m/s, at least 0.3
 * Source   factor 0.415: logarithmic profile over short grass (displacement 0.08 m, roughness 0.01476 m) from
 *          10 to 0.3 m; the 0.3 m/s that calm nights keep: derived here
 */
double leaf_wind(double wind10_ms, double shelter_frac);

/*
 * Water on the leaf, mm, as the least and the most that can be there.
 *
 * They are the same but after hours that could not be told: then 0 and
 * LEAF_HOLDS_MM, until sun or rain brings them together.  Copy it freely.
 */
struct leaf_water {
	double least_mm, most_mm;
};

#define LEAF_HOLDS_MM     0.6   /* more runs off (derived here; published stores are 0.1 to 0.8 mm) */
#define LEAF_WET_MM       0.005 /* a leaf that holds as much is wet (derived here) */
#define LEAF_FOG_FRAC     0.98  /* so humid, fog wets it (derived here) */
#define LEAF_ABSORPTANCE  0.5   /* green leaf, sunlight (Campbell & Norman 1998, from memory) */
#define LEAF_WATER_DRY    ((struct leaf_water){0, 0})
#define LEAF_WATER_UNTOLD ((struct leaf_water){0, LEAF_HOLDS_MM})

/*
 * The water after an hour: rain comes first and runs off over LEAF_HOLDS_MM, then evaporation or dew.
 *
 * Given    latent_wm2   leaf_heat's; NaN leaves the store untold
 *          frost        it was ice: 2.834e6 J/kg instead of 2.45e6
 *          rain_mm      of the hour, or overhead watering, >= 0; less, or NaN: it may have been any amount
 */
void leaf_water_hour(struct leaf_water *water, double latent_wm2, bool frost, double rain_mm);

/* Whether a leaf that holds this is wet. */
enum wetness leaf_water_wet(const struct leaf_water *water);

/* What stays the same from hour to hour. */
struct leaf_setup {
	double width_m;       /* of the crop's leaf */
	double sky_view_frac; /* 1 in the open; 0.5 beside a wall */
	double shelter_frac;  /* as leaf_wind has it; 1 in the open */
};

/* An hour's weather, in the middle of the hour; rain and sun of the hour.  NaN where missing. */
struct leaf_hour {
	double air_c, vapour_kpa;
	double wind10_ms;
	double cloud_frac;     /* for physics/bed alone; sky_emissivity has it in already */
	double sky_emissivity; /* sky_emissivity(), worked out once for leaf and soil */
	double shortwave_wm2;  /* 0 at night */
	double ground_c;       /* air_c where nothing better is known */
	double rain_mm;
};

struct leaf_now {
	struct leaf_heat heat; /* NaN where an input is missing */
	double deposit_mm;     /* dew or frost of the hour, >= 0 */
	enum wetness wet;      /* at the hour's end, or by fog */
};

/*
 * One hour of a leaf.
 *
 * Given    water   at the hour's start; left as at its end
 * Notes    Evaporation cools the leaf only by water it surely holds, so that an hour in which it dries, or
 *          a store that cannot be told, makes it no colder than it is.
 */
struct leaf_now leaf_step(struct leaf_water *water, const struct leaf_hour *hour, const struct leaf_setup *setup);

#endif
