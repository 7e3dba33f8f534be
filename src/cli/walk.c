#include "cli/walk.h"

#include <string.h>

#include "base/hash.h"
#include "base/instant.h"
#include "base/mem.h"
#include "base/text.h"
#include "record/fetchlog.h"
#include "record/issuestore.h"
#include "source/manners.h"

enum {
	MINUTE_S = 60,
	STATUS_NOT_MODIFIED = 304, /* RFC 9110 15.4.5, 15.5; RFC 6585 4 */
	STATUS_FORBIDDEN = 403,
	STATUS_NOT_FOUND = 404,
	STATUS_TOO_MANY = 429,
};

static bool of_past_days(const struct walk *w)
{
	return date_is(w->start);
}

static enum fault_code memo_read(struct walk *w, size_t step, struct fault *f)
{
	const struct description *d = w->asking.source;
	bool found;
	w->memo = (struct memo){.asked = INSTANT_NONE, .answered = INSTANT_NONE, .not_before = INSTANT_NONE};
	if (fetchlog_get(w->record, w->place, d->name, d->step[step].name, &w->memo, &found, f) != FAULT_NONE)
		return f->code;
	text_copy(w->memo.source, sizeof w->memo.source, d->name);
	text_copy(w->memo.step, sizeof w->memo.step, d->step[step].name);
	return FAULT_NONE;
}

/* Days of the past leave no trace in the memo of the forecast, but that the service shuts us out. */
static enum fault_code memo_write(struct walk *w, const char *outcome, struct fault *f)
{
	bool shut_out = w->memo.status == STATUS_FORBIDDEN || w->memo.status == STATUS_TOO_MANY;
	w->logged = true;
	if (of_past_days(w) && !shut_out)
		return FAULT_NONE;
	text_copy(w->memo.outcome, sizeof w->memo.outcome, outcome);
	return fetchlog_put(w->record, w->place, &w->memo, f);
}

/*
 * Validators are kept only when the answer was taken in: kept earlier, the next
 * fetch would hear "not modified" about hours that the record does not have.
 */
static enum fault_code memo_good(struct walk *w, struct fault *f)
{
	const struct description *d = w->asking.source;
	const struct net_response *r = &w->answer;
	bool same = r->status == STATUS_NOT_MODIFIED;
	w->memo.answered = w->memo.asked;
	w->memo.address = w->address;
	if (!same || r->etag[0] != '\0')
		text_copy(w->memo.etag, sizeof w->memo.etag, (d->honour & HONOUR_ETAG) != 0 ? r->etag : "");
	if (!same || r->last_modified[0] != '\0')
		text_copy(w->memo.last_modified, sizeof w->memo.last_modified,
			  (d->honour & HONOUR_LAST_MODIFIED) != 0 ? r->last_modified : "");
	return memo_write(w, same ? "not modified" : "taken in", f);
}

/* ---- what an earlier answer of a step gave ---- */

static enum fault_code keep_values(struct walk *w, struct fault *f)
{
	const struct description *d = w->asking.source;
	const struct describe_step *step = &d->step[w->step];
	struct memo_found found[DESCRIBE_SETS_MAX] = {0};
	for (size_t i = 0; i < step->sets; i++) {
		text_copy(found[i].name, sizeof found[i].name, step->set[i].name);
		text_copy(found[i].value, sizeof found[i].value, plan_value(&w->vars, step->set[i].name));
		found[i].since = w->memo.asked;
	}
	return fetchlog_keep(w->record, w->place, d->name, step->name, found, step->sets, f);
}

/* *since INSTANT_NONE where not all is there, or the description does not allow it any more. */
static enum fault_code recall_values(struct walk *w, int64_t *since, struct fault *f)
{
	const struct description *d = w->asking.source;
	const struct describe_step *step = &d->step[w->step];
	struct memo_found *found = NULL;
	struct fault refused;
	size_t n = 0;
	*since = INSTANT_NONE;
	if (step->sets == 0 || w->memo.address != w->address)
		return FAULT_NONE;
	if (fetchlog_kept(w->record, w->place, d->name, step->name, &found, &n, f) != FAULT_NONE)
		return f->code;
	bool whole = n == step->sets;
	for (size_t i = 0; i < n && whole; i++)
		whole = plan_recall(d, w->step, found[i].name, found[i].value, &w->vars, &refused) == FAULT_NONE;
	if (whole)
		*since = found[0].since;
	mem_free(found);
	return FAULT_NONE;
}

/* ---- before its time ---- */

static enum fault_code too_early(struct walk *w, const struct manners_wait *wait, struct fault *f)
{
	int64_t minutes = (wait->until - ask_now(&w->asking) + MINUTE_S - 1) / MINUTE_S;
	if (!wait->failed) {
		w->until = wait->until;
		return FAULT_NONE;
	}
	return fault_set(f, FAULT_TRY_LATER, "%s: not asked again for %lld min; the last time: %s",
			 w->asking.source->name, (long long)minutes,
			 w->memo.outcome[0] != '\0' ? w->memo.outcome : "no good answer");
}

/* ---- one step ---- */

static enum fault_code issue_known(const struct walk *w, bool *yes, struct fault *f)
{
	struct issue_row *rows = NULL;
	size_t n = 0;
	*yes = false;
	if (issuestore_list(w->record, w->place, &rows, &n, f) != FAULT_NONE)
		return f->code;
	for (size_t i = 0; i < n && !*yes; i++)
		*yes = strcmp(rows[i].source, w->asking.source->name) == 0;
	mem_free(rows);
	return FAULT_NONE;
}

/* Validators go along only where "not modified" would leave us with something. */
static enum fault_code find_conditional(struct walk *w, int64_t since, struct fault *f)
{
	w->conditional = false;
	bool validators = w->memo.etag[0] != '\0' || w->memo.last_modified[0] != '\0';
	if (!validators || w->memo.address != w->address || of_past_days(w))
		return FAULT_NONE;
	if (w->step == w->asking.source->data_step)
		return issue_known(w, &w->conditional, f);
	w->conditional = since != INSTANT_NONE;
	return FAULT_NONE;
}

static enum fault_code plan(struct walk *w, struct fault *f)
{
	const struct asking *a = &w->asking;
	const struct plan_ask where = {.place = a->place, .now = a->now, .start = w->start, .end = w->end};
	if (plan_request(a->source, w->step, &where, &w->vars, &w->request, f) != FAULT_NONE)
		return f->code;
	w->address = hash_text(HASH_START, w->request.url);
	return FAULT_NONE;
}

static enum fault_code send(struct walk *w, struct fault *f)
{
	const struct plan_request *p = &w->request;
	const struct net_request q = {.url = p->url,
				      .accept = p->accept,
				      .headers = p->headers,
				      .n_headers = p->n_headers,
				      .if_modified_since = w->conditional ? w->memo.last_modified : NULL,
				      .if_none_match = w->conditional ? w->memo.etag : NULL};
	net_response_free(&w->answer);
	w->logged = false;
	w->asked |= 1u << w->step;
	w->memo.status = 0;
	enum fault_code code = ask_get(&w->asking, &q, &w->answer, f);
	w->memo.asked = ask_now(&w->asking);
	w->memo.not_before = INSTANT_NONE;
	if (code != FAULT_NONE)
		return code;
	w->memo.status = w->answer.status;
	w->memo.not_before = manners_not_before(w->asking.source, &w->answer, w->memo.asked);
	return FAULT_NONE;
}

/* A 304 that nobody asked for must not be heard again: without validators the next answer is a whole one. */
static enum fault_code judge(struct walk *w, struct fault *f)
{
	const struct description *d = w->asking.source;
	if (w->answer.status == STATUS_NOT_MODIFIED && !w->conditional)
		w->memo.etag[0] = w->memo.last_modified[0] = '\0';
	w->warned = w->warned || (d->warn_status != 0 && w->answer.status == d->warn_status);
	return ask_status(&w->asking, &w->answer, w->conditional, f);
}

/* A step before the data: what it gives is good by itself, whatever becomes of the rest. */
static enum fault_code settle(struct walk *w, struct fault *f)
{
	const struct net_response *r = &w->answer;
	if (w->step == w->asking.source->data_step)
		return FAULT_NONE;
	if (r->status != STATUS_NOT_MODIFIED &&
	    plan_learn(w->asking.source, w->step, r->body.at, r->body.len, &w->vars, f) != FAULT_NONE)
		return f->code;
	return keep_values(w, f) != FAULT_NONE ? f->code : memo_good(w, f);
}

/* An address may have outlived its time when it cannot be looked up: better than no forecast. */
static bool good_enough(const struct walk *w, int64_t since)
{
	return since != INSTANT_NONE && w->memo.status != STATUS_TOO_MANY;
}

static enum fault_code ask_step(struct walk *w, struct fault *f)
{
	int64_t since, now = ask_now(&w->asking);
	const struct describe_step *step = &w->asking.source->step[w->step];
	if (plan(w, f) || memo_read(w, w->step, f) || recall_values(w, &since, f) || find_conditional(w, since, f))
		return f->code;
	if (since != INSTANT_NONE && since <= now && now < since + step->cache_s)
		return FAULT_NONE;
	struct manners_wait wait = manners_wait(w->asking.source, &w->memo, now);
	if (w->step != w->asking.source->data_step && wait.failed && wait.until != INSTANT_NONE)
		return too_early(w, &wait, f);
	enum fault_code code = send(w, f) || judge(w, f) || settle(w, f) ? f->code : FAULT_NONE;
	if (code != FAULT_TRY_LATER || !good_enough(w, since))
		return code;
	walk_bad(w, f->text);
	return FAULT_NONE;
}

/* ---- all steps ---- */

static size_t step_named(const struct description *d, const char *name)
{
	size_t i = 0;
	while (i < d->steps && strcmp(d->step[i].name, name) != 0)
		i++;
	return i;
}

/* An address that leads nowhere is dropped, and looked up once more where that was not done in this run. */
static enum fault_code forget(struct walk *w, bool *again, struct fault *f)
{
	const struct description *d = w->asking.source;
	const char *name = d->step[w->step].forget;
	size_t from = step_named(d, name);
	*again = false;
	if (name[0] == '\0' || w->memo.status != STATUS_NOT_FOUND || from >= w->step)
		return FAULT_NONE;
	if (fetchlog_keep(w->record, w->place, d->name, name, NULL, 0, f) != FAULT_NONE)
		return f->code;
	*again = (w->asked & 1u << from) == 0;
	if (*again)
		w->step = from;
	return FAULT_NONE;
}

static enum fault_code walk_steps(struct walk *w, struct fault *f)
{
	const struct description *d = w->asking.source;
	while (w->step <= d->data_step) {
		bool again = false;
		struct fault unheard;
		enum fault_code code = ask_step(w, f);
		if (code != FAULT_NONE && forget(w, &again, &unheard) == FAULT_NONE && again)
			continue;
		if (code != FAULT_NONE)
			return fault_place(f, "%s, step %s: ", d->name, d->step[w->step].name);
		w->step++;
	}
	return FAULT_NONE;
}

/* *wait.until INSTANT_NONE: it may be asked. */
static enum fault_code find_wait(struct walk *w, struct manners_wait *wait, struct fault *f)
{
	const struct description *d = w->asking.source;
	int64_t held = INSTANT_NONE;
	if (fetchlog_held(w->record, d->name, &held, f) != FAULT_NONE || memo_read(w, d->data_step, f) != FAULT_NONE)
		return f->code;
	*wait = manners_wait(d, &w->memo, w->asking.now);
	if (of_past_days(w))
		wait->until = INSTANT_NONE;
	/* A hold further off than the longest there is was written by a clock that has been set back. */
	if (held > w->asking.now && held <= w->asking.now + DAY_S && held > wait->until)
		*wait = (struct manners_wait){held, true};
	return FAULT_NONE;
}

enum fault_code walk_run(struct walk *w, struct fault *f)
{
	struct manners_wait wait = {.until = INSTANT_NONE};
	w->until = INSTANT_NONE;
	w->logged = true; /* nothing is asked yet */
	ask_begin(&w->asking);
	if (find_wait(w, &wait, f) != FAULT_NONE)
		return f->code;
	if (wait.until != INSTANT_NONE)
		return too_early(w, &wait, f);
	if (walk_steps(w, f) != FAULT_NONE)
		return f->code;
	w->unchanged = w->answer.status == STATUS_NOT_MODIFIED;
	return FAULT_NONE;
}

enum fault_code walk_good(struct walk *w, struct fault *f)
{
	return memo_good(w, f);
}

void walk_bad(struct walk *w, const char *why)
{
	struct fault unheard;
	if (!w->logged && memo_write(w, why, &unheard) != FAULT_NONE)
		w->logged = true; /* said once is enough */
}

void walk_free(struct walk *w)
{
	net_response_free(&w->answer);
}
