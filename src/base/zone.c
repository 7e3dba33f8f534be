#include "base/zone.h"

#include <assert.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <time.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "base/suggest.h"

#define ZONEINFO "/usr/share/zoneinfo"

enum {
	PATH_SIZE = 128,
	ZONE_FILE_MAX = 1 << 20,
	KNOWN_MAX = 1024,
	PROBE_STEP_S = DAY_S, /* the closest steps known are some weeks apart (Ramadan in Morocco) */
	MARGIN_S = 2 * DAY_S, /* a day at the span's edge has both its ends in the table */
	OFFSET_MAX_S = DAY_S, /* no zone has ever been a day from UTC */
};

/* ---- Names ---- */

static const char *last_part(const char *name)
{
	const char *slash = strrchr(name, '/');
	return slash ? slash + 1 : name;
}

/* The third field of each line of zone.tab (country, coordinates, name), cut out of the bytes in place. */
static size_t known_names(char *tab, const char *known[static KNOWN_MAX])
{
	size_t n = 0;
	char *line = tab;
	while (line && *line != '\0' && n < KNOWN_MAX) {
		char *end = strchr(line, '\n');
		if (end)
			*end = '\0';
		char *field = *line != '#' ? strchr(line, '\t') : NULL;
		field = field ? strchr(field + 1, '\t') : NULL;
		if (field) {
			known[n++] = field + 1;
			field[1 + strcspn(field + 1, "\t")] = '\0';
		}
		line = end ? end + 1 : NULL;
	}
	return n;
}

static const char *nearest_name(const char *name, const char *const *known, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if (strcasecmp(last_part(known[i]), last_part(name)) == 0)
			return known[i];
	return suggest(name, known, n);
}

static enum fault_code unknown_zone(const char *name, struct fault *f)
{
	char *tab;
	size_t bytes;
	struct fault unread;
	if (file_read(ZONEINFO "/zone.tab", ZONE_FILE_MAX, &tab, &bytes, &unread))
		return fault_set(f, FAULT_CONFIG,
				 "time zone \"%.63s\" is not known; is the time zone database (tzdata) installed?",
				 name);
	const char *known[KNOWN_MAX];
	const char *nearest = nearest_name(name, known, known_names(tab, known));
	if (nearest)
		fault_set(f, FAULT_CONFIG, "time zone \"%.63s\" is not known; did you mean \"%.63s\"?", name, nearest);
	else
		fault_set(f, FAULT_CONFIG, "time zone \"%.63s\" is not known; a name such as America/Chicago is right",
			  name);
	mem_free(tab);
	return f->code;
}

/* Could it be a zone of the database?  right/ counts leap seconds; localtime is whatever a machine is set to. */
static bool name_is_sound(const char *name)
{
	static const char allowed[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_+-/";
	size_t n = strlen(name);
	return n > 0 && n < ZONE_NAME_SIZE && strspn(name, allowed) == n && name[0] != '/' && name[n - 1] != '/' &&
	       strncmp(name, "right/", 6) != 0 && strcmp(name, "localtime") != 0;
}

/* The path of a zone's file, which must be one by its first bytes (RFC 8536 3.1). */
static enum fault_code find_file(const char *name, char path[static PATH_SIZE], struct fault *f)
{
	if (!name_is_sound(name))
		return unknown_zone(name, f);
	snprintf(path, PATH_SIZE, ZONEINFO "/%.*s", (int)ZONE_NAME_SIZE - 1, name);
	if (!file_is(path))
		return unknown_zone(name, f);
	char *bytes;
	size_t n;
	if (file_read(path, ZONE_FILE_MAX, &bytes, &n, f))
		return f->code;
	bool is = n >= 4 && memcmp(bytes, "TZif", 4) == 0;
	mem_free(bytes);
	return is ? FAULT_NONE : unknown_zone(name, f);
}

/* ---- Loading: the one place where TZ is touched ---- */

static int32_t libc_offset(int64_t t)
{
	time_t instant = (time_t)t;
	struct tm tm;
	return localtime_r(&instant, &tm) ? (int32_t)tm.tm_gmtoff : 0;
}

/* The first instant in (before, after] whose offset is not the one at before; there is one. */
static int64_t find_step(int64_t before, int64_t after)
{
	int32_t old = libc_offset(before);
	while (after - before > 1) {
		int64_t middle = before + (after - before) / 2;
		if (libc_offset(middle) == old)
			before = middle;
		else
			after = middle;
	}
	return after;
}

/* False where there are more steps than a table takes. */
static bool probe(int64_t from, int64_t to, struct zone *z)
{
	z->n = 1;
	z->step[0] = (struct zone_step){from, libc_offset(from)};
	int64_t t = from;
	while (t < to) {
		int64_t next = t + PROBE_STEP_S < to ? t + PROBE_STEP_S : to;
		if (libc_offset(next) != z->step[z->n - 1].offset_s) {
			if (z->n == ZONE_STEPS_MAX)
				return false;
			next = find_step(t, next);
			z->step[z->n++] = (struct zone_step){next, libc_offset(next)};
		}
		t = next;
	}
	return true;
}

enum fault_code zone_load(const char *name, int64_t from, int64_t to, struct zone *z, struct fault *f)
{
	assert(from <= to && date_is(instant_date(from, 0)) && date_is(instant_date(to, 0)));
	char path[1 + PATH_SIZE] = ":"; /* POSIX: what follows a colon is no rule but the system's own, here a file */
	if (find_file(name, path + 1, f))
		return f->code;

	enum fault_code code = FAULT_NONE;
	const char *tz = getenv("TZ");
	size_t size = tz ? strlen(tz) + 1 : 1;
	char *saved = mem_new(size, 1);
	if (!saved)
		return fault_set(f, FAULT_MEMORY, "no memory for a time zone");
	if (tz)
		memcpy(saved, tz, size);
	if (setenv("TZ", path, 1) != 0) {
		code = fault_set(f, FAULT_MEMORY, "no memory for a time zone");
		goto out;
	}
	tzset();
	*z = (struct zone){.from = from, .to = to};
	snprintf(z->name, sizeof z->name, "%s", name);
	if (!probe(from - MARGIN_S, to + MARGIN_S, z))
		code = fault_set(f, FAULT_SOFTWARE, "time zone %s has more than %d steps in the span asked for", name,
				 (int)ZONE_STEPS_MAX);
	if (tz)
		setenv("TZ", saved, 1);
	else
		unsetenv("TZ");
	tzset();
out:
	mem_free(saved);
	return code;
}

void zone_fixed(const char *name, int offset_s, struct zone *z)
{
	*z = (struct zone){.n = 1, .from = INT64_MIN, .to = INT64_MAX, .step[0] = {INT64_MIN, offset_s}};
	snprintf(z->name, sizeof z->name, "%s", name);
}

/* ---- Reading the table ---- */

/* Index of the step that holds at t. */
static size_t step_at(const struct zone *z, int64_t t)
{
	size_t lo = 0, hi = z->n;
	while (hi - lo > 1) {
		size_t middle = lo + (hi - lo) / 2;
		if (z->step[middle].from <= t)
			lo = middle;
		else
			hi = middle;
	}
	return lo;
}

/* First instant after step i. */
static int64_t step_end(const struct zone *z, size_t i)
{
	return i + 1 < z->n ? z->step[i + 1].from : INT64_MAX;
}

int zone_offset(const struct zone *z, int64_t t)
{
	return z->step[step_at(z, t)].offset_s;
}

struct date zone_date(const struct zone *z, int64_t t)
{
	return instant_date(t, zone_offset(z, t));
}

int zone_second(const struct zone *z, int64_t t)
{
	int offset_s = zone_offset(z, t);
	struct date d = instant_date(t, offset_s);
	return date_is(d) ? (int)(t - instant_at(d, 0, offset_s)) : 0;
}

int64_t zone_instant(const struct zone *z, struct date d, int second)
{
	if (!date_is(d))
		return INSTANT_NONE;
	int64_t utc = instant_at(d, second, 0);
	/* The first step that still runs when its clock shows the time: before a gap its clock never did, so
	   the time lies in the gap and the clock before it counts on. */
	for (size_t i = step_at(z, utc - OFFSET_MAX_S);; i++) {
		int64_t t = utc - z->step[i].offset_s, end = step_end(z, i);
		if (t < end)
			return t;
		if (utc - z->step[i + 1].offset_s < end)
			return t;
	}
}

int64_t zone_day_start(const struct zone *z, struct date d)
{
	if (!date_is(d))
		return INSTANT_NONE;
	int64_t utc = instant_at(d, 0, 0);
	size_t i = step_at(z, utc - OFFSET_MAX_S);
	while (utc - z->step[i].offset_s >= step_end(z, i))
		i++;
	int64_t t = utc - z->step[i].offset_s;
	/* The step began later than that by its own clock: midnight was skipped. */
	return i > 0 && t < z->step[i].from ? z->step[i].from : t;
}
