#include "season/dates.h"

#include <math.h>
#include <string.h>

static void put(struct dates *d, enum verb v, struct date on)
{
	if (!date_is(d->first[v]) || date_diff(d->first[v], on) > 0)
		d->first[v] = on;
	if (!date_is(d->last[v]) || date_diff(on, d->last[v]) > 0)
		d->last[v] = on;
}

/* Whether an entry is about this planting: by its name, or by what it stands in. */
static bool about(const struct entry *e, const struct planting *p)
{
	if (e->planting[0] != '\0')
		return strcmp(e->planting, p->name) == 0;
	return e->bed[0] != '\0' && strcmp(e->bed, p->in) == 0;
}

static void from_file(struct dates *d, enum verb v, struct date on)
{
	if (date_is(on) && !date_is(d->first[v]))
		put(d, v, on);
}

void dates_of(const struct garden *g, size_t planting, const struct diary *diary, struct date today, struct dates *d)
{
	const struct planting *p = &g->planting[planting];
	for (int v = 0; v < VERBS; v++) {
		d->first[v] = date_none();
		d->last[v] = date_none();
		d->told[v] = false;
		d->days[v] = 0;
		d->amount[v] = (double)NAN;
	}
	for (size_t i = 0; i < diary->n; i++) {
		const struct entry *e = &diary->entry[i];
		enum verb v = verb_of(e);
		if (v == VERBS || date_diff(today, e->date) < 0 || !about(e, p))
			continue;
		/* entries come by date */
		if (d->last[v].n != e->date.n)
			d->days[v]++;
		put(d, v, e->date);
		d->told[v] = true;
		d->amount[v] = e->amount;
	}
	from_file(d, VERB_SOWN, p->sown);
	from_file(d, VERB_PLANTED_OUT, p->planted);
	from_file(d, VERB_ENDED, p->ended);
}

bool dates_by(struct date d, struct date today)
{
	return date_is(d) && date_diff(today, d) >= 0;
}
