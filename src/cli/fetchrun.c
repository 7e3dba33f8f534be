#include "cli/fetchrun.h"

#include <string.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "base/text.h"
#include "base/zone.h"
#include "cli/walk.h"
#include "record/fetchlog.h"
#include "record/hourstore.h"

/* Of an answer's stamps from now, either way. */
enum { ZONE_REACH_S = 2 * ANSWER_HOURS_MAX * HOUR_S };

static bool of_past_days(const struct fetch_job *job)
{
	return date_is(job->start);
}

/* ---- decode and take in ---- */

static enum fault_code decode(const struct fetch_job *job, const struct answer_given *bodies, struct issue *issue,
			      struct fetch_result *result, struct fault *f)
{
	const struct description *d = job->source;
	struct zone zone;
	struct answer_given given = *bodies;
	given.received = job->now;
	if (d->time_zone[0] != '\0') {
		int64_t about = of_past_days(job) ? instant_at(job->start, 0, 0) : job->now;
		if (zone_load(d->time_zone, about - ZONE_REACH_S, about + ZONE_REACH_S, &zone, f) != FAULT_NONE)
			return fault_place(f, "%s: ", d->file);
		given.zone = &zone;
	}
	answer_init();
	return answer_decode(d, &given, issue, &result->report, f);
}

static enum fault_code store(const struct fetch_job *job, int64_t place, const struct issue *issue, struct fault *f)
{
	if (!of_past_days(job))
		return hourstore_ingest(job->record, place, issue, f);
	struct supply s = {.first = issue->hours.first, .end = hours_end(&issue->hours)};
	text_copy(s.source, sizeof s.source, issue->source);
	text_copy(s.credit, sizeof s.credit, issue->credit);
	if (hourstore_past(job->record, place, issue, f) != FAULT_NONE)
		return f->code;
	return s.end > s.first ? fetchlog_supplied(job->record, place, &s, f) : FAULT_NONE;
}

/* The issue ends here, whatever comes of it. */
static enum fault_code take_in(const struct fetch_job *job, int64_t place, struct issue *issue,
			       struct fetch_result *result, struct fault *f)
{
	struct fault unheard;
	size_t before = 0, after = 0;
	int64_t first = issue->hours.first, end = hours_end(&issue->hours);
	enum rank least = of_past_days(job) ? RANK_ANALYSED : RANK_FORECAST;
	result->issued = issue->issued;
	result->first = first;
	result->hours = issue->hours.n;
	enum fault_code code = hourstore_count(job->record, place, first, end, least, &before, f);
	if (code == FAULT_NONE)
		code = store(job, place, issue, f);
	issue_free(issue);
	/* What came in is in: that it cannot be counted is no fault of the fetch. */
	if (code == FAULT_NONE &&
	    hourstore_count(job->record, place, first, end, least, &after, &unheard) == FAULT_NONE)
		result->gained = after - before;
	return code;
}

/* ---- over the network ---- */

/* All that a service can do wrong with its bytes is one thing to who asks: it cannot be used. */
static enum fault_code decode_answer(const struct fetch_job *job, const struct net_response *r, struct issue *issue,
				     struct fetch_result *result, struct fault *f)
{
	const char *body = r->body.at;
	const size_t size = r->body.len;
	const struct answer_given given = {.bodies = &body, .sizes = &size, .n = 1};
	enum fault_code code = decode(job, &given, issue, result, f);
	return code == FAULT_DATA ? fault_place(f, "%s: ", job->source->name) : code;
}

static enum fault_code walk_and_take_in(struct walk *w, const struct fetch_job *job, struct fetch_result *result,
					struct fault *f)
{
	struct issue issue;
	if (walk_run(w, f) != FAULT_NONE)
		return f->code;
	result->until = w->until;
	result->warned = w->warned;
	if (w->until != INSTANT_NONE) {
		result->outcome = FETCH_TOO_EARLY;
		return FAULT_NONE;
	}
	if (w->unchanged) {
		result->outcome = FETCH_UNCHANGED;
		return walk_good(w, f);
	}
	issue_init(&issue);
	if (decode_answer(job, &w->answer, &issue, result, f) || take_in(job, w->place, &issue, result, f))
		return f->code;
	return walk_good(w, f);
}

static const char *success(const struct fetch_job *job, const struct fetch_result *result)
{
	if (result->outcome == FETCH_UNCHANGED)
		return "nothing new";
	return of_past_days(job) ? "past hours taken in" : "taken in";
}

static enum fault_code log_run(const struct fetch_job *job, int64_t place, const struct fetch_result *result,
			       const struct fault *f, struct fault *g)
{
	struct run run = {.started = job->now,
			  .code = (int)f->code,
			  .requests = result->requests,
			  .bytes = result->bytes,
			  .gained = (int64_t)result->gained};
	text_copy(run.source, sizeof run.source, job->source->name);
	text_copy(run.said, sizeof run.said, f->code == FAULT_NONE ? success(job, result) : f->text);
	return fetchlog_run(job->record, place, &run, g);
}

static enum fault_code run_over_net(const struct fetch_job *job, int64_t place, struct fetch_result *result,
				    struct fault *f)
{
	struct fault bad = {0}, unheard;
	struct walk *w = mem_new(1, sizeof *w);
	if (w == NULL)
		return fault_set(f, FAULT_MEMORY, "no memory for the requests");
	*w = (struct walk){.asking = {.source = job->source,
				      .place = job->place,
				      .net = job->net,
				      .now = job->now,
				      .patience_s = job->patience_s,
				      .say = job->say},
			   .record = job->record,
			   .place = place,
			   .start = job->start,
			   .end = job->end};
	enum fault_code code = walk_and_take_in(w, job, result, &bad);
	if (code == FAULT_DATA)
		code = bad.code = FAULT_UNAVAILABLE;
	if (code != FAULT_NONE)
		walk_bad(w, bad.text);
	result->requests = w->asking.requests;
	result->bytes = w->asking.bytes;
	result->clock_off_s = w->asking.clock_off_s;
	walk_free(w);
	mem_free(w);
	/* What went wrong is told; the record's own trouble with the log must not hide it. */
	if (result->requests > 0 && log_run(job, place, result, &bad, code == FAULT_NONE ? f : &unheard) != FAULT_NONE)
		return code == FAULT_NONE ? f->code : (*f = bad).code;
	if (code != FAULT_NONE)
		*f = bad;
	return code;
}

/* ---- from saved answers ---- */

static enum fault_code run_from_files(const struct fetch_job *job, int64_t place, struct fetch_result *result,
				      struct fault *f)
{
	const struct description *d = job->source;
	char *bytes[DESCRIBE_STEPS_MAX] = {0};
	size_t n = 0, sizes[DESCRIBE_STEPS_MAX];
	struct issue issue;
	issue_init(&issue);
	enum fault_code code = FAULT_NONE;
	for (; code == FAULT_NONE && n < job->n_answers; n++)
		code = file_read(job->answers[n], FETCH_ANSWER_MAX, &bytes[n], &sizes[n], f);
	if (code == FAULT_NONE) {
		const struct answer_given given = {.bodies = (const char *const *)bytes, .sizes = sizes, .n = n};
		code = decode(job, &given, &issue, result, f);
		if (code == FAULT_DATA)
			fault_place(f, "%s: ", job->answers[job->n_answers == 1 ? 0 : d->data_step]);
	}
	if (code == FAULT_NONE)
		code = take_in(job, place, &issue, result, f);
	for (size_t i = 0; i < n; i++)
		mem_free(bytes[i]);
	return code;
}

static enum fault_code check_job(const struct fetch_job *job, struct fault *f)
{
	const struct description *d = job->source;
	if (job->net != NULL || job->n_answers == 1 || job->n_answers == d->steps)
		return FAULT_NONE;
	return fault_set(f, FAULT_USAGE, "%zu saved answers for %s; give %zu, one a step, or the one of step %s alone",
			 job->n_answers, d->name, d->steps, d->step[d->data_step].name);
}

enum fault_code fetch_run(const struct fetch_job *job, struct fetch_result *result, struct fault *f)
{
	int64_t place;
	memset(result, 0, sizeof *result);
	result->issued = result->first = result->until = result->clock_off_s = INSTANT_NONE;
	if (check_job(job, f) != FAULT_NONE || record_place(job->record, &job->place, &place, f) != FAULT_NONE)
		return f->code;
	return job->net != NULL ? run_over_net(job, place, result, f) : run_from_files(job, place, result, f);
}
