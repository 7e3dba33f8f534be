#include "source/stationhours.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"

/* 1700-01-01 UTC, which is divisible by 3600. */
static const int64_t BEGIN = INT64_C(-98615) * DAY_S;

void stationhours_free(struct stationhours *h)
{
	for (size_t i = 0; i < STATIONHOURS_PAGES; i++) {
		mem_free(h->page[i].apart);
		mem_free(h->page[i].value);
		mem_free(h->page[i].parts);
		h->page[i] = (struct stationhours_page){0};
	}
}

int64_t stationhours_begin(void)
{
	return BEGIN;
}

bool stationhours_holds(int64_t hour)
{
	return hour >= BEGIN && hour < BEGIN + (int64_t)STATIONHOURS_PAGES * STATIONHOURS_PAGE * HOUR_S;
}

static bool make_page(struct stationhours_page *p, size_t variables)
{
	p->apart = mem_new(STATIONHOURS_PAGE, 1);
	p->value = mem_new(variables * STATIONHOURS_PAGE, sizeof *p->value);
	p->parts = mem_new(variables * STATIONHOURS_PAGE, sizeof *p->parts);
	if (p->apart == NULL || p->value == NULL || p->parts == NULL) {
		mem_free(p->apart);
		mem_free(p->value);
		mem_free(p->parts);
		*p = (struct stationhours_page){0};
		return false;
	}
	memset(p->apart, STATIONHOURS_NONE, STATIONHOURS_PAGE);
	for (size_t i = 0; i < variables * STATIONHOURS_PAGE; i++)
		p->value[i] = (double)NAN;
	return true;
}

/* The page of an hour, made where there is none, and the hour's place in it. */
static struct stationhours_page *find(struct stationhours *h, int64_t hour, size_t *i)
{
	if (!stationhours_holds(hour))
		return NULL;
	size_t n = (size_t)((hour - BEGIN) / HOUR_S);
	struct stationhours_page *p = &h->page[n / STATIONHOURS_PAGE];
	*i = n % STATIONHOURS_PAGE;
	return p->apart != NULL || make_page(p, h->n) ? p : NULL;
}

uint8_t *stationhours_row(struct stationhours *h, int64_t hour)
{
	size_t i;
	struct stationhours_page *p = find(h, hour, &i);
	return p != NULL ? &p->apart[i] : NULL;
}

double *stationhours_cell(struct stationhours *h, int64_t hour, size_t v)
{
	size_t i;
	struct stationhours_page *p = find(h, hour, &i);
	return p != NULL ? &p->value[v * STATIONHOURS_PAGE + i] : NULL;
}

bool stationhours_add(struct stationhours *h, int64_t hour, size_t v, double x)
{
	size_t i;
	struct stationhours_page *p = find(h, hour, &i);
	if (p == NULL)
		return false;
	i += v * STATIONHOURS_PAGE;
	p->value[i] = p->parts[i] == 0 ? x : p->value[i] + x;
	if (p->parts[i] < UINT8_MAX)
		p->parts[i]++;
	return true;
}

size_t stationhours_total(struct stationhours *h, size_t v, unsigned parts, bool mean, size_t *gone)
{
	double hi = var_row(h->var[v])->hi;
	size_t stayed = 0;
	*gone = 0;
	for (size_t k = 0; k < STATIONHOURS_PAGES; k++) {
		struct stationhours_page *p = &h->page[k];
		for (size_t i = v * STATIONHOURS_PAGE; p->value != NULL && i < (v + 1) * STATIONHOURS_PAGE; i++) {
			double x = mean ? p->value[i] / parts : p->value[i];
			bool whole = p->parts[i] == parts && x <= hi;
			stayed += whole;
			*gone += p->parts[i] > 0 && !whole;
			p->value[i] = whole ? x : (double)NAN;
		}
	}
	return stayed;
}

bool stationhours_next(const struct stationhours *h, int64_t *at, int64_t *hour)
{
	size_t n = (size_t)((*at - BEGIN) / HOUR_S), i = n % STATIONHOURS_PAGE;
	for (size_t k = n / STATIONHOURS_PAGE; k < STATIONHOURS_PAGES; k++, i = 0) {
		const uint8_t *apart = h->page[k].apart;
		while (apart != NULL && i < STATIONHOURS_PAGE && apart[i] == STATIONHOURS_NONE)
			i++;
		if (apart == NULL || i == STATIONHOURS_PAGE)
			continue;
		*hour = BEGIN + (int64_t)(k * STATIONHOURS_PAGE + i) * HOUR_S;
		*at = *hour + HOUR_S;
		return true;
	}
	return false;
}

size_t stationhours_count(const struct stationhours *h, size_t v)
{
	size_t n = 0;
	for (size_t k = 0; k < STATIONHOURS_PAGES; k++)
		for (size_t i = 0; h->page[k].value != NULL && i < STATIONHOURS_PAGE; i++)
			n += isnan(h->page[k].value[v * STATIONHOURS_PAGE + i]) ? 0 : 1;
	return n;
}

bool stationhours_page(const struct stationhours *h, size_t *at, struct hours *out)
{
	while (*at < STATIONHOURS_PAGES && h->page[*at].value == NULL)
		(*at)++;
	if (*at == STATIONHOURS_PAGES)
		return false;
	const double *value = h->page[*at].value;
	out->first = BEGIN + (int64_t)*at * STATIONHOURS_PAGE * HOUR_S;
	for (size_t v = 0; v < h->n; v++)
		for (size_t i = 0; i < STATIONHOURS_PAGE; i++) {
			double x = value[v * STATIONHOURS_PAGE + i];
			out->value[h->var[v]][i] = x;
			out->origin[h->var[v]][i] = isnan(x) ? ORIGIN_NONE : ORIGIN_OBSERVED;
		}
	(*at)++;
	return true;
}
