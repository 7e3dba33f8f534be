#include "base/instant.h"
#include "base/mem.h"
#include "base/utf8.h"
#include "cli/command.h"
#include "cli/context.h"
#include "cli/importsay.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "record/hourstore.h"
#include "record/stationstore.h"
#include "source/stamp.h"
#include "source/stationfile.h"

/* 1900-01-01 UTC: before it clocks kept local mean time. */
static const int64_t ZONE_FIRST = -2208988800;

/* Too large for a stack that may be small. */
struct import {
	struct mapping how;
	struct zone zone;
	struct stationfile file;
	struct hours page; /* of hours on their way into the record */
	size_t at;
};

_Static_assert(OPTION_OBSERVED - OPTION_FORMAT == MAPPING_KEY_OBSERVED - MAPPING_KEY_FORMAT, "options are keys");

/* The description file first, so that the command line goes over it. */
static enum fault_code read_mapping(struct context *c, struct mapping *how, struct fault *f)
{
	const struct options *o = c->options;
	mapping_init(how);
	if (o->word[OPTION_MAPPING] != NULL) {
		enum fault_code code = mapping_load(o->word[OPTION_MAPPING], how, &c->wrong);
		if (code != FAULT_NONE) {
			*f = (struct fault){.code = code};
			return code;
		}
	}
	for (int k = 0; k < MAPPING_KEYS; k++) {
		const char *word = o->word[OPTION_FORMAT + k];
		if (word == NULL || mapping_set(how, (enum mapping_key)k, word, f) == FAULT_NONE)
			continue;
		f->code = FAULT_USAGE;
		return fault_place(f, "--%s: ", mapping_key_name((enum mapping_key)k));
	}
	return FAULT_NONE;
}

static enum fault_code read_zone(const struct context *c, struct import *w, struct fault *f)
{
	const char *name = w->how.zone[0] != '\0' ? w->how.zone : c->garden.timezone;
	int offset_s;
	struct fault ignored;
	if (stamp_offset(name, &offset_s, &ignored) == FAULT_NONE) {
		zone_fixed(name, offset_s, &w->zone);
		return FAULT_NONE;
	}
	int64_t to = c->now > ZONE_FIRST ? c->now : ZONE_FIRST;
	return zone_load(name, ZONE_FIRST, to, &w->zone, f) != FAULT_NONE ? fault_place(f, "zone: ") : FAULT_NONE;
}

/* ---- Into the record ---- */

static const struct hours *next_page(void *with)
{
	struct import *w = with;
	return stationhours_page(&w->file.hours, &w->at, &w->page) ? &w->page : NULL;
}

static enum fault_code store_hours(const struct context *c, struct import *w, struct fault *f)
{
	if (hours_init(&w->page, 0, STATIONHOURS_PAGE, f) != FAULT_NONE)
		return f->code;
	enum fault_code code = hourstore_put_pieces(c->record, c->place, next_page, w, RANK_OBSERVED, c->now, f);
	hours_free(&w->page);
	return code;
}

static size_t count_days(const struct stationdays *days)
{
	struct station_day d;
	size_t n = 0;
	for (size_t i = 0; i < days->n; i++)
		for (struct date at = stationdays_begin(); stationdays_next(&days->series[i], &at, &d);)
			n++;
	return n;
}

static enum fault_code store_days(const struct context *c, const struct stationdays *days, struct fault *f)
{
	size_t n = 0, all = count_days(days);
	struct station_day *list = mem_new(all + 1, sizeof *list); /* one more to read into at each end */
	if (list == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	for (size_t i = 0; i < days->n; i++)
		for (struct date at = stationdays_begin(); stationdays_next(&days->series[i], &at, &list[n]);)
			n++;
	enum fault_code code = stationstore_put(c->record, c->place, list, n, f);
	mem_free(list);
	return code;
}

static enum fault_code store(struct context *c, struct import *w, struct fault *f)
{
	if (context_record(c, f) != FAULT_NONE)
		return f->code;
	return w->file.kind == STATIONFILE_HOURS ? store_hours(c, w, f) : store_days(c, &w->file.days, f);
}

/* ---- What is said ---- */

static bool clock_used(const struct import *w)
{
	return w->file.kind == STATIONFILE_HOURS && w->file.clock;
}

static enum fault_code say(const struct context *c, const struct import *w, bool stored, struct fault *f)
{
	struct text t;
	text_init(&t, IMPORTSAY_SIZE);
	importsay(&w->file, &c->garden, clock_used(w) ? &w->zone : NULL, stored, &t);
	enum fault_code code = screen_text(&t, "what there is to say", f);
	text_free(&t);
	return code;
}

static void progress(const char *file, uint64_t done, uint64_t size)
{
	enum { WORDS_SIZE = 128, WHOLE = 100 };
	char mem[WORDS_SIZE];
	struct text words;
	if (size == 0) /* a pipe */
		return;
	text_over(&words, mem, sizeof mem);
	text_addf(&words, "%.*s: %u %%", utf8_most(file, WHOLE), file, (unsigned)(done * WHOLE / size));
	screen_progress(mem);
}

static enum fault_code run(struct context *c, struct import *w, struct fault *f)
{
	const char *file = c->options->operand[0];
	bool dry = options_given(c->options, OPTION_DRY_RUN);
	struct stationfile_job job = {
	    .file = file, .how = &w->how, .zone = &w->zone, .now = c->now, .progress = progress};
	if (read_mapping(c, &w->how, f) != FAULT_NONE || read_zone(c, w, f) != FAULT_NONE)
		return f->code;
	enum fault_code code = stationfile_read(&job, &w->file, f);
	screen_progress(NULL);
	screen_warnings(&w->file.tally.bad_lines);
	screen_warnings(&w->file.tally.odd_lines);
	if (code == FAULT_NONE && !dry)
		code = store(c, w, f);
	if (code == FAULT_NONE)
		code = say(c, w, !dry, f);
	stationfile_free(&w->file);
	return code;
}

enum fault_code command_import(struct context *c, struct fault *f)
{
	if (c->options->operands == 0)
		return fault_set(f, FAULT_USAGE, "import: which file? dewpost import FILE is right");
	struct import *w = mem_new(1, sizeof *w);
	if (w == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	enum fault_code code = context_load(c, f);
	if (code == FAULT_NONE)
		code = run(c, w, f);
	mem_free(w);
	return code;
}
