#include "cli/noteout.h"

#include <string.h>

#include "base/instant.h"
#include "base/text.h"
#include "cli/carry.h"
#include "cli/fetch.h"
#include "cli/deliver.h"
#include "cli/diaryfile.h"
#include "cli/json.h"
#include "cli/screen.h"
#include "note/phrase.h"
#include "note/subject.h"
#include "record/issuestore.h"
#include "record/outbox.h"

/*
 * A record that is younger than FRESH_S is not asked for again.  A run waits MAIL_WAIT_MS for another
 * one's mail, and FETCH_WAIT_MS for its fetch.
 */
enum { FRESH_S = 3 * HOUR_S, MAIL_WAIT_MS = 15 * 60 * 1000, FETCH_WAIT_MS = 6 * 60 * 1000 };

static enum fault_code fresh(struct context *c, bool *yes, struct fault *f)
{
	struct issue newest;
	if (issuestore_head_at(c->record, c->place, c->now, 0, &newest, f) != FAULT_NONE)
		return f->code;
	*yes = newest.source[0] != '\0' && c->now - newest.received < FRESH_S;
	issue_free(&newest);
	return FAULT_NONE;
}

static enum fault_code fetch_alone(struct context *c, struct fault *trouble)
{
	struct fault f = {0};
	bool young = false;
	if (context_hold(c, LOCK_PLACE, FETCH_WAIT_MS, trouble) != FAULT_NONE)
		return trouble->code;
	/* What another run has fetched meanwhile is good enough. */
	bool got = fresh(c, &young, &f) == FAULT_NONE && young;
	enum fault_code code = got ? FAULT_NONE : fetch_source(c, trouble);
	context_give(c, LOCK_PLACE);
	return code;
}

/* A fetch that fails is the note's to tell, not the end of it; *trouble keeps why. */
static enum fault_code bring_up_to_date(struct context *c, struct fault *trouble, struct fault *f)
{
	bool young = true;
	if (options_given(c->options, OPTION_OFFLINE) || context_replay(c))
		return FAULT_NONE;
	if (fresh(c, &young, f) != FAULT_NONE)
		return f->code;
	if (young || fetch_alone(c, trouble) == FAULT_NONE)
		return FAULT_NONE;
	if (trouble->text[0] == '\0' && c->wrong.n > 0)
		memcpy(trouble->text, c->wrong.at[0].text, sizeof trouble->text);
	return FAULT_NONE;
}

static enum fault_code put_letter(struct context *c, const struct noteout *o, const struct composed *m,
				  const char *note, struct fault *f)
{
	struct letter letter = {.date = m->state.today,
				.kind = o->kind,
				.way = NOTEOUT_SCREEN,
				.cut = m->state.cut,
				.state = LETTER_SENT,
				.changed = c->now};
	/* A look at the note of a garden whose notes are mailed is none of its letters. */
	if (context_replay(c) || c->garden.mail.way != MAIL_PRINT)
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

static enum fault_code print_json(const struct context *c, const struct composed *m, struct fault *f)
{
	struct text t;
	text_init(&t, JSON_SIZE);
	enum fault_code code = json_morning(m, options_given(c->options, OPTION_GARDENS), &t, f);
	if (code == FAULT_NONE)
		code = screen_text(&t, "the JSON", f);
	text_free(&t);
	return code;
}

static enum fault_code show(struct context *c, const struct noteout *o, const struct composed *m, const char *note,
			    struct fault *f)
{
	if (options_given(c->options, OPTION_JSON) ? print_json(c, m, f) : print_note(m, note, f))
		return f->code;
	return put_letter(c, o, m, note, f);
}

static enum fault_code write_letters(const struct carry *carry, const struct composed *m, const char *note,
				     struct deliveries *out, struct fault *f)
{
	char mem[LETTER_SUBJECT_SIZE];
	struct text subject;
	text_over(&subject, mem, sizeof mem);
	subject_write(&m->facts, &subject);
	return deliver_compose(&carry->delivery, m->state.cut, subject.at, note, out, f);
}

/* The note to the screen, or as letters where there is mail. */
static enum fault_code put_out(struct context *c, const struct noteout *o, const struct composed *m,
			       const struct carry *carry, struct deliveries *out, struct fault *f)
{
	struct text note;
	text_init(&note, NOTE_SIZE);
	note_write(&m->facts, &note);
	enum fault_code code = text_ok(&note, "the note", f);
	if (code == FAULT_NONE)
		code = carry != NULL ? write_letters(carry, m, note.at, out, f) : show(c, o, m, note.at, f);
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

/* What is new in the grower's own file, and what of it is not understood; that it cannot be read stops no note. */
static void read_diary_file(struct context *c, const struct noteout *o, struct text *said)
{
	struct diaryfile d;
	struct fault own = {0};
	if (c->garden.diary[0] == '\0' || o->kind != LETTER_MORNING || context_replay(c))
		return;
	if (diaryfile_take(c, &d, &own) != FAULT_NONE)
		text_addf(said, "%s\n", own.text);
	else
		text_add(said, d.echo.at != NULL ? d.echo.at : "");
	for (size_t i = 0; i < d.fresh.n; i++)
		text_addf(said, "%s\n", d.fresh.at[i].text);
	diaryfile_free(&d);
}

static enum fault_code compose_note(struct context *c, const struct noteout *o, const struct carry *carry,
				    const struct fault *trouble, const char *diary, struct deliveries *out,
				    struct fault *f)
{
	char said[FAULT_TEXT_SIZE];
	struct composed *m = NULL;
	int64_t cut;
	if (context_cut(c, &cut, f) || o->compose(c, cut, &m, f))
		return f->code;
	if (m == NULL)
		return FAULT_NONE;
	plainly(trouble, said);
	m->facts.trouble = trouble->code != FAULT_NONE ? said : NULL;
	m->facts.diary = diary;
	enum fault_code code = put_out(c, o, m, carry, out, f);
	if (trouble->code != FAULT_NONE && !m->state.forecast.any && c->wrong.n == 0)
		screen_warning(trouble->text);
	compose_free(m);
	return code;
}

static enum fault_code make_note(struct context *c, const struct noteout *o, const struct carry *carry,
				 struct deliveries *out, struct fault *f)
{
	struct fault trouble = {0};
	struct text diary;
	if (bring_up_to_date(c, &trouble, f) != FAULT_NONE)
		return f->code;
	text_init(&diary, (size_t)2 * DIARYFILE_SAID);
	read_diary_file(c, o, &diary);
	enum fault_code code = compose_note(c, o, carry, &trouble, diary.at, out, f);
	text_free(&diary);
	return code;
}

/* For who asks by hand and would wonder at the silence. */
static void say_gone(const struct context *c, const struct noteout *o, const struct deliveries *out)
{
	char mem[FAULT_TEXT_SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	if (out->n == 0 || !out->at[0].before)
		return;
	text_addf(&t, "%s note went out at ", o->whose);
	phrase_clock(&t, &c->zone, out->at[0].letter.changed, c->garden.units);
	text_add(&t, " already; --print shows it as of now");
	screen_word(t.at);
}

static enum fault_code mail_note(struct context *c, const struct noteout *o, struct fault *f)
{
	struct carry carry;
	struct deliveries out = {.n = 0};
	bool all = false;
	if (context_hold(c, LOCK_GARDEN, MAIL_WAIT_MS, f) != FAULT_NONE)
		return f->code;
	enum fault_code code = carry_begin(c, o->kind, &carry, f);
	if (code == FAULT_NONE)
		code = deliver_begin(&carry.delivery, &out, &all, f);
	if (code == FAULT_NONE && !all)
		code = make_note(c, o, &carry, &out, f);
	if (code == FAULT_NONE) {
		say_gone(c, o, &out);
		code = deliver_send(&carry.delivery, &out, &c->wrong, f);
	}
	deliver_free(&out);
	context_give(c, LOCK_GARDEN);
	return code;
}

/* A look is no delivery. */
static bool goes_out(const struct context *c)
{
	return c->garden.mail.way != MAIL_PRINT && !context_replay(c) && !options_given(c->options, OPTION_PRINT) &&
	       !options_given(c->options, OPTION_JSON);
}

enum fault_code noteout(struct context *c, const struct noteout *o, struct fault *f)
{
	return goes_out(c) ? mail_note(c, o, f) : make_note(c, o, NULL, NULL, f);
}
