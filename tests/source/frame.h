/*
 * A frame of twelve hours: air temperature 10 C from 2031-04-18T00 to T12, beside
 * it the section that a row is about.  Values wanted of it are worked out by hand from
 * the numbers in the row and the definitions of the units.
 */
#ifndef TESTS_SOURCE_FRAME_H
#define TESTS_SOURCE_FRAME_H

#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "source/answer.h"

#define HEAD                                                                                                           \
	"[source]\ntitle = T\ncredit = C\nerror = /reason /title\n"                                                    \
	"[step a]\nurl = https://weather.example/{lat}\n"
#define FRAME                                                                                                          \
	"[var air_temperature]\nrows = /air\ntime = /t\ntime_format = iso8601-interval\nvalue = /v\nunit = degC\n"     \
	"kind = hold\n"
#define AIR "\"air\":[{\"t\":\"2031-04-18T00:00:00Z/PT12H\",\"v\":10}]"

enum { HOURS = 12, FIRST = 1934236800 /* 2031-04-18T00:00:00Z */ };

static struct description d;
static struct answer_report rep;

static inline void describe(const char *data, const char *var)
{
	char mem[4096];
	struct text t;
	struct faults all = {0};
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "%s[data]\n%s%s%s", HEAD, data, FRAME, var);
	enum fault_code code = describe_parse("x.ini", t.at, t.len, &d, &all);
	ck_assert_msg(code == FAULT_NONE, "%s", all.at[0].text);
}

static inline enum fault_code decode_n(const char *body, size_t n, int64_t received, struct issue *out, struct fault *f)
{
	const char *bodies[] = {body};
	struct answer_given given = {bodies, &n, 1, received, NULL};
	return answer_decode(&d, &given, out, &rep, f);
}

static inline enum fault_code decode(const char *json, int64_t received, struct issue *out, struct fault *f)
{
	return decode_n(json, strlen(json), received, out, f);
}

/* The frame's JSON around a row's own members. */
static inline enum fault_code decode_framed(const char *members, int64_t received, struct issue *out, struct fault *f)
{
	char mem[8192];
	struct text t;
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "{%s,%s}", AIR, members);
	ck_assert(!t.full);
	return decode(mem, received, out, f);
}

/* One letter a mark: . none, i interpolated, f forecast, a analysed, o observed; capitals stand for the whole hour. */
static inline char mark_letter(uint8_t origin)
{
	static const char letters[] = ".eifaor";
	char c = letters[origin & ORIGIN_MASK];
	return (origin & ORIGIN_WHOLE_HOUR) != 0 ? (char)(c - 'a' + 'A') : c;
}

static inline void marks(const struct issue *out, enum var v, char got[static HOURS + 1])
{
	for (size_t h = 0; h < HOURS; h++) {
		size_t i;
		bool in = hours_index(&out->hours, FIRST + (int64_t)h * HOUR_S, &i);
		got[h] = in ? mark_letter(out->hours.origin[v][i]) : '.';
	}
	got[HOURS] = '\0';
}

/* "1 1 - 2.5": values of hours in order, - missing. */
static inline void values(const struct issue *out, enum var v, struct text *t)
{
	for (size_t h = 0; h < HOURS; h++) {
		double x = hours_get(&out->hours, v, FIRST + (int64_t)h * HOUR_S);
		if (isnan(x))
			text_addf(t, "%s-", h == 0 ? "" : " ");
		else
			text_addf(t, "%s%.4g", h == 0 ? "" : " ", x);
	}
}

#define ROWS "rows = /x\ntime = /t\ntime_format = rfc3339\nvalue = /v\n"
#define SPAN "rows = /x\ntime = /t\ntime_format = iso8601-interval\nvalue = /v\n"
#define WIND "[var wind_speed]\n"
#define RAIN "[var precipitation_amount]\nunit = mm\nkind = total\n"
#define T(h) "{\"t\":\"2031-04-18T" h ":00Z\",\"v\":"
#define I(s) "{\"t\":\"2031-04-18T" s "\",\"v\":"

static inline const struct answer_row *row_of(enum var v)
{
	if (v == VAR_WINDOW_MINIMUM_SPAN)
		v = VAR_WINDOW_MINIMUM;
	for (size_t i = rep.n; i-- > 0;)
		if (rep.row[i].var == v)
			return &rep.row[i];
	ck_abort_msg("no such row");
	return NULL;
}

#endif
