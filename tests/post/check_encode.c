#include "post/encode.h"

#include <stdint.h>
#include <string.h>

#include "lib/harness.h"
#include "lib/unmail.h"

static char at[1 << 17], back_at[1 << 17];
static struct text t, back;

static void clear(void)
{
	text_over(&t, at, sizeof at);
	text_over(&back, back_at, sizeof back_at);
}

/* ---- the decoders of the tests, by the examples of the RFCs ---- */

static const struct {
	const char *name, *coded, *plain;
} quoted_examples[] = {
    {"RFC 2045 6.7: a soft line end", "Now's the time =\r\nfor all folk to come=\r\n to the aid of their country.",
     "Now's the time for all folk to come to the aid of their country."},
    {"RFC 2045 6.7 (1): form feed and =", "=0C and =3D", "\f and ="},
};

START_TEST(quoted_decoder)
{
	clear();
	unmail_quoted(quoted_examples[_i].coded, strlen(quoted_examples[_i].coded), &back);
	ROW_STR(quoted_examples[_i].name, back.at, quoted_examples[_i].plain);
}
END_TEST

/* RFC 2047 8, the table of what is displayed; its charset changed to ours. */
static const struct {
	const char *coded, *plain;
} word_examples[] = {
    {"=?UTF-8?Q?a?=", "a"},
    {"=?UTF-8?Q?a?= b", "a b"},
    {"=?UTF-8?Q?a?= =?UTF-8?Q?b?=", "ab"},
    {"=?UTF-8?Q?a?=  =?UTF-8?Q?b?=", "ab"},
    {"=?UTF-8?Q?a?=\r\n    =?UTF-8?Q?b?=", "ab"},
    {"=?UTF-8?Q?a_b?=", "a b"},
    {"=?UTF-8?Q?a?= =?UTF-8?Q?_b?=", "a b"},
};

START_TEST(word_decoder)
{
	clear();
	unmail_words(word_examples[_i].coded, strlen(word_examples[_i].coded), &back);
	ROW_STR(word_examples[_i].coded, back.at, word_examples[_i].plain);
}
END_TEST

/* ---- words ---- */

static const struct {
	const char *name, *plain, *coded;
} words[] = {
    {"RFC 2047 8: a name, its bytes in UTF-8", "Olle J\xc3\xa4rnefors", "=?UTF-8?Q?Olle_J=C3=A4rnefors?="},
    {"RFC 2047 4.2 (2): a blank", "a b", "=?UTF-8?Q?a_b?="},
    {"RFC 2047 4.2 (2): an underline", "a_b", "=?UTF-8?Q?a=5Fb?="},
    {"RFC 2047 4.2: = and ?", "a=b?", "=?UTF-8?Q?a=3Db=3F?="},
    {"RFC 2047 5 (3): what may stand in a name", "aZ09!*+-/", "=?UTF-8?Q?aZ09!*+-/?="},
    {"RFC 2047 5 (3): what may not", "\"(,.:;<>@[\\]", "=?UTF-8?Q?=22=28=2C=2E=3A=3B=3C=3E=40=5B=5C=5D?="},
    {"a character of four bytes", "\xf0\x9f\x8c\xb1", "=?UTF-8?Q?=F0=9F=8C=B1?="},
    {"a word as long as may be", "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
     "=?UTF-8?Q?aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa?="},
    {"one more", "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaab",
     "=?UTF-8?Q?aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa?=\r\n =?UTF-8?Q?b?="},
    {"a character that would be split", "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\xc3\xa9",
     "=?UTF-8?Q?aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa?=\r\n =?UTF-8?Q?=C3=A9?="},
};

/* Nine characters stand before: the first line has room for a word of 67. */
enum { COLUMN = 9 };

START_TEST(words_as_written)
{
	clear();
	encode_words(words[_i].plain, COLUMN, "\r\n", &t);
	ROW_STR(words[_i].name, t.at, words[_i].coded);
}
END_TEST

/* Characters of one to four bytes at every place of a line. */
START_TEST(words_round)
{
	static const char *const character[] = {"a", " ", "?", "\xc3\xa9", "\xe2\x82\xac", "\xf0\x9f\x8c\xb1"};
	char plain[1200];
	uint32_t dice = 1;
	for (size_t column = 0; column <= 20; column++)
		for (int lot = 0; lot < 40; lot++) {
			struct text p;
			text_over(&p, plain, 8 + (size_t)lot * 25);
			while (!p.full) {
				dice = dice * 1664525 + 1013904223;
				text_add(&p, character[(dice >> 16) % 6]);
			}
			clear();
			encode_words(plain, column, "\r\n", &t);
			unmail_words(t.at, t.len, &back);
			ROW_STR("round", back.at, plain);
			unmail_lines("round", t.at, t.len, 76);
			ROW_TRUE("first line", strcspn(t.at, "\r") + column <= 76);
		}
}
END_TEST

/* ---- bodies ---- */

#define X10 "xxxxxxxxxx"
#define X70 X10 X10 X10 X10 X10 X10 X10

static const struct {
	const char *name, *plain, *coded;
} bodies[] = {
    {"ASCII", "frost tonight\n", "frost tonight\r\n"},
    {"no line end", "frost", "frost\r\n"},
    {"empty", "", "\r\n"},
    {"empty lines", "\n\na\n\n", "\r\n\r\na\r\n\r\n"},
    {"CR LF is a line end", "a\r\nb\r\n", "a\r\nb\r\n"},
    {"a bare CR is none", "a\rb\n", "a=0Db\r\n"},
    {"a CR at the very end", "a\r", "a=0D\r\n"},
    {"equals sign", "a=b\n", "a=3Db\r\n"},
    {"degree sign", "3\xc2\xb0\n", "3=C2=B0\r\n"},
    {"control characters", "a\x01\x7f\x1b\n", "a=01=7F=1B\r\n"},
    {"a byte that is no UTF-8", "a\xff\n", "a=FF\r\n"},
    {"blank at the end", "a \n", "a=20\r\n"},
    {"tab at the end", "a\t\nb", "a=09\r\nb\r\n"},
    {"blanks at the end", "a  \n", "a =20\r\n"},
    {"a blank alone", " \n", "=20\r\n"},
    {"blanks within", "  a\tb\n", "  a\tb\r\n"},
    {"a dot alone", "a\n.\nb\n", "a\r\n=2E\r\nb\r\n"},
    {"a dot at the start", ".a\n", "=2Ea\r\n"},
    {"a dot elsewhere", "a.\n .\n", "a.\r\n .\r\n"},
    {"two dots", "..\n", "=2E.\r\n"},
    {"From at the start", "From here\n", "=46rom here\r\n"},
    {"From elsewhere", ">From here\nFromage\n", ">From here\r\nFromage\r\n"},
    {"75 characters", X70 "aaaaa\n", X70 "aaaaa\r\n"},
    {"76 characters", X70 "aaaaab\n", X70 "aaaaa=\r\nb\r\n"},
    {"a soft line end before a dot", X70 "aaaaa.b\n", X70 "aaaaa=\r\n=2Eb\r\n"},
    {"a soft line end before From", X70 "aaaaaFrom b\n", X70 "aaaaa=\r\n=46rom b\r\n"},
    {"a soft line end before what is encoded", X70 "aaa\xc2\xb0\n", X70 "aaa=\r\n=C2=B0\r\n"},
};

START_TEST(quoted_as_written)
{
	clear();
	encode_quoted(bodies[_i].plain, "\r\n", &t);
	ROW_STR(bodies[_i].name, t.at, bodies[_i].coded);
}
END_TEST

/* Every byte but NUL and the line ends, in an order that brings each to every place of a line. */
START_TEST(quoted_round)
{
	char plain[1 << 15];
	size_t n = 0;
	uint32_t dice = 7;
	while (n + 2 < sizeof plain) {
		dice = dice * 1664525 + 1013904223;
		char c = (char)(dice >> 17);
		if (c == '\0' || c == '\r')
			continue;
		plain[n++] = (dice & 0x700) == 0 ? '.' : (dice & 0x700) == 0x100 ? ' ' : c;
	}
	plain[n++] = '\n';
	plain[n] = '\0';
	clear();
	encode_quoted(plain, "\r\n", &t);
	ck_assert(!t.full);
	unmail_quoted(t.at, t.len, &back);
	ROW_TRUE("round", back.len == n && memcmp(back.at, plain, n) == 0);
	unmail_lines("round", t.at, t.len, 76);
	ROW_TRUE("no line begins with a dot", t.at[0] != '.' && strstr(t.at, "\n.") == NULL);
}
END_TEST

static const struct {
	const char *name, *body;
	bool fits;
} plain_rows[] = {
    {"a note", "Cover the bed tonight: 34 F.\n\n  tub  carry it in\n", true},
    {"empty", "", true},
    {"tabs", "a\tb\n", true},
    {"CR LF", "a\r\nb\r\n", true},
    {"degree sign", "3\xc2\xb0\n", false},
    {"bare CR", "a\rb\n", false},
    {"control character", "a\x07\n", false},
    {"DEL", "a\x7f\n", false},
    {"a dot alone", "a\n.\n", false},
    {"a dot at the start of the last line", "a\n.b", false},
    {"From", "From here\n", false},
    {"blank at the end", "a \nb\n", false},
};

START_TEST(plain_fits)
{
	ROW_INT(plain_rows[_i].name, encode_plain_fits(plain_rows[_i].body), plain_rows[_i].fits);
	if (!plain_rows[_i].fits)
		return;
	clear();
	encode_plain(plain_rows[_i].body, "\r\n", &t);
	unmail_lines(plain_rows[_i].name, t.at, t.len, 998);
	ROW_TRUE(plain_rows[_i].name, t.len >= 2 && strcmp(t.at + t.len - 2, "\r\n") == 0);
}
END_TEST

/* RFC 5322 2.1.1 */
START_TEST(plain_length)
{
	char body[1001];
	memset(body, 'x', sizeof body);
	body[998] = '\0';
	ck_assert(encode_plain_fits(body));
	body[998] = 'x';
	body[999] = '\0';
	ck_assert(!encode_plain_fits(body));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("post: encode");
	TCase *c = tcase_create("encode");
#define LOOP(test, rows) tcase_add_loop_test(c, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(quoted_decoder, quoted_examples);
	LOOP(word_decoder, word_examples);
	LOOP(words_as_written, words);
	tcase_add_test(c, words_round);
	LOOP(quoted_as_written, bodies);
	tcase_add_test(c, quoted_round);
	LOOP(plain_fits, plain_rows);
#undef LOOP
	tcase_add_test(c, plain_length);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
