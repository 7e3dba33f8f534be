#include "cli/command.h"
#include "cli/compose.h"
#include "cli/context.h"
#include "cli/json.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "note/plantdays.h"

/* Days of the command line as days ahead; a fault says which one is not to be judged, and which are. */
static enum fault_code named_days(const struct options *o, struct date today, int ahead[static PLANTDAYS_MAX],
				  struct fault *f)
{
	char last[DATE_TEXT_SIZE], first[DATE_TEXT_SIZE];
	for (size_t i = 0; i < o->operands; i++) {
		struct date d;
		if (date_parse(o->operand[i], &d, f) != FAULT_NONE) {
			f->code = FAULT_USAGE;
			return fault_place(f, "plantout: ");
		}
		ahead[i] = date_diff(d, today);
		if (ahead[i] < 0 || ahead[i] > PLANTDAY_AHEAD)
			return fault_set(f, FAULT_USAGE, "plantout: %.20s %s; a day from %s to %s is right",
					 o->operand[i], ahead[i] < 0 ? "is past" : "is too far ahead for any forecast",
					 date_text(today, first), date_text(date_add(today, PLANTDAY_AHEAD), last));
	}
	return FAULT_NONE;
}

static enum fault_code days_of(const struct context *c, struct date today, int ahead[static PLANTDAYS_MAX],
			       size_t *days, size_t *free, struct fault *f)
{
	const struct options *o = c->options;
	if (o->operands == 0) {
		*days = plantdays_choose(today, ahead, free);
		return FAULT_NONE;
	}
	*days = o->operands;
	*free = 0;
	return named_days(o, today, ahead, f);
}

enum fault_code command_plantout(struct context *c, struct fault *f)
{
	struct composed *m = NULL;
	int64_t cut;
	int ahead[PLANTDAYS_MAX];
	size_t days = 0, free = 0;
	if (context_load(c, f) || context_peek(c, f) || context_cut(c, &cut, f) ||
	    days_of(c, zone_date(&c->zone, cut), ahead, &days, &free, f) || compose_state(c, cut, &m, f))
		return f->code;
	enum fault_code code = FAULT_NONE;
	struct text t;
	text_init(&t, JSON_SIZE);
	if (options_given(c->options, OPTION_JSON))
		code = json_plantout(m, ahead, days, &t, f);
	else
		plantdays_write(&m->facts, ahead, days, free, &t);
	if (code == FAULT_NONE)
		code = screen_text(&t, "the days", f);
	text_free(&t);
	compose_free(m);
	return code;
}
