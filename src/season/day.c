#include "season/day.h"

#include <math.h>

#include "base/instant.h"
#include "physics/sun.h"

enum {
	CHANCE_FROM_S = 6 * HOUR_S, /* the hours in which somebody is about */
	CHANCE_TO_S = 21 * HOUR_S,
	ENOUGH_PERCENT = 80, /* of the hours, for an extreme or a sum of the whole day */
};

static bool enough(int known, int of)
{
	return of > 0 && known * 100 >= of * ENOUGH_PERCENT;
}

bool day_rain_told(const struct day *day)
{
	return enough(day->rain_known, day->hours) ||
	       enough(day->rain_chance_known, (CHANCE_TO_S - CHANCE_FROM_S) / HOUR_S);
}

bool day_cloud_told(const struct day *day)
{
	bool no_light = day->hours > 0 && day->daylight_hours == 0;
	return no_light || enough(day->cloud_known, day->daylight_hours);
}

bool day_wind_told(const struct day *day)
{
	return enough(day->wind_known, day->hours);
}

int day_hours(const struct zone *z, struct date d, int64_t *first)
{
	/* The first hour that starts at or after the midnight: zones of half hours have theirs inside an hour. */
	int64_t from = instant_hour(zone_day_start(z, d) + HOUR_S - 1);
	int64_t to = instant_hour(zone_day_start(z, date_add(d, 1)) + HOUR_S - 1);
	*first = from;
	return (int)((to - from) / HOUR_S);
}

/* A running tally of one variable over the hours of the day. */
struct tally {
	int known;
	double sum, low, high;
};

static struct tally tally_none(void)
{
	return (struct tally){.low = (double)NAN, .high = (double)NAN};
}

static void tally(struct tally *y, double x)
{
	if (isnan(x))
		return;
	y->known++;
	y->sum += x;
	y->low = fmin(y->low, x);
	y->high = fmax(y->high, x);
}

static struct tally tally_day(const struct hours *h, enum var v, int64_t first, int n)
{
	struct tally y = tally_none();
	for (int i = 0; i < n; i++)
		tally(&y, hours_get(h, v, first + (int64_t)i * HOUR_S));
	return y;
}

static void day_temperature(struct day *day, const struct hours *h, int64_t first)
{
	struct tally t = tally_day(h, VAR_AIR_TEMPERATURE, first, day->hours);
	bool whole = enough(t.known, day->hours);

	day->t_known = t.known;
	day->tmin_c = whole ? t.low : (double)NAN;
	day->tmax_c = whole ? t.high : (double)NAN;
	day->tmean_c = whole ? t.sum / t.known : (double)NAN;
	for (int i = 0; i < day->hours; i++)
		day->t_from[hours_origin(h, VAR_AIR_TEMPERATURE, first + (int64_t)i * HOUR_S)]++;
}

static void day_rain(struct day *day, const struct hours *h, const struct zone *z, int64_t first)
{
	struct tally rain = tally_day(h, VAR_PRECIPITATION, first, day->hours);
	struct tally chance = tally_none();

	for (int i = 0; i < day->hours; i++) {
		int64_t t = first + (int64_t)i * HOUR_S;
		int clock = zone_second(z, t);
		if (clock >= CHANCE_FROM_S && clock < CHANCE_TO_S)
			tally(&chance, hours_get(h, VAR_PRECIPITATION_CHANCE, t));
	}
	day->rain_known = rain.known;
	day->rain_mm = rain.known > 0 ? rain.sum : (double)NAN;
	day->rain_chance_known = chance.known;
	day->rain_chance_frac = chance.high;
}

static void day_sky(struct day *day, const struct hours *h, int64_t first, double lat_deg, double lon_deg)
{
	struct tally cloud = tally_none(), lit = tally_none();
	struct tally radiation = tally_day(h, VAR_SHORTWAVE, first, day->hours);

	for (int i = 0; i < day->hours; i++) {
		int64_t t = first + (int64_t)i * HOUR_S;
		if (sun_altitude(t, lat_deg, lon_deg) <= SUN_HORIZON_DEG)
			continue;
		day->daylight_hours++;
		tally(&cloud, hours_get(h, VAR_CLOUD, t));
		tally(&lit, hours_get(h, VAR_SHORTWAVE, t));
	}
	day->cloud_known = cloud.known;
	day->cloud_frac = cloud.known > 0 ? cloud.sum / cloud.known : (double)NAN;
	day->radiation_known = lit.known;
	day->radiation_mj = enough(lit.known, day->daylight_hours) ? radiation.sum * HOUR_S / 1e6 : (double)NAN;
}

struct day day_of(const struct hours *h, const struct zone *z, struct date d, double lat_deg, double lon_deg)
{
	int64_t first;
	struct day day = {.date = d, .start = zone_day_start(z, d), .end = zone_day_start(z, date_add(d, 1))};

	day.hours = day_hours(z, d, &first);
	day_temperature(&day, h, first);
	day_rain(&day, h, z, first);
	day_sky(&day, h, first, lat_deg, lon_deg);
	struct tally wind = tally_day(h, VAR_WIND, first, day.hours);
	struct tally gust = tally_day(h, VAR_GUST, first, day.hours);
	day.wind_known = wind.known;
	day.wind_ms = wind.high;
	day.gust_known = gust.known;
	day.gust_ms = gust.high;
	return day;
}

/* The air temperatures of a day's hours. */
struct day_air {
	int n;
	double t_c[DAY_HOURS_MAX];
	uint8_t origin[DAY_HOURS_MAX];
};

static struct day_air air_of(const struct hours *h, const struct zone *z, struct date d)
{
	struct day_air air = {0};
	int64_t first;
	int n = day_hours(z, d, &first);
	air.n = n > DAY_HOURS_MAX ? DAY_HOURS_MAX : n;
	for (int i = 0; i < air.n; i++) {
		int64_t t = first + (int64_t)i * HOUR_S;
		air.t_c[i] = hours_get(h, VAR_AIR_TEMPERATURE, t);
		air.origin[i] = (uint8_t)hours_origin(h, VAR_AIR_TEMPERATURE, t);
	}
	return air;
}

/* The low of a day of which enough hours are known; *foreseen where one of them is forecast or less. */
static double low_of(const struct day_air *air, bool *foreseen)
{
	struct tally t = tally_none();
	*foreseen = false;
	for (int i = 0; i < air->n; i++) {
		tally(&t, air->t_c[i]);
		*foreseen = *foreseen || (!isnan(air->t_c[i]) && air->origin[i] <= ORIGIN_FORECAST);
	}
	return t.known >= DEGREE_HOURS_ENOUGH ? t.low : (double)NAN;
}

static bool wants_next(const struct degree_rule *rule, const struct degree_extremes *known)
{
	bool both = rule->method == DEGREE_SINE_DOUBLE || rule->method == DEGREE_TRIANGLE_DOUBLE;
	return both && (isnan(known->tmin_c) || isnan(known->tmax_c));
}

struct degree_count day_degrees(const struct hours *h, const struct zone *z, struct date d,
				const struct degree_rule *rule, const struct degree_extremes *known)
{
	struct degree_extremes e = {(double)NAN, (double)NAN, (double)NAN};
	struct day_air air = air_of(h, z, d);
	bool foreseen = false;

	if (known != NULL)
		e = *known;
	if (wants_next(rule, &e)) {
		struct day_air next = air_of(h, z, date_add(d, 1));
		e.next_tmin_c = low_of(&next, &foreseen);
	}
	struct degree_count c = degree_day_hours(rule, air.t_c, air.origin, air.n, &e);
	c.any_forecast = c.any_forecast || (c.how != DEGREE_UNKNOWN && foreseen);
	return c;
}
