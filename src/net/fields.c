#include "net/fields.h"

#include <string.h>
#include <strings.h>
#include <time.h>

#include "base/instant.h"
#include "base/num.h"

enum { RETRY_AFTER_MAX_S = DAY_S, AGE_MAX_S = 365 * DAY_S, RETRY_AFTER_DIGITS = 18, LINE_SIZE = 1024, DEL = 0x7f };

static bool has_control(const char *s, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if ((unsigned char)s[i] < ' ' || s[i] == DEL)
			return true;
	return false;
}

/* ---- of a request ---- */

/* On failure the list so far is given back, and *list is NULL. */
static enum fault_code line_add(struct curl_slist **list, const char *name, const char *value, struct fault *f)
{
	char line[LINE_SIZE];
	struct text t;
	text_over(&t, line, sizeof line);
	text_addf(&t, "%s%s", name, value);
	enum fault_code code = FAULT_NONE;
	if (t.full)
		code = fault_set(f, FAULT_CONFIG, "a request header is longer than %d bytes", LINE_SIZE - 1);
	else if (has_control(line, t.len) || memchr(line, ':', t.len) == NULL)
		code = fault_set(f, FAULT_CONFIG, "a request header has a control character or no colon");
	struct curl_slist *longer = code == FAULT_NONE ? curl_slist_append(*list, line) : NULL;
	if (longer != NULL) {
		*list = longer;
		return FAULT_NONE;
	}
	curl_slist_free_all(*list);
	*list = NULL;
	return code != FAULT_NONE ? code : fault_set(f, FAULT_MEMORY, "no memory for a request header");
}

static bool given(const char *s)
{
	return s != NULL && s[0] != '\0';
}

enum fault_code fields_request(const struct net_request *q, bool own, struct curl_slist **list, struct fault *f)
{
	enum fault_code code = FAULT_NONE;
	*list = NULL;
	if (given(q->accept))
		code = line_add(list, "Accept: ", q->accept, f);
	if (code == FAULT_NONE && given(q->if_modified_since))
		code = line_add(list, "If-Modified-Since: ", q->if_modified_since, f);
	if (code == FAULT_NONE && given(q->if_none_match))
		code = line_add(list, "If-None-Match: ", q->if_none_match, f);
	for (size_t i = 0; code == FAULT_NONE && own && i < q->n_headers; i++)
		code = line_add(list, "", q->headers[i], f);
	return code;
}

/* ---- of an answer ---- */

static char *field_named(struct fields *t, const char *name, size_t n)
{
	const struct {
		const char *name;
		char *to;
	} known[] = {
	    {"Content-Type", t->content_type},
	    {"ETag", t->etag},
	    {"Last-Modified", t->last_modified},
	    {"Expires", t->expires},
	    {"Date", t->date},
	    {"Retry-After", t->retry_after},
	    {"Age", t->age},
	};
	for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
		if (strlen(known[i].name) == n && strncasecmp(known[i].name, name, n) == 0)
			return known[i].to;
	return NULL;
}

/* A field that is cut would be worse than none: a validator is sent back word for word. */
static void field_keep(char *to, const char *s, size_t n)
{
	while (n > 0 && (*s == ' ' || *s == '\t'))
		s++, n--;
	while (n > 0 && (s[n - 1] == ' ' || s[n - 1] == '\t'))
		n--;
	if (n >= NET_FIELD_SIZE || has_control(s, n))
		n = 0;
	memcpy(to, s, n);
	to[n] = '\0';
}

void fields_take(struct fields *fields, const char *line, size_t n)
{
	static const char status[] = "HTTP/";
	if (n >= sizeof status - 1 && memcmp(line, status, sizeof status - 1) == 0) {
		memset(fields, 0, sizeof *fields); /* an interim answer may stand before the one that counts */
		return;
	}
	while (n > 0 && (line[n - 1] == '\r' || line[n - 1] == '\n'))
		n--;
	const char *colon = memchr(line, ':', n);
	if (colon == NULL)
		return;
	size_t name = (size_t)(colon - line);
	char *to = field_named(fields, line, name);
	if (to != NULL)
		field_keep(to, colon + 1, n - name - 1);
}

static int64_t http_date(const char *s)
{
	time_t t = s[0] != '\0' ? curl_getdate(s, NULL) : -1;
	return t == -1 ? INSTANT_NONE : (int64_t)t;
}

/* RFC 9110 10.2.3: seconds or a date. */
static int64_t retry_after(int64_t now, const char *s)
{
	struct fault unused;
	int64_t wait;
	if (strspn(s, "0123456789") > RETRY_AFTER_DIGITS)
		return RETRY_AFTER_MAX_S;
	if (num_int(s, 0, INT64_MAX, &wait, &unused) != FAULT_NONE) {
		int64_t until = http_date(s);
		if (until == INSTANT_NONE)
			return -1;
		wait = until > now ? until - now : 0;
	}
	return wait < RETRY_AFTER_MAX_S ? wait : RETRY_AFTER_MAX_S;
}

/* RFC 9111 5.1: whole seconds; what is no number is not told. */
static int64_t age(const char *s)
{
	struct fault unused;
	int64_t seconds;
	return num_int(s, 0, AGE_MAX_S, &seconds, &unused) == FAULT_NONE ? seconds : 0;
}

void fields_give(const struct fields *fields, int64_t now, struct net_response *r)
{
	memcpy(r->content_type, fields->content_type, sizeof r->content_type);
	memcpy(r->etag, fields->etag, sizeof r->etag);
	memcpy(r->last_modified, fields->last_modified, sizeof r->last_modified);
	r->expires = http_date(fields->expires);
	r->date = http_date(fields->date);
	r->age_s = age(fields->age);
	r->retry_after_s = retry_after(now, fields->retry_after);
}
