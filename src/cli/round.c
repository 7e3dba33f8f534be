#include "cli/round.h"

#include "base/instant.h"
#include "base/mem.h"

void round_begin(struct round *r, int64_t patience_s)
{
	*r = (struct round){.patience_s = patience_s, .past_hour = INSTANT_NONE};
}

void round_drop(struct round *r)
{
	hours_free(&r->past);
	r->past_hour = INSTANT_NONE;
}

void round_keep(struct round *r, int64_t place, int64_t hour, struct hours *hours)
{
	/* Of two the one that reaches back further serves more. */
	if (round_kept(r, place, hour) != NULL && r->past.first <= hours->first)
		return;
	round_drop(r);
	hours_take(&r->past, hours);
	r->past_place = place;
	r->past_hour = hour;
}

const struct hours *round_kept(const struct round *r, int64_t place, int64_t hour)
{
	return r->past_hour != INSTANT_NONE && r->past_hour == hour && r->past_place == place ? &r->past : NULL;
}

void round_free(struct round *r)
{
	round_drop(r);
	names_free(&r->places);
	names_free(&r->services);
	mem_free(r->place);
	mem_free(r->silent);
	*r = (struct round){0};
}

/* The number of a name, whose element of a list beside the names is zero at first; false where memory is short. */
static bool number_of(struct names *names, const char *name, void **list, size_t *room, size_t size, size_t *i)
{
	struct fault unheard;
	if (*list == NULL || names->n == *room) {
		size_t want = 2 * *room + 1;
		void *more = mem_resize(*list, want, size);
		if (more == NULL)
			return false;
		*list = more;
		*room = want;
	}
	return names_add(names, name, i, &unheard) == FAULT_NONE;
}

static struct round_place *place_of(struct round *r, const char *place)
{
	size_t before = r->places.n, i;
	void *list = r->place;
	bool found = number_of(&r->places, place, &list, &r->place_room, sizeof *r->place, &i);
	r->place = list;
	if (found && i == before)
		r->place[i] = (struct round_place){0};
	return found ? &r->place[i] : NULL;
}

static int *silent_of(struct round *r, const char *service)
{
	size_t before = r->services.n, i;
	void *list = r->silent;
	bool found = number_of(&r->services, service, &list, &r->silent_room, sizeof *r->silent, &i);
	r->silent = list;
	if (found && i == before)
		r->silent[i] = 0;
	return found ? &r->silent[i] : NULL;
}

bool round_serves(struct round *r, const char *service, struct fault *f)
{
	const int *silent = silent_of(r, service);
	if (silent == NULL || *silent < ROUND_SILENT_MAX)
		return true;
	fault_set(f, FAULT_TRY_LATER, "%s: not asked, for it gave no answer %d times before", service,
		  ROUND_SILENT_MAX);
	return false;
}

void round_served(struct round *r, const char *service, bool silent)
{
	int *count = silent_of(r, service);
	if (count != NULL)
		*count = silent ? *count + 1 : 0;
}

bool round_asks(struct round *r, const char *place, const char *service, struct fault *f)
{
	const struct round_place *known = place_of(r, place);
	r->recalled = true;
	if (known != NULL && known->asked) {
		*f = known->outcome;
		return false;
	}
	r->recalled = !round_serves(r, service, f);
	if (r->recalled)
		round_asked(r, place, service, f, false);
	return !r->recalled;
}

void round_asked(struct round *r, const char *place, const char *service, const struct fault *f, bool sent)
{
	struct round_place *p = place_of(r, place);
	bool silent = sent && f->code == FAULT_TRY_LATER;
	if (p != NULL)
		*p = (struct round_place){true, *f};
	r->silence = r->silence || silent;
	if (sent)
		round_served(r, service, silent);
}
