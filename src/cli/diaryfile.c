#include "cli/diaryfile.h"

#include <stdlib.h>
#include <string.h>

#include "base/hash.h"
#include "base/linefile.h"
#include "base/mem.h"
#include "base/utf8.h"
#include "garden/diaryline.h"
#include "note/entrywords.h"

/* What the diary has, those taken back among them. */
struct standing {
	struct entry *at;
	size_t n;
};

struct reading {
	struct context *c;
	struct diaryfile *d;
	struct date today;
	struct standing old;
	size_t cap, cap_now;
};

/* ---- what is remembered ---- */

static int by_line(const void *a, const void *b)
{
	const struct diary_line *x = a, *y = b;
	return (x->line > y->line) - (x->line < y->line);
}

static const struct diary_line *remembered(const struct diaryfile *d, int64_t line)
{
	const struct diary_line key = {.line = line};
	return d->n_before > 0 ? bsearch(&key, d->before, d->n_before, sizeof key, by_line) : NULL;
}

/*
 * How often a line was written into the diary, for that day alone where one is given.  A line about several plantings
 * is an entry of each: those of the first are counted.
 */
static int64_t written_before(const struct standing *old, const char *line, struct date day)
{
	int64_t times = 0;
	const struct entry *first = NULL;
	for (size_t i = 0; i < old->n; i++) {
		const struct entry *e = &old->at[i];
		if (e->undoes != 0 || strcmp(e->text, line) != 0 || (date_is(day) && e->date.n != day.n))
			continue;
		first = first != NULL ? first : e;
		times += strcmp(e->planting, first->planting) == 0 && strcmp(e->bed, first->bed) == 0;
	}
	return times;
}

/* The place of a line in what is to be remembered, made where it is missing; NULL: no memory. */
static struct diary_line *place_of(struct reading *r, int64_t line)
{
	struct diaryfile *d = r->d;
	size_t lo = 0, hi = d->n_now;
	while (lo < hi) {
		size_t mid = lo + (hi - lo) / 2;
		if (d->now[mid].line < line)
			lo = mid + 1;
		else
			hi = mid;
	}
	if (lo < d->n_now && d->now[lo].line == line)
		return &d->now[lo];
	if (d->n_now == r->cap_now) {
		size_t want = r->cap_now > 0 ? 2 * r->cap_now : 64;
		struct diary_line *more = mem_resize(d->now, want, sizeof *more);
		if (more == NULL)
			return NULL;
		d->now = more;
		r->cap_now = want;
	}
	memmove(d->now + lo + 1, d->now + lo, (d->n_now - lo) * sizeof *d->now);
	d->now[lo] = (struct diary_line){.line = line};
	d->n_now++;
	return &d->now[lo];
}

/* ---- one line ---- */

static enum fault_code keep(struct reading *r, const struct diaryline *read, struct fault *f)
{
	struct diaryfile *d = r->d;
	if (d->n + read->n > r->cap) {
		size_t want = 2 * (r->cap + read->n);
		struct entry *more = mem_resize(d->entries, want, sizeof *more);
		if (more == NULL)
			return fault_set(f, FAULT_MEMORY, "out of memory");
		d->entries = more;
		r->cap = want;
	}
	for (size_t i = 0; i < read->n; i++) {
		d->entries[d->n] = read->entry[i];
		d->entries[d->n].written = r->c->now;
		entrywords_dated(&read->entry[i], r->c->garden.units, r->today, &d->echo);
		text_add(&d->echo, "\n");
		d->n++;
	}
	d->taken++;
	return FAULT_NONE;
}

static enum fault_code refuse(struct reading *r, int64_t hash, size_t number, struct fault *wrong, struct fault *f)
{
	const struct diary_line *before = remembered(r->d, hash);
	struct diary_line *now = place_of(r, hash);
	if (now == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	fault_place(wrong, "%s:%zu: ", r->c->garden.diary, number);
	faults_add(&r->d->refused, wrong);
	if (before == NULL || now->refused >= before->refused)
		faults_add(&r->d->fresh, wrong);
	now->refused++;
	return FAULT_NONE;
}

/*
 * Whether the diary has what a new line says: the same words of the same past day, as often.  Such a line was typed in,
 * or its file was away for a while.  Of today nobody can tell: what is said again then is taken to be meant.
 */
static bool told(const struct reading *r, const char *line, const struct diaryline *read, int64_t copies)
{
	struct date day = read->entry[0].date;
	return day.n != r->today.n && copies < written_before(&r->old, line, day);
}

static enum fault_code take_line(struct reading *r, const char *line, size_t number, struct fault *f)
{
	int64_t hash = (int64_t)hash_text(HASH_START, line);
	const struct diary_line *before = remembered(r->d, hash);
	struct diary_line *now = place_of(r, hash);
	struct diaryline read;
	struct fault wrong = {0};
	if (now == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	r->d->lines++;
	int64_t taken = before != NULL ? before->taken : 0;
	if (r->d->n_before == 0)
		taken = written_before(&r->old, line, date_none());
	if (now->taken < taken) {
		now->taken++;
		r->d->known++;
		return FAULT_NONE;
	}
	if (diaryline_read(line, &r->c->garden, r->today, &read, &wrong) != FAULT_NONE)
		return refuse(r, hash, number, &wrong, f);
	if (told(r, line, &read, now->taken++)) {
		r->d->known++;
		return FAULT_NONE;
	}
	return keep(r, &read, f);
}

/* Without what follows a # that stands alone, and without blanks around. */
static char *plain(char *line)
{
	static const char blanks[] = " \t";
	line += strspn(line, blanks);
	char *end = line + strlen(line);
	for (char *s = line; *s != '\0'; s++) {
		bool begins = s == line || strchr(blanks, s[-1]) != NULL;
		if (*s == '#' && begins && (s == line || s[1] == '\0' || strchr(blanks, s[1]) != NULL)) {
			end = s;
			break;
		}
	}
	while (end > line && strchr(blanks, end[-1]) != NULL)
		end--;
	*end = '\0';
	return line;
}

/* ---- the file ---- */

static enum fault_code read_lines(struct reading *r, const char *path, struct fault *f)
{
	struct linefile file;
	struct fileline line;
	bool there = true;
	enum fault_code code = linefile_open(&file, path, f);
	if (code == FAULT_NONE && file.size > DIARYFILE_MOST)
		code = fault_set(f, FAULT_DATA, "is longer than %d bytes; older lines in another file are right",
				 DIARYFILE_MOST);
	while (code == FAULT_NONE) {
		code = linefile_next(&file, &line, &there, f);
		if (code != FAULT_NONE || !there)
			break;
		if (line.wrong != NULL) {
			struct fault wrong;
			fault_set(&wrong, FAULT_DATA, "%s", line.wrong);
			code = refuse(r, (int64_t)hash_text(HASH_START, line.wrong), line.number, &wrong, f);
			continue;
		}
		char *text = plain(line.at);
		if (*text != '\0')
			code = take_line(r, text, line.number, f);
	}
	linefile_close(&file);
	return code;
}

/* What the record knows; nothing where it is not open. */
static enum fault_code remember(struct reading *r, struct fault *f)
{
	struct context *c = r->c;
	struct diaryfile *d = r->d;
	if (c->record == NULL)
		return FAULT_NONE;
	if (diary_lines(c->record, c->garden.id, &d->before, &d->n_before, f) != FAULT_NONE)
		return f->code;
	return diary_list(c->record, c->garden.id, DIARY_ALL, &r->old.at, &r->old.n, f);
}

enum fault_code diaryfile_look(struct context *c, struct diaryfile *d, struct fault *f)
{
	char path[PATHS_SIZE];
	struct reading r = {.c = c, .d = d, .today = zone_date(&c->zone, c->now)};
	*d = (struct diaryfile){0};
	text_init(&d->echo, DIARYFILE_SAID);
	if (c->garden.diary[0] == '\0')
		return FAULT_NONE;
	if (paths_beside(c->garden_path, c->garden.diary, path, f) || remember(&r, f))
		return f->code;
	/* The empty line is remembered of every file that was read: an emptied one is not one never seen. */
	enum fault_code code = FAULT_NONE;
	if (place_of(&r, (int64_t)HASH_START) == NULL)
		code = fault_set(f, FAULT_MEMORY, "out of memory");
	if (code == FAULT_NONE)
		code = read_lines(&r, path, f);
	mem_free(r.old.at);
	return code;
}

enum fault_code diaryfile_take(struct context *c, struct diaryfile *d, struct fault *f)
{
	bool done = false;
	enum fault_code code = diaryfile_look(c, d, f);
	if (code != FAULT_NONE || c->garden.diary[0] == '\0')
		return code;
	if (diary_take_lines(c->record, c->garden.id, d->entries, d->n, d->before, d->n_before, d->now, d->n_now, &done,
			     f) != FAULT_NONE)
		return f->code;
	if (done)
		return FAULT_NONE;
	/* Another run has just taken and said the same. */
	text_clear(&d->echo);
	d->fresh = (struct faults){0};
	d->taken = d->n = 0;
	return FAULT_NONE;
}

void diaryfile_free(struct diaryfile *d)
{
	text_free(&d->echo);
	mem_free(d->entries);
	mem_free(d->before);
	mem_free(d->now);
	*d = (struct diaryfile){0};
}
