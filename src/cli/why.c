#include "base/num.h"
#include "cli/command.h"
#include "cli/compose.h"
#include "cli/context.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "record/outbox.h"

/* The cut of the note that is asked about: of --date, else of the last that went out, else now. */
static enum fault_code cut_of(struct context *c, int64_t *cut, struct fault *f)
{
	struct letter last;
	bool found = false;
	if (context_cut(c, cut, f) != FAULT_NONE)
		return f->code;
	if (context_replay(c) || options_given(c->options, OPTION_AT) || c->record == NULL)
		return FAULT_NONE;
	if (outbox_last(c->record, c->garden.id, &last, &found, f) != FAULT_NONE)
		return f->code;
	*cut = found ? last.cut : *cut;
	return FAULT_NONE;
}

static enum fault_code line_asked(const struct context *c, size_t lines, size_t *k, struct fault *f)
{
	int64_t n = 1;
	if (lines == 0)
		return fault_set(f, FAULT_USAGE, "why: that note has no lines; dewpost morning --print shows it");
	if (c->options->operands > 0 && num_int(c->options->operand[0], 1, (int64_t)lines, &n, f) != FAULT_NONE) {
		f->code = FAULT_USAGE;
		return fault_place(f, "why: line %.20s: ", c->options->operand[0]);
	}
	*k = (size_t)(n - 1);
	return FAULT_NONE;
}

enum fault_code command_why(struct context *c, struct fault *f)
{
	struct composed *m = NULL;
	int64_t cut;
	size_t k = 0;
	if (context_load(c, f) || context_peek(c, f) || cut_of(c, &cut, f) || compose(c, cut, &m, f))
		return f->code;
	enum fault_code code = line_asked(c, m->lines.n, &k, f);
	if (code == FAULT_NONE) {
		struct text t;
		text_init(&t, NOTE_SIZE);
		why_write(&m->facts, k, &t);
		code = screen_text(&t, "the reasons", f);
		text_free(&t);
	}
	compose_free(m);
	return code;
}
