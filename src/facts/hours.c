#include "facts/hours.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"

enum fault_code hours_init(struct hours *h, int64_t first, size_t n, struct fault *f)
{
	assert(first % HOUR_S == 0);
	*h = (struct hours){.first = first};
	if (n > HOURS_MAX)
		return fault_set(f, FAULT_DATA, "%zu hours in one series are too many; at most %d (30 years)", n,
				 (int)HOURS_MAX);
	if (n == 0)
		return FAULT_NONE;
	/* All doubles first, then all marks: one block keeps both aligned. */
	h->block = mem_new(n, VARS * (sizeof(double) + sizeof(uint8_t)));
	if (!h->block)
		return fault_set(f, FAULT_MEMORY, "no memory for %zu hours", n);
	h->n = n;
	double *values = h->block;
	uint8_t *origins = (uint8_t *)(values + VARS * n);
	for (size_t i = 0; i < VARS * n; i++)
		values[i] = (double)NAN;
	for (size_t v = 0; v < VARS; v++) {
		h->value[v] = values + v * n;
		h->origin[v] = origins + v * n;
	}
	return FAULT_NONE;
}

void hours_free(struct hours *h)
{
	mem_free(h->block);
	*h = (struct hours){.first = h->first};
}

void hours_take(struct hours *to, struct hours *from)
{
	*to = *from;
	*from = (struct hours){.first = from->first};
}

int64_t hours_end(const struct hours *h)
{
	return h->first + (int64_t)h->n * HOUR_S;
}

size_t hours_ended(const struct hours *h, int64_t t)
{
	if (h->n == 0 || t < h->first + HOUR_S)
		return 0;
	int64_t ended = (t - h->first) / HOUR_S;
	return ended < (int64_t)h->n ? (size_t)ended : h->n;
}

bool hours_index(const struct hours *h, int64_t t, size_t *i)
{
	if (t < h->first || t >= hours_end(h))
		return false;
	*i = (size_t)((t - h->first) / HOUR_S);
	return true;
}

double hours_get(const struct hours *h, enum var v, int64_t t)
{
	size_t i;
	return hours_index(h, t, &i) ? h->value[v][i] : (double)NAN;
}

static uint8_t mark_at(const struct hours *h, enum var v, int64_t t)
{
	size_t i;
	return hours_index(h, t, &i) ? h->origin[v][i] : ORIGIN_NONE;
}

enum origin hours_origin(const struct hours *h, enum var v, int64_t t)
{
	return (enum origin)(mark_at(h, v, t) & ORIGIN_MASK);
}

bool hours_whole(const struct hours *h, enum var v, int64_t t)
{
	return (mark_at(h, v, t) & ORIGIN_WHOLE_HOUR) != 0;
}

void hours_middle(const struct hours *h, enum var v, double *out)
{
	const double *x = h->value[v];
	bool state = var_row(v)->kind == VAR_STATE;
	for (size_t i = 0; i < h->n; i++)
		if (!state || (h->origin[v][i] & ORIGIN_WHOLE_HOUR) != 0)
			out[i] = x[i];
		else
			out[i] = i + 1 < h->n ? (x[i] + x[i + 1]) / 2 : (double)NAN;
}

void hours_set(struct hours *h, enum var v, int64_t t, double x, uint8_t origin)
{
	size_t i;
	if (!hours_index(h, t, &i))
		return;
	bool is = isfinite(x) && (origin & ORIGIN_MASK) != ORIGIN_NONE;
	h->value[v][i] = is ? x : (double)NAN;
	h->origin[v][i] = is ? origin : ORIGIN_NONE;
}

bool hours_span(const struct hours *h, enum var v, int64_t *first, int64_t *last)
{
	size_t from = 0, to = h->n;
	while (from < to && isnan(h->value[v][from]))
		from++;
	while (to > from && isnan(h->value[v][to - 1]))
		to--;
	if (from == to)
		return false;
	*first = h->first + (int64_t)from * HOUR_S;
	*last = h->first + (int64_t)(to - 1) * HOUR_S;
	return true;
}

static int64_t least(int64_t a, int64_t b)
{
	return a < b ? a : b;
}

void hours_lay_over(struct hours *dst, const struct hours *src, int64_t from, int64_t to)
{
	int64_t start = dst->first > src->first ? dst->first : src->first;
	int64_t end = least(to, least(hours_end(dst), hours_end(src)));
	if (from >= end || start >= end)
		return;
	if (from > start) /* the first hour that starts at or after it */
		start = instant_hour(from + HOUR_S - 1);
	for (size_t v = 0; v < VARS; v++) {
		for (int64_t t = start; t < end; t += HOUR_S) {
			size_t d = (size_t)((t - dst->first) / HOUR_S), s = (size_t)((t - src->first) / HOUR_S);
			if (isnan(src->value[v][s]))
				continue;
			dst->value[v][d] = src->value[v][s];
			dst->origin[v][d] = src->origin[v][s];
		}
	}
}

const char *origin_name(enum origin o)
{
	switch (o & ORIGIN_MASK) {
	case ORIGIN_NONE:
		return "none";
	case ORIGIN_ESTIMATED:
		return "estimated";
	case ORIGIN_INTERPOLATED:
		return "interpolated";
	case ORIGIN_FORECAST:
		return "forecast";
	case ORIGIN_ANALYSED:
		return "analysed";
	case ORIGIN_OBSERVED:
		return "observed";
	case ORIGIN_READING:
		return "reading";
	default:
		return "unknown";
	}
}
