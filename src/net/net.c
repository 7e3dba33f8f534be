#include "net/net.h"

#include <curl/curl.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <time.h>

#include "base/instant.h"
#include "base/mem.h"
#include "net/address.h"
#include "net/failure.h"
#include "net/fields.h"
#include "net/guard.h"
#include "net/library.h"

enum { SHOWN_SIZE = 128, NS_PER_MS = 1000000 };

/* What net_limits_default says; common practice. */
enum {
	CONNECT_MS = 15000,
	TOTAL_MS = 60000,
	LOW_SPEED_BYTES = 50,
	LOW_SPEED_S = 20,
	MAX_BYTES = 4 << 20,
	MAX_HEADER_BYTES = 64 << 10,
	MAX_REDIRECTS = 3,
};

/* Statuses that send us elsewhere, RFC 9110 15.4. */
enum { MOVED = 301, FOUND = 302, SEE_OTHER = 303, TEMPORARY = 307, PERMANENT = 308 };

struct net {
	CURL *easy;
	struct net_limits limits; /* its strings belong to libcurl by now */
	bool own_proxy, proxied;  /* named by the limits; whoever named it */
	char error[CURL_ERROR_SIZE];
};

/* What the callbacks of one transfer fill. */
struct transfer {
	const struct net *net;
	struct net_response *r;
	struct fields fields;
	struct guard guard;
	size_t header_bytes; /* of this hop, interim answers and trailers too */
	bool too_big, header_too_big;
};

/* ---- seams ---- */

static int64_t machine_now(void *context)
{
	(void)context;
	return (int64_t)time(NULL);
}

static void machine_sleep_ms(void *context, int64_t ms)
{
	(void)context;
	struct timespec left = {.tv_sec = (time_t)(ms / 1000), .tv_nsec = (long)(ms % 1000) * NS_PER_MS};
	while (nanosleep(&left, &left) != 0)
		; /* a signal came: sleep the rest */
}

struct net_limits net_limits_default(void)
{
	return (struct net_limits){
	    .connect_ms = CONNECT_MS,
	    .total_ms = TOTAL_MS,
	    .low_speed_bytes = LOW_SPEED_BYTES,
	    .low_speed_s = LOW_SPEED_S,
	    .max_bytes = MAX_BYTES,
	    .max_header_bytes = MAX_HEADER_BYTES,
	    .max_redirects = MAX_REDIRECTS,
	    .now = machine_now,
	    .sleep_ms = machine_sleep_ms,
	};
}

int64_t net_now(const struct net *net)
{
	return net->limits.now(net->limits.context);
}

void net_sleep(const struct net *net, int64_t ms)
{
	net->limits.sleep_ms(net->limits.context, ms);
}

/* ---- callbacks ---- */

static size_t take_body(char *bytes, size_t size, size_t n, void *context)
{
	struct transfer *t = context;
	struct text *body = &t->r->body;
	(void)size; /* libcurl: always 1 */
	if (n > t->net->limits.max_bytes - body->len) {
		t->too_big = true;
		return CURL_WRITEFUNC_ERROR;
	}
	text_add_n(body, bytes, n);
	return body->full ? CURL_WRITEFUNC_ERROR : n; /* within max_bytes only memory can have run out */
}

static size_t take_header(char *line, size_t size, size_t n, void *context)
{
	struct transfer *t = context;
	(void)size;
	if (n > t->net->limits.max_header_bytes - t->header_bytes) {
		t->header_too_big = true;
		return CURL_WRITEFUNC_ERROR;
	}
	t->header_bytes += n;
	fields_take(&t->fields, line, n);
	return n;
}

/* ---- set-up ---- */

/* libcurl looks at these in turn for an https address; an empty one does not count. */
static bool proxied(const struct net_limits *l)
{
	static const char *const names[] = {"https_proxy", "HTTPS_PROXY", "all_proxy", "ALL_PROXY"};
	if (l->proxy != NULL)
		return l->proxy[0] != '\0';
	for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
		const char *named = getenv(names[i]);
		if (named != NULL && named[0] != '\0')
			return true;
	}
	return false;
}

static CURLcode set_once(CURL *easy, const struct net_limits *l, const char *user_agent)
{
	CURLcode rc = CURLE_OK;
#define SET(option, value) (rc = rc != CURLE_OK ? rc : curl_easy_setopt(easy, option, value))
	SET(CURLOPT_NOSIGNAL, 1L);
	SET(CURLOPT_USERAGENT, user_agent);
	SET(CURLOPT_PROTOCOLS_STR, l->allow_loopback_http ? "http,https" : "https");
	SET(CURLOPT_FOLLOWLOCATION, 0L); /* net_get follows, since libcurl would not look at the host */
	SET(CURLOPT_CONNECTTIMEOUT_MS, l->connect_ms);
	SET(CURLOPT_LOW_SPEED_LIMIT, l->low_speed_bytes);
	SET(CURLOPT_LOW_SPEED_TIME, l->low_speed_s);
	SET(CURLOPT_MAXFILESIZE_LARGE, (curl_off_t)l->max_bytes); /* early, where the length is announced */
	SET(CURLOPT_ACCEPT_ENCODING, "");
	SET(CURLOPT_SSLVERSION, (long)CURL_SSLVERSION_TLSv1_2);
	SET(CURLOPT_SSL_VERIFYPEER, 1L);
	SET(CURLOPT_SSL_VERIFYHOST, 2L);
	if (l->ca_file != NULL)
		SET(CURLOPT_CAINFO, l->ca_file);
	if (l->proxy != NULL)
		SET(CURLOPT_PROXY, l->proxy);
	SET(CURLOPT_WRITEFUNCTION, take_body);
	SET(CURLOPT_HEADERFUNCTION, take_header);
	SET(CURLOPT_OPENSOCKETFUNCTION, guard_socket);
#undef SET
	return rc;
}

enum fault_code net_open(const struct net_limits *limits, const char *user_agent, struct net **net, struct fault *f)
{
	if (user_agent == NULL || user_agent[0] == '\0')
		return fault_set(f, FAULT_CONFIG, "the User-Agent is empty");
	for (const char *s = user_agent; *s != '\0'; s++)
		if (*s < ' ' || *s > '~')
			return fault_set(f, FAULT_CONFIG,
					 "the User-Agent has a control character or a byte beyond "
					 "ASCII; use letters, digits and signs");
	if (library_begin(f) != FAULT_NONE)
		return f->code;
	CURLcode rc = CURLE_OUT_OF_MEMORY;
	struct net *made = mem_new(1, sizeof *made);
	if (made != NULL && (made->easy = curl_easy_init()) != NULL)
		rc = set_once(made->easy, limits, user_agent);
	if (rc == CURLE_OK)
		rc = curl_easy_setopt(made->easy, CURLOPT_ERRORBUFFER, made->error);
	if (rc == CURLE_OK) {
		made->limits = *limits;
		made->own_proxy = limits->proxy != NULL;
		made->proxied = proxied(limits);
		made->limits.ca_file = made->limits.proxy = NULL;
		*net = made;
		return FAULT_NONE;
	}
	if (made != NULL)
		curl_easy_cleanup(made->easy);
	mem_free(made);
	library_end();
	if (rc == CURLE_OUT_OF_MEMORY)
		return fault_set(f, FAULT_MEMORY, "no memory to set libcurl up");
	return fault_set(f, FAULT_SOFTWARE, "libcurl refuses an option: %s", curl_easy_strerror(rc));
}

void net_close(struct net *net)
{
	if (net == NULL)
		return;
	curl_easy_cleanup(net->easy);
	mem_free(net);
	library_end();
}

/* ---- one transfer ---- */

static enum fault_code refuse_private(const char *address, const char *kind, struct fault *f)
{
	return fault_set(f, FAULT_UNAVAILABLE, "the host's address %s is %s: refused", address, kind);
}

/* What needs no look-up; plain http has passed address_check, so it is a loopback that is allowed. */
static enum fault_code check_host(const struct net *net, const char *url, struct fault *f)
{
	static const char plain[] = "http:";
	char host[ADDRESS_HOST_SIZE];
	if (net->limits.allow_private || strncasecmp(url, plain, sizeof plain - 1) == 0)
		return FAULT_NONE;
	if (!address_host(url, host))
		return fault_set(f, FAULT_UNAVAILABLE, "the address cannot be read");
	const char *kind = guard_private_host(host);
	return kind != NULL ? refuse_private(host, kind, f) : FAULT_NONE;
}

static enum fault_code failure(const struct net *net, const struct transfer *t, CURLcode rc, struct fault *f)
{
	if (t->too_big || rc == CURLE_FILESIZE_EXCEEDED)
		return fault_set(f, FAULT_UNAVAILABLE, "the answer is larger than %zu bytes", net->limits.max_bytes);
	/* libcurl says so of one line over its own limit, which is wider than any of ours. */
	if (t->header_too_big || rc == CURLE_OUT_OF_MEMORY)
		return fault_set(f, FAULT_UNAVAILABLE, "the answer's header is larger than %zu bytes",
				 net->limits.max_header_bytes);
	if (t->guard.refused != NULL && t->guard.opened == 0)
		return refuse_private(t->guard.address, t->guard.refused, f);
	return failure_set(rc, net->error[0] != '\0' ? net->error : curl_easy_strerror(rc), f);
}

static void traffic_count(struct net *net, struct net_response *r)
{
	curl_off_t body = 0;
	long sent = 0;
	curl_easy_getinfo(net->easy, CURLINFO_SIZE_DOWNLOAD_T, &body);
	curl_easy_getinfo(net->easy, CURLINFO_REQUEST_SIZE, &sent);
	r->bytes += body;
	r->requests += sent > 0;
}

static CURLcode perform(struct net *net, const char *url, struct curl_slist *headers, long left_ms, struct transfer *t)
{
	CURLcode rc = CURLE_OK;
	/* Nobody stands between us and the loopback: no proxy must see it.  A proxy of our own sees all else. */
	bool direct = address_is_loopback(url);
	const char *no_proxy = direct ? "*" : net->own_proxy ? "" : NULL;
	net->error[0] = '\0';
	text_clear(&t->r->body);
	t->header_bytes = 0;
	t->guard = (struct guard){.off = direct || net->proxied || net->limits.allow_private};
#define SET(option, value) (rc = rc != CURLE_OK ? rc : curl_easy_setopt(net->easy, option, value))
	SET(CURLOPT_URL, url);
	SET(CURLOPT_HTTPHEADER, headers);
	SET(CURLOPT_TIMEOUT_MS, left_ms);
	SET(CURLOPT_NOPROXY, no_proxy);
	SET(CURLOPT_WRITEDATA, t);
	SET(CURLOPT_HEADERDATA, t);
	SET(CURLOPT_OPENSOCKETDATA, &t->guard);
#undef SET
	if (rc != CURLE_OK)
		return rc;
	rc = curl_easy_perform(net->easy);
	traffic_count(net, t->r);
	return rc;
}

/* ---- redirects ---- */

static bool redirects(long status)
{
	return status == MOVED || status == FOUND || status == SEE_OTHER || status == TEMPORARY || status == PERMANENT;
}

/* The next address into r->url; *more false where this was the answer. */
static enum fault_code next_hop(const struct net *net, struct net_response *r, int hops, bool *more, struct fault *f)
{
	char *next = NULL;
	*more = false;
	if (!redirects(r->status) || curl_easy_getinfo(net->easy, CURLINFO_REDIRECT_URL, &next) != CURLE_OK ||
	    next == NULL)
		return FAULT_NONE;
	if (hops >= net->limits.max_redirects)
		return fault_set(f, FAULT_UNAVAILABLE, "redirected more than %d times", net->limits.max_redirects);
	if (address_check(next, net->limits.allow_loopback_http, f) != FAULT_NONE ||
	    check_host(net, next, f) != FAULT_NONE) {
		f->code = FAULT_UNAVAILABLE; /* the server's doing, not the description's */
		return fault_place(f, "redirect refused: ");
	}
	size_t n = strlen(next);
	if (n >= sizeof r->url)
		return fault_set(f, FAULT_UNAVAILABLE, "redirected to an address of %zu bytes", n);
	memcpy(r->url, next, n + 1);
	*more = true;
	return FAULT_NONE;
}

static enum fault_code one_hop(struct net *net, const struct net_request *q, long *left_ms, struct transfer *t,
			       struct fault *f)
{
	struct net_response *r = t->r;
	struct curl_slist *headers;
	if (fields_request(q, address_same_host(q->url, r->url), &headers, f) != FAULT_NONE)
		return f->code;
	CURLcode rc = perform(net, r->url, headers, *left_ms, t);
	curl_slist_free_all(headers);
	if (rc != CURLE_OK)
		return failure(net, t, rc, f);
	long status = 0;
	curl_off_t took_us = 0;
	curl_easy_getinfo(net->easy, CURLINFO_RESPONSE_CODE, &status);
	curl_easy_getinfo(net->easy, CURLINFO_TOTAL_TIME_T, &took_us);
	r->status = (int)status;
	*left_ms -= (long)(took_us / 1000);
	if (*left_ms < 1)
		*left_ms = 1; /* 0 would mean no limit */
	return FAULT_NONE;
}

/* ---- the whole of it ---- */

static enum fault_code follow(struct net *net, const struct net_request *q, struct transfer *t, struct fault *f)
{
	struct net_response *r = t->r;
	long left_ms = net->limits.total_ms;
	bool more = true;
	if (check_host(net, r->url, f) != FAULT_NONE)
		return f->code;
	for (int hops = 0; more; hops++)
		if (one_hop(net, q, &left_ms, t, f) != FAULT_NONE || next_hop(net, r, hops, &more, f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

static enum fault_code get(struct net *net, const struct net_request *request, struct net_response *r, struct fault *f)
{
	struct transfer t = {.net = net, .r = r};
	if (address_check(request->url, net->limits.allow_loopback_http, f) != FAULT_NONE)
		return f->code;
	size_t n = strlen(request->url);
	if (n >= sizeof r->url)
		return fault_set(f, FAULT_CONFIG, "the address has %zu bytes; at most %d", n, NET_URL_SIZE - 1);
	memcpy(r->url, request->url, n + 1);
	if (follow(net, request, &t, f) != FAULT_NONE) {
		char shown[SHOWN_SIZE];
		struct text place;
		text_over(&place, shown, sizeof shown);
		address_shown(r->url, &place);
		return fault_place(f, "%s: ", shown);
	}
	fields_give(&t.fields, net_now(net), r);
	return FAULT_NONE;
}

enum fault_code net_get(struct net *net, const struct net_request *request, struct net_response *r, struct fault *f)
{
	long refused = mem_refused();
	memset(r, 0, sizeof *r);
	text_init(&r->body, net->limits.max_bytes + 1);
	r->expires = r->date = INSTANT_NONE;
	r->age_s = 0;
	r->retry_after_s = -1;
	/* libcurl says of little why it failed: an address cannot be read, a connection not made. */
	enum fault_code code = get(net, request, r, f);
	if (code != FAULT_NONE && mem_refused() != refused)
		return fault_set(f, FAULT_MEMORY, "no memory for an answer of the web");
	return code;
}

void net_response_free(struct net_response *r)
{
	text_free(&r->body);
}
