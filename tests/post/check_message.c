#include "post/message.h"

#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "lib/unmail.h"

static struct text t, value;

/* An invented garden's morning. */
static struct message letter(void)
{
	struct message m = {
	    .from = "garden@example.org",
	    .to = "grower@example.org",
	    .from_name = "Quarry Lane",
	    .subject = "Cover the bed tonight: 34 F",
	    .body = "Cover the bed tonight.\n",
	    .at = INT64_C(1778584620), /* 2026-05-12T11:17:00Z */
	    .offset_s = -5 * HOUR_S,
	    .garden = "quarry-lane",
	    .kind = "morning",
	};
	ck_assert(date_of(2026, 5, 12, &m.day));
	return m;
}

static void set_up(void)
{
	text_init(&t, MESSAGE_MAX);
	text_init(&value, MESSAGE_MAX);
}

static void tear_down(void)
{
	text_free(&t);
	text_free(&value);
}

static const char *written(const struct message *m, enum message_ends ends)
{
	struct fault f = {0};
	text_clear(&t);
	ck_assert_msg(message_write(m, ends, &t, &f) == FAULT_NONE, "%s", f.text);
	return t.at;
}

static const char *field(const char *message, const char *name)
{
	text_clear(&value);
	ROW_MSG(unmail_field(message, name, &value), "%s is missing in\n%s", name, message);
	return value.at != NULL ? value.at : "";
}

START_TEST(whole)
{
	struct message m = letter();
	char want[2000], id[MESSAGE_ID_SIZE];
	struct fault f = {0};
	struct text w;
	ck_assert_int_eq(message_id(&m, id, &f), FAULT_NONE);
	text_over(&w, want, sizeof want);
	text_addf(&w,
		  "Date: Tue, 12 May 2026 06:17:00 -0500\r\n"
		  "From: \"Quarry Lane\" <garden@example.org>\r\n"
		  "To: grower@example.org\r\n"
		  "Subject: Cover the bed tonight: 34 F\r\n"
		  "Message-ID: <%s>\r\n"
		  "MIME-Version: 1.0\r\n"
		  "Content-Type: text/plain; charset=utf-8\r\n"
		  "Content-Transfer-Encoding: 7bit\r\n"
		  "Auto-Submitted: auto-generated\r\n"
		  "\r\n"
		  "Cover the bed tonight.\r\n",
		  id);
	ck_assert_str_eq(written(&m, MESSAGE_CRLF), want);
	/* The other line ends change nothing else. */
	text_clear(&value);
	for (const char *s = want; *s != '\0'; s++)
		if (*s != '\r')
			text_add_n(&value, s, 1);
	ck_assert_str_eq(written(&m, MESSAGE_LF), value.at);
}
END_TEST

static const struct {
	const char *name, *at, *date; /* RFC 3339, RFC 5322 */
	int offset_s;
} dates[] = {
    {"RFC 5322 A.1.1", "1997-11-21T09:55:06-06:00", "Fri, 21 Nov 1997 09:55:06 -0600", -6 * HOUR_S},
    {"RFC 5322 A.1.2", "2003-07-01T10:52:37+02:00", "Tue, 01 Jul 2003 10:52:37 +0200", 2 * HOUR_S},
    {"Greenwich", "2026-01-01T00:00:00Z", "Thu, 01 Jan 2026 00:00:00 +0000", 0},
    {"half an hour, west", "2026-12-31T23:59:59-03:30", "Thu, 31 Dec 2026 23:59:59 -0330", -3 * HOUR_S - 1800},
    {"three quarters, east", "2024-02-29T05:45:00+05:45", "Thu, 29 Feb 2024 05:45:00 +0545", 5 * HOUR_S + 2700},
    {"an hour's part, west", "2026-03-08T00:00:00-00:30", "Sun, 08 Mar 2026 00:00:00 -0030", -1800},
    {"an offset of seconds: the instant stays", "1900-06-01T12:00:00+00:19", "Fri, 01 Jun 1900 12:00:00 +0019", 1172},
};

START_TEST(date)
{
	struct message m = letter();
	struct fault f = {0};
	ck_assert_int_eq(instant_rfc3339(dates[_i].at, &m.at, &f), FAULT_NONE);
	m.offset_s = dates[_i].offset_s;
	ROW_STR(dates[_i].name, field(written(&m, MESSAGE_CRLF), "Date"), dates[_i].date);
}
END_TEST

/* As the header must not hold them, whatever key they come by: what a careless program would put out as new lines. */
static const char *const evil[] = {
    "a\r\nBcc: other@example.org",
    "a\nBcc: other@example.org",
    "a\rb",
    "a\r\n\r\nbody",
    "\n",
    "a\x01z",
    "a\x1b[31m",
    "a\x7f",
    "a\tb",
};

START_TEST(header_injection)
{
	const char *bad = evil[_i];
	static const char *const keys[] = {"from", "to", "from_name", "subject", "id"};
	for (size_t k = 0; k < 5; k++) {
		struct message m = letter();
		struct fault f = {0};
		const char **const place[] = {&m.from, &m.to, &m.from_name, &m.subject, &m.garden};
		*place[k] = bad;
		text_clear(&t);
		ROW_INT(keys[k], message_write(&m, MESSAGE_CRLF, &t, &f), FAULT_CONFIG);
		ROW_MSG(strncmp(f.text, keys[k], strlen(keys[k])) == 0, "%s: %s", keys[k], f.text);
		ROW_INT(keys[k], t.len, 0);
	}
}
END_TEST

/* Bytes that mean something in a header, where a name may have them: they must come back as they went in. */
static const char *const names[] = {
    "Quarry Lane",
    "a, b",
    "<other@example.org>",
    "a\" <other@example.org>, \"b",
    "back\\slash",
    "a (b) c; d: e @ f [g]",
    "=?UTF-8?Q?a?=",
    "=?",
    " blank before",
    "blank after ",
    "Gem\xc3\xbc"
    "segarten",
    "\xe8\x8f\x9c\xe5\x9c\x92",
    "caf\xc3\xa9, <b> \"c\"",
    "The garden of a name that is very long indeed, as long as there is room for it",
    "Der Garten mit dem \xc3\xbc"
    "berlangen Namen, f\xc3\xbcr den kaum Platz ist \xe2\x80\x93 ja",
};

/* A display name: a quoted string (RFC 5322 3.2.4) or encoded words. */
static void read_name(const char *from, struct text *name)
{
	const char *end = strrchr(from, '<');
	ck_assert_msg(end != NULL && end > from && end[-1] == ' ', "%s", from);
	end--;
	if (*from != '"') {
		unmail_words(from, (size_t)(end - from), name);
		return;
	}
	for (from++; *from != '"'; from++) {
		if (*from == '\\')
			from++;
		text_add_n(name, from, 1);
	}
	ck_assert_ptr_eq(from + 1, end);
}

START_TEST(from_name)
{
	struct message m = letter();
	struct text name;
	text_init(&name, MESSAGE_MAX);
	m.from_name = names[_i];
	const char *bytes = written(&m, MESSAGE_CRLF);
	unmail_lines(names[_i], bytes, strlen(bytes), 78);
	const char *from = field(bytes, "From");
	read_name(from, &name);
	ROW_STR("name", name.at, names[_i]);
	ROW_STR("address", strrchr(from, '<'), "<garden@example.org>");
	text_free(&name);
}
END_TEST

START_TEST(subject)
{
	struct message m = letter();
	struct text s;
	text_init(&s, MESSAGE_MAX);
	m.subject = names[_i];
	const char *bytes = written(&m, MESSAGE_CRLF);
	unmail_lines(names[_i], bytes, strlen(bytes), 78);
	const char *got = field(bytes, "Subject");
	/* A reader leaves blanks at the ends away; what looks like an encoded word is read as one. */
	ck_assert(got[0] != ' ' && got[strlen(got) - 1] != ' ');
	unmail_words(got, strlen(got), &s);
	ROW_STR("subject", s.at, names[_i]);
	text_free(&s);
}
END_TEST

START_TEST(no_name)
{
	struct message m = letter();
	m.from_name = NULL;
	ck_assert_str_eq(field(written(&m, MESSAGE_CRLF), "From"), "garden@example.org");
	m.from_name = "";
	ck_assert_str_eq(field(written(&m, MESSAGE_CRLF), "From"), "garden@example.org");
}
END_TEST

START_TEST(not_utf8)
{
	struct message m = letter();
	struct fault f = {0};
	m.subject = "frost \xff";
	ck_assert_int_eq(message_write(&m, MESSAGE_CRLF, &t, &f), FAULT_CONFIG);
	ck_assert_str_eq(f.text, "subject is not UTF-8 from byte 7 on");
}
END_TEST

static const struct {
	const char *name, *body, *encoding;
} bodies[] = {
    {"ASCII", "Cover the bed tonight.\n\n  34 F at 5 in the morning\n", "7bit"},
    {"degree sign",
     "3 \xc2\xb0"
     "C tonight\n",
     "quoted-printable"},
    {"a dot alone", "a\n.\nb\n", "quoted-printable"},
    {"From", "From here on\n", "quoted-printable"},
    {"what looks like a header", "\nSubject: other\n\n", "7bit"},
    {"cautions with a dash", "Look under the leaves \xe2\x80\x93 both sides.\n\n\n", "quoted-printable"},
};

START_TEST(body)
{
	struct message m = letter();
	m.body = bodies[_i].body;
	const char *bytes = written(&m, MESSAGE_CRLF), *got = unmail_body(bytes);
	ROW_STR(bodies[_i].name, field(bytes, "Content-Transfer-Encoding"), bodies[_i].encoding);
	unmail_lines(bodies[_i].name, bytes, strlen(bytes), 78);
	text_clear(&value);
	unmail_quoted(got, strlen(got), &value); /* ASCII without = is the same in both */
	ROW_STR(bodies[_i].name, value.at, bodies[_i].body);
}
END_TEST

/* ---- its name ---- */

START_TEST(id)
{
	struct message m = letter(), other;
	char a[MESSAGE_ID_SIZE], b[MESSAGE_ID_SIZE];
	struct fault f = {0};
	ck_assert_int_eq(message_id(&m, a, &f), FAULT_NONE);
	ck_assert_msg(strncmp(a, "20260512.quarry-lane.", 21) == 0, "%s", a);
	ck_assert_uint_eq(strspn(a + 21, "0123456789abcdef"), 8);
	ck_assert_str_eq(a + 29, "@example.org");
	other = m;
	other.subject = "another";
	other.body = "another\n";
	other.at += 3600;
	other.from_name = "another";
	ck_assert_int_eq(message_id(&other, b, &f), FAULT_NONE);
	ck_assert_str_eq(a, b);
	const char **const parts[] = {&other.to, &other.garden, &other.kind, &other.from};
	static const char *const instead[] = {"second@example.org", "marsh", "evening", "grower@example.com"};
	for (size_t i = 0; i < 4; i++) {
		other = m;
		*parts[i] = instead[i];
		ck_assert_int_eq(message_id(&other, b, &f), FAULT_NONE);
		ROW_MSG(strcmp(a, b) != 0, "%s makes no difference", instead[i]);
	}
	other = m;
	other.day = date_add(m.day, 1);
	ck_assert_int_eq(message_id(&other, b, &f), FAULT_NONE);
	ck_assert_str_ne(a, b);
}
END_TEST

/* The longest of everything is no line too long. */
START_TEST(longest)
{
	struct message m = letter();
	char local[65], address[MAIL_ADDRESS_SIZE], garden[LETTER_GARDEN_SIZE], name[MAIL_NAME_SIZE], signs[1000];
	struct text a;
	text_over(&a, address, sizeof address);
	memset(local, 'a', 64);
	local[64] = '\0';
	text_addf(&a, "%s@", local);
	while (a.len + 63 < sizeof address - 1)
		text_addf(&a, "%.61s.", local);
	while (!a.full)
		text_add(&a, "b");
	memset(garden, 'g', sizeof garden - 1);
	garden[sizeof garden - 1] = '\0';
	memset(name, '"', sizeof name - 1);
	name[sizeof name - 1] = '\0';
	memset(signs, '=', sizeof signs - 1);
	signs[sizeof signs - 1] = '\0';
	m.from = m.to = address;
	m.garden = garden;
	m.from_name = name;
	m.subject = signs;
	const char *bytes = written(&m, MESSAGE_CRLF);
	unmail_lines("longest", bytes, strlen(bytes), 998);
	text_clear(&value);
	struct text s;
	text_init(&s, MESSAGE_MAX);
	const char *got = field(bytes, "Subject");
	unmail_words(got, strlen(got), &s);
	ck_assert_str_eq(s.at, signs);
	text_free(&s);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("post: message");
	TCase *c = tcase_create("message");
	tcase_add_checked_fixture(c, set_up, tear_down);
#define LOOP(test, rows) tcase_add_loop_test(c, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	tcase_add_test(c, whole);
	LOOP(date, dates);
	LOOP(header_injection, evil);
	LOOP(from_name, names);
	LOOP(subject, names);
	tcase_add_test(c, no_name);
	tcase_add_test(c, not_utf8);
	LOOP(body, bodies);
#undef LOOP
	tcase_add_test(c, id);
	tcase_add_test(c, longest);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
