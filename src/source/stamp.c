#include "source/stamp.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "base/num.h"

const char *const stamp_format_name[STAMP_FORMATS] = {"rfc3339", "iso8601-interval", "unix", "local"};

enum { SPAN_MAX_S = 31 * DAY_S };

/* 1900-01-01 and 2200-01-01, UTC: beyond these a stamp is a mistake. */
static const int64_t STAMP_FIRST = -2208988800, STAMP_END = 7258118400;

static enum fault_code read_unix(const cJSON *item, int64_t *t, struct fault *f)
{
	double x = item->valuedouble;
	if (!cJSON_IsNumber(item))
		return fault_set(f, FAULT_DATA, "a unix stamp is a number of seconds");
	if (!(fabs(x) < 1e11))
		return fault_set(f, FAULT_DATA, "%g is no stamp in seconds", x);
	*t = (int64_t)floor(x);
	return FAULT_NONE;
}

static enum fault_code read_local(const struct stamp_rule *rule, const char *s, int64_t *t, struct fault *f)
{
	struct date d;
	int second;
	if (instant_local(s, &d, &second, f))
		return f->code;
	*t = rule->zone != NULL ? zone_instant(rule->zone, d, second) : instant_at(d, second, rule->offset_s);
	return FAULT_NONE;
}

static enum fault_code read_any(const struct stamp_rule *rule, const cJSON *item, int64_t *begin, int64_t *end,
				struct fault *f)
{
	if (item == NULL)
		return fault_set(f, FAULT_DATA, "there is no stamp");
	if (rule->format == STAMP_UNIX)
		return read_unix(item, begin, f);
	if (!cJSON_IsString(item))
		return fault_set(f, FAULT_DATA, "a stamp of this format is a text");
	if (rule->format == STAMP_INTERVAL)
		return instant_interval(item->valuestring, begin, end, f);
	if (rule->format == STAMP_LOCAL)
		return read_local(rule, item->valuestring, begin, f);
	return instant_rfc3339(item->valuestring, begin, f);
}

enum fault_code stamp_read(const struct stamp_rule *rule, const cJSON *item, int64_t *begin, int64_t *end,
			   struct fault *f)
{
	int64_t from = INSTANT_NONE, to = INSTANT_NONE;
	if (read_any(rule, item, &from, &to, f))
		return f->code;
	if (to == INSTANT_NONE)
		to = from;
	if (from < STAMP_FIRST || to >= STAMP_END)
		return fault_set(f, FAULT_DATA, "a stamp lies before 1900 or after 2199");
	if (to - from > SPAN_MAX_S)
		return fault_set(f, FAULT_DATA, "an interval is longer than 31 days");
	*begin = from;
	*end = to;
	return FAULT_NONE;
}

enum fault_code stamp_instant(const cJSON *item, int64_t *t, struct fault *f)
{
	struct stamp_rule rule = {.format = cJSON_IsNumber(item) ? STAMP_UNIX : STAMP_RFC3339};
	int64_t end;
	return stamp_read(&rule, item, t, &end, f);
}

/* "+02:00", "-0330"; false for anything else. */
static bool clock_offset(const char *s, int *offset_s)
{
	int h, m;
	if ((s[0] != '+' && s[0] != '-') || strlen(s) < 5)
		return false;
	const char *minutes = s + (s[3] == ':' ? 4 : 3);
	if (strlen(minutes) != 2 || !num_digits(s + 1, 2, &h) || !num_digits(minutes, 2, &m) || m > 59)
		return false;
	*offset_s = (h * 3600 + m * 60) * (s[0] == '-' ? -1 : 1);
	return true;
}

enum fault_code stamp_offset(const char *s, int *offset_s, struct fault *f)
{
	enum { LIMIT_S = 18 * HOUR_S };
	int64_t seconds = 0;
	int offset;
	struct fault ignored = {0};
	if (strcmp(s, "Z") == 0) {
		offset = 0;
	} else if (!clock_offset(s, &offset)) {
		if (num_int(s, -LIMIT_S, LIMIT_S, &seconds, &ignored))
			return fault_set(f, FAULT_DATA, "\"%s\" is no offset; write +02:00, Z or seconds", s);
		offset = (int)seconds;
	}
	if (offset > LIMIT_S || offset < -LIMIT_S)
		return fault_set(f, FAULT_DATA, "the offset %s is more than 18 h", s);
	*offset_s = offset;
	return FAULT_NONE;
}
