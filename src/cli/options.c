#include "cli/options.h"

#include <getopt.h>
#include <string.h>

#include "base/instant.h"
#include "base/suggest.h"
#include "base/text.h"
#include "base/unit.h"
#include "source/manners.h"

#define BIT(id) (1u << (unsigned)(id))

enum { ALL = BIT(COMMANDS) - 1, SHORT_SIZE = 3 * OPTIONS + 3, LONG_VALUE = 1000, SHOWN_MAX = 60, MINUTE_S = 60 };

static const struct option_row TABLE[OPTIONS] = {
    [OPTION_GARDEN] = {"garden", 0, "FILE", "the garden file, else dewpost/garden.ini in the configuration folder",
		       ALL},
    [OPTION_GARDENS] = {"gardens", 0, "DIR", "all garden files (*.ini) of a folder, one after the other",
			BIT(COMMAND_MORNING) | BIT(COMMAND_EVENING) | BIT(COMMAND_FETCH) | BIT(COMMAND_CHECK)},
    [OPTION_PART] = {"part", 0, "K/N", "of --gardens the Kth of N parts, for runs side by side",
		     BIT(COMMAND_MORNING) | BIT(COMMAND_EVENING) | BIT(COMMAND_FETCH) | BIT(COMMAND_CHECK)},
    [OPTION_TABLES] = {"tables", 0, "DIR", "the folder of tables, else the one built in", ALL},
    [OPTION_DATE] = {"date", 0, "DATE", "the morning of that day; a past one means --offline",
		     BIT(COMMAND_MORNING) | BIT(COMMAND_EVENING) | BIT(COMMAND_WHY) | BIT(COMMAND_DEGREES) |
			 BIT(COMMAND_PLANTOUT)},
    [OPTION_AT] = {"at", 0, "INSTANT", "the instant that counts as now, as 2026-05-12T05:00:00-05:00", ALL},
    [OPTION_OFFLINE] = {"offline", 0, NULL, "no fetch: the note from what the record has",
			BIT(COMMAND_MORNING) | BIT(COMMAND_EVENING) | BIT(COMMAND_SETUP)},
    [OPTION_PRINT] = {"print", 0, NULL, "print the note as of now, and send none",
		      BIT(COMMAND_MORNING) | BIT(COMMAND_EVENING)},
    [OPTION_JSON] = {"json", 0, NULL, "the numbers as JSON",
		     BIT(COMMAND_MORNING) | BIT(COMMAND_DEGREES) | BIT(COMMAND_PLANTOUT) | BIT(COMMAND_DIARY)},
    [OPTION_ANSWER] = {"answer", 0, "FILE", "a saved answer of the source; may be repeated",
		       BIT(COMMAND_FETCH) | BIT(COMMAND_CHECK)},
    [OPTION_SINCE] = {"since", 0, "DATE", "the first day", BIT(COMMAND_HOURS) | BIT(COMMAND_FETCH)},
    [OPTION_UNTIL] = {"until", 0, "DATE", "the last day", BIT(COMMAND_HOURS)},
    [OPTION_SPREAD] = {"spread", 0, "TIME", "wait first, this garden's own share of a time such as 40min",
		       BIT(COMMAND_MORNING) | BIT(COMMAND_EVENING) | BIT(COMMAND_FETCH)},
    [OPTION_PATIENCE] = {"patience", 0, "TIME",
			 "how long a service or mail server that fails is tried again; 5min where not given",
			 BIT(COMMAND_MORNING) | BIT(COMMAND_EVENING) | BIT(COMMAND_FETCH) | BIT(COMMAND_CHECK) |
			     BIT(COMMAND_SETUP)},
    [OPTION_VERBOSE] = {"verbose", 'v', NULL, "say what came in", BIT(COMMAND_FETCH)},
    [OPTION_FORMAT] = {"format", 0, "ghcn|csv", "what kind of file it is, else told from what stands in it",
		       BIT(COMMAND_IMPORT)},
    [OPTION_COLUMNS] = {"columns", 0, "LIST",
			"what the columns of a CSV are, as \"time=Date_Time, air_temperature=Temp F\"",
			BIT(COMMAND_IMPORT)},
    [OPTION_ZONE] = {"zone", 0, "ZONE", "whose clock its times are of, a name or as -05:00; else the garden's",
		     BIT(COMMAND_IMPORT)},
    [OPTION_MISSING] = {"missing", 0, "LIST", "marks that stand for no value, beside an empty field, NA and dashes",
			BIT(COMMAND_IMPORT)},
    [OPTION_TIME_FORMAT] = {"time-format", 0, "FORM",
			    "rfc3339, local, unix or a pattern as \"%m/%d/%Y %I:%M %p\"; else told from the first",
			    BIT(COMMAND_IMPORT)},
    [OPTION_DELIMITER] = {"delimiter", 0, "comma|semicolon|tab", "what parts its columns, else told from the heading",
			  BIT(COMMAND_IMPORT)},
    [OPTION_DECIMAL] = {"decimal", 0, "point|comma", "the decimal sign, else a point", BIT(COMMAND_IMPORT)},
    [OPTION_STAMP] = {"stamp", 0, "begin|end", "what a row's time marks of the hour that its rain is of",
		      BIT(COMMAND_IMPORT)},
    [OPTION_STEP] = {"step", 0, "TIME", "how much time a row's rain is of where it is less than an hour, as 15min",
		     BIT(COMMAND_IMPORT)},
    [OPTION_STATION] = {"station", 0, "NAME", "of GHCN-Daily that station alone; of a daily CSV what it is called",
			BIT(COMMAND_IMPORT)},
    [OPTION_OBSERVED] = {"observed", 0, "HH:MM", "when the day's readings are taken, where the file does not say",
			 BIT(COMMAND_IMPORT)},
    [OPTION_MAPPING] = {"mapping", 0, "FILE", "a file that says all this, under [columns] and [file]",
			BIT(COMMAND_IMPORT)},
    [OPTION_DRY_RUN] = {"dry-run", 'n', NULL, "read and say what there is, store nothing", BIT(COMMAND_IMPORT)},
    [OPTION_KEEP] = {"keep", 0, "TIME", "prune nothing that is younger; from 14 days on, 30 days where not given",
		     BIT(COMMAND_RECORD)},
    [OPTION_HELP] = {"help", 'h', NULL, "this help, or with a command that command's", 0},
    [OPTION_VERSION] = {"version", 'V', NULL, "the version", 0},
};

const struct option_row *option_row(enum option_id id)
{
	return &TABLE[id];
}

bool option_taken_by(enum option_id id, enum command_id command)
{
	return TABLE[id].commands == 0 || (command < COMMANDS && (TABLE[id].commands & BIT(command)) != 0);
}

bool options_given(const struct options *o, enum option_id id)
{
	return (o->given & UINT64_C(1) << (unsigned)id) != 0;
}

static enum fault_code as_usage(enum fault_code code, const char *name, struct fault *f)
{
	if (code == FAULT_NONE)
		return FAULT_NONE;
	f->code = FAULT_USAGE;
	return fault_place(f, "--%s: ", name);
}

static enum fault_code word_add(const char **list, size_t *n, const char *word, struct fault *f)
{
	if (*n == OPTIONS_WORDS_MAX)
		return fault_set(f, FAULT_USAGE, "more than %d files or words", OPTIONS_WORDS_MAX);
	list[(*n)++] = word;
	return FAULT_NONE;
}

static enum fault_code take_time(const char *word, int64_t most_s, int64_t *s, const char *name, struct fault *f)
{
	double x;
	enum fault_code code = unit_value(word, UNIT_DURATION, &x, f);
	if (code == FAULT_NONE && !(x >= 0 && x <= (double)most_s))
		code = fault_set(f, FAULT_USAGE, "\"%.40s\": from 0min to %lldmin is right", word,
				 (long long)most_s / MINUTE_S);
	if (code != FAULT_NONE)
		return as_usage(code, name, f);
	*s = (int64_t)x;
	return FAULT_NONE;
}

static enum fault_code take(struct options *o, enum option_id id, const char *word, struct fault *f)
{
	const char *name = TABLE[id].name;
	o->given |= UINT64_C(1) << (unsigned)id;
	switch (id) {
	case OPTION_GARDEN:
		o->garden = word;
		break;
	case OPTION_GARDENS:
		o->gardens = word;
		break;
	case OPTION_PART:
		return as_usage(part_parse(word, &o->part, f), name, f);
	case OPTION_TABLES:
		o->tables = word;
		break;
	case OPTION_DATE:
		return as_usage(date_parse(word, &o->date, f), name, f);
	case OPTION_SINCE:
		return as_usage(date_parse(word, &o->since, f), name, f);
	case OPTION_UNTIL:
		return as_usage(date_parse(word, &o->until, f), name, f);
	case OPTION_AT:
		return as_usage(instant_rfc3339(word, &o->at, f), name, f);
	case OPTION_ANSWER:
		return word_add(o->answer, &o->answers, word, f);
	case OPTION_SPREAD:
		return take_time(word, OPTIONS_SPREAD_S, &o->spread_s, name, f);
	case OPTION_PATIENCE:
		return take_time(word, OPTIONS_PATIENCE_S, &o->patience_s, name, f);
	case OPTION_FORMAT:
	case OPTION_COLUMNS:
	case OPTION_ZONE:
	case OPTION_MISSING:
	case OPTION_TIME_FORMAT:
	case OPTION_DELIMITER:
	case OPTION_DECIMAL:
	case OPTION_STAMP:
	case OPTION_STEP:
	case OPTION_STATION:
	case OPTION_OBSERVED:
	case OPTION_MAPPING:
	case OPTION_KEEP:
		o->word[id] = word;
		break;
	case OPTION_DRY_RUN:
	case OPTION_OFFLINE:
	case OPTION_PRINT:
	case OPTION_JSON:
	case OPTION_VERBOSE:
	case OPTION_HELP:
	case OPTION_VERSION:
	case OPTIONS:
		break;
	}
	return FAULT_NONE;
}

/* What getopt_long wants to know, from the table. */
static void tell_getopt(struct option longs[static OPTIONS + 1], char shorts[static SHORT_SIZE])
{
	struct text t;
	text_over(&t, shorts, SHORT_SIZE);
	text_add(&t, ":"); /* a missing argument is told apart */
	memset(longs, 0, (OPTIONS + 1) * sizeof longs[0]);
	for (int i = 0; i < OPTIONS; i++) {
		const struct option_row *row = &TABLE[i];
		int argument = row->word != NULL ? required_argument : no_argument;
		longs[i] = (struct option){.name = row->name, .has_arg = argument, .val = LONG_VALUE + i};
		if (row->letter != 0) {
			text_add_char(&t, row->letter, 1);
			text_add(&t, row->word != NULL ? ":" : "");
		}
	}
}

static enum option_id option_of(int value)
{
	for (int i = 0; i < OPTIONS; i++)
		if (value == LONG_VALUE + i || (TABLE[i].letter != 0 && value == TABLE[i].letter))
			return (enum option_id)i;
	return OPTIONS;
}

static enum fault_code unknown_letter(int letter, struct fault *f)
{
	return fault_set(f, FAULT_USAGE, "option -%c is not known; dewpost --help lists them", letter);
}

/* getopt gave up on the word `given`; a known long name in it had an argument that it does not take. */
static enum fault_code unknown_option(const char *given, struct fault *f)
{
	const char *known[OPTIONS];
	char name[SHOWN_MAX + 1];
	struct text t;
	for (int i = 0; i < OPTIONS; i++)
		known[i] = TABLE[i].name;
	text_over(&t, name, sizeof name);
	text_add_n(&t, given + 2, strcspn(given + 2, "="));
	if (option_of(optopt) != OPTIONS)
		return fault_set(f, FAULT_USAGE, "option --%s takes no value", TABLE[option_of(optopt)].name);
	const char *near = suggest(name, known, OPTIONS);
	if (near != NULL)
		return fault_set(f, FAULT_USAGE, "option --%s is not known; did you mean --%s?", name, near);
	return fault_set(f, FAULT_USAGE, "option --%s is not known; dewpost --help lists them", name);
}

static enum fault_code refused(int what, const char *given, struct fault *f)
{
	enum option_id id = option_of(optopt);
	if (what == ':' && id != OPTIONS)
		return fault_set(f, FAULT_USAGE, "option --%s wants %s behind it", TABLE[id].name, TABLE[id].word);
	if (strncmp(given, "--", 2) != 0)
		return unknown_letter(optopt, f);
	return unknown_option(given, f);
}

static enum fault_code command_of(const char *name, struct options *o, struct fault *f)
{
	const char *known[COMMANDS];
	o->command = command_named(name);
	if (o->command != COMMANDS)
		return FAULT_NONE;
	for (int i = 0; i < COMMANDS; i++)
		known[i] = command_row((enum command_id)i)->name;
	const char *near = suggest(name, known, COMMANDS);
	if (near != NULL)
		return fault_set(f, FAULT_USAGE, "command \"%.60s\" is not known; did you mean %s?", name, near);
	return fault_set(f, FAULT_USAGE, "command \"%.60s\" is not known; dewpost --help lists them", name);
}

/* Operands of fetch are answers, and so are those of check behind the file. */
static enum fault_code operand(struct options *o, const char *word, struct fault *f)
{
	enum { CHECK_OWN = 2 };
	bool answer = o->command == COMMAND_FETCH || (o->command == COMMAND_CHECK && o->operands == CHECK_OWN);
	return answer ? word_add(o->answer, &o->answers, word, f) : word_add(o->operand, &o->operands, word, f);
}

static enum fault_code fits_gardens(const struct options *o, struct fault *f)
{
	if (o->gardens == NULL && o->part.n > 0)
		return fault_set(f, FAULT_USAGE,
				 "--part is of the gardens of a folder; right is --gardens DIR with it");
	if (o->gardens == NULL)
		return FAULT_NONE;
	if (o->garden != NULL)
		return fault_set(f, FAULT_USAGE,
				 "--garden names one garden and --gardens a folder of them; one of the two is right");
	if (o->answers > 0 || o->operands > 0)
		return fault_set(f, FAULT_USAGE,
				 "with --gardens nothing stands behind the command; a saved answer is of one place, "
				 "check source of none, check live of one garden");
	return FAULT_NONE;
}

static enum fault_code fits_command(const struct options *o, struct fault *f)
{
	if (o->command == COMMANDS)
		return fault_set(f, FAULT_USAGE, "no command is given; dewpost --help lists them");
	const struct command *row = command_row(o->command);
	for (int i = 0; i < OPTIONS; i++)
		if (options_given(o, (enum option_id)i) && !option_taken_by((enum option_id)i, o->command))
			return fault_set(f, FAULT_USAGE, "%s takes no --%s; dewpost %s --help says what it takes",
					 row->name, TABLE[i].name, row->name);
	if (o->operands > row->most)
		return fault_set(f, FAULT_USAGE, "%s: one word too many, \"%.60s\"; right is: dewpost %s%s%s",
				 row->name, o->operand[row->most], row->name, row->operands[0] != '\0' ? " " : "",
				 row->operands);
	return fits_gardens(o, f);
}

enum fault_code options_parse(int argc, char **argv, struct options *o, struct fault *f)
{
	struct option longs[OPTIONS + 1];
	char shorts[SHORT_SIZE];
	int value;
	*o = (struct options){.command = COMMANDS,
			      .date = date_none(),
			      .since = date_none(),
			      .until = date_none(),
			      .at = INSTANT_NONE,
			      .patience_s = MANNERS_RUN_S};
	tell_getopt(longs, shorts);
	opterr = 0;
	optind = 0; /* begin anew */
	while ((value = getopt_long(argc, argv, shorts, longs, NULL)) != -1) {
		enum option_id id = option_of(value);
		if (id == OPTIONS)
			return refused(value, argv[optind - 1], f);
		if (take(o, id, optarg, f) != FAULT_NONE)
			return f->code;
	}
	if (optind < argc && command_of(argv[optind++], o, f) != FAULT_NONE)
		return f->code;
	for (; optind < argc; optind++)
		if (operand(o, argv[optind], f) != FAULT_NONE)
			return f->code;
	bool asks = options_given(o, OPTION_HELP) || options_given(o, OPTION_VERSION);
	return asks ? FAULT_NONE : fits_command(o, f);
}
