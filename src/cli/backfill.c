#include "cli/backfill.h"

#include "base/instant.h"
#include "base/mem.h"
#include "base/text.h"
#include "record/hourstore.h"

enum { DAY_HOURS = 24, YEAR_DAYS = 366, SAID_SIZE = 128 };

struct filling {
	struct fetch_job job;
	int64_t place;
	struct backfill_result *result;
};

static int64_t begins(struct date d)
{
	return instant_at(d, 0, 0);
}

/* Hours of the days [from, end) that have passed, and are not known as such. */
static enum fault_code missing(const struct filling *w, struct date from, struct date end, size_t *n, struct fault *f)
{
	size_t known = 0;
	if (hourstore_count(w->job.record, w->place, begins(from), begins(end), RANK_ANALYSED, &known, f) != FAULT_NONE)
		return f->code;
	*n = (size_t)date_diff(end, from) * DAY_HOURS - known;
	return FAULT_NONE;
}

/* The first day in [from, end) with an hour that is not known, `end` where there is none. */
static enum fault_code first_hole(const struct filling *w, struct date from, struct date end, struct date *hole,
				  struct fault *f)
{
	size_t n = 0;
	for (*hole = from; date_diff(end, *hole) > 0; *hole = date_add(*hole, 1)) {
		if (missing(w, *hole, date_add(*hole, 1), &n, f) != FAULT_NONE)
			return f->code;
		if (n > 0)
			break;
	}
	return FAULT_NONE;
}

/* The last such day of a piece that begins with one. */
static enum fault_code last_hole(const struct filling *w, struct date first, struct date end, struct date *last,
				 struct fault *f)
{
	size_t n = 0;
	for (*last = date_add(end, -1); date_diff(*last, first) > 0; *last = date_add(*last, -1)) {
		if (missing(w, *last, date_add(*last, 1), &n, f) != FAULT_NONE)
			return f->code;
		if (n > 0)
			break;
	}
	return FAULT_NONE;
}

static void say_piece(const struct filling *w, struct date since)
{
	char mem[SAID_SIZE], first[DATE_TEXT_SIZE], last[DATE_TEXT_SIZE];
	struct text t;
	if (w->job.say == NULL)
		return;
	int of = date_diff(w->result->last, since) + 1, at = date_diff(w->job.start, since);
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "%s: asking for %s to %s, %d of %d days", w->job.source->name, date_text(w->job.start, first),
		  date_text(w->job.end, last), at, of);
	w->job.say(t.at);
}

static enum fault_code one_piece(struct filling *w, struct fault *f)
{
	struct fetch_result *got = mem_new(1, sizeof *got);
	if (got == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	enum fault_code code = fetch_run(&w->job, got, f);
	w->result->requests += got->requests;
	w->result->bytes += got->bytes;
	if (code == FAULT_NONE) {
		w->result->pieces++;
		w->result->days += date_diff(w->job.end, w->job.start) + 1;
		w->result->gained += got->gained;
	} else {
		char first[DATE_TEXT_SIZE], last[DATE_TEXT_SIZE];
		fault_place(f, "%s to %s: ", date_text(w->job.start, first), date_text(w->job.end, last));
	}
	mem_free(got);
	return code;
}

static enum fault_code fill(struct filling *w, struct date since, struct fault *f)
{
	struct date end = date_add(w->result->last, 1), from = since;
	while (date_diff(end, from) > 0) {
		struct date hole;
		if (first_hole(w, from, end, &hole, f) != FAULT_NONE)
			return f->code;
		if (date_diff(end, hole) <= 0)
			break;
		struct date piece_end = date_add(hole, w->job.source->piece_days);
		/* Saved answers are what they are, and are read once. */
		if (w->job.net == NULL || date_diff(piece_end, end) > 0)
			piece_end = end;
		w->job.start = hole;
		if (last_hole(w, hole, piece_end, &w->job.end, f) != FAULT_NONE)
			return f->code;
		if (w->result->pieces > 0 && w->job.net != NULL)
			net_sleep(w->job.net, BACKFILL_PAUSE_MS);
		say_piece(w, since);
		if (one_piece(w, f) != FAULT_NONE)
			return f->code;
		from = piece_end;
	}
	return FAULT_NONE;
}

enum fault_code backfill_can(const struct description *d, struct fault *f)
{
	if (!d->dated)
		return fault_set(f, FAULT_CONFIG,
				 "%s: its url has no {start} and {end}, so it cannot be asked for days", d->file);
	if (d->past == ISSUE_PAST_NONE)
		return fault_set(f, FAULT_CONFIG, "%s: past = none, so nothing of its past hours is kept", d->file);
	return FAULT_NONE;
}

static enum fault_code check(const struct fetch_job *job, struct date since, struct date last, struct fault *f)
{
	const struct description *d = job->source;
	if (backfill_can(d, f) != FAULT_NONE)
		return f->code;
	if (date_diff(last, since) < 0) {
		char text[DATE_TEXT_SIZE];
		return fault_set(f, FAULT_USAGE, "--since: the newest day that %s can have is %s", d->name,
				 date_text(last, text));
	}
	if (date_diff(last, since) > BACKFILL_YEARS * YEAR_DAYS)
		return fault_set(f, FAULT_USAGE, "--since: that is more than %d years back; a year at a time is plenty",
				 BACKFILL_YEARS);
	return FAULT_NONE;
}

enum fault_code backfill_run(const struct fetch_job *job, struct date since, struct backfill_result *result,
			     struct fault *f)
{
	struct filling w = {.job = *job, .result = result};
	int lag = job->source->lag_days > 1 ? job->source->lag_days : 1;
	*result = (struct backfill_result){.last = date_add(instant_date(job->now, 0), -lag)};
	if (check(job, since, result->last, f) != FAULT_NONE ||
	    record_place(job->record, &job->place, &w.place, f) != FAULT_NONE)
		return f->code;
	enum fault_code code = fill(&w, since, f);
	struct fault unheard;
	enum fault_code counted =
	    missing(&w, since, date_add(result->last, 1), &result->missing, code == FAULT_NONE ? f : &unheard);
	return code != FAULT_NONE ? code : counted;
}
