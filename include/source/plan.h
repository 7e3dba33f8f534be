/*
 * What to ask: the requests of a description for one place, and what a step's
 * answer gives to the next.
 *
 * Address templates are RFC 6570 level 1: {lat} {lon} {alt} {vars} {start}
 * {end} and what an earlier step has set.  All of it is percent-encoded but
 * for the commas of {vars}; a variable that fills the whole address is taken
 * raw, after plan_learn has checked it.  Latitude and longitude carry the
 * place's 2 decimals, trailing zeros off.  A query part whose {alt} is not
 * known is left out.  No traffic here.
 */
#ifndef SOURCE_PLAN_H
#define SOURCE_PLAN_H

#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"
#include "facts/place.h"
#include "source/describe.h"

enum { PLAN_URL_SIZE = 2048, PLAN_VARS_MAX = DESCRIBE_STEPS_MAX * DESCRIBE_SETS_MAX };

struct plan_ask {
	struct place place;
	int64_t now;            /* today of {start} and {end} */
	struct date start, end; /* instead of the description's days; DATE_NONE */
};

/* What steps have set so far; zero to begin with. */
struct plan_vars {
	size_t n;
	struct {
		char name[DESCRIBE_WORD_SIZE];
		char value[PLAN_URL_SIZE];
	} at[PLAN_VARS_MAX];
};

struct plan_request {
	char url[PLAN_URL_SIZE];
	const char *accept;                        /* NULL: none; these point into the description */
	const char *headers[DESCRIBE_HEADERS_MAX]; /* "Name: value" */
	size_t n_headers;
};

/* The request of step number `step`.  FAULT_DATA: a variable is not set; FAULT_CONFIG: too long. */
enum fault_code plan_request(const struct description *d, size_t step, const struct plan_ask *ask,
			     const struct plan_vars *vars, struct plan_request *out, struct fault *f) MUST_USE;

/*
 * Take from a step's answer what later steps want.  An address must be https
 * and on the step's own host (or one of `host =`); for a loopback description
 * the same scheme, host and port.  body[n] must be NUL.  FAULT_DATA.
 */
enum fault_code plan_learn(const struct description *d, size_t step, const char *body, size_t n, struct plan_vars *vars,
			   struct fault *f) MUST_USE;

/*
 * Put a value back that was kept from an earlier answer of the step, under the same
 * rules.  FAULT_DATA where the description does not set it or does not allow it any more.
 */
enum fault_code plan_recall(const struct description *d, size_t step, const char *name, const char *value,
			    struct plan_vars *vars, struct fault *f) MUST_USE;

/* What has been set under a name; NULL where nothing has. */
const char *plan_value(const struct plan_vars *vars, const char *name);

#endif
