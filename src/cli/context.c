#include "cli/context.h"

#include <string.h>
#include <time.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "base/text.h"
#include "cli/datadir.h"
#include "cli/screen.h"
#include "garden/tables.h"
#include "net/net.h"
#include "record/outbox.h"
#include "season/state.h"
#include "source/manners.h"

enum { MINUTE_S = 60, MS_PER_S = 1000, PROGRESS_SIZE = 96, KEY_SIZE = 64 };

/* What is locked has this name in all runs. */
static const char *key_of(const struct context *c, enum lock_of what, char mem[static KEY_SIZE])
{
	const struct place *p = &c->garden.place;
	struct text t;
	if (what == LOCK_GARDEN)
		return c->garden.id;
	text_over(&t, mem, KEY_SIZE);
	text_addf(&t, "%d %d %d", p->latitude_cdeg, p->longitude_cdeg, p->elevation_m);
	return mem;
}

/* The machine's, where --at does not say what it is. */
static void read_clock(struct context *c)
{
	if (c->options->at == INSTANT_NONE)
		c->now = (int64_t)time(NULL);
}

_Static_assert((int)PATHS_SIZE == (int)TABLES_PATH_SIZE, "both hold one path");

enum fault_code context_new(const struct options *o, struct context **c, struct fault *f)
{
	struct fault nowhere;
	struct context *made = mem_new(1, sizeof *made);
	*c = NULL;
	if (made == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	made->options = o;
	made->now = o->at;
	read_clock(made);
	made->tables = o->tables != NULL ? o->tables : datadir();
	if (paths_config("", made->user, &nowhere) != FAULT_NONE)
		made->user[0] = '\0';
	*c = made;
	return FAULT_NONE;
}

void context_free(struct context *c)
{
	if (c == NULL)
		return;
	record_close(c->record);
	lock_close(&c->lock);
	mem_free(c);
}

void context_next(struct context *c, const struct options *o)
{
	lock_close(&c->lock);
	c->options = o;
	c->now = o->at;
	read_clock(c);
	c->garden_path[0] = c->record_path[0] = '\0';
	c->garden = (struct garden){0};
	c->zone = (struct zone){0};
	c->placed = false;
	c->wrong = (struct faults){0};
}

static const char *user_folder(const struct context *c)
{
	return c->user[0] != '\0' ? c->user : NULL;
}

/* What is wrong is told in the list. */
static enum fault_code told(enum fault_code code, struct fault *f)
{
	if (code != FAULT_NONE)
		*f = (struct fault){.code = code};
	return code;
}

enum fault_code context_tables(struct context *c, struct fault *f)
{
	const char *user = user_folder(c);
	if (c->tabled)
		return FAULT_NONE;
	enum fault_code code = tables_crops(c->tables, user, &c->crops, &c->wrong);
	if (code == FAULT_NONE)
		code = tables_covers(c->tables, user, &c->covers, &c->wrong);
	c->tabled = code == FAULT_NONE;
	return told(code, f);
}

static enum fault_code record_where(struct context *c, struct fault *f)
{
	if (c->garden.record[0] != '\0')
		return paths_beside(c->garden_path, c->garden.record, c->record_path, f);
	return paths_state("record.db", c->record_path, f);
}

enum fault_code context_garden_path(struct context *c, struct fault *f)
{
	return c->options->garden != NULL ? paths_beside("", c->options->garden, c->garden_path, f)
					  : paths_config("garden.ini", c->garden_path, f);
}

enum fault_code context_garden(struct context *c, struct fault *f)
{
	if (context_garden_path(c, f) != FAULT_NONE)
		return f->code;
	if (c->options->garden == NULL && !file_is(c->garden_path))
		return fault_set(f, FAULT_NO_INPUT,
				 "%s: there is no garden file; dewpost setup makes one, or name yours by --garden FILE",
				 c->garden_path);
	if (garden_load(c->garden_path, &c->crops, &c->garden, &c->wrong) != FAULT_NONE ||
	    garden_covers_known(&c->garden, c->garden_path, &c->covers, &c->wrong) != FAULT_NONE)
		return told(faults_code(&c->wrong), f);
	return record_where(c, f);
}

/* The diary may know an older date than the garden file: as far back as a season can lie. */
#define CONTEXT_DIARY_S (2 * (int64_t)YEAR_DAYS * DAY_S)

struct span {
	int64_t from, to;
};

static void widen(struct span *s, struct date d)
{
	if (!date_is(d))
		return;
	int64_t t = instant_at(d, 0, 0);
	s->from = t < s->from ? t : s->from;
	s->to = t > s->to ? t : s->to;
}

/* From the first day that anybody may ask about to the end of what a state looks at, with room for any offset. */
enum fault_code context_zone(struct context *c, struct fault *f)
{
	struct span s = {c->now - CONTEXT_DIARY_S, c->now};
	widen(&s, c->options->date);
	widen(&s, c->options->since);
	widen(&s, c->options->until);
	for (size_t i = 0; i < c->garden.plantings; i++) {
		widen(&s, c->garden.planting[i].sown);
		widen(&s, c->garden.planting[i].planted);
	}
	s.from -= (int64_t)(STATE_NIGHTS_BEFORE + 3) * DAY_S;
	s.to += (int64_t)(STATE_AHEAD + 3) * DAY_S;
	if (zone_load(c->garden.timezone, s.from, s.to, &c->zone, f) != FAULT_NONE)
		return fault_place(f, "%s:%d: ", c->garden_path, c->garden.timezone_line);
	return FAULT_NONE;
}

enum fault_code context_load(struct context *c, struct fault *f)
{
	return context_tables(c, f) || context_garden(c, f) || context_zone(c, f) ? f->code : FAULT_NONE;
}

void context_spread(struct context *c)
{
	int64_t wait_s = manners_spread_s(&c->garden.place, c->options->spread_s);
	bool still = options_given(c->options, OPTION_OFFLINE) || context_replay(c);
	still = still || (c->round != NULL && c->round->waited);
	if (wait_s == 0 || still || c->options->at != INSTANT_NONE)
		return;
	char mem[PROGRESS_SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "waiting %lld min: this garden's share of --spread",
		  (long long)(wait_s + MINUTE_S - 1) / MINUTE_S);
	screen_progress(t.at);
	net_limits_default().sleep_ms(NULL, wait_s * MS_PER_S);
	screen_progress(NULL);
	read_clock(c);
	if (c->round != NULL)
		c->round->waited = true;
}

static enum fault_code description_path(const struct context *c, const char *name, int line,
					char path[static PATHS_SIZE], struct fault *f)
{
	if (tables_source_path(c->tables, user_folder(c), name, path, f) != FAULT_NONE)
		return fault_place(f, "%s:%d: ", c->garden_path, line);
	return FAULT_NONE;
}

enum fault_code context_source(const struct context *c, char path[static PATHS_SIZE], struct fault *f)
{
	return description_path(c, c->garden.source, c->garden.source_line, path, f);
}

enum fault_code context_history(const struct context *c, char path[static PATHS_SIZE], struct fault *f)
{
	if (c->garden.history[0] == '\0')
		return fault_set(f, FAULT_CONFIG,
				 "%s: no source of past weather is named; history = NAME, one of those for source",
				 c->garden_path);
	return description_path(c, c->garden.history, c->garden.history_line, path, f);
}

/* The one that is open, where the garden before had the same. */
static enum fault_code open_record(struct context *c, enum record_mode mode, struct fault *f)
{
	if (c->record != NULL && c->mode == mode && strcmp(record_path(c->record), c->record_path) == 0)
		return FAULT_NONE;
	if (c->round != NULL)
		round_drop(c->round);
	record_close(c->record);
	c->mode = mode;
	return record_open(c->record_path, mode, &c->record, f);
}

enum fault_code context_record(struct context *c, struct fault *f)
{
	if (open_record(c, RECORD_READ_WRITE, f) != FAULT_NONE ||
	    record_place(c->record, &c->garden.place, &c->place, f) != FAULT_NONE)
		return f->code;
	c->placed = true;
	return FAULT_NONE;
}

enum fault_code context_hold(struct context *c, enum lock_of what, int64_t most_ms, struct fault *f)
{
	char key[KEY_SIZE];
	const struct lock_wait wait = {
	    .most_ms = most_ms, .say = screen_progress, .sleep_ms = net_limits_default().sleep_ms};
	if (!c->lock.open && lock_open(c->record_path, &c->lock, f) != FAULT_NONE)
		return f->code;
	if (lock_take(&c->lock, what, key_of(c, what, key), &wait, f) != FAULT_NONE)
		return f->code;
	read_clock(c);
	return FAULT_NONE;
}

void context_give(struct context *c, enum lock_of what)
{
	char key[KEY_SIZE];
	lock_give(&c->lock, what, key_of(c, what, key));
}

enum fault_code context_peek(struct context *c, struct fault *f)
{
	struct fault first;
	enum fault_code code = open_record(c, RECORD_READ_ONLY, &first);
	if (code == FAULT_NONE)
		code = record_place(c->record, &c->garden.place, &c->place, &first);
	c->placed = code == FAULT_NONE;
	if (code == FAULT_NONE || code == FAULT_NO_INPUT)
		return FAULT_NONE;
	*f = first;
	return code;
}

static enum fault_code cut_of_day(struct context *c, struct date day, enum letter_kind kind, int64_t *cut,
				  struct fault *f)
{
	*cut = INSTANT_NONE;
	if (c->record != NULL && outbox_cut(c->record, c->garden.id, day, kind, cut, f) != FAULT_NONE)
		return f->code;
	if (*cut == INSTANT_NONE)
		*cut = zone_instant(&c->zone, day, kind == LETTER_EVENING ? CONTEXT_EVENING_S : CONTEXT_MORNING_S);
	return FAULT_NONE;
}

enum fault_code context_morning(struct context *c, struct date day, int64_t *cut, struct fault *f)
{
	return cut_of_day(c, day, LETTER_MORNING, cut, f);
}

bool context_replay(const struct context *c)
{
	return date_is(c->options->date);
}

enum fault_code context_cut(struct context *c, int64_t *cut, struct fault *f)
{
	*cut = c->now;
	if (!context_replay(c))
		return FAULT_NONE;
	if (date_diff(c->options->date, zone_date(&c->zone, c->now)) > 0) {
		char day[DATE_TEXT_SIZE];
		return fault_set(f, FAULT_USAGE,
				 "--date: %s is still to come; a note of today or of a past day is right",
				 date_text(c->options->date, day));
	}
	bool evening = c->options->command == COMMAND_EVENING;
	if (cut_of_day(c, c->options->date, evening ? LETTER_EVENING : LETTER_MORNING, cut, f) != FAULT_NONE)
		return f->code;
	*cut = *cut > c->now ? c->now : *cut;
	return FAULT_NONE;
}
