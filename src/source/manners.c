#include "source/manners.h"

#include "base/hash.h"
#include "base/instant.h"

/* RFC 9110 15.5 and 15.6, RFC 6585 4. */
enum {
	STATUS_FORBIDDEN = 403,
	STATUS_TOO_MANY = 429,
	STATUS_SERVER_ERROR = 500,
	STATUS_BAD_GATEWAY = 502,
	STATUS_UNAVAILABLE = 503,
	STATUS_GATEWAY_TIMEOUT = 504,
};

enum {
	COOL_FORBIDDEN_S = 6 * HOUR_S,
	COOL_TOO_MANY_S = HOUR_S,
	FIRST_DELAY_MS = 2000,
	DELAY_FACTOR = 4,
	MS_PER_S = 1000,
};

static int64_t later(int64_t a, int64_t b)
{
	return a > b ? a : b;
}

struct manners_wait manners_wait(const struct description *d, const struct memo *last, int64_t now)
{
	struct manners_wait wait = {.until = INSTANT_NONE, .failed = last->answered != last->asked};
	if (last->asked > now)
		return wait;
	int64_t until = last->not_before;
	if (last->status != 0)
		until = later(until, last->asked + d->min_interval_s);
	if (until > now)
		wait.until = until;
	return wait;
}

int64_t manners_not_before(const struct description *d, const struct net_response *r, int64_t now)
{
	int64_t until = INSTANT_NONE;
	bool told = (d->honour & HONOUR_RETRY_AFTER) != 0 && r->retry_after_s >= 0;
	if ((d->honour & HONOUR_EXPIRES) != 0 && r->expires != INSTANT_NONE)
		until = r->date != INSTANT_NONE ? now + (r->expires - r->date) : r->expires;
	if (told)
		until = later(until, now + r->retry_after_s);
	else if (r->status == STATUS_TOO_MANY)
		until = later(until, now + COOL_TOO_MANY_S);
	if (r->status == STATUS_FORBIDDEN)
		until = later(until, now + COOL_FORBIDDEN_S);
	return until < now + DAY_S ? until : now + DAY_S;
}

static bool worth_it(int status, int64_t retry_after_s, int tries)
{
	switch (status) {
	case 0:
	case STATUS_SERVER_ERROR:
	case STATUS_BAD_GATEWAY:
	case STATUS_UNAVAILABLE:
	case STATUS_GATEWAY_TIMEOUT:
		return true;
	case STATUS_TOO_MANY:
		return retry_after_s >= 0 && tries == 1;
	default:
		return false;
	}
}

int64_t manners_retry_ms(int status, int64_t retry_after_s, int tries, int64_t spent_s, int64_t patience_s,
			 double jitter_frac)
{
	if (tries >= MANNERS_TRIES || !worth_it(status, retry_after_s, tries))
		return -1;
	int64_t delay_ms = FIRST_DELAY_MS;
	for (int i = 1; i < tries; i++)
		delay_ms *= DELAY_FACTOR;
	delay_ms += (int64_t)(jitter_frac * (double)delay_ms / 2);
	delay_ms = later(delay_ms, retry_after_s * MS_PER_S);
	return spent_s * MS_PER_S + delay_ms <= patience_s * MS_PER_S ? delay_ms : -1;
}

int64_t manners_spread_s(const struct place *p, int64_t over_s)
{
	const int32_t numbers[] = {p->latitude_cdeg, p->longitude_cdeg};
	return (int64_t)(hash_frac(hash_bytes(HASH_START, numbers, sizeof numbers)) * (double)over_s);
}
