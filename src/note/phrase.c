#include "note/phrase.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "advice/advice.h"
#include "base/instant.h"
#include "base/unit.h"

enum { PHRASE_WEEK = 6, PHRASE_SAME_MONTH_DAYS = 21, NOON_H = 12 };

void phrase_degrees(struct text *t, double c, int units)
{
	if (isnan(c)) {
		text_add(t, "?");
		return;
	}
	text_addf(t, "%d", advice_degrees(c, units));
}

void phrase_degrees_unit(struct text *t, double c, int units)
{
	phrase_degrees(t, c, units);
	text_addf(t, " %s", unit_label(UNIT_TEMPERATURE, (enum unit_system)units));
}

void phrase_difference(struct text *t, double c, int units)
{
	double out = unit_outside(UNIT_DIFFERENCE, (enum unit_system)units, c);
	text_addf(t, "%.0f %s", fabs(round(out)), unit_label(UNIT_DIFFERENCE, (enum unit_system)units));
}

void phrase_wind(struct text *t, double ms, int units)
{
	double x = round(unit_outside(UNIT_SPEED, (enum unit_system)units, ms));
	if (x > 0)
		text_addf(t, "%.0f %s", x, unit_label(UNIT_SPEED, (enum unit_system)units));
	else
		text_add(t, "calm");
}

void phrase_rain(struct text *t, double mm, int units)
{
	enum { HUNDREDTHS = 100, TENTHS = 10 };
	double x = unit_outside(UNIT_WATER, (enum unit_system)units, mm);
	int fine = units == UNIT_US ? HUNDREDTHS : x < 1 ? TENTHS : 1;
	text_addf(t, "%.2g %s", round(x * fine) / fine, unit_label(UNIT_WATER, (enum unit_system)units));
}

void phrase_water(struct text *t, double litres, int units)
{
	enum { QUARTS = 4 };
	double x = unit_outside(UNIT_VOLUME, (enum unit_system)units, litres);
	bool small = units == UNIT_US && round(x * QUARTS) < QUARTS;
	const char *one = units != UNIT_US ? "litre" : small ? "quart" : "gallon";
	double shown = small ? round(x * QUARTS) : round(x * QUARTS) / QUARTS;
	text_addf(t, "%.4g %s%s", shown, one, shown > 1 || shown < 1 ? "s" : "");
}

void phrase_length(struct text *t, double m, int units)
{
	static const double INCH_M = 0.0254, CM_M = 0.01;
	text_addf(t, units == UNIT_US ? "%.0f in" : "%.0f cm", m / (units == UNIT_US ? INCH_M : CM_M));
}

void phrase_day_month(struct text *t, struct date d)
{
	int year, month, day;
	date_parts(d, &year, &month, &day);
	text_addf(t, "%d %s", day, date_month_short(month));
}

void phrase_degree_days(struct text *t, double dd_c, int units)
{
	double out = unit_outside(UNIT_DIFFERENCE, (enum unit_system)units, dd_c);
	text_addf(t, "%.0f %s-days", round(out) + 0.0, unit_label(UNIT_DIFFERENCE, (enum unit_system)units));
}

void phrase_date_full(struct text *t, struct date d)
{
	int year, month, day;
	date_parts(d, &year, &month, &day);
	text_addf(t, "%s %d %s", date_weekday_short(date_weekday(d)), day, date_month_short(month));
}

void phrase_date(struct text *t, struct date d, struct date today)
{
	int year, month, day, this_year, this_month, this_day;
	date_parts(d, &year, &month, &day);
	date_parts(today, &this_year, &this_month, &this_day);
	if (month != this_month || abs(date_diff(d, today)) > PHRASE_SAME_MONTH_DAYS) {
		phrase_date_full(t, d);
		return;
	}
	text_addf(t, "%s %d", date_weekday_short(date_weekday(d)), day);
}

void phrase_day(struct text *t, struct date d, struct date today)
{
	int ahead = date_diff(d, today);
	if (ahead == 0 || ahead == 1) {
		text_add(t, ahead == 0 ? "today" : "tomorrow");
		return;
	}
	phrase_date(t, d, today);
}

void phrase_night(struct text *t, struct date evening, struct date today)
{
	int ahead = date_diff(evening, today);
	if (ahead >= -1 && ahead <= 1) {
		text_add(t, ahead < 0 ? "last night" : ahead == 0 ? "tonight" : "tomorrow night");
	} else if (ahead > 1 && ahead <= PHRASE_WEEK) {
		text_addf(t, "%s night", date_weekday_long(date_weekday(evening)));
	} else {
		text_add(t, "the night of ");
		phrase_date_full(t, evening);
	}
}

void phrase_clock(struct text *t, const struct zone *z, int64_t at, int units)
{
	int minute_of_day = zone_second(z, at) / 60;
	int hour = minute_of_day / 60, minute = minute_of_day % 60;
	if (units != UNIT_US) {
		text_addf(t, "%d:%02d", hour, minute);
		return;
	}
	if (hour == NOON_H && minute == 0) {
		text_add(t, "noon");
		return;
	}
	text_addf(t, "%d", hour % NOON_H == 0 ? NOON_H : hour % NOON_H);
	if (minute != 0)
		text_addf(t, ":%02d", minute);
	text_add(t, hour < NOON_H ? " am" : " pm");
}

void phrase_listed(struct text *t, const char *word, size_t i, size_t n)
{
	if (i > 0)
		text_add(t, i + 1 == n ? " and " : ", ");
	text_add(t, word);
}

static void counted(struct text *t, int64_t n, const char *unit)
{
	text_addf(t, "%lld %s%s", (long long)n, unit, n == 1 ? "" : "s");
}

void phrase_age(struct text *t, int64_t seconds)
{
	enum { MINUTE_S = 60, HOURS_TO = 48 };
	if (seconds >= (int64_t)HOURS_TO * HOUR_S)
		counted(t, seconds / DAY_S, "day");
	else if (seconds >= HOUR_S)
		counted(t, seconds / HOUR_S, "hour");
	else
		counted(t, seconds >= MINUTE_S ? seconds / MINUTE_S : 1, "minute");
}
