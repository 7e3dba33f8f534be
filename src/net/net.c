#include "net/net.h"

#include <curl/curl.h>
#include <string.h>
#include <strings.h>
#include <time.h>

#include "base/instant.h"
#include "base/mem.h"
#include "base/num.h"
#include "net/address.h"

enum {
	RETRY_AFTER_MAX_S = DAY_S,
	RETRY_AFTER_DIGITS = 18,
	SHOWN_SIZE = 128,
	HEADER_SIZE = 1024,
	DEL = 0x7f,
	NS_PER_MS = 1000000
};

/* What net_limits_default says; common practice. */
enum {
	CONNECT_MS = 15000,
	TOTAL_MS = 60000,
	LOW_SPEED_BYTES = 50,
	LOW_SPEED_S = 20,
	MAX_BYTES = 4 << 20,
	MAX_REDIRECTS = 3,
};

/* Statuses that send us elsewhere, RFC 9110 15.4. */
enum { MOVED = 301, FOUND = 302, SEE_OTHER = 303, TEMPORARY = 307, PERMANENT = 308 };

struct net {
	CURL *easy;
	struct net_limits limits; /* its strings belong to libcurl by now */
	char error[CURL_ERROR_SIZE];
};

/* What the callbacks of one transfer fill. */
struct transfer {
	const struct net *net;
	struct net_response *r;
	char expires[NET_FIELD_SIZE], date[NET_FIELD_SIZE], retry_after[NET_FIELD_SIZE];
	bool too_big, no_memory;
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

/* ---- libcurl's memory goes through the one gate ---- */

static char *gate_strdup(const char *s)
{
	size_t n = strlen(s) + 1;
	char *copy = mem_raw(n);
	if (copy != NULL)
		memcpy(copy, s, n);
	return copy;
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
	if (body->full) {
		t->no_memory = true;
		return CURL_WRITEFUNC_ERROR;
	}
	return n;
}

static void forget_fields(struct transfer *t)
{
	t->r->content_type[0] = t->r->etag[0] = t->r->last_modified[0] = '\0';
	t->expires[0] = t->date[0] = t->retry_after[0] = '\0';
}

static char *field_named(struct transfer *t, const char *name, size_t n)
{
	const struct {
		const char *name;
		char *to;
	} fields[] = {
	    {"Content-Type", t->r->content_type},
	    {"ETag", t->r->etag},
	    {"Last-Modified", t->r->last_modified},
	    {"Expires", t->expires},
	    {"Date", t->date},
	    {"Retry-After", t->retry_after},
	};
	for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++)
		if (strlen(fields[i].name) == n && strncasecmp(fields[i].name, name, n) == 0)
			return fields[i].to;
	return NULL;
}

static bool has_control(const char *s, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if ((unsigned char)s[i] < ' ' || s[i] == DEL)
			return true;
	return false;
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

static size_t take_header(char *line, size_t size, size_t n, void *context)
{
	struct transfer *t = context;
	(void)size;
	if (n >= 5 && memcmp(line, "HTTP/", 5) == 0) { /* a new answer begins: an interim one may stand before */
		forget_fields(t);
		return n;
	}
	size_t end = n;
	while (end > 0 && (line[end - 1] == '\r' || line[end - 1] == '\n'))
		end--;
	const char *colon = memchr(line, ':', end);
	if (colon != NULL) {
		size_t name = (size_t)(colon - line);
		char *to = field_named(t, line, name);
		if (to != NULL)
			field_keep(to, colon + 1, end - name - 1);
	}
	return n;
}

/* ---- set-up ---- */

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
	if (curl_global_init_mem(CURL_GLOBAL_DEFAULT, mem_raw, mem_free, mem_raw_resize, gate_strdup, mem_new) !=
	    CURLE_OK)
		return fault_set(f, FAULT_MEMORY, "libcurl cannot be set up");
	CURLcode rc = CURLE_OUT_OF_MEMORY;
	struct net *made = mem_new(1, sizeof *made);
	if (made != NULL && (made->easy = curl_easy_init()) != NULL)
		rc = set_once(made->easy, limits, user_agent);
	if (rc == CURLE_OK)
		rc = curl_easy_setopt(made->easy, CURLOPT_ERRORBUFFER, made->error);
	if (rc == CURLE_OK) {
		made->limits = *limits;
		made->limits.ca_file = made->limits.proxy = NULL;
		*net = made;
		return FAULT_NONE;
	}
	if (made != NULL)
		curl_easy_cleanup(made->easy);
	mem_free(made);
	curl_global_cleanup();
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
	curl_global_cleanup();
}

/* ---- request headers ---- */

/* On failure the list so far is given back, and *list is NULL. */
static enum fault_code header_add(struct curl_slist **list, const char *name, const char *value, struct fault *f)
{
	char line[HEADER_SIZE];
	struct text t;
	text_over(&t, line, sizeof line);
	text_addf(&t, "%s%s", name, value);
	enum fault_code code = FAULT_NONE;
	if (t.full)
		code = fault_set(f, FAULT_CONFIG, "a request header is longer than %d bytes", HEADER_SIZE - 1);
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

/* `own` false leaves the caller's headers out: they may hold a key that another host must not see. */
static enum fault_code headers_make(const struct net_request *q, bool own, struct curl_slist **list, struct fault *f)
{
	enum fault_code code = FAULT_NONE;
	*list = NULL;
	if (given(q->accept))
		code = header_add(list, "Accept: ", q->accept, f);
	if (code == FAULT_NONE && given(q->if_modified_since))
		code = header_add(list, "If-Modified-Since: ", q->if_modified_since, f);
	if (code == FAULT_NONE && given(q->if_none_match))
		code = header_add(list, "If-None-Match: ", q->if_none_match, f);
	for (size_t i = 0; code == FAULT_NONE && own && i < q->n_headers; i++)
		code = header_add(list, "", q->headers[i], f);
	return code;
}

/* ---- one transfer ---- */

static const struct {
	CURLcode rc;
	enum fault_code code;
	const char *phrase;
} failures[] = {
    {CURLE_COULDNT_RESOLVE_PROXY, FAULT_TRY_LATER, "the proxy's name was not found"},
    {CURLE_COULDNT_RESOLVE_HOST, FAULT_TRY_LATER, "the host's name was not found"},
    {CURLE_COULDNT_CONNECT, FAULT_TRY_LATER, "no connection"},
    {CURLE_OPERATION_TIMEDOUT, FAULT_TRY_LATER, "no whole answer in time"},
    {CURLE_SSL_CONNECT_ERROR, FAULT_TRY_LATER, "no secure connection"},
    {CURLE_GOT_NOTHING, FAULT_TRY_LATER, "the server closed without an answer"},
    {CURLE_SEND_ERROR, FAULT_TRY_LATER, "the connection broke"},
    {CURLE_RECV_ERROR, FAULT_TRY_LATER, "the connection broke"},
    {CURLE_PARTIAL_FILE, FAULT_TRY_LATER, "the answer broke off"},
    {CURLE_HTTP2, FAULT_TRY_LATER, "the connection broke"},
    {CURLE_HTTP2_STREAM, FAULT_TRY_LATER, "the connection broke"},
    {CURLE_BAD_CONTENT_ENCODING, FAULT_TRY_LATER, "the compressed answer is damaged"},
    {CURLE_PEER_FAILED_VERIFICATION, FAULT_UNAVAILABLE, "the certificate is not trusted"},
    {CURLE_SSL_CACERT_BADFILE, FAULT_CONFIG, "the file of trusted certificates cannot be read"},
};

static enum fault_code failure(const struct net *net, const struct transfer *t, CURLcode rc, struct fault *f)
{
	if (t->no_memory || rc == CURLE_OUT_OF_MEMORY)
		return fault_set(f, FAULT_MEMORY, "no memory for the answer");
	if (t->too_big || rc == CURLE_FILESIZE_EXCEEDED)
		return fault_set(f, FAULT_UNAVAILABLE, "the answer is larger than %zu bytes", net->limits.max_bytes);
	const char *detail = net->error[0] != '\0' ? net->error : curl_easy_strerror(rc);
	for (size_t i = 0; i < sizeof failures / sizeof failures[0]; i++)
		if (failures[i].rc == rc)
			return fault_set(f, failures[i].code, "%s (%s)", failures[i].phrase, detail);
	return fault_set(f, FAULT_UNAVAILABLE, "no usable answer (%s)", detail);
}

static CURLcode perform(struct net *net, const char *url, struct curl_slist *headers, long left_ms, struct transfer *t)
{
	CURLcode rc = CURLE_OK;
	/* Nobody stands between us and the loopback: a proxy of the environment must not see it. */
	const char *no_proxy = address_is_loopback(url) ? "*" : NULL;
	net->error[0] = '\0';
	text_clear(&t->r->body);
#define SET(option, value) (rc = rc != CURLE_OK ? rc : curl_easy_setopt(net->easy, option, value))
	SET(CURLOPT_URL, url);
	SET(CURLOPT_HTTPHEADER, headers);
	SET(CURLOPT_TIMEOUT_MS, left_ms);
	SET(CURLOPT_NOPROXY, no_proxy);
	SET(CURLOPT_WRITEDATA, t);
	SET(CURLOPT_HEADERDATA, t);
#undef SET
	return rc != CURLE_OK ? rc : curl_easy_perform(net->easy);
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
	if (address_check(next, net->limits.allow_loopback_http, f) != FAULT_NONE) {
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
	if (headers_make(q, address_same_host(q->url, r->url), &headers, f) != FAULT_NONE)
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

static int64_t http_date(const char *s)
{
	time_t t = s[0] != '\0' ? curl_getdate(s, NULL) : -1;
	return t == -1 ? INSTANT_NONE : (int64_t)t;
}

/* RFC 9110 10.2.3: seconds or a date. */
static int64_t retry_after(const struct net *net, const char *s)
{
	struct fault unused;
	int64_t wait;
	if (strspn(s, "0123456789") > RETRY_AFTER_DIGITS)
		return RETRY_AFTER_MAX_S;
	if (num_int(s, 0, INT64_MAX, &wait, &unused) != FAULT_NONE) {
		int64_t until = http_date(s);
		if (until == INSTANT_NONE)
			return -1;
		int64_t now = net_now(net);
		wait = until > now ? until - now : 0;
	}
	return wait < RETRY_AFTER_MAX_S ? wait : RETRY_AFTER_MAX_S;
}

static enum fault_code follow(struct net *net, const struct net_request *q, struct transfer *t, struct fault *f)
{
	struct net_response *r = t->r;
	long left_ms = net->limits.total_ms;
	bool more = true;
	for (int hops = 0; more; hops++)
		if (one_hop(net, q, &left_ms, t, f) != FAULT_NONE || next_hop(net, r, hops, &more, f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

enum fault_code net_get(struct net *net, const struct net_request *request, struct net_response *r, struct fault *f)
{
	struct transfer t = {.net = net, .r = r};
	memset(r, 0, sizeof *r);
	text_init(&r->body, net->limits.max_bytes + 1);
	r->expires = r->date = INSTANT_NONE;
	r->retry_after_s = -1;
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
	r->expires = http_date(t.expires);
	r->date = http_date(t.date);
	r->retry_after_s = retry_after(net, t.retry_after);
	return FAULT_NONE;
}

void net_response_free(struct net_response *r)
{
	text_free(&r->body);
}
