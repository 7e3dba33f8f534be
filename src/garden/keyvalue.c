#include "garden/keyvalue.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/date.h"
#include "base/hostport.h"
#include "base/num.h"
#include "base/suggest.h"
#include "facts/mail.h"

const char *key_listed(const char *const *word, size_t n, const char *last, char buf[static KEY_LIST_SIZE])
{
	struct text t;

	text_over(&t, buf, KEY_LIST_SIZE);
	for (size_t i = 0; i < n; i++) {
		if (i && i + 1 == n)
			text_addf(&t, " %s ", last);
		else if (i)
			text_add(&t, ", ");
		text_add(&t, word[i]);
	}
	return buf;
}

const char *key_remedy(const char *word, const char *const *known, size_t n, char buf[static KEY_LIST_SIZE])
{
	const char *near = suggest(word, known, n);
	struct text t;

	if (!near && key_listed(known, n, "or", buf) && strlen(buf) + 1 < KEY_LIST_SIZE)
		return buf;
	text_over(&t, buf, KEY_LIST_SIZE);
	if (!near)
		text_add(&t, "garden.ini(5) has the list");
	else
		text_addf(&t, "did you mean \"%s\"?", near);
	return buf;
}

size_t key_words(const struct key *k)
{
	size_t n = 0;

	while (n < KEY_WORDS_MAX && k->word[n])
		n++;
	return n;
}

bool key_one_word(const char *s, size_t size)
{
	size_t n = strcspn(s, " \t\",=");

	return n > 0 && s[n] == '\0' && n < size;
}

static void *place(void *into, size_t at)
{
	return (char *)into + at;
}

/* Four digits, but never in powers of ten. */
static void add_us(struct text *t, const struct key *k, double inside)
{
	enum { WHOLE_FROM = 1000 };
	double x = unit_outside(k->family, UNIT_US, inside);
	text_addf(t, fabs(x) < WHOLE_FROM ? "%.4g" : "%.0f", x);
}

void key_range(const struct key *k, char buf[static KEY_LIST_SIZE])
{
	const char *metric = unit_label(k->family, UNIT_METRIC), *us = unit_label(k->family, UNIT_US);
	struct text t;

	text_over(&t, buf, KEY_LIST_SIZE);
	if (k->kind != KEY_VALUE && k->kind != KEY_SPREAD) {
		text_addf(&t, "%.6g..%.6g", k->lo, k->hi);
		return;
	}
	text_addf(&t, "%.6g..%.6g %s", unit_outside(k->family, UNIT_METRIC, k->lo),
		  unit_outside(k->family, UNIT_METRIC, k->hi), metric);
	if (strcmp(metric, us) == 0)
		return;
	text_add(&t, " (");
	add_us(&t, k, k->lo);
	text_add(&t, "..");
	add_us(&t, k, k->hi);
	text_addf(&t, " %s)", us);
}

static enum fault_code outside(const struct key *k, const char *value, struct fault *f)
{
	char range[KEY_LIST_SIZE];

	key_range(k, range);
	return fault_set(f, FAULT_CONFIG, "%s %.*s is outside %s%s%s", k->name, KEY_SHOWN(value), range,
			 k->right ? "; " : "", k->right ? k->right : "");
}

static enum fault_code set_number(const struct key *k, const char *value, void *into, struct fault *f)
{
	double x;
	size_t n = strlen(value);

	if (num_scan(value, n, &x) != n)
		return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" is not a number; %s%sas %s", k->name, KEY_SHOWN(value),
				 k->right ? k->right : "", k->right ? ", " : "", k->example);
	if (!(x >= k->lo && x <= k->hi))
		return outside(k, value, f);
	memcpy(place(into, k->at), &x, sizeof x);
	return FAULT_NONE;
}

static enum fault_code set_value(const struct key *k, const char *value, void *into, struct fault *f)
{
	double x;

	if (unit_value(value, k->family, &x, f))
		return fault_place(f, "%s: ", k->name);
	if (!(x >= k->lo && x <= k->hi))
		return outside(k, value, f);
	memcpy(place(into, k->at), &x, sizeof x);
	return FAULT_NONE;
}

static void skip_blanks(const char **s)
{
	*s += strspn(*s, " \t");
}

static bool take(const char **s, char c)
{
	skip_blanks(s);
	if (**s != c)
		return false;
	(*s)++;
	skip_blanks(s);
	return true;
}

static bool take_number(const char **s, double *x)
{
	size_t n = num_scan(*s, strlen(*s), x);
	*s += n;
	return n > 0;
}

/* "475 (350-650) C-days": the numbers as they are written, and where the unit begins. */
static bool spread_scan(const char *value, struct spread *x, const char **unit)
{
	*x = (struct spread){(double)NAN, (double)NAN, (double)NAN};
	*unit = value;
	if (!take_number(unit, &x->likely))
		return false;
	if (!take(unit, '('))
		return true;
	return take_number(unit, &x->least) && take(unit, '-') && take_number(unit, &x->most) && take(unit, ')');
}

static enum fault_code set_spread(const struct key *k, const char *value, void *into, struct fault *f)
{
	struct spread x;
	const char *spelling;
	struct unit u;

	if (!spread_scan(value, &x, &spelling) || x.least > x.likely || x.likely > x.most)
		return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" is no likely figure with its least and most; as %s = %s",
				 k->name, KEY_SHOWN(value), k->name, k->example);
	skip_blanks(&spelling);
	if (!unit_find(spelling, k->family, &u))
		return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" does not end in a unit of %s; %s", k->name,
				 KEY_SHOWN(value), unit_noun(k->family), unit_proposal(k->family));
	double *const part[] = {&x.likely, &x.least, &x.most};
	for (size_t i = 0; i < sizeof part / sizeof *part; i++) {
		*part[i] = unit_inside(&u, *part[i], (double)NAN);
		if (*part[i] < k->lo || *part[i] > k->hi)
			return outside(k, value, f);
	}
	memcpy(place(into, k->at), &x, sizeof x);
	return FAULT_NONE;
}

static enum fault_code set_count(const struct key *k, const char *value, void *into, struct fault *f)
{
	struct fault ignored = {0};
	int64_t n;

	if (num_int(value, INT64_MIN, INT64_MAX, &n, &ignored))
		return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" is not a whole number; as %s", k->name, KEY_SHOWN(value),
				 k->example);
	if ((double)n < k->lo || (double)n > k->hi)
		return outside(k, value, f);
	int i = (int)n;
	memcpy(place(into, k->at), &i, sizeof i);
	return FAULT_NONE;
}

static enum fault_code pick(const struct key *k, const char *const *word, size_t n, const char *value, int *i,
			    struct fault *f)
{
	char remedy[KEY_LIST_SIZE];

	for (size_t j = 0; j < n; j++)
		if (strcmp(word[j], value) == 0) {
			*i = (int)j;
			return FAULT_NONE;
		}
	return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" is not known; %s", k->name, KEY_SHOWN(value),
			 key_remedy(value, word, n, remedy));
}

static enum fault_code set_yes(const struct key *k, const char *value, void *into, struct fault *f)
{
	static const char *const word[] = {"no", "yes"};
	int i = 0;

	if (pick(k, word, 2, value, &i, f))
		return f->code;
	bool yes = i != 0;
	memcpy(place(into, k->at), &yes, sizeof yes);
	return FAULT_NONE;
}

static enum fault_code set_choice(const struct key *k, const char *value, void *into, struct fault *f)
{
	int i = 0;

	if (pick(k, k->word, key_words(k), value, &i, f))
		return f->code;
	memcpy(place(into, k->at), &i, sizeof i);
	return FAULT_NONE;
}

static enum fault_code set_date(const struct key *k, const char *value, void *into, struct fault *f)
{
	char day[DATE_TEXT_SIZE];
	size_t n = strcspn(value, " \t");
	const char *rest = value + n + strspn(value + n, " \t");
	struct date d;
	int i = 0;

	if (!k->word[0] && *rest)
		return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" is more than a date; as %s", k->name, KEY_SHOWN(value),
				 k->example);
	/* too long for a date: let date_parse say so of as much as fits */
	snprintf(day, sizeof day, "%.*s", (int)(n < sizeof day ? n : sizeof day - 1), value);
	if (date_parse(day, &d, f))
		return fault_place(f, "%s: ", k->name);
	if (k->word[0] && !*rest) {
		char list[KEY_LIST_SIZE];
		return fault_set(f, FAULT_CONFIG, "%s \"%s\" does not say where; %s after the date", k->name, value,
				 key_listed(k->word, key_words(k), "or", list));
	}
	if (k->word[0] && pick(k, k->word, key_words(k), rest, &i, f))
		return f->code;
	memcpy(place(into, k->at), &d, sizeof d);
	if (k->word[0])
		memcpy(place(into, k->word_at), &i, sizeof i);
	return FAULT_NONE;
}

static bool is_alnum(char c, bool upper)
{
	return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (upper && c >= 'A' && c <= 'Z');
}

/* Words of letters and digits with some marks between them; the zone database has / _ + - in its names. */
static bool made_of(const char *s, bool upper, const char *marks)
{
	for (; *s; s++)
		if (!is_alnum(*s, upper) && !strchr(marks, *s))
			return false;
	return true;
}

static const char *unfit(const struct key *k, const char *value)
{
	switch (k->kind) {
	case KEY_NAME:
		return key_one_word(value, SIZE_MAX) ? NULL : "is not one word; no blanks, quotes, commas or =";
	case KEY_ID:
		return made_of(value, false, "-") ? NULL : "is no fit name; letters a-z, digits and - alone";
	case KEY_ZONE:
		return made_of(value, true, "/_+-") && is_alnum(*value, true) ? NULL : "is not the name of a time zone";
	case KEY_NUMBER:
	case KEY_VALUE:
	case KEY_SPREAD:
	case KEY_COUNT:
	case KEY_YES:
	case KEY_CHOICE:
	case KEY_DATE:
	case KEY_TEXT:
	case KEY_SERVER:
	case KEY_MAIL:
		break;
	}
	return NULL;
}

static enum fault_code set_text(const struct key *k, const char *value, void *into, struct fault *f)
{
	const char *why = unfit(k, value);
	size_t n = strlen(value);

	if (why)
		return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" %s%s%s", k->name, KEY_SHOWN(value), why,
				 k->right ? "; " : "", k->right ? k->right : "");
	if (n >= k->size)
		return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" is too long; at most %zu bytes", k->name,
				 KEY_SHOWN(value), k->size - 1);
	memcpy(place(into, k->at), value, n + 1);
	return FAULT_NONE;
}

/* What stands behind the scheme, if it is one of the row's; else NULL. */
static const char *behind_scheme(const struct key *k, const char *value)
{
	const char *behind = strstr(value, "://");
	size_t words = key_words(k);

	for (size_t i = 0; behind && i < words; i++) {
		size_t n = strlen(k->word[i]);
		if (n == (size_t)(behind - value) && strncmp(value, k->word[i], n) == 0)
			return behind + 3;
	}
	return NULL;
}

static enum fault_code set_server(const struct key *k, const char *value, void *into, struct fault *f)
{
	char host[HOSTPORT_HOST_SIZE];
	int port;
	const char *behind = behind_scheme(k, value);

	/* What may be a password is not shown. */
	if (strchr(value, '@'))
		return fault_set(f, FAULT_CONFIG, "%s may hold no user or password; as %s", k->name, k->example);
	if (behind && hostport_parse(behind, host, &port))
		return set_text(k, value, into, f);
	return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" is no %s; %s, as %s", k->name, KEY_SHOWN(value), k->name,
			 k->right, k->example);
}

static enum fault_code set_mail(const struct key *k, const char *value, void *into, struct fault *f)
{
	if (mail_address_check(value, f))
		return fault_place(f, "%s: ", k->name);
	return set_text(k, value, into, f);
}

enum fault_code key_set(const struct key *k, const char *value, void *into, struct fault *f)
{
	switch (k->kind) {
	case KEY_NUMBER:
		return set_number(k, value, into, f);
	case KEY_VALUE:
		return set_value(k, value, into, f);
	case KEY_SPREAD:
		return set_spread(k, value, into, f);
	case KEY_COUNT:
		return set_count(k, value, into, f);
	case KEY_YES:
		return set_yes(k, value, into, f);
	case KEY_CHOICE:
		return set_choice(k, value, into, f);
	case KEY_DATE:
		return set_date(k, value, into, f);
	case KEY_NAME:
	case KEY_ID:
	case KEY_TEXT:
	case KEY_ZONE:
		return set_text(k, value, into, f);
	case KEY_SERVER:
		return set_server(k, value, into, f);
	case KEY_MAIL:
		return set_mail(k, value, into, f);
	}
	return FAULT_NONE;
}

void key_set_none(const struct key *k, void *into)
{
	const double nan_value = (double)NAN;
	const struct spread nan_spread = {nan_value, nan_value, nan_value};
	const struct date none = date_none();

	switch (k->kind) {
	case KEY_NUMBER:
	case KEY_VALUE:
		memcpy(place(into, k->at), &nan_value, sizeof nan_value);
		break;
	case KEY_SPREAD:
		memcpy(place(into, k->at), &nan_spread, sizeof nan_spread);
		break;
	case KEY_COUNT:
	case KEY_CHOICE:
		memset(place(into, k->at), 0, sizeof(int));
		break;
	case KEY_YES:
		memset(place(into, k->at), 0, sizeof(bool));
		break;
	case KEY_DATE:
		memcpy(place(into, k->at), &none, sizeof none);
		if (k->word[0])
			memset(place(into, k->word_at), 0, sizeof(int));
		break;
	case KEY_NAME:
	case KEY_ID:
	case KEY_TEXT:
	case KEY_ZONE:
	case KEY_SERVER:
	case KEY_MAIL:
		memset(place(into, k->at), 0, k->size * (k->most ? k->most : 1));
		if (k->most)
			memset(place(into, k->count_at), 0, sizeof(size_t));
		break;
	}
	if (k->basis_at)
		memset(place(into, k->basis_at), 0, k->basis_size);
}
