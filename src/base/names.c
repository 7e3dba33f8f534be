#include "base/names.h"

#include <string.h>

#include "base/hash.h"
#include "base/mem.h"

/* At most half of the slots are taken, so that a search is short. */
enum { FIRST_SLOTS = 64, SLOTS_PER_NAME = 2 };

void names_free(struct names *s)
{
	for (size_t i = 0; i < s->n; i++)
		mem_free(s->at[i]);
	mem_free(s->at);
	mem_free(s->slot);
	*s = (struct names){0};
}

/* The slot that has the name, or the free one where it belongs. */
static size_t find(const struct names *s, const char *name)
{
	size_t i = (size_t)(hash_frac(hash_text(HASH_START, name)) * (double)s->slots);
	while (s->slot[i] != 0 && strcmp(s->at[s->slot[i] - 1], name) != 0)
		i = (i + 1) % s->slots;
	return i;
}

static enum fault_code no_memory(struct fault *f)
{
	return fault_set(f, FAULT_MEMORY, "out of memory");
}

static enum fault_code more_slots(struct names *s, struct fault *f)
{
	if (SLOTS_PER_NAME * (s->n + 1) <= s->slots)
		return FAULT_NONE;
	size_t slots = s->slots == 0 ? FIRST_SLOTS : SLOTS_PER_NAME * s->slots;
	size_t *slot = mem_new(slots, sizeof *slot);
	if (slot == NULL)
		return no_memory(f);
	mem_free(s->slot);
	s->slot = slot;
	s->slots = slots;
	for (size_t i = 0; i < s->n; i++)
		s->slot[find(s, s->at[i])] = i + 1;
	return FAULT_NONE;
}

static enum fault_code more_names(struct names *s, struct fault *f)
{
	if (s->n < s->cap)
		return FAULT_NONE;
	size_t cap = s->cap == 0 ? FIRST_SLOTS : 2 * s->cap;
	char **at = mem_resize(s->at, cap, sizeof *at);
	if (at == NULL)
		return no_memory(f);
	s->at = at;
	s->cap = cap;
	return FAULT_NONE;
}

enum fault_code names_add(struct names *s, const char *name, size_t *number, struct fault *f)
{
	if (more_slots(s, f) != FAULT_NONE || more_names(s, f) != FAULT_NONE)
		return f->code;
	size_t i = find(s, name);
	if (s->slot[i] != 0) {
		*number = s->slot[i] - 1;
		return FAULT_NONE;
	}
	size_t size = strlen(name) + 1;
	char *own = mem_new(size, 1);
	if (own == NULL)
		return no_memory(f);
	memcpy(own, name, size);
	s->at[s->n] = own;
	s->slot[i] = s->n + 1;
	*number = s->n++;
	return FAULT_NONE;
}
