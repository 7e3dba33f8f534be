#include "season/night.h"

#include <math.h>

#include "base/instant.h"
#include "physics/sun.h"

enum {
	BEGIN_S = 18 * HOUR_S,      /* of the evening, local standard time */
	END_S = DAY_S + 9 * HOUR_S, /* of the morning after */
	NO_SUNRISE_S = DAY_S + 6 * HOUR_S,
	GUARD_S = 3 * HOUR_S, /* round sunrise, where the low is to be expected */
	PAST_SUNRISE_S = HOUR_S,
	ENOUGH_PERCENT = 80,
	WINDOW_MAX_H = 24,
	WINDOW_HALF_S = WINDOW_MAX_H * HOUR_S / 2,
};

/* Readings and lines that meet in one unit may part by a rounding error in another. */
#define TOUCH_K 1e-6

static bool under(double low_c, double line_c)
{
	return low_c < line_c - TOUCH_K;
}

static bool enough(int known, int of)
{
	return of > 0 && known * 100 >= of * ENOUGH_PERCENT;
}

bool night_cloud_told(const struct night *night)
{
	return enough(night->cloud_known, night->dark_hours);
}

bool night_wind_told(const struct night *night)
{
	return enough(night->wind_known, night->dark_hours);
}

struct date night_evening(int64_t t, double lon_deg)
{
	return instant_date(t - DAY_S / 2, instant_standard_offset(lon_deg));
}

static void set_span(struct night *night, double lat_deg, double lon_deg, int64_t cut)
{
	int offset_s = instant_standard_offset(lon_deg);

	night->sunrise = sun_day(date_add(night->evening, 1), lat_deg, lon_deg).rise;
	night->first = instant_at(night->evening, BEGIN_S, offset_s);
	night->last = instant_at(night->evening, END_S, offset_s);
	if (night->sunrise != INSTANT_NONE && night->sunrise > night->last)
		night->last = instant_hour(night->sunrise + PAST_SUNRISE_S);
	night->phase = night->last <= cut ? NIGHT_PAST : night->first <= cut ? NIGHT_RUNNING : NIGHT_COMING;
}

static void set_hours(struct night *night, const struct hours *h, double lon_deg)
{
	int64_t centre = night->sunrise != INSTANT_NONE
			     ? night->sunrise
			     : instant_at(night->evening, NO_SUNRISE_S, instant_standard_offset(lon_deg));
	bool guarded = true;

	for (int64_t t = night->first; t <= night->last; t += HOUR_S) {
		double x = hours_get(h, VAR_AIR_TEMPERATURE, t);
		night->wanted++;
		if (isnan(x)) {
			guarded = guarded && (t < centre - GUARD_S || t > centre + GUARD_S);
			continue;
		}
		if (night->known++ == 0 || x < night->hours_low_c) {
			night->hours_low_c = x;
			night->hours_low_at = t;
			night->low_origin = hours_origin(h, VAR_AIR_TEMPERATURE, t);
		}
	}
	night->complete = guarded && enough(night->known, night->wanted);
}

/* Whether a window that starts at t says something about this night. */
static bool window_counts(const struct night *night, const struct hours *h, int64_t t, int64_t cut)
{
	double span_h = hours_get(h, VAR_WINDOW_MINIMUM_SPAN, t);
	if (!(span_h > 0 && span_h <= WINDOW_MAX_H))
		return false;

	int64_t end = t + (int64_t)llround(span_h * HOUR_S);
	int64_t from = t > night->first ? t : night->first;
	int64_t to = end < night->last ? end : night->last;
	bool half = 2 * (to - from) >= end - t;
	return half && (end > cut || hours_origin(h, VAR_WINDOW_MINIMUM, t) >= ORIGIN_ANALYSED);
}

static void set_windows(struct night *night, const struct hours *h, int64_t cut)
{
	night->lowest_seen_c = night->hours_low_c;
	/* With half of it in the night, no window begins earlier. */
	for (int64_t t = night->first - WINDOW_HALF_S; t < night->last; t += HOUR_S) {
		double x = hours_get(h, VAR_WINDOW_MINIMUM, t);
		if (isnan(x) || x >= night->lowest_seen_c || !window_counts(night, h, t, cut))
			continue;
		night->lowest_seen_c = x;
		night->low_origin = hours_origin(h, VAR_WINDOW_MINIMUM, t);
		night->bounded = true;
	}
	night->low_c = night->complete ? night->lowest_seen_c : (double)NAN;
}

static void set_dark(struct night *night, const struct hours *h, double lat_deg, double lon_deg)
{
	double cloud = 0, wind = 0;

	for (int64_t t = night->first; t <= night->last; t += HOUR_S) {
		if (sun_altitude(t, lat_deg, lon_deg) > SUN_HORIZON_DEG)
			continue;
		double c = hours_get(h, VAR_CLOUD, t), w = hours_get(h, VAR_WIND, t);
		night->dark_hours++;
		night->cloud_known += !isnan(c);
		night->wind_known += !isnan(w);
		cloud += isnan(c) ? 0 : c;
		wind += isnan(w) ? 0 : w;
	}
	night->cloud_frac = night->cloud_known > 0 ? cloud / night->cloud_known : (double)NAN;
	night->wind_ms = night->wind_known > 0 ? wind / night->wind_known : (double)NAN;
}

struct night night_of(const struct hours *h, struct date evening, double lat_deg, double lon_deg, int64_t cut)
{
	struct night night = {.evening = evening, .hours_low_c = (double)NAN, .hours_low_at = INSTANT_NONE};

	set_span(&night, lat_deg, lon_deg, cut);
	set_hours(&night, h, lon_deg);
	set_windows(&night, h, cut);
	set_dark(&night, h, lat_deg, lon_deg);
	return night;
}

enum night_answer night_holds(const struct night *night, double line_c)
{
	if (under(night->lowest_seen_c, line_c))
		return NIGHT_NO;
	return night->complete && !isnan(line_c) ? NIGHT_YES : NIGHT_CANNOT_TELL;
}

enum night_answer night_at_least(const struct night *nights, size_t n, size_t k, double line_c)
{
	size_t yes = 0, open = 0;

	for (size_t i = 0; i < n; i++) {
		enum night_answer a = night_holds(&nights[i], line_c);
		yes += a == NIGHT_YES;
		open += a == NIGHT_CANNOT_TELL;
	}
	if (yes >= k)
		return NIGHT_YES;
	return yes + open < k ? NIGHT_NO : NIGHT_CANNOT_TELL;
}

/* Index of the first night of the phase or of a later one; n where there is none. */
static size_t first_of(const struct night *nights, size_t n, enum night_phase phase)
{
	size_t i = 0;
	while (i < n && nights[i].phase < phase)
		i++;
	return i;
}

struct night_run night_run(const struct night *nights, size_t n, double line_c)
{
	size_t past = first_of(nights, n, NIGHT_RUNNING), coming = first_of(nights, n, NIGHT_COMING);
	struct night_run run = {0};

	for (size_t i = past; i > 0 && night_holds(&nights[i - 1], line_c) == NIGHT_YES; i--)
		run.past++;
	size_t before = past - (size_t)run.past;
	run.past_open = before == 0 || night_holds(&nights[before - 1], line_c) == NIGHT_CANNOT_TELL;

	if (past < coming)
		run.running = night_holds(&nights[past], line_c);

	size_t i = coming;
	for (; i < n && night_holds(&nights[i], line_c) == NIGHT_YES; i++)
		run.coming++;
	run.coming_open = i == n || night_holds(&nights[i], line_c) == NIGHT_CANNOT_TELL;
	return run;
}

enum night_answer night_first_run(const struct night *nights, size_t n, size_t k, double line_c, struct date *evening)
{
	enum night_answer best = NIGHT_NO;

	for (size_t i = first_of(nights, n, NIGHT_COMING); k <= n && i <= n - k; i++) {
		enum night_answer a = night_at_least(&nights[i], k, k, line_c);
		if (a == NIGHT_YES && i < n) {
			*evening = nights[i].evening;
			return NIGHT_YES;
		}
		if (a == NIGHT_CANNOT_TELL)
			best = NIGHT_CANNOT_TELL;
	}
	return best;
}
