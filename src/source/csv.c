#include "source/csv.h"

#include <stdbool.h>

static bool is_blank(char c)
{
	return c == ' ' || c == '\t';
}

/* The rest of a quoted field moves up over doubled quotes.  Returned: behind the closing quote; NULL where none is. */
static char *unquote(char *at)
{
	char *to = at;
	for (; *at != '\0'; *to++ = *at++) {
		if (*at != '"')
			continue;
		if (at[1] != '"') {
			*to = '\0';
			return at + 1;
		}
		at++;
	}
	return NULL;
}

/* One field from *at on; *at is then at the delimiter or the line's end. */
static enum fault_code take_field(char **at, char delimiter, char **field, struct fault *f)
{
	char *s = *at;
	while (is_blank(*s) && *s != delimiter)
		s++;
	if (*s == '"') {
		*field = s + 1;
		s = unquote(s + 1);
		if (s == NULL)
			return fault_set(f, FAULT_DATA, "a quote does not end on its line; \"...\" is right");
		while (is_blank(*s) && *s != delimiter)
			s++;
		*at = s;
		return *s == delimiter || *s == '\0'
			   ? FAULT_NONE
			   : fault_set(f, FAULT_DATA,
				       "text follows a closing quote; a quote inside a field is written twice");
	}
	*field = s;
	while (*s != delimiter && *s != '\0')
		s++;
	*at = s;
	return FAULT_NONE;
}

static void end_field(const char *field, char *end)
{
	while (end > field && is_blank(end[-1]))
		end--;
	*end = '\0';
}

enum fault_code csv_cut(char *line, char delimiter, struct csv *out, struct fault *f)
{
	char *at = line;
	for (out->n = 0;; at++) {
		if (out->n == CSV_FIELDS_MAX)
			return fault_set(f, FAULT_DATA, "more than %d fields", (int)CSV_FIELDS_MAX);
		char **field = &out->field[out->n++];
		if (take_field(&at, delimiter, field, f) != FAULT_NONE)
			return f->code;
		bool more = *at == delimiter;
		/* A quoted one has its end already, before this. */
		end_field(*field, at);
		if (!more)
			return FAULT_NONE;
	}
}

char csv_delimiter(const char *line)
{
	static const char could_be[] = {',', ';', '\t'};
	size_t best = 0, most = 0;
	for (size_t i = 0; i < sizeof could_be; i++) {
		size_t n = 0;
		for (const char *s = line; *s != '\0'; s++)
			n += *s == could_be[i];
		if (n > most) {
			most = n;
			best = i;
		}
	}
	return could_be[best];
}
