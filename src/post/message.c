#include "post/message.h"

#include <inttypes.h>
#include <stdbool.h>
#include <string.h>

#include "base/hash.h"
#include "base/instant.h"
#include "base/utf8.h"
#include "post/encode.h"

/* RFC 2047 2 for lines with encoded words; RFC 5322 2.1.1 wishes for 78 in others. */
enum { LINE_WISHED = 76, MINUTE_S = 60, DELETE = 0x7f };

/* ---- what may stand in a header ---- */

static enum fault_code check_line(const char *key, const char *value, struct fault *f)
{
	size_t n = strlen(value);
	for (size_t i = 0; i < n; i++)
		if ((unsigned char)value[i] < ' ' || value[i] == DELETE)
			return fault_set(f, FAULT_CONFIG,
					 "%s has a line break or another control character; one line of plain text",
					 key);
	if (utf8_bad(value, n) != n)
		return fault_set(f, FAULT_CONFIG, "%s is not UTF-8 from byte %zu on", key, utf8_bad(value, n) + 1);
	return FAULT_NONE;
}

static enum fault_code check_address(const char *key, const char *value, struct fault *f)
{
	if (mail_address_check(value, f) != FAULT_NONE)
		return fault_place(f, "%s: ", key);
	return FAULT_NONE;
}

static enum fault_code check_garden(const char *id, struct fault *f)
{
	size_t n = strlen(id);
	if (n == 0 || n >= LETTER_GARDEN_SIZE || strspn(id, "abcdefghijklmnopqrstuvwxyz0123456789-") != n)
		return fault_set(f, FAULT_CONFIG, "id is no fit name; letters a-z, digits and - alone");
	return FAULT_NONE;
}

static const char *name_of(const struct message *m)
{
	return m->from_name != NULL ? m->from_name : "";
}

static enum fault_code check(const struct message *m, struct fault *f)
{
	if (check_address("from", m->from, f) != FAULT_NONE || check_address("to", m->to, f) != FAULT_NONE ||
	    check_line("from_name", name_of(m), f) != FAULT_NONE || check_line("subject", m->subject, f) != FAULT_NONE)
		return f->code;
	return check_garden(m->garden, f);
}

/* ---- header ---- */

static void add_date(const struct message *m, const char *eol, struct text *t)
{
	int year, month, day;
	int minutes = m->offset_s / MINUTE_S, off = minutes < 0 ? -minutes : minutes;
	struct date d = instant_date(m->at, minutes * MINUTE_S);
	int second = (int)(m->at - instant_at(d, 0, minutes * MINUTE_S));
	date_parts(d, &year, &month, &day);
	text_addf(t, "Date: %s, %02d %s %04d %02d:%02d:%02d %c%02d%02d%s", date_weekday_short(date_weekday(d)), day,
		  date_month_short(month), year, second / HOUR_S, second / MINUTE_S % 60, second % MINUTE_S,
		  minutes < 0 ? '-' : '+', off / 60, off % 60, eol);
}

/* Printable ASCII that no reader takes for an encoded word, and that loses nothing at its ends. */
static bool plain(const char *s)
{
	size_t n = strlen(s);
	for (size_t i = 0; i < n; i++)
		if (s[i] < ' ' || s[i] > '~')
			return false;
	return n > 0 && s[0] != ' ' && s[n - 1] != ' ' && strstr(s, "=?") == NULL;
}

static void add_subject(const char *subject, const char *eol, struct text *t)
{
	static const char name[] = "Subject: ";
	text_add(t, name);
	if (subject[0] == '\0' || (plain(subject) && sizeof name - 1 + strlen(subject) <= LINE_WISHED))
		text_add(t, subject);
	else
		encode_words(subject, sizeof name - 1, eol, t);
	text_add(t, eol);
}

static void add_quoted_string(const char *s, struct text *t)
{
	text_add(t, "\"");
	for (; *s != '\0'; s++)
		text_addf(t, "%s%c", *s == '"' || *s == '\\' ? "\\" : "", *s);
	text_add(t, "\"");
}

static void add_from(const struct message *m, const char *eol, struct text *t)
{
	static const char field[] = "From: ";
	const char *name = name_of(m);
	text_add(t, field);
	if (name[0] == '\0') {
		text_addf(t, "%s%s", m->from, eol);
		return;
	}
	size_t begun = t->len;
	if (plain(name) && sizeof field - 1 + strlen(name) + strlen("\"\"") <= LINE_WISHED)
		add_quoted_string(name, t);
	else
		encode_words(name, sizeof field - 1, eol, t);
	/* An encoded name may have filled lines of its own. */
	size_t width = sizeof field - 1 + t->len - begun + strlen(" <>") + strlen(m->from);
	text_addf(t, "%s <%s>%s", width > LINE_WISHED ? eol : "", m->from, eol);
}

static void write_id(const struct message *m, struct text *t)
{
	int year, month, day;
	date_parts(m->day, &year, &month, &day);
	uint64_t hash = hash_text(hash_bytes(hash_text(HASH_START, m->to), "", 1), m->kind);
	text_addf(t, "%04d%02d%02d.%s.%08" PRIx32 "@%s", year, month, day, m->garden, (uint32_t)(hash ^ (hash >> 32)),
		  strchr(m->from, '@') + 1);
}

enum fault_code message_id(const struct message *m, char id[static MESSAGE_ID_SIZE], struct fault *f)
{
	struct text t;
	if (check_address("from", m->from, f) != FAULT_NONE || check_garden(m->garden, f) != FAULT_NONE)
		return f->code;
	text_over(&t, id, MESSAGE_ID_SIZE);
	write_id(m, &t);
	return text_ok(&t, "the Message-ID", f);
}

enum fault_code message_write(const struct message *m, enum message_ends ends, struct text *t, struct fault *f)
{
	const char *eol = ends == MESSAGE_CRLF ? "\r\n" : "\n";
	bool as_is = encode_plain_fits(m->body);
	if (check(m, f) != FAULT_NONE)
		return f->code;
	add_date(m, eol, t);
	add_from(m, eol, t);
	text_addf(t, "To: %s%s", m->to, eol);
	add_subject(m->subject, eol, t);
	text_add(t, "Message-ID: <");
	write_id(m, t);
	text_addf(t, ">%sMIME-Version: 1.0%s", eol, eol);
	text_addf(t, "Content-Type: text/plain; charset=utf-8%s", eol);
	text_addf(t, "Content-Transfer-Encoding: %s%s", as_is ? "7bit" : "quoted-printable", eol);
	text_addf(t, "Auto-Submitted: auto-generated%s%s", eol, eol);
	if (as_is)
		encode_plain(m->body, eol, t);
	else
		encode_quoted(m->body, eol, t);
	return text_ok(t, "the message", f);
}
