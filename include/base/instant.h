/*
 * Instants (int64_t, UTC seconds since 1970-01-01) and the ways they are written.
 *
 * What an hour holds, said once for the whole program.  Hour h is the span
 * [h, h + 3600), named by its first second, which is divisible by 3600.
 *   A state (temperature, humidity, wind, cloud) is its value at the hour's start.
 *   A flux (rain, radiation) is the total or mean of the hour that starts there.
 * Whoever needs the middle of the hour takes (x[h] + x[h+1]) / 2, except where
 * the value's mark says that it stands for the whole hour.  An hour belongs to
 * the civil day in which it starts.
 */
#ifndef BASE_INSTANT_H
#define BASE_INSTANT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"

enum { INSTANT_TEXT_SIZE = 24, HOUR_S = 3600, DAY_S = 86400 };

/* No instant. */
#define INSTANT_NONE INT64_MIN

/* The hour that t lies in (floor), also before 1970. */
int64_t instant_hour(int64_t t);

/* The instant of second-of-day s on date d at a fixed offset east of UTC. */
int64_t instant_at(struct date d, int second, int offset_s);

/* The date at a fixed offset east of UTC. */
struct date instant_date(int64_t t, int offset_s);

/* Local standard time: UTC + round(longitude / 15) h, in seconds.  Never summer time. */
int instant_standard_offset(double longitude_deg);

/*
 * RFC 3339: date, T or blank, time, optional fraction (cut), Z or an offset; no offset is a fault.
 * Seconds may be left out.  Second 60 is taken where a leap second can be, at the end of a UTC
 * month, and is the second after it.
 */
enum fault_code instant_rfc3339(const char *s, int64_t *t, struct fault *f) MUST_USE;

/* Local YYYY-MM-DDTHH:MM[:SS] without an offset: date and second of the day. */
enum fault_code instant_local(const char *s, struct date *d, int *second, struct fault *f) MUST_USE;

/* ISO 8601 duration PnW or PnDTnHnMnS in seconds; years and months are refused; zero is refused. */
enum fault_code instant_duration(const char *s, int64_t *seconds, struct fault *f) MUST_USE;

/* ISO 8601 interval start/duration or start/end, half open; end must be after start. */
enum fault_code instant_interval(const char *s, int64_t *start, int64_t *end, struct fault *f) MUST_USE;

/* "2026-05-12T05:00:00Z" into buf; returns buf. */
char *instant_text(int64_t t, char buf[static INSTANT_TEXT_SIZE]);

#endif
