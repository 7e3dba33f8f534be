#include "cli/fetchrun.h"

#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "base/text.h"
#include "base/zone.h"
#include "cli/version.h"
#include "facts/memo.h"
#include "net/address.h"
#include "record/fetchlog.h"
#include "record/hourstore.h"
#include "source/plan.h"

enum {
	SHOWN_SIZE = 96,
	AGENT_SIZE = 256,
	STATUS_OK = 200, /* RFC 9110 15.3 .. 15.6, RFC 8470, RFC 6585 */
	STATUS_OK_END = 300,
	STATUS_REQUEST_TIMEOUT = 408,
	STATUS_TOO_EARLY = 425,
	STATUS_TOO_MANY = 429,
	STATUS_SERVER_ERROR = 500,
	ZONE_REACH_S = 2 * ANSWER_HOURS_MAX * HOUR_S, /* of an answer's stamps from now, either way */
};

/* The bodies of the steps, wherever they are from. */
struct bodies {
	size_t n;
	const char *at[DESCRIBE_STEPS_MAX];
	size_t size[DESCRIBE_STEPS_MAX];
};

/* ---- the log ---- */

static void memo_copy(char *to, size_t size, const char *from)
{
	struct text t;
	text_over(&t, to, size);
	text_add(&t, from);
}

static enum fault_code memo_begin(const struct fetch_job *job, int64_t place, size_t step, struct memo *m,
				  struct fault *f)
{
	const struct description *d = job->source;
	bool found;
	*m = (struct memo){.answered = INSTANT_NONE, .not_before = INSTANT_NONE};
	if (fetchlog_get(job->record, place, d->name, d->step[step].name, m, &found, f) != FAULT_NONE)
		return f->code;
	memo_copy(m->source, sizeof m->source, d->name);
	memo_copy(m->step, sizeof m->step, d->step[step].name);
	m->asked = job->now;
	m->status = 0;
	return FAULT_NONE;
}

/*
 * When the service wants to be asked again: by its own clock where it tells it,
 * ours may be wrong.  At most a day ahead: a slip of theirs must not end our forecasts.
 */
static int64_t not_before(const struct description *d, const struct net_response *r, int64_t now)
{
	int64_t t = INSTANT_NONE;
	if ((d->honour & HONOUR_EXPIRES) != 0 && r->expires != INSTANT_NONE)
		t = r->date != INSTANT_NONE ? now + (r->expires - r->date) : r->expires;
	if ((d->honour & HONOUR_RETRY_AFTER) != 0 && r->retry_after_s >= 0 && now + r->retry_after_s > t)
		t = now + r->retry_after_s;
	return t < now + DAY_S ? t : now + DAY_S;
}

/*
 * Validators are kept only when the answer was taken in: kept earlier, the next
 * fetch would hear "not modified" about hours that the record does not have.
 */
static void memo_good(const struct fetch_job *job, const struct net_response *r, struct memo *m)
{
	const struct description *d = job->source;
	m->answered = job->now;
	memo_copy(m->etag, sizeof m->etag, (d->honour & HONOUR_ETAG) != 0 ? r->etag : "");
	memo_copy(m->last_modified, sizeof m->last_modified,
		  (d->honour & HONOUR_LAST_MODIFIED) != 0 ? r->last_modified : "");
	memo_copy(m->outcome, sizeof m->outcome, "taken in");
}

/* ---- over the network ---- */

struct walk {
	const struct fetch_job *job;
	int64_t place;
	struct net *net;
	size_t asked; /* memos begun and requests made */
	struct plan_vars vars;
	struct net_response answer[DESCRIBE_STEPS_MAX];
	struct memo memo[DESCRIBE_STEPS_MAX];
};

static enum fault_code open_net(const struct fetch_job *job, struct net **net, struct fault *f)
{
	struct net_limits limits = *job->limits;
	char agent[AGENT_SIZE];
	struct text t;
	limits.allow_loopback_http = job->source->loopback;
	text_over(&t, agent, sizeof agent);
	text_addf(&t, "dewpost/%s", version());
	if (job->source->contact)
		text_addf(&t, " (+%s)", job->contact);
	if (t.full)
		return fault_set(f, FAULT_CONFIG, "the contact is too long; a mail address or a web page is enough");
	return net_open(&limits, agent, net, f);
}

static bool may_work_later(int status)
{
	return status == STATUS_REQUEST_TIMEOUT || status == STATUS_TOO_EARLY || status == STATUS_TOO_MANY ||
	       status >= STATUS_SERVER_ERROR;
}

static enum fault_code check_status(const struct description *d, const struct net_response *r, struct fault *f)
{
	if (r->status >= STATUS_OK && r->status < STATUS_OK_END)
		return FAULT_NONE;
	char shown[SHOWN_SIZE], said[ANSWER_ERROR_SIZE];
	struct text t;
	text_over(&t, shown, sizeof shown);
	address_shown(r->url, &t);
	bool told = answer_error(d, r->body.at, r->body.len, said);
	return fault_set(f, may_work_later(r->status) ? FAULT_TRY_LATER : FAULT_UNAVAILABLE, "%s: answers %d%s%s",
			 shown, r->status, told ? ": " : "", told ? said : "");
}

static enum fault_code ask(struct walk *w, size_t step, struct fault *f)
{
	const struct description *d = w->job->source;
	const struct plan_ask where = {
	    .place = w->job->place, .now = w->job->now, .start = date_none(), .end = date_none()};
	struct net_response *r = &w->answer[step];
	struct memo *m = &w->memo[step];
	struct plan_request p;
	if (plan_request(d, step, &where, &w->vars, &p, f) != FAULT_NONE)
		return f->code;
	const struct net_request q = {.url = p.url, .accept = p.accept, .headers = p.headers, .n_headers = p.n_headers};
	if (net_get(w->net, &q, r, f) != FAULT_NONE)
		return f->code;
	m->status = r->status;
	m->not_before = not_before(d, r, w->job->now);
	if (check_status(d, r, f) != FAULT_NONE)
		return f->code;
	return plan_learn(d, step, r->body.at, r->body.len, &w->vars, f);
}

static enum fault_code walk_steps(struct walk *w, struct bodies *b, struct fault *f)
{
	const struct description *d = w->job->source;
	for (size_t i = 0; i < d->steps; i++) {
		if (memo_begin(w->job, w->place, i, &w->memo[i], f) != FAULT_NONE)
			return f->code;
		w->asked = i + 1;
		if (ask(w, i, f) != FAULT_NONE)
			return fault_place(f, "%s, step %s: ", d->name, d->step[i].name);
		b->at[i] = w->answer[i].body.at;
		b->size[i] = w->answer[i].body.len;
		b->n = i + 1;
	}
	return FAULT_NONE;
}

/* ---- decode and take in ---- */

static enum fault_code decode(const struct fetch_job *job, const struct bodies *b, struct issue *issue,
			      struct fetch_result *result, struct fault *f)
{
	const struct description *d = job->source;
	struct zone zone;
	struct answer_given given = {.bodies = b->at, .sizes = b->size, .n = b->n, .received = job->now};
	if (d->time_zone[0] != '\0') {
		if (zone_load(d->time_zone, job->now - ZONE_REACH_S, job->now + ZONE_REACH_S, &zone, f) != FAULT_NONE)
			return fault_place(f, "%s: ", d->file);
		given.zone = &zone;
	}
	answer_init();
	return answer_decode(d, &given, issue, &result->report, f);
}

/* The issue ends here, whatever comes of it. */
static enum fault_code take_in(const struct fetch_job *job, int64_t place, struct issue *issue,
			       struct fetch_result *result, struct fault *f)
{
	result->issued = issue->issued;
	result->first = issue->hours.first;
	result->hours = issue->hours.n;
	enum fault_code code = hourstore_ingest(job->record, place, issue, f);
	issue_free(issue);
	return code;
}

static enum fault_code log_walk(const struct walk *w, struct fault *f)
{
	for (size_t i = 0; i < w->asked; i++)
		if (fetchlog_put(w->job->record, w->place, &w->memo[i], f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

/* What went wrong stands at the last step asked; the record's own trouble must not hide it. */
static enum fault_code log_failure(struct walk *w, const struct fault *f)
{
	struct fault unheard;
	if (w->asked > 0)
		memo_copy(w->memo[w->asked - 1].outcome, MEMO_FIELD_SIZE, f->text);
	for (size_t i = 0; i + 1 < w->asked; i++)
		memo_copy(w->memo[i].outcome, MEMO_FIELD_SIZE, "answered, but a later step failed");
	enum fault_code second = log_walk(w, &unheard);
	(void)second;
	return f->code;
}

static enum fault_code log_success(struct walk *w, struct fetch_result *result, struct fault *f)
{
	int warn = w->job->source->warn_status;
	for (size_t i = 0; i < w->asked; i++) {
		memo_good(w->job, &w->answer[i], &w->memo[i]);
		result->warned = result->warned || (warn != 0 && w->answer[i].status == warn);
	}
	return log_walk(w, f);
}

/* All that a service can do wrong with its bytes is one thing to who asks: it cannot be used. */
static enum fault_code walk_and_decode(struct walk *w, struct issue *issue, struct fetch_result *result,
				       struct fault *f)
{
	struct bodies b = {0};
	enum fault_code code = walk_steps(w, &b, f);
	if (code == FAULT_NONE) {
		code = decode(w->job, &b, issue, result, f);
		if (code == FAULT_DATA)
			fault_place(f, "%s: ", w->job->source->name);
	}
	if (code == FAULT_DATA)
		code = f->code = FAULT_UNAVAILABLE;
	return code;
}

static enum fault_code run_over_net(const struct fetch_job *job, int64_t place, struct fetch_result *result,
				    struct fault *f)
{
	struct issue issue;
	issue_init(&issue);
	struct walk *w = mem_new(1, sizeof *w);
	if (w == NULL)
		return fault_set(f, FAULT_MEMORY, "no memory for the requests");
	w->job = job;
	w->place = place;
	enum fault_code code = open_net(job, &w->net, f);
	if (code == FAULT_NONE)
		code = walk_and_decode(w, &issue, result, f);
	if (code == FAULT_NONE)
		code = take_in(job, place, &issue, result, f);
	code = code == FAULT_NONE ? log_success(w, result, f) : log_failure(w, f);
	for (size_t i = 0; i < w->asked; i++)
		net_response_free(&w->answer[i]);
	net_close(w->net);
	mem_free(w);
	return code;
}

/* ---- from saved answers ---- */

static enum fault_code run_from_files(const struct fetch_job *job, int64_t place, struct fetch_result *result,
				      struct fault *f)
{
	const struct description *d = job->source;
	char *bytes[DESCRIBE_STEPS_MAX] = {0};
	struct bodies b = {0};
	struct issue issue;
	issue_init(&issue);
	enum fault_code code = FAULT_NONE;
	for (; code == FAULT_NONE && b.n < job->n_answers; b.n++) {
		code = file_read(job->answers[b.n], FETCH_ANSWER_MAX, &bytes[b.n], &b.size[b.n], f);
		b.at[b.n] = bytes[b.n];
	}
	if (code == FAULT_NONE) {
		code = decode(job, &b, &issue, result, f);
		if (code == FAULT_DATA)
			fault_place(f, "%s: ", job->answers[job->n_answers == 1 ? 0 : d->data_step]);
	}
	if (code == FAULT_NONE)
		code = take_in(job, place, &issue, result, f);
	for (size_t i = 0; i < b.n; i++)
		mem_free(bytes[i]);
	return code;
}

static enum fault_code check_job(const struct fetch_job *job, struct fault *f)
{
	const struct description *d = job->source;
	if (job->limits != NULL) {
		if (d->contact && (job->contact == NULL || job->contact[0] == '\0'))
			return fault_set(f, FAULT_CONFIG,
					 "%s wants to know whom to write to; set contact = in [garden], a mail "
					 "address or a web page",
					 d->title[0] != '\0' ? d->title : d->name);
		return FAULT_NONE;
	}
	if (job->n_answers == 1 || job->n_answers == d->steps)
		return FAULT_NONE;
	return fault_set(f, FAULT_USAGE, "%zu saved answers for %s; give %zu, one a step, or the one of step %s alone",
			 job->n_answers, d->name, d->steps, d->step[d->data_step].name);
}

enum fault_code fetch_run(const struct fetch_job *job, struct fetch_result *result, struct fault *f)
{
	int64_t place;
	memset(result, 0, sizeof *result);
	result->issued = result->first = INSTANT_NONE;
	if (check_job(job, f) != FAULT_NONE || record_place(job->record, &job->place, &place, f) != FAULT_NONE)
		return f->code;
	return job->limits != NULL ? run_over_net(job, place, result, f) : run_from_files(job, place, result, f);
}
