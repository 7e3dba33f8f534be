/*
 * Ranges: the records of the world, rounded outward (WMO World Weather and
 * Climate Extremes Archive, from memory): air -89.2 and 56.7 C, dew point 35 C,
 * gust 113 m/s, rain 305 mm in 42 minutes, pressure at sea level 870 and
 * 1084 hPa.  Radiation over the solar constant (1361 W/m2) occurs for minutes
 * beside bright clouds, not for an hour.  Soil surface: bare dry ground passes
 * 70 C (common practice).
 */
#include "facts/var.h"

#include <stddef.h>
#include <string.h>

static const struct var_row TABLE[VARS] = {
    [VAR_AIR_TEMPERATURE] = {"air_temperature", "C", UNIT_TEMPERATURE, VAR_STATE, -90, 60, true, "air at 2 m"},
    [VAR_DEW_POINT] = {"dew_point_temperature", "C", UNIT_TEMPERATURE, VAR_STATE, -100, 40, true, "dew point at 2 m"},
    [VAR_HUMIDITY] = {"relative_humidity", "1", UNIT_FRACTION, VAR_STATE, 0, 1, true,
		      "relative humidity at 2 m, over water"},
    [VAR_WIND] = {"wind_speed", "m/s", UNIT_SPEED, VAR_STATE, 0, 90, true, "mean wind at 10 m"},
    [VAR_GUST] = {"wind_speed_of_gust", "m/s", UNIT_SPEED, VAR_STATE, 0, 130, true, "strongest gust at 10 m"},
    [VAR_CLOUD] = {"cloud_area_fraction", "1", UNIT_FRACTION, VAR_STATE, 0, 1, true, "part of the sky under cloud"},
    [VAR_PRECIPITATION] = {"precipitation_amount", "mm", UNIT_WATER, VAR_FLUX, 0, 305, true,
			   "rain and melted snow of the hour"},
    [VAR_PRECIPITATION_CHANCE] = {"probability_of_precipitation", "1", UNIT_FRACTION, VAR_FLUX, 0, 1, true,
				  "chance of rain in the hour or the period it came with; not a CF name"},
    [VAR_SHORTWAVE] = {"surface_downwelling_shortwave_flux_in_air", "W/m2", UNIT_IRRADIANCE, VAR_FLUX, 0, 1500, true,
		       "sun and sky on level ground, mean of the hour"},
    [VAR_PRESSURE] = {"air_pressure_at_mean_sea_level", "hPa", UNIT_PRESSURE, VAR_STATE, 850, 1090, true,
		      "pressure brought down to sea level"},
    [VAR_SOIL_TEMPERATURE] = {"soil_temperature", "C", UNIT_TEMPERATURE, VAR_STATE, -50, 75, true,
			      "soil near the surface, at the depth the source gives"},
    [VAR_WINDOW_MINIMUM] = {"air_temperature_minimum", "C", UNIT_TEMPERATURE, VAR_WINDOW, -90, 60, true,
			    "lowest air temperature of a window that starts with this hour; not a CF name"},
    [VAR_WINDOW_MINIMUM_SPAN] = {"air_temperature_minimum_span", "h", UNIT_DURATION, VAR_WINDOW, 1, 24, false,
				 "length of that window, hours; not a CF name"},
};

const struct var_row *var_row(enum var v)
{
	return &TABLE[v];
}

enum var var_named(const char *name)
{
	for (size_t v = 0; v < VARS; v++)
		if (strcmp(TABLE[v].name, name) == 0)
			return (enum var)v;
	return VARS;
}

bool var_in_range(enum var v, double x)
{
	return x >= TABLE[v].lo && x <= TABLE[v].hi;
}
