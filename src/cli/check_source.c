#include "cli/check_source.h"

#include <stdint.h>

#include "base/file.h"
#include "base/mem.h"
#include "base/text.h"
#include "base/zone.h"
#include "cli/screen.h"
#include "source/answer.h"
#include "source/describe.h"
#include "source/plan.h"
#include "source/report.h"

enum { ANSWER_BYTES_MAX = 16 * 1024 * 1024, REPORT_MAX = 64 * 1024 };

/* 1970 to 2100: answers of any time may be looked at. */
static const int64_t ZONE_FROM = 0, ZONE_TO = 4102444800;

/* What one check holds: too large for a stack that may be small. */
struct check {
	struct description d;
	struct answer_report rep;
	struct plan_vars vars;
	struct zone zone;
	char *body[DESCRIBE_STEPS_MAX];
	size_t size[DESCRIBE_STEPS_MAX];
	struct issue issue;
	struct text report;
};

static enum fault_code read_answers(struct check *c, const char *const *answers, size_t n, struct fault *f)
{
	if (n != 1 && n != c->d.steps)
		return fault_set(f, FAULT_USAGE, "%zu answers for %zu requests; give one for each, in order", n,
				 c->d.steps);
	for (size_t i = 0; i < n; i++) {
		if (file_read(answers[i], ANSWER_BYTES_MAX, &c->body[i], &c->size[i], f))
			return f->code;
		if (n == c->d.steps && plan_learn(&c->d, i, c->body[i], c->size[i], &c->vars, f))
			return fault_place(f, "%s: ", answers[i]);
	}
	return FAULT_NONE;
}

static enum fault_code decode(struct check *c, size_t n, const char *name, int64_t now, struct fault *f)
{
	struct answer_given given = {(const char *const *)c->body, c->size, n, now, NULL};
	if (c->d.time_zone[0] != '\0') {
		if (zone_load(c->d.time_zone, ZONE_FROM, ZONE_TO, &c->zone, f))
			return fault_place(f, "%s: time_zone: ", c->d.file);
		given.zone = &c->zone;
	}
	enum fault_code code = answer_decode(&c->d, &given, &c->issue, &c->rep, f);
	if (code != FAULT_NONE)
		fault_place(f, "%s: ", name);
	if (code == FAULT_NONE || code == FAULT_DATA)
		report_print(&c->rep, &c->d, code == FAULT_NONE ? &c->issue : NULL, &c->report);
	return code;
}

static enum fault_code check_all(struct check *c, const char *file, const char *const *answers, size_t n, int64_t now,
				 struct faults *wrong, struct fault *f)
{
	enum fault_code code = describe_load(file, &c->d, wrong);
	if (code != FAULT_NONE) {
		*f = (struct fault){.code = code};
		return code;
	}
	if (n == 0) {
		text_addf(&c->report, "%s: fine; %zu request%s, %zu variables", file, c->d.steps,
			  c->d.steps == 1 ? "" : "s", c->d.vars);
		if (c->d.dated)
			text_addf(&c->report, "; past days: %d at once", c->d.piece_days);
		if (c->d.dated && c->d.lag_days > 0)
			text_addf(&c->report, ", the newest %d day%s ago", c->d.lag_days,
				  c->d.lag_days == 1 ? "" : "s");
		text_add(&c->report, "\n");
		return screen_text(&c->report, "the report", f);
	}
	if (read_answers(c, answers, n, f))
		return f->code;
	struct fault unsaid = {0};
	code = decode(c, n, answers[n - 1], now, f);
	/* What was found is told beside the fault, and a fault of telling it does not hide the first. */
	enum fault_code told = screen_text(&c->report, "the report", code == FAULT_NONE ? f : &unsaid);
	return code != FAULT_NONE ? code : told;
}

enum fault_code check_source(const char *file, const char *const *answers, size_t n, int64_t now, struct faults *wrong,
			     struct fault *f)
{
	struct check *c = mem_new(1, sizeof *c);
	if (c == NULL)
		return fault_set(f, FAULT_MEMORY, "no memory for a description");
	issue_init(&c->issue);
	text_init(&c->report, REPORT_MAX);
	enum fault_code code = check_all(c, file, answers, n, now, wrong, f);
	text_free(&c->report);
	issue_free(&c->issue);
	for (size_t i = 0; i < DESCRIBE_STEPS_MAX; i++)
		mem_free(c->body[i]);
	mem_free(c);
	return code;
}
