/*
 * The command line: one table of options, and what of it was given.
 */
#ifndef CLI_OPTIONS_H
#define CLI_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"
#include "cli/command.h"
#include "cli/part.h"

enum option_id {
	OPTION_GARDEN,
	OPTION_GARDENS,
	OPTION_PART,
	OPTION_TABLES,
	OPTION_DATE,
	OPTION_AT,
	OPTION_OFFLINE,
	OPTION_PRINT,
	OPTION_JSON,
	OPTION_ANSWER,
	OPTION_SINCE,
	OPTION_UNTIL,
	OPTION_SPREAD,
	OPTION_PATIENCE,
	OPTION_VERBOSE,
	OPTION_FORMAT, /* this and those after it to OPTION_OBSERVED: words about a station file */
	OPTION_COLUMNS,
	OPTION_ZONE,
	OPTION_MISSING,
	OPTION_TIME_FORMAT,
	OPTION_DELIMITER,
	OPTION_DECIMAL,
	OPTION_STAMP,
	OPTION_STEP,
	OPTION_STATION,
	OPTION_OBSERVED,
	OPTION_MAPPING,
	OPTION_DRY_RUN,
	OPTION_KEEP,
	OPTION_HELP,
	OPTION_VERSION,
	OPTIONS
};

struct option_row {
	const char *name; /* of --name */
	char letter;      /* of -l; 0 where there is none */
	const char *word; /* what its argument is; NULL: it takes none */
	const char *help;
	unsigned commands; /* bit 1u << enum command_id: taken by; 0: needs no command */
};

const struct option_row *option_row(enum option_id id);
bool option_taken_by(enum option_id id, enum command_id command);

/* OPTIONS_SPREAD_S: of the longest wait that --spread may mean; a morning note is no longer one at noon. */
enum { OPTIONS_WORDS_MAX = 32, OPTIONS_SPREAD_S = 6 * 3600, OPTIONS_PATIENCE_S = 3600 };

struct options {
	enum command_id command; /* COMMANDS where none is given */
	uint64_t given;          /* bit 1 << enum option_id */
	const char *garden, *tables;
	const char *gardens;            /* folder of garden files; NULL where not given */
	struct garden_part part;        /* of it; the whole where not given */
	const char *word[OPTIONS];      /* of those whose command reads it itself; NULL where not given */
	struct date date, since, until; /* DATE_NONE where not given */
	int64_t at;                     /* INSTANT_NONE where not given */
	int64_t spread_s;               /* 0 where not given */
	int64_t patience_s;             /* MANNERS_RUN_S where not given */
	size_t answers, operands;
	const char *answer[OPTIONS_WORDS_MAX];
	const char *operand[OPTIONS_WORDS_MAX]; /* the command's name not among them */
};

/*
 * Read a command line.  FAULT_USAGE says what is wrong and what would be right.
 * --help and --version need no command, and with them nothing else is checked.
 * Operands of fetch are further answers, and those of check after its file too.
 */
enum fault_code options_parse(int argc, char **argv, struct options *o, struct fault *f) MUST_USE;

bool options_given(const struct options *o, enum option_id id);

#endif
