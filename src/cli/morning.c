#include "cli/command.h"
#include "cli/noteout.h"

enum fault_code command_morning(struct context *c, struct fault *f)
{
	static const struct noteout morning = {LETTER_MORNING, "today's", compose};
	if (context_load(c, f) != FAULT_NONE)
		return f->code;
	context_spread(c);
	if (context_record(c, f) != FAULT_NONE)
		return f->code;
	return noteout(c, &morning, f);
}
