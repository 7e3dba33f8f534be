/*
 * Any bytes as an answer of the invented service: what is refused is said, and
 * what is kept is sound: marks beside values, values in range, nothing more
 * laid into hours than went in.
 */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/instant.h"
#include "base/utf8.h"
#include "source/answer.h"
#include "source/report.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { REPORT_SIZE = 32 * 1024 };

static const int64_t RECEIVED = 1934258400; /* 2031-04-18T06:00:00Z */

static const struct description *description(void)
{
	static struct description d;
	static struct faults all;
	if (d.vars > 0)
		return &d;
	if (describe_load("fixtures/source/invented.ini", &d, &all))
		abort();
	answer_init();
	return &d;
}

static void check_hours(const struct issue *out)
{
	const struct hours *h = &out->hours;
	assert(h->first % HOUR_S == 0 && h->n > 0 && h->n <= ANSWER_HOURS_MAX);
	for (int v = 0; v < VARS; v++) {
		for (size_t i = 0; i < h->n; i++) {
			double x = h->value[v][i];
			assert(isnan(x) == (h->origin[v][i] == ORIGIN_NONE));
			/* An hour's share of amounts of less than an hour may add up to more than one of them may be.
			 */
			assert(isnan(x) || v == VAR_PRECIPITATION || var_in_range((enum var)v, x));
			assert(isnan(x) || x >= var_row((enum var)v)->lo);
		}
	}
}

static void check_report(const struct answer_report *rep)
{
	for (size_t i = 0; i < rep->n; i++) {
		const struct answer_row *row = &rep->row[i];
		size_t said = strlen(row->said);
		assert(row->missing <= row->items && row->filled <= row->hours);
		assert(utf8_bad(row->said, said) == said);
		assert(!row->refused || (row->hours == 0 && said > 0));
		if (!isnan(row->amount_in))
			assert(fabs(row->amount_in - row->amount_out - row->amount_skipped) <=
			       1e-9 * fmax(1, row->amount_in));
	}
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	const struct description *d = description();
	char *body = malloc(size + 1), report[REPORT_SIZE];
	const char *bodies[] = {body};
	struct answer_given given = {bodies, &size, 1, RECEIVED, NULL};
	struct answer_report rep;
	struct issue out;
	struct fault f = {0};
	struct text t;
	if (body == NULL)
		return 0;
	memcpy(body, data, size);
	body[size] = '\0';
	if (answer_decode(d, &given, &out, &rep, &f) == FAULT_NONE)
		check_hours(&out);
	else
		assert(f.code == FAULT_DATA && f.text[0] != '\0' && out.hours.block == NULL);
	check_report(&rep);
	text_over(&t, report, sizeof report);
	report_print(&rep, d, f.code == FAULT_NONE ? &out : NULL, &t);
	issue_free(&out);
	free(body);
	return 0;
}
