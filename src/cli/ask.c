#include "cli/ask.h"

#include <string.h>

#include "base/hash.h"
#include "base/instant.h"
#include "base/text.h"
#include "cli/version.h"
#include "net/address.h"
#include "source/answer.h"
#include "source/manners.h"

enum {
	SHOWN_SIZE = 96,
	AGENT_SIZE = 256,
	SAID_SIZE = 160,
	STATUS_OK = 200, /* RFC 9110 15.3 .. 15.6, RFC 8470, RFC 6585 */
	STATUS_OK_END = 300,
	STATUS_NOT_MODIFIED = 304,
	STATUS_REQUEST_TIMEOUT = 408,
	STATUS_TOO_EARLY = 425,
	STATUS_TOO_MANY = 429,
	STATUS_SERVER_ERROR = 500,
	MS_PER_S = 1000,
};

void ask_begin(struct asking *a)
{
	a->began = net_now(a->net);
	a->requests = 0;
	a->bytes = 0;
	a->clock_off_s = INSTANT_NONE;
}

int64_t ask_now(const struct asking *a)
{
	int64_t spent = net_now(a->net) - a->began;
	return spent > 0 ? a->now + spent : a->now;
}

enum fault_code ask_contact(const struct description *d, const char *contact, struct fault *f)
{
	if (!d->contact || (contact != NULL && contact[0] != '\0'))
		return FAULT_NONE;
	return fault_set(f, FAULT_CONFIG,
			 "%s wants to know whom to write to; set contact = in [garden], a mail address or a web page",
			 d->title[0] != '\0' ? d->title : d->name);
}

enum fault_code ask_open(const struct description *d, const char *contact, const struct net_limits *limits,
			 struct net **net, struct fault *f)
{
	struct net_limits own = *limits;
	char agent[AGENT_SIZE];
	struct text t;
	if (ask_contact(d, contact, f) != FAULT_NONE)
		return f->code;
	own.allow_loopback_http = d->loopback;
	text_over(&t, agent, sizeof agent);
	text_addf(&t, "dewpost/%s", version());
	if (d->contact)
		text_addf(&t, " (+%s)", contact);
	if (t.full)
		return fault_set(f, FAULT_CONFIG, "the contact is too long; a mail address or a web page is enough");
	return net_open(&own, agent, net, f);
}

/* The same place and instant give the same delay, another place another one. */
static double jitter(const struct asking *a, int tries)
{
	const int64_t numbers[] = {a->place.latitude_cdeg, a->place.longitude_cdeg, a->now, tries};
	return hash_frac(hash_bytes(HASH_START, numbers, sizeof numbers));
}

static void say_waiting(const struct asking *a, int status, int64_t wait_ms)
{
	char mem[SAID_SIZE];
	struct text t;
	if (a->say == NULL)
		return;
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "%s: ", a->source->name);
	if (status != 0)
		text_addf(&t, "answers %d", status);
	else
		text_add(&t, "no answer");
	text_addf(&t, ", trying again in %lld s", (long long)(wait_ms + MS_PER_S - 1) / MS_PER_S);
	a->say(t.at);
}

/* What was tried again must not look like one bad moment. */
static enum fault_code tried(const struct asking *a, struct fault *f)
{
	return a->tries > 1 ? fault_place(f, "tried %d times: ", a->tries) : f->code;
}

/* An answer out of a cache is as old as it says. */
static void compare_clocks(struct asking *a, const struct net_response *r)
{
	if (r->date != INSTANT_NONE)
		a->clock_off_s = ask_now(a) - (r->date + r->age_s);
}

enum fault_code ask_get(struct asking *a, const struct net_request *q, struct net_response *r, struct fault *f)
{
	for (a->tries = 1;; a->tries++) {
		enum fault_code code = net_get(a->net, q, r, f);
		a->requests += r->requests > 0 ? r->requests : 1;
		a->bytes += r->bytes;
		int status = code == FAULT_NONE ? r->status : 0;
		compare_clocks(a, r);
		int64_t wait_ms = -1;
		if (code == FAULT_NONE || code == FAULT_TRY_LATER)
			wait_ms = manners_retry_ms(status, r->retry_after_s, a->tries, net_now(a->net) - a->began,
						   a->patience_s, jitter(a, a->tries));
		if (wait_ms < 0)
			return code != FAULT_NONE ? tried(a, f) : FAULT_NONE;
		net_response_free(r);
		say_waiting(a, status, wait_ms);
		net_sleep(a->net, wait_ms);
	}
}

static bool may_work_later(int status)
{
	return status == STATUS_REQUEST_TIMEOUT || status == STATUS_TOO_EARLY || status == STATUS_TOO_MANY ||
	       status >= STATUS_SERVER_ERROR;
}

enum fault_code ask_status(const struct asking *a, const struct net_response *r, bool conditional, struct fault *f)
{
	if (r->status >= STATUS_OK && r->status < STATUS_OK_END)
		return FAULT_NONE;
	if (r->status == STATUS_NOT_MODIFIED && conditional)
		return FAULT_NONE;
	char shown[SHOWN_SIZE], said[ANSWER_ERROR_SIZE];
	struct text t;
	text_over(&t, shown, sizeof shown);
	address_shown(r->url, &t);
	if (r->status == STATUS_NOT_MODIFIED)
		return fault_set(f, FAULT_UNAVAILABLE, "%s: answers 304, not modified, though nothing was known yet",
				 shown);
	bool told = answer_error(a->source, r->body.at, r->body.len, said);
	fault_set(f, may_work_later(r->status) ? FAULT_TRY_LATER : FAULT_UNAVAILABLE, "%s: answers %d%s%s", shown,
		  r->status, told ? ": " : "", told ? said : "");
	return tried(a, f);
}
