#include "cli/command.h"

#include <string.h>

#include "cli/options.h"
#include "note/plantdays.h"

static const struct command TABLE[COMMANDS] = {
    [COMMAND_SETUP] = {"setup", "", "ask a few questions and write the garden file",
		       "Asks for the place, the forecast service, beds and crops, and how the note goes out; writes "
		       "the garden file, with remarks, and never over one that is there; fetches once, shows the first "
		       "note and says what is left to do. Where standard input is no terminal the answers are read "
		       "from it, in lines KEY = VALUE in any order; a wrong one is said with its line, and nothing is "
		       "written.",
		       0, command_setup},
    [COMMAND_MORNING] = {"morning", "", "the cron job: fetch if the record is older than 3 hours, send the note",
			 "What to do in the garden today, and why, to each address in the garden file's [mail] once a "
			 "day; without [mail] it is printed. A second run sends what has not gone out yet and nothing "
			 "else. A fetch that fails does not stop the note, which then says how old its forecast is. "
			 "With --date the note of a past morning is printed.",
			 0, command_morning},
    [COMMAND_EVENING] =
	{"evening", "", "in the afternoon: a short note, only if tonight's covers have changed",
	 "By dusk the morning's forecast is old. Fetches if the record is older than 3 hours and holds "
	 "tonight against what the morning's note said of it: a cover that is called for now, or no "
	 "longer, or a low that moved by more than 2 F, is a short note to the same addresses, once an "
	 "evening. Else, and before noon and from an hour after sunset on, it is silent. The exit code is 0 then, too.",
	 0, command_evening},
    [COMMAND_FETCH] = {"fetch", "", "bring the weather record up to date",
		       "Asks the source that the garden file names, and says nothing where all went well. With "
		       "--answer FILE... it takes saved answers, one a request, instead of the network. With --since "
		       "DATE the days from then on that the record lacks are asked of the garden file's `history`, in "
		       "pieces; a run that breaks off goes on the next time.",
		       OPTIONS_WORDS_MAX, command_fetch},
    [COMMAND_DEGREES] = {"degrees", "[PLANTING]", "degree days of the plantings so far",
			 "Degree days from planting out (or sowing) to yesterday, the days that are missing, and the "
			 "pace of the last and the next seven days.",
			 1, command_degrees},
    [COMMAND_PLANTOUT] =
	{"plantout", "[DATE...]", "is this the weekend to plant out? days side by side",
	 "For what stands in trays: this weekend's days first, then the others of the next eight and the weekend "
	 "after, "
	 "or those named, at most 14 days ahead. For each the coldest of the five nights after it, the chances of "
	 "enough warm ones, of a stall and of frost, the soil, and what follows: PLANT, PLANT UNDER COVER or WAIT.",
	 PLANTDAYS_MAX, command_plantout},
    [COMMAND_DIARY] =
	{"diary", "add TEXT...|list|undo [ID]", "what you did, saw and measured",
	 "`add` takes one line in plain words, as \"planted out green-1\", \"Mon watered south 20 gal\" or \"low 38 F "
	 "at "
	 "south\", and says it back as it was understood; a line without a day is of today. `list` shows all, "
	 "`undo` takes one back, the last where no number is given. dewpost(1) has all that can be said. With "
	 "`diary =` in the garden file the same lines are taken from a text file each morning.",
	 OPTIONS_WORDS_MAX, command_diary},
    [COMMAND_WHY] = {"why", "[N]", "the reasons, numbers and sources behind line N of the note",
		     "Of the last note that went out, else as of now, or with --date of that morning's. Without N "
		     "line 1.",
		     1, command_why},
    [COMMAND_HOURS] =
	{"hours", "", "the hourly record as CSV",
	 "One row an hour, a column for each variable and one for where its value is from; then what "
	 "follows from them: dew point, vapour pressure deficit, sunlight and what it rests on, reference "
	 "evapotranspiration, a squash leaf that gives off no water (so by day "
	 "it is too warm) and the water on it, bare soil at 2.5, 5 and 10 cm. What is not "
	 "known is empty. Without --since and --until from a week ago to the forecast's end.",
	 0, command_hours},
    [COMMAND_IMPORT] = {"import", "FILE", "a station's past: GHCN-Daily, or hours or days as CSV",
			"Takes a nearby station's days, or the hours of your own, into the record, and says what it "
			"took, what it left out and where there are gaps. A CSV other than GHCN-Daily's needs "
			"--columns or --mapping. The same file again does no harm.",
			1, command_import},
    [COMMAND_CHECK] = {"check", "[live|source FILE [ANSWER...]]",
		       "what is wrong with garden file, tables, source and record, and where",
		       "One line each; the exit code is that of the first thing that is wrong. With `live` it is tried "
		       "too: one fetch, the clock against the service's, a test message by mail, timers. With "
		       "`source FILE` a source description, and with saved answers what it makes of them.",
		       OPTIONS_WORDS_MAX, command_check},
    [COMMAND_RECORD] =
	{"record", "backup FILE|check|prune|diary [FILE]",
	 "care of the record: a copy, its health, what may go, the diary as CSV",
	 "`backup` copies it to a new file, also while it is in use. `check` looks over all of it and says "
	 "what is damaged. `prune` drops what no note, old or new, is made of, and never the diary, a "
	 "measured value or a note. `diary` prints the diary as CSV; with FILE it takes such a CSV in, "
	 "without what is there already.",
	 2, command_record},
};

const struct command *command_row(enum command_id id)
{
	return &TABLE[id];
}

enum command_id command_named(const char *name)
{
	for (size_t i = 0; i < COMMANDS; i++)
		if (strcmp(TABLE[i].name, name) == 0)
			return (enum command_id)i;
	return COMMANDS;
}
