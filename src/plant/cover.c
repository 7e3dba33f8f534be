#include "plant/cover.h"

#include <math.h>
#include <string.h>

#define ROW(which, field)                                                                                              \
	.at = offsetof(struct cover, field), .basis_at = offsetof(struct cover, basis[which]),                         \
	.basis_size = COVER_BASIS_SIZE
#define TEMPERATURE .kind = KEY_VALUE, .family = UNIT_TEMPERATURE, .lo = 0, .hi = 50
#define SHARE       .kind = KEY_VALUE, .family = UNIT_FRACTION, .lo = 0, .hi = 1

/* Seconds of a day, 24 h. */
enum { MIDNIGHT_S = 86400 };

const struct key cover_key[COVER_FIGURES] = {
    [COVER_TITLE] = {.name = "title",
		     .kind = KEY_TEXT,
		     .required = true,
		     .example = "NAME",
		     .help = "The cover as a note says it",
		     .at = offsetof(struct cover, title),
		     .size = COVER_TITLE_SIZE},
    [COVER_GAIN] = {.name = "gain",
		    .kind = KEY_SPREAD,
		    .family = UNIT_DIFFERENCE,
		    .lo = -5,
		    .hi = 15,
		    .example = "1 (0-2) C",
		    .help = "How much warmer it keeps the low of a clear, calm night",
		    ROW(COVER_GAIN, gain_c)},
    [COVER_SPOILT] = {.name = "spoilt",
		      SHARE,
		      .example = "50 %",
		      .help = "Share of the gain that is left in wind, or after a day without sun",
		      ROW(COVER_SPOILT, spoilt_frac)},
    [COVER_WINDY] = {.name = "windy",
		     .kind = KEY_VALUE,
		     .family = UNIT_SPEED,
		     .lo = 0,
		     .hi = 40,
		     .example = "4 m/s",
		     .help = "Wind of the night over which the gain is spoilt",
		     ROW(COVER_WINDY, windy_ms)},
    [COVER_SUNLESS] = {.name = "sunless",
		       SHARE,
		       .example = "30 %",
		       .help = "Radiation of the day, of a clear day's, under which the gain is spoilt",
		       ROW(COVER_SUNLESS, sunless_frac)},
    [COVER_LIGHT] =
	{.name = "light", SHARE, .example = "80 %", .help = "Light that it lets through", ROW(COVER_LIGHT, light_frac)},
    [COVER_OFF_BY] = {.name = "off_by",
		      .kind = KEY_VALUE,
		      .family = UNIT_DURATION,
		      .lo = 0,
		      .hi = MIDNIGHT_S,
		      .example = "8 h",
		      .help = "Off by this hour of the morning, of days that get warmer than off_over",
		      ROW(COVER_OFF_BY, off_by_s)},
    [COVER_OFF_OVER] = {.name = "off_over",
			TEMPERATURE,
			.example = "60 F",
			.help = "Off where the air outside gets warmer than this",
			ROW(COVER_OFF_OVER, off_over_c)},
    [COVER_VENT_OVER] = {.name = "vent_over",
			 TEMPERATURE,
			 .example = "80 F",
			 .help = "Opened where the air outside gets warmer than this",
			 ROW(COVER_VENT_OVER, vent_over_c)},
    [COVER_DAY] =
	{.name = "day",
	 .kind = KEY_CHOICE,
	 .word = {[COVER_NIGHT_ONLY] = "never", [COVER_UNTIL_FLOWER] = "until-flower", [COVER_ALWAYS] = "always"},
	 .required = true,
	 .example = "never",
	 .help = "Whether it may stay on by day",
	 ROW(COVER_DAY, day)},
    [COVER_TOUCH] = {.name = "touch",
		     .kind = KEY_YES,
		     .required = true,
		     .example = "no",
		     .help = "Whether it may touch leaves in a frost",
		     ROW(COVER_TOUCH, touch)},
};

size_t cover_index(const struct covers *cs, const char *name)
{
	size_t i = 0;

	while (i < cs->n && strcmp(cs->at[i].name, name) != 0)
		i++;
	return i;
}

const struct cover *cover_find(const struct covers *cs, const char *name)
{
	size_t i = cover_index(cs, name);

	return i < cs->n ? &cs->at[i] : NULL;
}

struct spread cover_gain(const struct cover *c, double wind_ms, double sun_frac)
{
	/* a comparison with NaN is false: what is not known spoils nothing */
	bool spoilt = wind_ms > c->windy_ms || sun_frac < c->sunless_frac;
	double left = spoilt && !isnan(c->spoilt_frac) ? c->spoilt_frac : 1;

	return (struct spread){left * c->gain_c.likely, left * c->gain_c.least, left * c->gain_c.most};
}
