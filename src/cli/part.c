#include "cli/part.h"

#include <stdint.h>
#include <string.h>

#include "base/hash.h"
#include "base/num.h"
#include "base/text.h"

enum { NUMBER_SIZE = 16 };

enum fault_code part_parse(const char *word, struct garden_part *p, struct fault *f)
{
	char first[NUMBER_SIZE];
	struct text t;
	struct fault unheard;
	int64_t k, n;
	const char *slash = strchr(word, '/');
	text_over(&t, first, sizeof first);
	text_add_n(&t, word, slash != NULL ? (size_t)(slash - word) : 0);
	if (slash == NULL || t.full || num_int(slash + 1, 1, PART_MAX, &n, &unheard) != FAULT_NONE ||
	    num_int(first, 1, n, &k, &unheard) != FAULT_NONE)
		return fault_set(f, FAULT_USAGE,
				 "\"%.40s\" is no part; right is K/N with K from 1 to N and N up to %d, as 2/4", word,
				 PART_MAX);
	*p = (struct garden_part){(int)k, (int)n};
	return FAULT_NONE;
}

bool part_has(struct garden_part p, const char *name)
{
	return p.n == 0 || (int)(hash_frac(hash_text(HASH_START, name)) * p.n) == p.k - 1;
}
