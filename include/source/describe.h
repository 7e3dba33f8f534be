/*
 * Source descriptions: how to ask a forecast service and how to read its answer.
 *
 * An INI file (base/ini): [source] says who it is, [step NAME] the requests in
 * order, [data] what all variables share, [var CF_NAME] where a variable lies
 * and what its numbers mean.  No service is known to this program otherwise.
 * The keys are rows of one table, describe_keys.
 */
#ifndef SOURCE_DESCRIBE_H
#define SOURCE_DESCRIBE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "base/unit.h"
#include "facts/issue.h"
#include "facts/memo.h"
#include "facts/var.h"
#include "source/pointer.h"
#include "source/stamp.h"

enum {
	DESCRIBE_STEPS_MAX = 4,
	DESCRIBE_SETS_MAX = 4,    /* variables that a step's answer gives */
	DESCRIBE_HEADERS_MAX = 4, /* extra header lines of a step */
	DESCRIBE_HOSTS_MAX = 4,
	DESCRIBE_ERRORS_MAX = 4,
	DESCRIBE_VARS_MAX = 32,
	DESCRIBE_WAYS_MAX = 3, /* value, value.2, value.3 */
	DESCRIBE_MISSING_MAX = 4,
	DESCRIBE_WORD_SIZE = 32,
	DESCRIBE_FIELD_SIZE = 128,
	DESCRIBE_URL_SIZE = 1024,
	/* What ends at a day's first stamp is of the hour before: a piece spans an hour more than its days. */
	DESCRIBE_PIECE_MAX = 99,
};

enum describe_honour { HONOUR_EXPIRES = 1, HONOUR_LAST_MODIFIED = 2, HONOUR_ETAG = 4, HONOUR_RETRY_AFTER = 8 };

struct describe_set {
	char name[DESCRIBE_WORD_SIZE];
	struct pointer at;
};

struct describe_step {
	char name[MEMO_STEP_SIZE];
	int line;
	char url[DESCRIBE_URL_SIZE]; /* a template, see plan.h */
	char accept[DESCRIBE_FIELD_SIZE];
	int64_t cache_s;             /* its answer may be kept this long; 0: ask every time */
	char forget[MEMO_STEP_SIZE]; /* on 404 drop the kept answer of this step; "" none */
	size_t sets, headers, hosts;
	struct describe_set set[DESCRIBE_SETS_MAX];
	char header[DESCRIBE_HEADERS_MAX][DESCRIBE_FIELD_SIZE]; /* "Name: value" */
	char host[DESCRIBE_HOSTS_MAX]
		 [DESCRIBE_FIELD_SIZE]; /* hosts a discovered address may lie on besides the step's own */
	int from_day, to_day;           /* {start} and {end}: days from today, UTC */
};

/* How the numbers of a variable stand to time. */
enum describe_kind {
	KIND_INSTANT, /* a state at the stamp */
	KIND_HOLD,    /* a state that holds over the period */
	KIND_MEAN,    /* mean of the period */
	KIND_MAX,     /* greatest of the period */
	KIND_MIN,     /* least of the period: a window minimum */
	KIND_PROB,    /* chance over the period, said again in each hour */
	KIND_TOTAL,   /* amount of the period, divided over its hours */
	KINDS
};

extern const char *const describe_kind_name[KINDS];

/* What a stamp marks. */
enum describe_stamp { MARK_INSTANT, MARK_BEGIN, MARK_END, MARK_INTERVAL };

/* Where the stamps of several variables lie: told once, decoded once. */
struct describe_line {
	bool rows;           /* rows + time + value, else parallel arrays: times + values */
	struct pointer list; /* the rows, or the array of stamps */
	struct pointer time; /* rows: below the row */
	enum stamp_format format;
};

/* value and period, value.2 and period.2: earlier wins hour by hour. */
struct describe_way {
	struct pointer value; /* rows: below the row; arrays: the array */
	int64_t period_s;     /* 0 where the stamp is an interval or an instant */
};

struct describe_var {
	enum var var;
	int at_line; /* in the file */
	size_t line; /* of description.line */
	enum describe_kind kind;
	enum describe_stamp mark;
	size_t ways;
	struct describe_way way[DESCRIBE_WAYS_MAX];
	struct pointer only_if_missing; /* rows: use the row only where this is absent */
	struct pointer unit_at;         /* set: the unit's spelling stands in the answer */
	struct unit unit;               /* else this */
	char unit_text[DESCRIBE_WORD_SIZE];
	bool fill;         /* linear between known hours ... */
	int64_t max_gap_s; /* ... at most this far apart */
	bool lenient;      /* numbers may be texts */
	size_t missings;
	double missing[DESCRIBE_MISSING_MAX]; /* numbers that mean missing */
	char ask[DESCRIBE_FIELD_SIZE];        /* the service's own name(s) of it, comma-separated, for {vars} */
};

struct description {
	char file[256];               /* as shown in faults */
	char name[ISSUE_SOURCE_SIZE]; /* the file's name without folder and ending */
	char title[ISSUE_TITLE_SIZE], credit[ISSUE_CREDIT_SIZE];
	char area[DESCRIBE_FIELD_SIZE]; /* "world", or countries as "DE AT"; "" where not said */
	bool contact;                   /* the grower's contact must go with each request */
	bool loopback;                  /* the first address is a literal loopback one: plain http is allowed */
	int64_t min_interval_s;
	bool dated;      /* the data step's address has {start} and {end}: it can be asked for any days */
	int piece_days;  /* so many of them at once */
	int lag_days;    /* the newest day that it has is so many before today */
	unsigned honour; /* bits of enum describe_honour */
	int warn_status; /* an HTTP status to be reported; 0 none */
	size_t errors;
	struct pointer error[DESCRIBE_ERRORS_MAX]; /* the service's own error text */

	size_t steps;
	struct describe_step step[DESCRIBE_STEPS_MAX];

	size_t data_step; /* index of the step whose answer is decoded */
	enum issue_past past;
	int64_t observed_after_s; /* past observed: so long after its end an hour is; before that analysed */
	struct pointer updated;
	int64_t max_age_s;
	struct pointer offset_at; /* local stamps: the offset stands in the answer */
	int offset_s;
	char time_zone[ZONE_NAME_SIZE]; /* local stamps: "" or the zone the caller must load */
	struct pointer cell_latitude, cell_longitude, cell_elevation, cell_unit_at;
	struct unit cell_unit; /* of the elevation, where cell_unit_at is not set */

	size_t lines;
	struct describe_line line[DESCRIBE_VARS_MAX];
	size_t vars;
	struct describe_var var[DESCRIBE_VARS_MAX];
};
/* About 70 KiB without a pointer to free: on the heap of the caller, or copied as it is. */

/*
 * Read a description.  All faults are reported as FILE:LINE; returned is the
 * code of the first.  After faults *d is not to be used.
 */
enum fault_code describe_parse(const char *file, const char *bytes, size_t n, struct description *d,
			       struct faults *all) MUST_USE;
enum fault_code describe_load(const char *path, struct description *d, struct faults *all) MUST_USE;

enum describe_fit { FIT_NOT, FIT_WORLD, FIT_COUNTRY };

/*
 * Whether a service has data in a country (ISO 3166, two letters; "" where it is not known which).  What
 * does not say where it has data fits as what covers the world does.
 */
enum describe_fit describe_fits(const struct description *d, const char *country);

/* Sections of a description, as bits. */
enum describe_section { SECTION_SOURCE = 1, SECTION_STEP = 2, SECTION_DATA = 4, SECTION_VAR = 8 };

/* One row a key, for the manual.  Keys of [data] and [var] both: what [var] says goes over [data]. */
struct describe_key {
	unsigned sections;
	const char *key;
	enum { KEY_PLAIN, KEY_NUMBERED, KEY_NAMED } form; /* key; key, key.2, key.3; key.NAME */
	const char *value;                                /* what a value looks like */
	const char *help;
};

/* NULL past the last row. */
const struct describe_key *describe_key_at(size_t i);

#endif
