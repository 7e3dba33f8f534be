#include "cli/fetch.h"

#include "base/instant.h"
#include "base/mem.h"
#include "base/text.h"
#include "cli/ask.h"
#include "cli/backfill.h"
#include "cli/fetchrun.h"
#include "cli/moved.h"
#include "cli/screen.h"
#include "note/phrase.h"
#include "record/issuestore.h"
#include "record/outbox.h"
#include "source/report.h"

/* FETCH_WAIT_MS: for another run that fetches the same place. */
enum { FETCH_REPORT_SIZE = 64 * 1024, FETCH_SAID_SIZE = 256, FETCH_WAIT_MS = 60 * 1000, FETCH_KEY_SIZE = 256 };

/* Too large for a stack that may be small. */
struct fetch {
	struct description source;
	struct fetch_job job;
	struct fetch_result result;
	struct moved_lows before, after;
};

static enum fault_code load(struct context *c, const char *path, struct description *d, struct fault *f)
{
	enum fault_code code = describe_load(path, d, &c->wrong);
	if (code != FAULT_NONE)
		*f = (struct fault){.code = code};
	return code;
}

/* The job of a description, its net open where it goes there. */
static enum fault_code begin(struct context *c, struct fetch *w, struct fault *f)
{
	const struct options *o = c->options;
	struct net_limits limits = net_limits_default();
	limits.proxy = c->garden.proxy[0] != '\0' ? c->garden.proxy : NULL;
	w->job = (struct fetch_job){.source = &w->source,
				    .place = c->garden.place,
				    .now = c->now,
				    .record = c->record,
				    .patience_s = o->patience_s,
				    .say = screen_progress,
				    .start = date_none(),
				    .end = date_none(),
				    .answers = o->answer,
				    .n_answers = o->answers};
	if (o->answers > 0)
		return FAULT_NONE;
	/* A server on this machine may be a test's, whose forecasts are of any time. */
	if (options_given(o, OPTION_AT) && !w->source.loopback)
		return fault_set(f, FAULT_USAGE,
				 "--at is for saved answers (--answer FILE); what comes over the network is of now");
	return ask_open(&w->source, c->garden.contact, &limits, &w->job.net, f);
}

static enum fault_code run(struct context *c, struct fetch *w, struct fault *f)
{
	if (begin(c, w, f) != FAULT_NONE)
		return f->code;
	enum fault_code code = fetch_run(&w->job, &w->result, f);
	screen_progress(NULL);
	net_close(w->job.net);
	return code;
}

static enum fault_code thin(struct context *c, struct fault *f)
{
	struct issue_span *cuts = NULL;
	size_t n = 0;
	if (outbox_cuts(c->record, &cuts, &n, f) != FAULT_NONE)
		return f->code;
	enum fault_code code = issuestore_thin(c->record, c->place, c->now, cuts, n, f);
	mem_free(cuts);
	return code;
}

/* The service says by it that its interface is going to change. */
static void warn(const struct fetch *w)
{
	char mem[FETCH_SAID_SIZE];
	struct text t;
	if (!w->result.warned)
		return;
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "%s: answers with status %d, its way to say that something about it is going to change",
		  w->source.name, w->source.warn_status);
	screen_warning(t.at);
}

static void tell_taken(const struct context *c, const struct fetch *w, struct text *t)
{
	char at[INSTANT_TEXT_SIZE];
	const struct fetch_result *r = &w->result;
	text_addf(t, "%s: %zu hours from %s", w->source.name, r->hours, instant_text(r->first, at));
	if (r->issued != INSTANT_NONE)
		text_addf(t, ", made %s", instant_text(r->issued, at));
	text_addf(t, ", %zu of them new\n", r->gained);
	moved_words(&w->before, &w->after, c->garden.units, t);
	report_print(&r->report, &w->source, NULL, t);
}

static void tell_traffic(const struct fetch_result *r, struct text *t)
{
	if (r->requests > 0)
		text_addf(t, "%d request%s, %lld bytes\n", r->requests, r->requests == 1 ? "" : "s",
			  (long long)r->bytes);
}

static enum fault_code tell(const struct context *c, const struct fetch *w, struct fault *f)
{
	const struct fetch_result *r = &w->result;
	struct text t;
	text_init(&t, FETCH_REPORT_SIZE);
	switch (r->outcome) {
	case FETCH_TAKEN:
		tell_taken(c, w, &t);
		break;
	case FETCH_UNCHANGED:
		text_addf(&t, "%s: nothing new\n", w->source.name);
		break;
	case FETCH_TOO_EARLY:
		text_addf(&t, "%s: not asked, for what came in last holds till ", w->source.name);
		phrase_clock(&t, &c->zone, r->until, c->garden.units);
		text_add(&t, "\n");
		break;
	}
	tell_traffic(r, &t);
	enum fault_code code = screen_text(&t, "the report", f);
	text_free(&t);
	return code;
}

static enum fault_code look(struct context *c, struct moved_lows *lows, struct fault *f)
{
	return options_given(c->options, OPTION_VERBOSE) ? moved_lows(c, lows, f) : FAULT_NONE;
}

static enum fault_code fetch(struct context *c, struct fetch *w, struct fault *f)
{
	char path[PATHS_SIZE];
	if (context_source(c, path, f) || load(c, path, &w->source, f) || look(c, &w->before, f) || run(c, w, f))
		return f->code;
	warn(w);
	if (thin(c, f) || look(c, &w->after, f))
		return f->code;
	return options_given(c->options, OPTION_VERBOSE) ? tell(c, w, f) : FAULT_NONE;
}

enum fault_code fetch_told(struct context *c, struct fetch_result *result, struct fault *f)
{
	struct fetch *w = mem_new(1, sizeof *w);
	if (w == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	enum fault_code code = fetch(c, w, f);
	*result = w->result;
	mem_free(w);
	return code;
}

/* Whatever a garden's own file got wrong is no news of the place. */
static bool of_place(enum fault_code code)
{
	return code == FAULT_NONE || code == FAULT_TRY_LATER || code == FAULT_UNAVAILABLE;
}

/* The outcome is the place's, for all gardens of the round that are there. */
static enum fault_code fetch_in_round(struct context *c, struct fault *f)
{
	char mem[PATHS_SIZE + FETCH_KEY_SIZE];
	struct text key;
	struct fetch_result result = {0};
	struct fault outcome = {0};
	const struct place *p = &c->garden.place;
	text_over(&key, mem, sizeof mem);
	text_addf(&key, "%d %d %d %s %s", p->latitude_cdeg, p->longitude_cdeg, p->elevation_m, c->garden.source,
		  c->record_path);
	if (!round_asks(c->round, key.at, c->garden.source, &outcome))
		return outcome.code == FAULT_NONE ? FAULT_NONE : (*f = outcome).code;
	if (fetch_told(c, &result, &outcome) != FAULT_NONE)
		*f = outcome;
	round_drop(c->round);
	if (of_place(outcome.code))
		round_asked(c->round, key.at, c->garden.source, &outcome, result.requests > 0);
	return outcome.code;
}

enum fault_code fetch_source(struct context *c, struct fault *f)
{
	struct fetch_result unheard;
	return c->round != NULL ? fetch_in_round(c, f) : fetch_told(c, &unheard, f);
}

/* ---- days of the past ---- */

static enum fault_code tell_filled(const struct context *c, const struct fetch *w, const struct backfill_result *r,
				   struct fault *f)
{
	char mem[FETCH_SAID_SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	if (options_given(c->options, OPTION_VERBOSE))
		text_addf(&t, "%s: %d days in %d pieces, %zu hours of them new; %d requests, %lld bytes\n",
			  w->source.name, r->days, r->pieces, r->gained, r->requests, (long long)r->bytes);
	if (r->missing > 0) {
		char first[DATE_TEXT_SIZE], last[DATE_TEXT_SIZE];
		text_addf(&t, "%s: from %s to %s %zu hours are still not known\n", w->source.name,
			  date_text(c->options->since, first), date_text(r->last, last), r->missing);
	}
	return screen_text(&t, "what came in", f);
}

static enum fault_code fill(struct context *c, struct fetch *w, struct fault *f)
{
	struct backfill_result r = {.last = date_none()};
	if (begin(c, w, f) != FAULT_NONE)
		return f->code;
	enum fault_code code = backfill_run(&w->job, c->options->since, &r, f);
	screen_progress(NULL);
	net_close(w->job.net);
	if (code == FAULT_NONE)
		return tell_filled(c, w, &r, f);
	if (r.pieces > 0)
		fault_place(f, "%d days came in and are kept, the same command goes on from there; then ", r.days);
	return code;
}

static enum fault_code fetch_past(struct context *c, struct fault *f)
{
	char path[PATHS_SIZE];
	struct fetch *w = mem_new(1, sizeof *w);
	if (w == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	enum fault_code code = context_history(c, path, f);
	if (code == FAULT_NONE)
		code = load(c, path, &w->source, f);
	if (code == FAULT_NONE)
		code = fill(c, w, f);
	mem_free(w);
	return code;
}

enum fault_code command_fetch(struct context *c, struct fault *f)
{
	if (context_load(c, f) != FAULT_NONE)
		return f->code;
	context_spread(c);
	if (context_record(c, f) || context_hold(c, LOCK_PLACE, FETCH_WAIT_MS, f))
		return f->code;
	if (date_is(c->options->since))
		return fetch_past(c, f);
	enum fault_code code = fetch_source(c, f);
	/* Said once of a place is enough. */
	if (code != FAULT_NONE && c->round != NULL && c->round->recalled)
		f->text[0] = '\0';
	return code;
}
