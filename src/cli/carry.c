#include "cli/carry.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/instant.h"
#include "base/wholefile.h"
#include "cli/paths.h"
#include "cli/screen.h"
#include "net/net.h"

/* A try that failed took the time of a server that is not there (judgement). */
enum { CARRY_SLOW_S = 5 };

static enum fault_code beside(const struct context *c, char path[static MAIL_PATH_SIZE], struct fault *f)
{
	char whole[PATHS_SIZE];
	if (path[0] == '\0')
		return FAULT_NONE;
	if (paths_beside(c->garden_path, path, whole, f) != FAULT_NONE)
		return f->code;
	if (!text_copy(path, MAIL_PATH_SIZE, whole))
		return fault_set(f, FAULT_CONFIG, "%s: a path of [mail] is longer than %d bytes", c->garden_path,
				 MAIL_PATH_SIZE - 1);
	return FAULT_NONE;
}

/* A note in a file is read as it is: no header. */
static enum fault_code to_file(const struct carry *c, const struct message *m, enum post_result *result,
			       struct fault *f)
{
	*result = POST_LATER;
	if (wholefile_put(c->mail.file, m->body, strlen(m->body), f) != FAULT_NONE)
		return f->code;
	*result = POST_SENT;
	return FAULT_NONE;
}

enum fault_code carry_send(struct carry *c, const struct message *m, enum post_result *result, struct fault *f)
{
	return c->mail.way == MAIL_FILE ? to_file(c, m, result, f) : post_send(&c->post, m, result, f);
}

static int64_t clock_now(void)
{
	return net_limits_default().now(NULL);
}

/* A server at which each letter of a round would wait in vain is left alone; a refusal that comes at once is an answer.
 */
static enum fault_code send(void *context, const struct message *m, enum post_result *result, struct fault *f)
{
	struct carry *c = context;
	struct round *r = c->context->round;
	const char *server = c->mail.server;
	bool counts = r != NULL && server[0] != '\0';
	if (counts && !round_serves(r, server, f)) {
		*result = POST_LATER;
		return f->code;
	}
	int64_t began = clock_now();
	enum fault_code code = carry_send(c, m, result, f);
	if (counts)
		round_served(r, server, code == FAULT_TRY_LATER && clock_now() - began >= CARRY_SLOW_S);
	return code;
}

static int64_t now(void *context)
{
	const struct carry *c = context;
	return c->context->options->at != INSTANT_NONE ? c->context->now : (int64_t)time(NULL);
}

static void sleep_ms(void *context, int64_t ms)
{
	(void)context;
	net_limits_default().sleep_ms(NULL, ms);
}

enum fault_code carry_begin(const struct context *context, enum letter_kind kind, struct carry *c, struct fault *f)
{
	*c = (struct carry){.context = context, .mail = context->garden.mail};
	if (beside(context, c->mail.password_file, f) || beside(context, c->mail.ca_file, f) ||
	    beside(context, c->mail.program, f) || beside(context, c->mail.folder, f) ||
	    beside(context, c->mail.file, f))
		return f->code;
	c->post = post_settings_default(&c->mail);
	c->post.credentials = getenv("CREDENTIALS_DIRECTORY");
	c->delivery = (struct delivery){.record = context->record,
					.mail = &c->mail,
					.garden = context->garden.id,
					.name = context->garden.name,
					.zone = &context->zone,
					.today = zone_date(&context->zone, context->now),
					.kind = kind,
					.patience_s = context->options->patience_s,
					.say = screen_progress,
					.send = send,
					.clock = now,
					.sleep_ms = sleep_ms,
					.context = c};
	return FAULT_NONE;
}
