#include "cli/deliver.h"

#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "record/outbox.h"

enum { MS_PER_S = 1000, WORDS_SIZE = 96 };

static void reached(const struct delivery *d, enum deliver_step step)
{
	if (d->step != NULL)
		d->step(d->context, step);
}

static bool is_file(const struct delivery *d)
{
	return d->mail->way == MAIL_FILE;
}

static const char *way_of(const struct delivery *d, size_t i)
{
	return is_file(d) ? DELIVER_FILE : d->mail->to[i];
}

/* The state as of now, with what is known of the last try. */
static enum fault_code move(const struct delivery *d, struct outgoing *o, enum letter_state to, bool *moved,
			    struct fault *f)
{
	enum letter_state from = o->letter.state;
	*moved = true;
	o->letter.state = to;
	o->letter.changed = d->clock(d->context);
	(void)text_copy(o->letter.said, sizeof o->letter.said, o->said.code != FAULT_NONE ? o->said.text : "");
	return o->stored ? outbox_move(d->record, &o->letter, from, moved, f) : FAULT_NONE;
}

/* The disk has no room: said once, and no reason not to send. */
static void not_kept(struct outgoing *o, const struct fault *trouble)
{
	o->stored = false;
	if (o->said.code == FAULT_NONE)
		o->said = *trouble;
}

/* ---- what there is ---- */

static enum fault_code find(const struct delivery *d, size_t i, struct outgoing *o, struct fault *f)
{
	bool moved;
	struct fault trouble;
	if (outbox_get(d->record, d->garden, d->today, d->kind, way_of(d, i), &o->letter, &o->text, &o->there, f) !=
	    FAULT_NONE)
		return f->code;
	o->stored = o->there;
	o->before = o->there && o->letter.state == LETTER_SENT;
	/* Whoever was sending it is gone: the garden is ours. */
	if (o->there && o->letter.state == LETTER_SENDING && move(d, o, LETTER_UNKNOWN, &moved, &trouble) != FAULT_NONE)
		not_kept(o, &trouble);
	return FAULT_NONE;
}

enum fault_code deliver_begin(const struct delivery *d, struct deliveries *out, bool *all, struct fault *f)
{
	struct fault trouble;
	*out = (struct deliveries){.n = 0};
	*all = true;
	/* Without room on the disk the older ones keep their state, and are no more sent for that. */
	enum fault_code code = outbox_expire(d->record, d->garden, d->today, d->clock(d->context), &trouble);
	if (code != FAULT_NONE && code != FAULT_IO) {
		*f = trouble;
		return code;
	}
	out->n = is_file(d) ? 1 : d->mail->n_to;
	for (size_t i = 0; i < out->n; i++) {
		if (find(d, i, &out->at[i], f) != FAULT_NONE)
			return f->code;
		*all = *all && out->at[i].there;
	}
	return FAULT_NONE;
}

/* ---- a new letter ---- */

static enum fault_code fill(const struct delivery *d, size_t i, int64_t cut, const char *subject, const char *text,
			    struct outgoing *o, struct fault *f)
{
	struct letter *l = &o->letter;
	size_t size = strlen(text) + 1;
	*l = (struct letter){
	    .date = d->today, .kind = d->kind, .cut = cut, .state = LETTER_COMPOSED, .changed = d->clock(d->context)};
	if (!text_copy(l->garden, sizeof l->garden, d->garden) || !text_copy(l->way, sizeof l->way, way_of(d, i)) ||
	    !text_copy(l->subject, sizeof l->subject, subject))
		return fault_set(f, FAULT_SOFTWARE, "a letter has no room for its garden, recipient or subject");
	o->text = mem_new(size, 1);
	if (o->text == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	memcpy(o->text, text, size);
	return FAULT_NONE;
}

static enum fault_code compose_one(const struct delivery *d, size_t i, int64_t cut, const char *subject,
				   const char *text, struct outgoing *o, struct fault *f)
{
	bool fresh = false;
	if (o->there)
		return FAULT_NONE;
	if (fill(d, i, cut, subject, text, o, f) != FAULT_NONE)
		return f->code;
	o->there = true;
	o->stored = outbox_add(d->record, &o->letter, text, &fresh, &o->said) == FAULT_NONE;
	reached(d, DELIVER_COMPOSED);
	return FAULT_NONE;
}

enum fault_code deliver_compose(const struct delivery *d, int64_t cut, const char *subject, const char *text,
				struct deliveries *out, struct fault *f)
{
	for (size_t i = 0; i < out->n; i++)
		if (compose_one(d, i, cut, subject, text, &out->at[i], f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

/* ---- sending ---- */

static bool to_be_sent(const struct delivery *d, const struct outgoing *o)
{
	if (!o->there)
		return false;
	switch (o->letter.state) {
	case LETTER_COMPOSED:
	case LETTER_FAILED:
		return true;
	case LETTER_UNKNOWN:
		return !o->letter.resent && d->mail->unknown == MAIL_RESEND;
	case LETTER_SENDING:
	case LETTER_SENT:
	case LETTER_EXPIRED:
		break;
	}
	return false;
}

static enum letter_state state_after(enum post_result result)
{
	static const enum letter_state after[] = {[POST_SENT] = LETTER_SENT,
						  [POST_LATER] = LETTER_COMPOSED,
						  [POST_REFUSED] = LETTER_FAILED,
						  [POST_UNKNOWN] = LETTER_UNKNOWN};
	return after[result];
}

static enum fault_code hand(const struct delivery *d, const struct outgoing *o, enum post_result *result,
			    struct fault *f)
{
	const struct letter *l = &o->letter;
	const struct message m = {.from = d->mail->from,
				  .to = l->way,
				  .from_name = d->mail->from_name[0] != '\0' ? d->mail->from_name : d->name,
				  .subject = l->subject,
				  .body = o->text,
				  .at = l->cut,
				  .offset_s = zone_offset(d->zone, l->cut),
				  .day = l->date,
				  .garden = l->garden,
				  .kind = letter_kind_name(l->kind)};
	return d->send(d->context, &m, result, f);
}

static void send_one(const struct delivery *d, struct outgoing *o)
{
	struct fault trouble = {0};
	enum post_result result = POST_LATER;
	bool moved = true;
	o->again = false;
	/* What an earlier try left said is of that try; a letter only in memory keeps why it is. */
	if (o->stored)
		o->said = (struct fault){0};
	o->letter.resent = o->letter.resent || o->letter.state == LETTER_UNKNOWN;
	if (move(d, o, LETTER_SENDING, &moved, &trouble) != FAULT_NONE)
		not_kept(o, &trouble);
	if (!moved)
		return; /* another run has it after all */
	reached(d, DELIVER_SENDING);
	struct fault kept = o->said;
	o->said = (struct fault){0};
	enum fault_code code = hand(d, o, &result, &o->said);
	reached(d, DELIVER_HANDED);
	o->again = code == FAULT_TRY_LATER;
	if (move(d, o, state_after(result), &moved, &trouble) != FAULT_NONE)
		not_kept(o, &trouble);
	if (o->said.code == FAULT_NONE)
		o->said = kept;
	reached(d, DELIVER_KEPT);
}

/* Does any letter wait for another try after this one? */
static bool send_round(const struct delivery *d, struct deliveries *out, bool first)
{
	bool again = false;
	for (size_t i = 0; i < out->n; i++) {
		struct outgoing *o = &out->at[i];
		if (to_be_sent(d, o) && (first || o->again))
			send_one(d, o);
		again = again || (o->again && to_be_sent(d, o));
	}
	return again;
}

/* Yesterday's note is not sent today. */
static bool still_today(const struct delivery *d)
{
	return zone_date(d->zone, d->clock(d->context)).n == d->today.n;
}

static void pause_for(const struct delivery *d, int64_t pause_s)
{
	char words[WORDS_SIZE];
	struct text t;
	text_over(&t, words, sizeof words);
	text_addf(&t, "waiting %lld s to try the mail again", (long long)pause_s);
	if (d->say != NULL)
		d->say(t.at);
	d->sleep_ms(d->context, pause_s * MS_PER_S);
	if (d->say != NULL)
		d->say(NULL);
}

/* A letter of which nobody knows, and which is not sent again, is to be known of. */
static void tell(const struct delivery *d, const struct outgoing *o, struct faults *wrong)
{
	struct fault f = o->said;
	if (o->letter.state == LETTER_UNKNOWN && f.code == FAULT_NONE)
		fault_set(&f, FAULT_TRY_LATER,
			  "whether the note of this %s arrived is not known, and it is not sent again",
			  letter_kind_name(d->kind));
	if (f.code == FAULT_NONE)
		return;
	if (o->letter.state == LETTER_SENT)
		fault_place(&f, "sent, but not kept in the outbox: ");
	fault_place(&f, "%s: ", o->letter.way);
	faults_add(wrong, &f);
}

enum fault_code deliver_send(const struct delivery *d, struct deliveries *out, struct faults *wrong, struct fault *f)
{
	static const int64_t pauses_s[] = DELIVER_PAUSES_S;
	int64_t left_s = d->patience_s;
	size_t before = wrong->n;
	bool again = send_round(d, out, true);
	for (size_t i = 0; again && i < sizeof pauses_s / sizeof *pauses_s && pauses_s[i] <= left_s; i++) {
		pause_for(d, pauses_s[i]);
		left_s -= pauses_s[i];
		again = still_today(d) && send_round(d, out, false);
	}
	for (size_t i = 0; i < out->n; i++)
		tell(d, &out->at[i], wrong);
	if (wrong->n == before)
		return FAULT_NONE;
	*f = (struct fault){.code = wrong->at[before].code};
	return f->code;
}

void deliver_free(struct deliveries *out)
{
	for (size_t i = 0; i < out->n; i++)
		mem_free(out->at[i].text);
	*out = (struct deliveries){.n = 0};
}
