/*
 * The season as it stands at the cut: the nights and days around it, and every planting.
 *
 * Plain copyable data, computed anew from the hourly record at every run;
 * nothing of it is stored.  Temperatures are those of the forecast's and the
 * record's 2 m air, but for the lows of bed and leaf (season/bedlow).
 */
#ifndef SEASON_STATE_H
#define SEASON_STATE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/zone.h"
#include "facts/hours.h"
#include "facts/issue.h"
#include "garden/garden.h"
#include "plant/crop.h"
#include "plant/degree.h"
#include "odds/frostdate.h"
#include "season/bedlow.h"
#include "season/dates.h"
#include "season/day.h"
#include "season/dayhours.h"
#include "season/night.h"
#include "season/outlook.h"
#include "season/soil.h"
#include "season/stages.h"
#include "season/station.h"
#include "season/trust.h"

enum {
	STATE_NIGHTS_BEFORE = 7, /* nights kept from before tonight */
	STATE_AHEAD = 16,        /* nights and days kept from tonight and today on */
	STATE_HOURS_BEFORE = 14, /* days before today whose hours are kept, as of all days ahead */
	STATE_HOURS_DAYS = STATE_HOURS_BEFORE + STATE_AHEAD,
	STATE_NIGHTS = STATE_NIGHTS_BEFORE + STATE_AHEAD,
	STATE_PACE_DAYS = 7,           /* days that a pace is taken over */
	STATE_LEAVES = OUTLOOK_LEAVES, /* widths of leaf that lows are kept for */
	STATE_STATION_DAYS = 2,        /* station days wanted beyond the first and the last day of the season */
};

enum planting_where {
	PLANTING_UNDATED, /* neither sown nor planted: nothing is known of it */
	PLANTING_TO_COME, /* its first date lies after today, or it is only said where it is to be sown */
	PLANTING_IN_TRAY, /* sown indoors, not planted out */
	PLANTING_OUT,     /* planted out, or sown outdoors */
	PLANTING_ENDED,
};

struct planting_state {
	enum planting_where where;
	struct date since; /* first day of the span it is in now */
	int days;          /* whole days since then, 0 on the day itself */
	int age_days;      /* since sowing; -1 where that is not known */
	struct soil soil;  /* the last reading of its bed (season/soil) */
	size_t leaf;       /* whose width its leaves have, of the state's */
	struct dates dates;
	struct stage_state stage;

	/* Warmth since `since`, whole civil days up to yesterday; for a tray at room temperature. */
	struct degree_sum warmth;
	struct degree_sum last_week; /* the STATE_PACE_DAYS days before today, no longer than the span */
	struct degree_sum coming;    /* today and after, as far as the hours reach, at most STATE_PACE_DAYS */
};

/* How old the forecast is that the state rests on. */
struct forecast_state {
	bool any;     /* there is an issue at all */
	int64_t made; /* instant it was made, or received where the service does not say */
	int64_t received;
	int64_t age_s;    /* cut - made */
	enum trust trust; /* by its age; TRUST_SPENT also where there is none */
	int64_t reaches;  /* first instant without an air temperature after the cut; the cut where there is none */
	char title[ISSUE_TITLE_SIZE], credit[ISSUE_CREDIT_SIZE];
};

struct season_state {
	int64_t cut;
	struct date today;                /* civil date at the cut */
	struct night night[STATE_NIGHTS]; /* consecutive; night[STATE_NIGHTS_BEFORE] is tonight */
	size_t leaves;
	double
	    leaf_m[STATE_LEAVES]; /* their widths; past STATE_LEAVES the widest, which gets coldest, stands for them */
	struct bedlow bedlow[STATE_NIGHTS][STATE_LEAVES]; /* of the same nights */
	struct outlook_night outlook[STATE_AHEAD];        /* of tonight and the nights after */
	struct day day[STATE_AHEAD];                      /* consecutive; day[0] is today */
	double soil_c[STATE_NIGHTS]; /* bare soil, reckoned, at 8 am of the days of `night`'s evenings */
	double seed_c[STATE_NIGHTS]; /* the same at the depth of seed */
	struct frostdate frost;      /* of the main station's years; FROSTDATE_TOO_FEW where there are none */
	struct climate climate;      /* of the same; years 0 where there are none */
	struct dayhours hours[STATE_HOURS_DAYS]; /* consecutive; hours[STATE_HOURS_BEFORE] is today */
	struct forecast_state forecast;
	char station[STATION_ID_SIZE]; /* whose days stand in for hours; "" where there is none */
	int stations;                  /* that have days; it is the one with most of them (see season/station) */
	size_t plantings;              /* as the garden's, same order */
	struct planting_state planting[GARDEN_PLANTINGS_MAX];
};

/* What is known at the cut (see the record's cut rule). */
struct season_known {
	const struct hours *hours;
	const struct issue *newest;  /* head of the newest issue; source "" where there is none */
	struct station_days station; /* STATE_STATION_DAYS round the season; none is fine */
	struct diary diary;          /* none is fine */
	struct soil_hours soil;      /* 10 cm down, some weeks up to the end of `hours` */
	struct soil_hours seed;      /* the same at the depth of seed, 2.5 cm */
	struct outlook_past past;
	const struct frostdate *frost; /* NULL: no years are known */
};

/*
 * Compute the state.
 *
 * Given    g          the garden, its plantings with the figures that count for them
 *          z          its zone, loaded for the whole season and STATE_AHEAD days more
 *          k          what is known at the cut
 *          cut        the instant of the morning
 * Notes    tonight is the night whose evening is today's; before 09:00 local standard time
 *          last night may still be running, and is night[STATE_NIGHTS_BEFORE - 1].
 *          Station days stand for the days before today alone: what a station says of today or later
 *          was not known in the morning, whenever it was imported.
 *          Of a spent forecast (season/trust) nothing after the cut is looked at.
 */
void season_state_at(const struct garden *g, const struct zone *z, const struct season_known *k, int64_t cut,
		     struct season_state *s);

/* The first instant that the state of this garden at a cut looks at: what the record must be asked for. */
int64_t season_begins(const struct garden *g, const struct diary *diary, const struct zone *z, int64_t cut);

/* The first instant whose soil is reckoned: for seed that lies in it, or some weeks before the cut. */
int64_t season_soil_begins(const struct garden *g, const struct diary *diary, const struct zone *z, int64_t cut);

const struct night *season_tonight(const struct season_state *s);

/* The bed's and a planting's leaf's lows of an evening; NULL where the state does not hold it. */
const struct bedlow *season_bedlow(const struct season_state *s, size_t planting, struct date evening);

/* What is to be expected of a coming evening; NULL where the state does not hold it. */
const struct outlook_night *season_outlook(const struct season_state *s, struct date evening);

/* The same of any evening: of those that the state does not hold, what years say. */
struct outlook_night season_expect(const struct season_state *s, struct date evening);

/* The soil of a planting's bed at 8 am of a day from today on, 10 cm down. */
struct soil season_soil(const struct season_state *s, size_t planting, struct date d);

/* The same at the depth of seed, 2.5 cm (1 in, common practice). */
struct soil season_seed_soil(const struct season_state *s, size_t planting, struct date d);

/* The hours of a day; NULL where the state does not hold it. */
const struct dayhours *season_hours(const struct season_state *s, struct date d);

/* The night of an evening; NULL where the state does not hold it. */
const struct night *season_night(const struct season_state *s, struct date evening);

#endif
