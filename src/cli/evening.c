#include "base/instant.h"
#include "cli/command.h"
#include "cli/noteout.h"
#include "physics/sun.h"
#include "record/outbox.h"

/* By then it is dark, and the cold has begun (judgement). */
enum { EVENING_AFTER_SUNSET_S = HOUR_S, EVENING_NOON_S = 12 * HOUR_S };

/* Before noon the morning's note is all there is to say; a machine that wakes then has slept over its evening. */
static bool too_early(const struct context *c)
{
	return zone_second(&c->zone, c->now) < EVENING_NOON_S;
}

static bool too_late(const struct context *c)
{
	struct date today = zone_date(&c->zone, c->now);
	struct sun_day sun = sun_day(today, c->garden.latitude, c->garden.longitude);
	return sun.set != INSTANT_NONE && c->now > sun.set + EVENING_AFTER_SUNSET_S;
}

/* Whether this evening's note was printed before, of a garden without mail. */
static enum fault_code printed(struct context *c, bool *before, struct fault *f)
{
	struct letter letter;
	return outbox_get(c->record, c->garden.id, zone_date(&c->zone, c->now), LETTER_EVENING, NOTEOUT_SCREEN, &letter,
			  NULL, before, f);
}

enum fault_code command_evening(struct context *c, struct fault *f)
{
	static const struct noteout evening = {LETTER_EVENING, "this evening's", compose_evening};
	bool looks = options_given(c->options, OPTION_PRINT) || context_replay(c), before = false;
	if (context_load(c, f) != FAULT_NONE)
		return f->code;
	context_spread(c);
	if (!looks && (too_early(c) || too_late(c)))
		return FAULT_NONE;
	if (context_record(c, f) != FAULT_NONE)
		return f->code;
	if (!looks && printed(c, &before, f) != FAULT_NONE)
		return f->code;
	return before ? FAULT_NONE : noteout(c, &evening, f);
}
