#include "base/zoneguess.h"

#include <math.h>
#include <stddef.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "base/linefile.h"
#include "base/mem.h"
#include "base/num.h"
#include "base/text.h"

#define ZONE_TAB "/usr/share/zoneinfo/zone.tab"

enum { PATH_SIZE = 4096, TIMEZONE_MAX = 4096 };

/* A zone that is there, and whose name is a region and a town. */
static bool is_of_a_place(const char *name)
{
	struct zone zone;
	struct fault f;
	return strchr(name, '/') != NULL && strncmp(name, "Etc/", strlen("Etc/")) != 0 &&
	       zone_load(name, 0, 0, &zone, &f) == FAULT_NONE;
}

static bool by_link(const char *path, char name[static ZONE_NAME_SIZE])
{
	static const char folder[] = "/zoneinfo/";
	char target[PATH_SIZE];
	ssize_t n = readlink(path, target, sizeof target - 1);
	target[n > 0 ? n : 0] = '\0';
	const char *at = strstr(target, folder);
	return at != NULL && text_copy(name, ZONE_NAME_SIZE, at + sizeof folder - 1) && is_of_a_place(name);
}

static bool by_name(const char *path, char name[static ZONE_NAME_SIZE])
{
	struct fault f;
	char *bytes;
	size_t n;
	if (file_read(path, TIMEZONE_MAX, &bytes, &n, &f) != FAULT_NONE)
		return false;
	bytes[strcspn(bytes, " \t\r\n")] = '\0';
	bool is = text_copy(name, ZONE_NAME_SIZE, bytes) && is_of_a_place(name);
	mem_free(bytes);
	return is;
}

bool zoneguess_machine(const char *etc, char name[static ZONE_NAME_SIZE])
{
	char path[PATH_SIZE];
	struct text t;
	text_over(&t, path, sizeof path);
	text_addf(&t, "%s/localtime", etc);
	if (by_link(path, name))
		return true;
	text_clear(&t);
	text_addf(&t, "%s/timezone", etc);
	if (by_name(path, name))
		return true;
	name[0] = '\0';
	return false;
}

/* ISO 6709 as the list has it: a sign, `digits` of degrees, minutes, seconds or none; *s is behind it. */
static bool take_degrees(const char **s, size_t digits, double *degrees)
{
	enum { TWO = 2, SIXTY = 60 };
	static const double share[] = {SIXTY, (double)SIXTY * SIXTY};
	const char *at = *s;
	double sign = *at == '-' ? -1 : 1;
	int part;
	if ((*at != '+' && *at != '-') || !num_digits(at + 1, digits, &part))
		return false;
	*degrees = part;
	at += 1 + digits;
	for (size_t i = 0; i < sizeof share / sizeof share[0] && num_digits(at, TWO, &part); i++, at += TWO)
		*degrees += part / share[i];
	*degrees *= sign;
	*s = at;
	return true;
}

/* A row: country, coordinates and name, a tab between them.  False where it is no row of the zone. */
static bool read_row(char *row, const char *zone, struct zoneguess_town *town)
{
	enum { LATITUDE_DIGITS = 2, LONGITUDE_DIGITS = 3 };
	char *at = strchr(row, '\t'), *name = at != NULL ? strchr(at + 1, '\t') : NULL;
	if (row[0] == '#' || name == NULL)
		return false;
	*at = *name = '\0';
	name++;
	name[strcspn(name, "\t")] = '\0';
	const char *angles = at + 1;
	return strcmp(name, zone) == 0 && text_copy(town->country, sizeof town->country, row) &&
	       take_degrees(&angles, LATITUDE_DIGITS, &town->latitude) &&
	       take_degrees(&angles, LONGITUDE_DIGITS, &town->longitude);
}

void zoneguess_town(const char *zone, struct zoneguess_town *town)
{
	struct linefile l;
	struct fileline line;
	struct fault f;
	bool there = true, found = false;
	if (linefile_open(&l, ZONE_TAB, &f) == FAULT_NONE)
		while (!found && linefile_next(&l, &line, &there, &f) == FAULT_NONE && there)
			found = read_row(line.at, zone, town);
	linefile_close(&l);
	if (!found)
		*town = (struct zoneguess_town){.latitude = (double)NAN, .longitude = (double)NAN};
}
