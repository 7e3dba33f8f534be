#include "net/address.h"

#include <curl/curl.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/hostport.h"

/* libcurl's own parser takes an address apart, so that what is checked is what will be asked. */
struct parts {
	char scheme[16], host[ADDRESS_HOST_SIZE], port[8]; /* port: the scheme's own where none is given */
	bool user;
};

/* False where the address has no such part or it does not fit. */
static bool part_get(CURLU *u, CURLUPart part, unsigned flags, char *to, size_t size)
{
	char *s = NULL;
	if (curl_url_get(u, part, &s, flags) != CURLUE_OK)
		return false;
	bool fits = snprintf(to, size, "%s", s) < (int)size;
	curl_free(s);
	return fits;
}

static bool parts_of(const char *url, struct parts *p)
{
	CURLU *u = curl_url();
	if (u == NULL)
		return false;
	bool fine = curl_url_set(u, CURLUPART_URL, url, CURLU_NON_SUPPORT_SCHEME) == CURLUE_OK &&
		    part_get(u, CURLUPART_SCHEME, 0, p->scheme, sizeof p->scheme) &&
		    part_get(u, CURLUPART_HOST, 0, p->host, sizeof p->host);
	if (fine) {
		char *s = NULL;
		p->user = curl_url_get(u, CURLUPART_USER, &s, 0) != CURLUE_NO_USER;
		curl_free(s);
		if (!part_get(u, CURLUPART_PORT, CURLU_DEFAULT_PORT, p->port, sizeof p->port))
			p->port[0] = '\0';
	}
	curl_url_cleanup(u);
	return fine;
}

static bool http_scheme(const char *scheme)
{
	return strcmp(scheme, "http") == 0 || strcmp(scheme, "https") == 0;
}

enum fault_code address_check(const char *url, bool loopback_http, struct fault *f)
{
	for (const char *s = url; *s != '\0'; s++)
		if (*s <= ' ' || *s > '~')
			return fault_set(f, FAULT_CONFIG,
					 "the address has a blank, a control character or a "
					 "byte beyond ASCII; percent-encode it");
	struct parts p;
	if (!parts_of(url, &p))
		return fault_set(f, FAULT_CONFIG, "the address cannot be read; it begins with https://");
	if (p.user)
		return fault_set(f, FAULT_CONFIG, "%s: an address may hold no user or password", p.host);
	if (strcmp(p.scheme, "https") == 0)
		return FAULT_NONE;
	if (strcmp(p.scheme, "http") != 0)
		return fault_set(f, FAULT_CONFIG, "%s: %s:// is not allowed; use https://", p.host, p.scheme);
	if (!loopback_http || !hostport_is_loopback(p.host))
		return fault_set(f, FAULT_CONFIG, "%s: plain http is not allowed; use https://", p.host);
	return FAULT_NONE;
}

bool address_is_loopback(const char *url)
{
	struct parts p;
	return parts_of(url, &p) && http_scheme(p.scheme) && hostport_is_loopback(p.host);
}

bool address_host(const char *url, char host[static ADDRESS_HOST_SIZE])
{
	struct parts p;
	if (!parts_of(url, &p))
		return false;
	memcpy(host, p.host, sizeof p.host);
	return true;
}

bool address_same_host(const char *a, const char *b)
{
	struct parts p, q;
	return parts_of(a, &p) && parts_of(b, &q) && strcmp(p.scheme, q.scheme) == 0 &&
	       strcasecmp(p.host, q.host) == 0 && strcmp(p.port, q.port) == 0;
}

/* One part of the path, its slash in front left out. */
static void segment_shown(const char *s, size_t n, struct text *t)
{
	bool digit = strcspn(s, "0123456789") < n;
	bool number = digit && strspn(s, "0123456789.,+-%Cc") >= n; /* %2C is a comma too */
	if (number)
		text_add(t, "*");
	else
		text_add_n(t, s, n);
}

static void path_shown(const char *path, struct text *t)
{
	for (const char *s = path; *s == '/';) {
		text_add(t, "/");
		size_t n = strcspn(++s, "/");
		segment_shown(s, n, t);
		s += n;
	}
}

void address_shown(const char *url, struct text *t)
{
	CURLU *u = curl_url();
	char *host = NULL, *port = NULL, *path = NULL;
	if (u != NULL && curl_url_set(u, CURLUPART_URL, url, CURLU_NON_SUPPORT_SCHEME) == CURLUE_OK &&
	    curl_url_get(u, CURLUPART_HOST, &host, 0) == CURLUE_OK) {
		text_add(t, host);
		if (curl_url_get(u, CURLUPART_PORT, &port, 0) == CURLUE_OK)
			text_addf(t, ":%s", port);
		if (curl_url_get(u, CURLUPART_PATH, &path, 0) == CURLUE_OK)
			path_shown(path, t);
	} else {
		text_add(t, "an address that cannot be read");
	}
	curl_free(host);
	curl_free(port);
	curl_free(path);
	curl_url_cleanup(u);
}
