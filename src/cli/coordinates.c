#include "cli/coordinates.h"

#include <ctype.h>
#include <stdbool.h>
#include <string.h>

#include "base/num.h"
#include "base/text.h"
#include "base/utf8.h"

enum { SHOWN_MAX = 60, HALF_SIZE = 80, PARTS = 3, SIGNS_MAX = 4, SIXTY = 60 };

#define RIGHT    "as 44.31, -89.90 or 44 18.6 N, 89 54 W"
#define LETTERS  "NSEWnsew"
#define BETWEEN  " \t,;"
#define NO_BREAK "\u00a0"
#define MINUS    "\u2212"

static const double LATITUDE_MAX = 90, LONGITUDE_MAX = 180;

/* One of the two. */
struct angle {
	double degrees;
	char letter; /* N, S, E or W; 0 where there is none */
};

/* What may stand behind degrees, minutes and seconds. */
static const char *const SIGNS[PARTS][SIGNS_MAX] = {
    {"\u00b0", "\u00ba"},
    {"'", "\u2032", "\u2019"},
    {"\"", "\u2033", "\u201d", "''"},
};

static const char *skip_blanks(const char *s)
{
	return s + strspn(s, " \t");
}

/* ---- one angle, in a text of its own without its letter ---- */

static const char *behind_sign(const char *s, size_t part)
{
	for (size_t i = 0; i < SIGNS_MAX && SIGNS[part][i] != NULL; i++)
		if (strncmp(s, SIGNS[part][i], strlen(SIGNS[part][i])) == 0)
			return skip_blanks(s + strlen(SIGNS[part][i]));
	return s;
}

/* Degrees, then minutes and seconds; only the last of them may have decimals. */
static bool read_parts(const char *s, double *degrees)
{
	static const double share[PARTS] = {1, SIXTY, (double)SIXTY * SIXTY};
	bool whole = true;
	*degrees = 0;
	for (size_t part = 0; part < PARTS && whole; part++) {
		double x;
		size_t n = isdigit((unsigned char)*s) ? num_scan(s, strlen(s), &x) : 0;
		if (n == 0 || (part > 0 && x >= SIXTY))
			return false;
		whole = strspn(s, "0123456789") >= n;
		*degrees += x / share[part];
		s = behind_sign(skip_blanks(s + n), part);
		if (*s == '\0')
			return true;
	}
	return false;
}

static bool read_angle(char *s, struct angle *a)
{
	size_t n = strlen(s);
	while (n > 0 && strchr(BETWEEN, s[n - 1]) != NULL)
		s[--n] = '\0';
	s += strspn(s, BETWEEN);
	n = strlen(s);
	a->letter = '\0';
	if (n > 0 && strchr(LETTERS, s[0]) != NULL)
		a->letter = *s++;
	else if (n > 0 && strchr(LETTERS, s[n - 1]) != NULL) {
		a->letter = s[n - 1];
		s[n - 1] = '\0';
	}
	a->letter = (char)toupper((unsigned char)a->letter);
	s += strspn(s, " \t");
	bool minus = *s == '-';
	if ((minus || *s == '+') && a->letter != '\0')
		return false;
	s += minus || *s == '+';
	/* What stood before a letter at the end. */
	for (n = strlen(s); n > 0 && strchr(" \t", s[n - 1]) != NULL;)
		s[--n] = '\0';
	if (!read_parts(s, &a->degrees))
		return false;
	if (minus || a->letter == 'S' || a->letter == 'W')
		a->degrees = -a->degrees;
	return true;
}

/* ---- the two ---- */

/* Where the second begins; NULL where that cannot be told. */
static const char *second_of(const char *s)
{
	const char *letter = strpbrk(s, LETTERS), *comma = strpbrk(s, ",;");
	if (letter == s)
		return strpbrk(s + 1, LETTERS);
	if (letter != NULL)
		return letter + 1;
	if (comma != NULL)
		return strpbrk(comma + 1, ",;") == NULL ? comma : NULL;
	return strpbrk(s, " \t");
}

/* 48,13 could be two whole numbers, and is far more often one. */
static bool decimal_comma(const char *s)
{
	const char *comma = strchr(s, ',');
	return comma != NULL && comma > s && isdigit((unsigned char)comma[-1]) && isdigit((unsigned char)comma[1]) &&
	       strchr(s, '.') == NULL;
}

/* Blanks at the ends gone, and other signs of the same meaning for those that are read. */
static void clean(const char *s, struct text *t)
{
	s = skip_blanks(s);
	while (*s != '\0') {
		bool blank = strncmp(s, NO_BREAK, strlen(NO_BREAK)) == 0, minus = strncmp(s, MINUS, strlen(MINUS)) == 0;
		text_add_n(t, blank ? " " : minus ? "-" : s, 1);
		s += blank ? strlen(NO_BREAK) : minus ? strlen(MINUS) : 1;
	}
}

static bool is_longitude(const struct angle *a)
{
	return a->letter == 'E' || a->letter == 'W';
}

static bool take_apart(const char *s, struct angle *one, struct angle *two)
{
	char first[HALF_SIZE], second[HALF_SIZE];
	struct text t;
	const char *at = second_of(s);
	if (at == NULL)
		return false;
	text_over(&t, first, sizeof first);
	text_add_n(&t, s, (size_t)(at - s));
	if (t.full || !text_copy(second, sizeof second, at) || !read_angle(first, one) || !read_angle(second, two))
		return false;
	/* Both have a letter or none, and not twice the same direction. */
	return (one->letter == '\0') == (two->letter == '\0') &&
	       (one->letter == '\0' || is_longitude(one) != is_longitude(two));
}

enum fault_code coordinates_parse(const char *s, double *latitude, double *longitude, struct fault *f)
{
	char mem[2 * HALF_SIZE];
	struct text t;
	struct angle one, two;
	text_over(&t, mem, sizeof mem);
	clean(s, &t);
	if (decimal_comma(t.at))
		return fault_set(f, FAULT_CONFIG, "\"%.*s\": write decimals with a point; " RIGHT,
				 utf8_most(s, SHOWN_MAX), s);
	if (t.full || !take_apart(t.at, &one, &two))
		return fault_set(f, FAULT_CONFIG, "\"%.*s\" is no latitude and longitude; " RIGHT,
				 utf8_most(s, SHOWN_MAX), s);
	bool turned = is_longitude(&one);
	double north = turned ? two.degrees : one.degrees, east = turned ? one.degrees : two.degrees;
	if (!(north >= -LATITUDE_MAX && north <= LATITUDE_MAX))
		return fault_set(f, FAULT_CONFIG, "latitude %.6g is outside -90..90; degrees north, then degrees east",
				 north);
	if (!(east >= -LONGITUDE_MAX && east <= LONGITUDE_MAX))
		return fault_set(f, FAULT_CONFIG,
				 "longitude %.6g is outside -180..180; degrees north, then degrees east", east);
	*latitude = north;
	*longitude = east;
	return FAULT_NONE;
}
