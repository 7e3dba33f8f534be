#include "source/template.h"

#include <string.h>

static bool name_char(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
}

bool template_next(const char **at, struct template_part *part)
{
	const char *s = *at;
	if (*s == '\0')
		return false;
	part->variable = *s == '{';
	part->s = part->variable ? s + 1 : s;
	part->n = strcspn(part->s, part->variable ? "}" : "{");
	if (part->variable && part->s[part->n] == '\0')
		return false; /* *at stays on the brace that is not closed */
	*at = part->s + part->n + part->variable;
	return true;
}

enum fault_code template_check(const char *s, struct fault *f)
{
	struct template_part part;
	while (template_next(&s, &part)) {
		if (!part.variable) {
			if (memchr(part.s, '}', part.n) != NULL)
				return fault_set(f, FAULT_CONFIG, "} without {; a variable is written {lat}");
			continue;
		}
		for (size_t i = 0; i < part.n; i++)
			if (!name_char(part.s[i]))
				return fault_set(f, FAULT_CONFIG, "{%.*s}: a name is of a-z, 0-9 and _, as in {lat}",
						 (int)part.n, part.s);
		if (part.n == 0)
			return fault_set(f, FAULT_CONFIG, "{} has no name; a variable is written {lat}");
	}
	if (*s != '\0')
		return fault_set(f, FAULT_CONFIG, "{ is not closed; a variable is written {lat}");
	return FAULT_NONE;
}

bool template_is_variable(const char *s, struct template_part *part)
{
	return template_next(&s, part) && part->variable && *s == '\0';
}

bool template_part_is(const struct template_part *part, const char *name)
{
	return strlen(name) == part->n && memcmp(part->s, name, part->n) == 0;
}
