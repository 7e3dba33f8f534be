#include "lib/marsh.h"

#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "cli/ask.h"
#include "lib/harness.h"
#include "record/fetchlog.h"
#include "record/hourstore.h"
#include "source/manners.h"

enum { TOTAL_MS = 500, MS_PER_S = 1000 };

static char *slurp(const char *path)
{
	struct fault f = {0};
	char *bytes;
	size_t n;
	ck_assert_msg(file_read(path, MARSH_BYTES_MAX, &bytes, &n, &f) == FAULT_NONE, "%s", f.text);
	return bytes;
}

static int64_t clock_now(void *context)
{
	const struct marsh *m = context;
	return m->now;
}

static void clock_sleep(void *context, int64_t ms)
{
	struct marsh *m = context;
	m->now += (m->slept_ms + ms) / MS_PER_S - m->slept_ms / MS_PER_S;
	m->slept_ms += ms;
}

void marsh_open(struct marsh *m)
{
	*m = (struct marsh){.now = MARSH_NOW, .where = slurp(MARSH_WHERE), .grid = slurp(MARSH_GRID)};
	scratchrecord_open(&m->scratch);
	m->source = mem_new(1, sizeof *m->source);
	m->limits = net_limits_default();
	m->limits.connect_ms = m->limits.total_ms = TOTAL_MS;
	m->limits.max_bytes = MARSH_BYTES_MAX;
	m->limits.now = clock_now;
	m->limits.sleep_ms = clock_sleep;
	m->limits.context = m;
}

void marsh_close(struct marsh *m)
{
	net_close(m->net);
	scratchrecord_close(&m->scratch);
	mem_free(m->source);
	mem_free(m->where);
	mem_free(m->grid);
}

void marsh_describe(struct marsh *m, const char *file, const char *base)
{
	static const char mark[] = "http://@HOST@";
	char *form = slurp(file), *at = strstr(form, mark);
	struct text t;
	struct faults all = {0};
	ck_assert_ptr_nonnull(at);
	text_init(&t, MARSH_BYTES_MAX);
	text_add_n(&t, form, (size_t)(at - form));
	text_add(&t, base);
	text_add(&t, at + sizeof mark - 1);
	ck_assert_msg(describe_parse(strrchr(file, '/') + 1, t.at, t.len, m->source, &all) == FAULT_NONE, "%s",
		      all.at[0].text);
	text_free(&t);
	mem_free(form);
	net_close(m->net);
	m->net = NULL;
	ck_assert_msg(ask_open(m->source, MARSH_CONTACT, &m->limits, &m->net, &m->f) == FAULT_NONE, "%s", m->f.text);
	m->job = (struct fetch_job){.source = m->source,
				    .place = place_at(44.31, -89.9, 330),
				    .record = m->scratch.rec,
				    .net = m->net,
				    .patience_s = MANNERS_RUN_S,
				    .start = date_none(),
				    .end = date_none()};
}

void marsh_at_base(struct marsh *m, const char *base)
{
	marsh_describe(m, MARSH_FILE, base);
}

void marsh_at(struct marsh *m, int port)
{
	char base[32];
	snprintf(base, sizeof base, "http://127.0.0.1:%d", port);
	marsh_at_base(m, base);
}

enum fault_code marsh_fetch(struct marsh *m)
{
	m->f = (struct fault){0};
	m->job.now = m->now;
	return fetch_run(&m->job, &m->result, &m->f);
}

void marsh_take_saved(struct marsh *m)
{
	static const char *const files[] = {MARSH_WHERE, MARSH_GRID};
	struct fetch_job job = m->job;
	job.net = NULL;
	job.now = MARSH_NOW;
	job.answers = files;
	job.n_answers = 2;
	ck_assert_msg(fetch_run(&job, &m->result, &m->f) == FAULT_NONE, "%s", m->f.text);
}

void marsh_check_hours(const struct marsh *m, const char *row, bool there)
{
	static const double air_c[MARSH_HOURS] = {10, 5, NAN, 0}, rain_mm[MARSH_HOURS] = {0, 0.5, 1.5, 0};
	struct hours h;
	struct fault f = {0};
	ck_assert_msg(hourstore_known(m->scratch.rec, m->scratch.place, MARSH_NOW, MARSH_NOW,
				      MARSH_NOW + MARSH_HOURS * HOUR_S, &h, NULL, &f) == FAULT_NONE,
		      "%s", f.text);
	for (int i = 0; i < MARSH_HOURS; i++) {
		int64_t hour = MARSH_NOW + (int64_t)i * HOUR_S;
		double air = hours_get(&h, VAR_AIR_TEMPERATURE, hour);
		if (there && !isnan(air_c[i]))
			ROW_NEAR(row, air, air_c[i], 1e-9);
		else
			ROW_TRUE(row, isnan(air));
		if (there)
			ROW_NEAR(row, hours_get(&h, VAR_PRECIPITATION, hour), rain_mm[i], 1e-9);
	}
	hours_free(&h);
}

struct memo marsh_memo(const struct marsh *m, const char *step)
{
	struct memo memo;
	struct fault f = {0};
	bool found;
	ck_assert_int_eq(fetchlog_get(m->scratch.rec, m->scratch.place, "marsh", step, &memo, &found, &f), FAULT_NONE);
	ck_assert_msg(found, "no log of step %s", step);
	return memo;
}
