#include "base/mem.h"

#include <stdint.h>
#include <stdlib.h>

/* The gate: how many allocations still pass before one is refused; below 0 it is open. */
static struct {
	long passes;
	bool sticky;
	long refused;
} gate = {-1, false, 0};

static bool gate_refuses(void)
{
	if (gate.passes < 0)
		return false;
	if (gate.passes > 0) {
		gate.passes--;
		return false;
	}
	if (!gate.sticky)
		gate.passes = -1;
	gate.refused++;
	return true;
}

/* Nothing wanted is one byte: so NULL always means failure, and realloc never frees. */
static size_t at_least_one(size_t bytes)
{
	return bytes > 0 ? bytes : 1;
}

/* The machine's refusals count as the gate's do. */
static void *counted(void *p)
{
	gate.refused += p == NULL;
	return p;
}

static bool overflows(size_t n, size_t size)
{
	return size > 0 && n > SIZE_MAX / size;
}

void *mem_new(size_t n, size_t size)
{
	if (overflows(n, size) || gate_refuses())
		return NULL;
	return counted(calloc(1, at_least_one(n * size)));
}

void *mem_resize(void *p, size_t n, size_t size)
{
	return overflows(n, size) ? NULL : mem_raw_resize(p, n * size);
}

void mem_free(void *p)
{
	free(p);
}

void *mem_raw(size_t bytes)
{
	return gate_refuses() ? NULL : counted(malloc(at_least_one(bytes)));
}

void *mem_raw_resize(void *p, size_t bytes)
{
	return gate_refuses() ? NULL : counted(realloc(p, at_least_one(bytes)));
}

void mem_fail_after(long after, bool sticky)
{
	gate.passes = after < 0 ? -1 : after;
	gate.sticky = sticky;
	gate.refused = 0;
}

long mem_refused(void)
{
	return gate.refused;
}
