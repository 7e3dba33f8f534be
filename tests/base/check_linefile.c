#include <stdio.h>
#include <string.h>

#include "base/linefile.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratch.h"

/* What each line reads as, parted by |; a line that is refused as "!" and its words' beginning. */
static const struct row {
	const char *name, *bytes;
	size_t n;
	const char *lines;
} ROWS[] = {
#define BYTES(s) s, sizeof(s) - 1
    {"nothing", BYTES(""), ""},
    {"one line", BYTES("a\n"), "a|"},
    {"no end", BYTES("a\nb"), "a|b|"},
    {"CRLF", BYTES("a\r\nb\r\n"), "a|b|"},
    {"CR at the very end", BYTES("a\r\nb\r"), "a|b|"},
    {"empty lines", BYTES("\n\r\na\n"), "||a|"},
    {"mark",
     BYTES("\xEF\xBB\xBF"
	   "a\nb"),
     "a|b|"},
    {"mark alone", BYTES("\xEF\xBB\xBF"), "|"},
    {"mark later is text",
     BYTES("a\n\xEF\xBB\xBF"
	   "b"),
     "a|\xEF\xBB\xBF"
     "b|"},
    {"NUL", BYTES("a\nb\0c\nd"), "a|!has a NUL|d|"},
};

static void append(char *to, size_t size, const struct fileline *line)
{
	size_t n = strlen(to);
	(void)snprintf(to + n, size - n, "%s%.9s|", line->wrong ? "!" : line->at, line->wrong ? line->wrong : "");
}

static void read_all(struct linefile *l, char *got, size_t size)
{
	struct fileline line;
	struct fault f;
	bool there = true;
	size_t number = 0;
	got[0] = '\0';
	while (there) {
		ck_assert_int_eq(linefile_next(l, &line, &there, &f), FAULT_NONE);
		if (!there)
			break;
		ck_assert_uint_eq(line.number, ++number);
		ck_assert_uint_eq(strlen(line.at), line.n);
		append(got, size, &line);
	}
	/* The end stays the end. */
	ck_assert_int_eq(linefile_next(l, &line, &there, &f), FAULT_NONE);
	ck_assert(!there);
}

START_TEST(test_lines)
{
	const struct row *row = &ROWS[_i];
	struct linefile l;
	struct fault f;
	char got[256];
	ck_assert_int_eq(linefile_over(&l, row->bytes, row->n, &f), FAULT_NONE);
	read_all(&l, got, sizeof got);
	ROW_STR(row->name, got, row->lines);
	linefile_close(&l);
}
END_TEST

/* Lines of every length about the limit, with both ends, behind and before others. */
START_TEST(test_length)
{
	static char bytes[3 * (LINEFILE_MAX + 8)];
	for (size_t n = LINEFILE_MAX - 2; n <= LINEFILE_MAX + 3; n++)
		for (int crlf = 0; crlf < 2; crlf++) {
			struct linefile l;
			struct fileline line;
			struct fault f;
			bool there;
			size_t at = 0;
			memcpy(bytes, "x\n", 2);
			at = 2;
			memset(bytes + at, 'a', n);
			at += n;
			at += (size_t)snprintf(bytes + at, 8, "%s", crlf ? "\r\nb\n" : "\nb\n");
			ck_assert_int_eq(linefile_over(&l, bytes, at, &f), FAULT_NONE);
			ck_assert_int_eq(linefile_next(&l, &line, &there, &f), FAULT_NONE);
			ck_assert_int_eq(linefile_next(&l, &line, &there, &f), FAULT_NONE);
			ck_assert_msg((line.wrong == NULL) == (n <= LINEFILE_MAX), "%zu bytes, crlf %d", n, crlf);
			ck_assert_msg(line.wrong != NULL || line.n == n, "%zu bytes, crlf %d", n, crlf);
			ck_assert_int_eq(linefile_next(&l, &line, &there, &f), FAULT_NONE);
			ck_assert_msg(there && strcmp(line.at, "b") == 0, "%zu bytes, crlf %d", n, crlf);
			linefile_close(&l);
		}
}
END_TEST

/* A file many times the buffer: every line comes whole, a huge one is skipped. */
START_TEST(test_long_file)
{
	enum { LINES = 50000, HUGE_LINE = 300000 };
	char folder[SCRATCH_SIZE], path[SCRATCH_SIZE], want[64];
	struct linefile l;
	struct fileline line;
	struct fault f;
	bool there;
	scratch_make(folder);
	scratch_path(folder, "long", path);
	FILE *out = fopen(path, "w");
	ck_assert_ptr_nonnull(out);
	for (int i = 0; i < LINES; i++) {
		for (int k = 0; i == LINES / 2 && k < HUGE_LINE; k++)
			putc('h', out);
		fprintf(out, "line %d of %d\n", i, i * 7);
	}
	ck_assert_int_eq(fclose(out), 0);
	ck_assert_int_eq(linefile_open(&l, path, &f), FAULT_NONE);
	for (int i = 0; i < LINES; i++) {
		ck_assert_int_eq(linefile_next(&l, &line, &there, &f), FAULT_NONE);
		(void)snprintf(want, sizeof want, "line %d of %d", i, i * 7);
		if (!there || (i == LINES / 2 ? line.wrong == NULL : strcmp(line.at, want) != 0))
			ck_abort_msg("line %d: \"%s\"", i, line.at);
	}
	ck_assert_uint_eq(l.taken, l.size);
	linefile_close(&l);
	scratch_remove(folder);
}
END_TEST

START_TEST(test_beginning)
{
	struct linefile l;
	struct fileline line;
	struct fault f;
	bool is, there;
	ck_assert_int_eq(linefile_over(&l, "abc\n", 4, &f), FAULT_NONE);
	ck_assert_int_eq(linefile_begin_with(&l, "abd", 3, &is, &f), FAULT_NONE);
	ck_assert(!is);
	ck_assert_int_eq(linefile_begin_with(&l, "abc\nd", 5, &is, &f), FAULT_NONE);
	ck_assert(!is);
	ck_assert_int_eq(linefile_begin_with(&l, "ab", 2, &is, &f), FAULT_NONE);
	ck_assert(is);
	ck_assert_int_eq(linefile_next(&l, &line, &there, &f), FAULT_NONE);
	ck_assert_str_eq(line.at, "abc");
	linefile_close(&l);
}
END_TEST

START_TEST(test_faults)
{
	struct linefile l;
	struct fault f;
	ck_assert_int_eq(linefile_open(&l, "no/such", &f), FAULT_NO_INPUT);
	ck_assert_str_eq(f.text, "no/such: there is no such file");
	linefile_close(&l);
	ck_assert_int_eq(linefile_open(&l, "/tmp", &f), FAULT_NO_INPUT);
	linefile_close(&l);
	mem_fail_after(0, false);
	ck_assert_int_eq(linefile_over(&l, "", 0, &f), FAULT_MEMORY);
	mem_fail_after(-1, false);
	linefile_close(&l);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("base/linefile");
	TCase *t = tcase_create("lines");
	tcase_add_loop_test(t, test_lines, 0, sizeof ROWS / sizeof ROWS[0]);
	tcase_add_test(t, test_length);
	tcase_add_test(t, test_long_file);
	tcase_add_test(t, test_beginning);
	tcase_add_test(t, test_faults);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
