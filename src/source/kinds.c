#include "source/kinds.h"

#include <math.h>
#include <stdlib.h>

#include "base/instant.h"
#include "base/mem.h"

/* Filled by an earlier section of the same variable. */
enum { TAKEN_BEFORE = 1, TAKEN_WAY = 2 };

enum fault_code kinds_room_init(struct kinds_room *room, size_t hours, size_t items, struct fault *f)
{
	size_t amounts = items * sizeof *room->amount, cover = hours * sizeof *room->cover;
	room->block = mem_new(1, amounts + cover + hours + items);
	if (room->block == NULL)
		return fault_set(f, FAULT_MEMORY, "no memory for %zu hours", hours);
	room->amount = room->block;
	room->cover = (int32_t *)(room->amount + items);
	room->taken = (uint8_t *)(room->cover + hours);
	room->seen = room->taken + hours;
	return FAULT_NONE;
}

void kinds_room_free(struct kinds_room *room)
{
	mem_free(room->block);
}

void kinds_begin(struct kinds *k, const struct describe_var *v, struct issue *issue, struct answer_row *row,
		 struct kinds_room *room)
{
	struct hours *hours = &issue->hours;
	*k = (struct kinds){.v = v, .hours = hours, .row = row, .room = room};
	k->past_mark = k->recent_mark = ORIGIN_FORECAST;
	if (issue->past != ISSUE_PAST_NONE)
		k->past_mark = k->recent_mark = ORIGIN_ANALYSED;
	if (issue->past == ISSUE_PAST_OBSERVED)
		k->past_mark = ORIGIN_OBSERVED;
	k->settled = hours_ended(hours, issue_settled(issue));
	k->ended = hours_ended(hours, issue->received);
	if (v->kind == KIND_HOLD || v->kind == KIND_MEAN || v->kind == KIND_MAX)
		k->whole = ORIGIN_WHOLE_HOUR;
	/* What is interpolated is as good as empty to a section that knows. */
	const uint8_t *origin = hours->origin[v->var];
	for (size_t h = 0; h < hours->n; h++)
		room->taken[h] = (origin[h] & ORIGIN_MASK) > ORIGIN_INTERPOLATED ? TAKEN_BEFORE : 0;
}

void kinds_way(struct kinds *k, size_t way)
{
	k->way = (uint8_t)(TAKEN_WAY + way);
	k->amounts = 0;
}

static size_t hour_of(const struct kinds *k, int64_t t)
{
	return (size_t)((t - k->hours->first) / HOUR_S);
}

/* What a number is worth whose last hour is h. */
static uint8_t worth(const struct kinds *k, size_t h)
{
	if (h >= k->ended)
		return ORIGIN_FORECAST;
	return h < k->settled ? k->past_mark : k->recent_mark;
}

static void set_hour(struct kinds *k, size_t h, double x, uint8_t whole)
{
	k->hours->value[k->v->var][h] = x;
	k->hours->origin[k->v->var][h] = worth(k, h) | whole;
	k->room->taken[h] = k->way;
}

static void put_instant(struct kinds *k, int64_t t, double x)
{
	int64_t since = t - k->hours->first;
	size_t h = (size_t)(since / HOUR_S);
	uint8_t by = k->room->taken[h];
	if (since % HOUR_S != 0 || (by != 0 && by != k->way)) {
		k->row->skipped++;
		return;
	}
	k->row->replaced += by == k->way;
	set_hour(k, h, x, 0);
}

/* The hours [h, end) get x, as far as no better way has filled them. */
static void put_hours(struct kinds *k, size_t h, size_t end, double x, size_t partly)
{
	bool used = false, again = false;
	for (; h < end; h++) {
		uint8_t by = k->room->taken[h];
		if (by != 0 && by != k->way)
			continue;
		again = again || by == k->way;
		used = true;
		set_hour(k, h, x, h == partly ? 0 : k->whole);
	}
	k->row->replaced += again;
	k->row->skipped += !used;
}

static void put_span(struct kinds *k, int64_t begin, int64_t end, double x)
{
	size_t first = hour_of(k, begin + HOUR_S - 1);
	size_t partly = hour_of(k, end), start_end = hour_of(k, end + HOUR_S - 1);
	/* A state that holds is known at each hour's start; a mean or a chance is of a whole hour. */
	size_t last = k->v->kind == KIND_HOLD && var_row(k->v->var)->kind == VAR_STATE ? start_end : partly;
	put_hours(k, first, last, x, partly);
}

/* The lower minimum stays: it is the one that can hurt.  Then the shorter window: it says more. */
static void put_window(struct kinds *k, int64_t begin, int64_t end, double x)
{
	size_t h = hour_of(k, begin);
	double *low = &k->hours->value[VAR_WINDOW_MINIMUM][h];
	double *span = &k->hours->value[VAR_WINDOW_MINIMUM_SPAN][h];
	double hours = (double)(hour_of(k, end + HOUR_S - 1) - h);
	bool again = k->room->taken[h] == k->way && *span == hours;
	if (!var_in_range(VAR_WINDOW_MINIMUM_SPAN, hours)) {
		k->row->dropped++;
		return;
	}
	if (!again && !isnan(*low) && (*low < x || (*low == x && *span <= hours))) {
		k->row->skipped++;
		return;
	}
	k->row->replaced += again;
	set_hour(k, h, x, 0);
	k->hours->origin[VAR_WINDOW_MINIMUM][h] = worth(k, h + (size_t)hours - 1);
	*span = hours;
	k->hours->origin[VAR_WINDOW_MINIMUM_SPAN][h] = k->hours->origin[VAR_WINDOW_MINIMUM][h];
}

void kinds_put(struct kinds *k, size_t i, int64_t begin, int64_t end, double x)
{
	switch (k->v->kind) {
	case KIND_INSTANT:
		put_instant(k, begin, x);
		break;
	case KIND_HOLD:
	case KIND_MEAN:
	case KIND_MAX:
	case KIND_PROB:
		put_span(k, begin, end, x);
		break;
	case KIND_MIN:
		put_window(k, begin, end, x);
		break;
	case KIND_TOTAL:
		k->room->amount[k->amounts++] = (struct kinds_amount){begin, end, x, i};
		break;
	case KINDS:
		break;
	}
}

/* Amounts */

static int by_time(const void *a, const void *b)
{
	const struct kinds_amount *x = a, *y = b;
	if (x->begin != y->begin)
		return x->begin < y->begin ? -1 : 1;
	if (x->end != y->end)
		return x->end < y->end ? -1 : 1;
	return x->i < y->i ? -1 : 1;
}

static void sort_amounts(struct kinds *k)
{
	struct kinds_amount *a = k->room->amount;
	for (size_t i = 1; i < k->amounts; i++) {
		if (by_time(&a[i - 1], &a[i]) > 0) {
			qsort(a, k->amounts, sizeof *a, by_time);
			return;
		}
	}
}

/* Of amounts told twice for one span the later stays. */
static void drop_repeated(struct kinds *k)
{
	struct kinds_amount *a = k->room->amount;
	size_t n = 0;
	for (size_t i = 0; i < k->amounts; i++) {
		if (n > 0 && a[n - 1].begin == a[i].begin && a[n - 1].end == a[i].end) {
			a[n - 1] = a[i];
			k->row->replaced++;
		} else {
			a[n++] = a[i];
		}
	}
	k->amounts = n;
}

static bool overlap(const struct kinds *k)
{
	const struct kinds_amount *a = k->room->amount;
	for (size_t i = 1; i < k->amounts; i++)
		if (a[i].begin < a[i - 1].end)
			return true;
	return false;
}

/* Seconds of hour h that lie in the amount's span. */
static int32_t share(const struct kinds *k, size_t h, const struct kinds_amount *a)
{
	int64_t from = k->hours->first + (int64_t)h * HOUR_S, to = from + HOUR_S;
	if (from < a->begin)
		from = a->begin;
	if (to > a->end)
		to = a->end;
	return (int32_t)(to - from);
}

/* An hour that is full, or that this way has told something of already, takes no more. */
static bool closed(const struct kinds *k, size_t h, bool partly)
{
	return k->room->taken[h] != 0 || (partly && k->room->cover[h] != 0);
}

/*
 * Divide one amount over the open hours of its span.  What the closed hours of
 * it hold is taken off first, so that nothing is counted twice.
 */
static bool divide(struct kinds *k, const struct kinds_amount *a, bool partly)
{
	double *value = k->hours->value[k->v->var], rest = a->x;
	size_t first = hour_of(k, a->begin), end = hour_of(k, a->end + HOUR_S - 1);
	int64_t open = 0;
	for (size_t h = first; h < end; h++)
		if (!closed(k, h, partly))
			open += share(k, h, a);
		else if (k->room->taken[h] != 0)
			rest -= value[h] * share(k, h, a) / HOUR_S;
	if (open == 0 || (!partly && open < a->end - a->begin))
		return false;
	if (rest < 0)
		rest = 0;
	for (size_t h = first; h < end; h++) {
		if (closed(k, h, partly))
			continue;
		int32_t seconds = share(k, h, a);
		value[h] = (k->room->cover[h] == 0 ? 0 : value[h]) + rest * (double)seconds / (double)open;
		k->room->cover[h] += seconds;
	}
	k->row->amount_in += rest;
	return true;
}

/* Hours that are told in full count; what lies in the others is skipped. */
static void close_hours(struct kinds *k)
{
	double *value = k->hours->value[k->v->var];
	for (size_t h = 0; h < k->hours->n; h++) {
		if (k->room->cover[h] == 0)
			continue;
		if (k->room->cover[h] == HOUR_S) {
			k->row->amount_out += value[h];
			set_hour(k, h, value[h], 0);
		} else {
			k->row->amount_skipped += value[h];
			value[h] = (double)NAN;
		}
		k->room->cover[h] = 0;
	}
}

/* A second-best way: spans that are wholly open first, then what the others can still tell. */
static void divide_spare(struct kinds *k)
{
	struct kinds_amount *a = k->room->amount;
	int64_t told = INSTANT_NONE;
	size_t left = 0;
	for (size_t i = 0; i < k->amounts; i++)
		if (a[i].begin >= told && divide(k, &a[i], false))
			told = a[i].end;
		else
			a[left++] = a[i];
	close_hours(k);
	for (size_t i = 0; i < left; i++)
		k->row->skipped += !divide(k, &a[i], true);
	close_hours(k);
}

bool kinds_way_end(struct kinds *k)
{
	bool first = k->way == TAKEN_WAY;
	if (k->v->kind != KIND_TOTAL)
		return true;
	sort_amounts(k);
	drop_repeated(k);
	for (size_t h = 0; first && h < k->hours->n; h++)
		first = k->room->taken[h] == 0;
	if (!first) {
		divide_spare(k);
		return true;
	}
	if (overlap(k))
		return false;
	for (size_t i = 0; i < k->amounts; i++)
		k->row->skipped += !divide(k, &k->room->amount[i], false);
	close_hours(k);
	return true;
}

/* Sums */

static void fill_gap(struct kinds *k, size_t from, size_t to)
{
	double *value = k->hours->value[k->v->var];
	for (size_t h = from + 1; h < to; h++) {
		value[h] = value[from] + (value[to] - value[from]) * (double)(h - from) / (double)(to - from);
		k->hours->origin[k->v->var][h] = ORIGIN_INTERPOLATED;
		k->room->taken[h] = k->way;
		k->row->filled++;
	}
}

static void fill_gaps(struct kinds *k)
{
	const double *value = k->hours->value[k->v->var];
	size_t last = SIZE_MAX;
	for (size_t h = 0; h < k->hours->n; h++) {
		if (isnan(value[h]))
			continue;
		if (last != SIZE_MAX && h - last > 1 && (int64_t)(h - last) * HOUR_S <= k->v->max_gap_s)
			fill_gap(k, last, h);
		last = h;
	}
}

static void note_gap(struct answer_row *row, int64_t from, size_t hours)
{
	if (row->gaps < ANSWER_GAPS_MAX) {
		row->gap[row->gaps].from = from;
		row->gap[row->gaps].hours = hours;
	}
	row->gaps++;
}

static void sum_up(struct kinds *k)
{
	struct answer_row *row = k->row;
	const double *value = k->hours->value[k->v->var];
	for (size_t h = 0; h < k->hours->n; h++) {
		int64_t t = k->hours->first + (int64_t)h * HOUR_S;
		if (k->room->taken[h] < TAKEN_WAY)
			continue;
		if (row->hours == 0)
			row->first = t;
		else if (t - row->last > HOUR_S && k->v->kind != KIND_MIN)
			note_gap(row, row->last + HOUR_S, (size_t)((t - row->last) / HOUR_S) - 1);
		row->hours++;
		row->last = t;
		if (!(value[h] >= row->min))
			row->min = value[h];
		if (!(value[h] <= row->max))
			row->max = value[h];
	}
}

void kinds_end(struct kinds *k)
{
	if (k->v->fill)
		fill_gaps(k);
	sum_up(k);
}
