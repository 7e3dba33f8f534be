#include <string.h>

#include "base/instant.h"
#include "base/text.h"
#include "cli/command.h"
#include "cli/compose.h"
#include "cli/fetch.h"
#include "cli/json.h"
#include "cli/screen.h"
#include "record/issuestore.h"
#include "record/outbox.h"

/* A record that is younger is not asked for again. */
enum { MORNING_FRESH_S = 3 * HOUR_S };

static enum fault_code fresh(struct context *c, bool *yes, struct fault *f)
{
	struct issue newest;
	if (issuestore_head_at(c->record, c->place, c->now, 0, &newest, f) != FAULT_NONE)
		return f->code;
	*yes = newest.source[0] != '\0' && c->now - newest.received < MORNING_FRESH_S;
	issue_free(&newest);
	return FAULT_NONE;
}

/* A fetch that fails is the note's to tell, not the end of it; *trouble keeps why. */
static enum fault_code bring_up_to_date(struct context *c, struct fault *trouble, struct fault *f)
{
	bool young = true;
	if (options_given(c->options, OPTION_OFFLINE) || context_replay(c))
		return FAULT_NONE;
	if (fresh(c, &young, f) != FAULT_NONE)
		return f->code;
	if (young || fetch_source(c, trouble) == FAULT_NONE)
		return FAULT_NONE;
	if (trouble->text[0] == '\0' && c->wrong.n > 0)
		memcpy(trouble->text, c->wrong.at[0].text, sizeof trouble->text);
	return FAULT_NONE;
}

static enum fault_code put_letter(struct context *c, const struct composed *m, const char *note, struct fault *f)
{
	struct letter letter = {
	    .date = m->state.today, .way = "screen", .cut = m->state.cut, .state = LETTER_SENT, .changed = c->now};
	if (context_replay(c))
		return FAULT_NONE;
	memcpy(letter.garden, c->garden.id, sizeof letter.garden);
	return outbox_put(c->record, &letter, note, f);
}

static enum fault_code print_note(const struct composed *m, const char *note, struct fault *f)
{
	if (!screen_bold())
		return screen_write(note, strlen(note), f);
	struct text bold;
	text_init(&bold, (size_t)2 * NOTE_SIZE);
	screen_note(&m->facts, note, &bold);
	enum fault_code code = screen_text(&bold, "the note", f);
	text_free(&bold);
	return code;
}

static enum fault_code print_json(const struct composed *m, struct fault *f)
{
	struct text t;
	text_init(&t, JSON_SIZE);
	enum fault_code code = json_morning(m, &t, f);
	if (code == FAULT_NONE)
		code = screen_text(&t, "the JSON", f);
	text_free(&t);
	return code;
}

static enum fault_code deliver(struct context *c, const struct composed *m, struct fault *f)
{
	struct text note;
	text_init(&note, NOTE_SIZE);
	note_write(&m->facts, &note);
	enum fault_code code = text_ok(&note, "the note", f);
	if (code == FAULT_NONE)
		code = options_given(c->options, OPTION_JSON) ? print_json(m, f) : print_note(m, note.at, f);
	if (code == FAULT_NONE)
		code = put_letter(c, m, note.at, f);
	text_free(&note);
	return code;
}

/* What went wrong, for the grower: without what a library adds in brackets at the end (fetch prints that). */
static void plainly(const struct fault *trouble, char said[static FAULT_TEXT_SIZE])
{
	size_t n = strlen(trouble->text);
	const char *bracket = n > 0 && trouble->text[n - 1] == ')' ? strstr(trouble->text, " (") : NULL;
	struct text t;
	text_over(&t, said, FAULT_TEXT_SIZE);
	text_add_n(&t, trouble->text, bracket != NULL ? (size_t)(bracket - trouble->text) : n);
}

enum fault_code command_morning(struct context *c, struct fault *f)
{
	char said[FAULT_TEXT_SIZE];
	struct fault trouble = {0};
	struct composed *m = NULL;
	int64_t cut;
	if (context_load(c, f) != FAULT_NONE)
		return f->code;
	context_spread(c);
	if (context_record(c, f) || context_cut(c, &cut, f) || bring_up_to_date(c, &trouble, f) ||
	    compose(c, cut, &m, f))
		return f->code;
	plainly(&trouble, said);
	m->facts.trouble = trouble.code != FAULT_NONE ? said : NULL;
	enum fault_code code = deliver(c, m, f);
	if (trouble.code != FAULT_NONE && !m->state.forecast.any && c->wrong.n == 0)
		screen_warning(trouble.text);
	compose_free(m);
	return code;
}
