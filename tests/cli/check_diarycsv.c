#include "cli/diarycsv.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "lib/faultvfs.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/diary.h"

/*
 * The diary as CSV: what goes out comes in again as the same, whatever the grower wrote.
 */

#define HEAD "garden,number,written,date,planting,crop,variety,bed,verb,text,amount,undoes\r\n"

enum { OUT_SIZE = 64 * 1024, ANY_ENTRIES = 200 };

static struct scratchrecord scratch;
static char file[SCRATCH_SIZE];
static struct fault f;
static struct faults wrong;
static struct diarycsv d;

static void set_up(void)
{
	f = (struct fault){0};
	wrong = (struct faults){0};
	faultvfs_install(); /* which waits for no disk */
	scratchrecord_open(&scratch);
	scratch_path(scratch.folder, "diary.csv", file);
}

static void tear_down(void)
{
	diarycsv_free(&d);
	scratchrecord_close(&scratch);
}

static enum fault_code read_bytes(const char *bytes, size_t n)
{
	FILE *out = fopen(file, "wb");
	ck_assert_uint_eq(fwrite(bytes, 1, n, out), n);
	fclose(out);
	return diarycsv_read(file, "g", &d, &wrong, &f);
}

static const struct entry PLAIN = {.id = 1, .written = 1778562000, .date = {20585}, .verb = "watered", .amount = NAN};

/* ---- out, by hand from RFC 4180 ---- */

static const struct {
	const char *row, *text;
	double amount;
	int64_t undoes;
	const char *line;
} LINES[] = {
    {"plain", "watered south", NAN, 0, "g,1,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,watered south,,\r\n"},
    {"nothing written", "", NAN, 0, "g,1,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,,,\r\n"},
    {"a comma (2.6)", "a, b", NAN, 0, "g,1,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,\"a, b\",,\r\n"},
    {"a quote (2.7)", "a \"b\"", NAN, 0, "g,1,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,\"a \"\"b\"\"\",,\r\n"},
    {"blanks are part of it (2.4)", " a ", NAN, 0, "g,1,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,\" a \",,\r\n"},
    {"an amount", "a", 0.1, 0, "g,1,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,a,0.1,\r\n"},
    {"an amount of nothing", "a", 0, 0, "g,1,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,a,0,\r\n"},
    {"an undo", "a", NAN, 7, "g,1,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,a,,7\r\n"},
};

START_TEST(line)
{
	char mem[DIARYCSV_LINE_MAX];
	struct text t;
	struct entry e = PLAIN;
	(void)snprintf(e.text, sizeof e.text, "%s", LINES[_i].text);
	e.amount = LINES[_i].amount;
	e.undoes = LINES[_i].undoes;
	text_over(&t, mem, sizeof mem);
	diarycsv_line("g", &e, &t);
	ROW_STR(LINES[_i].row, mem, LINES[_i].line);
}
END_TEST

START_TEST(heading)
{
	char mem[DIARYCSV_LINE_MAX];
	struct text t;
	text_over(&t, mem, sizeof mem);
	diarycsv_head(&t);
	ck_assert_str_eq(mem, HEAD);
}
END_TEST

/* The longest that an entry may be fits a line, all of it quotes. */
START_TEST(longest_line)
{
	char mem[DIARYCSV_LINE_MAX], garden[64];
	struct text t;
	struct entry e = PLAIN;
	char *const words[] = {e.planting, e.crop, e.variety, e.bed, e.verb};
	for (size_t i = 0; i < sizeof words / sizeof *words; i++)
		memset(words[i], '"', ENTRY_WORD_SIZE - 1);
	memset(e.text, '"', ENTRY_TEXT_SIZE - 1);
	memset(garden, 'g', sizeof garden - 1);
	garden[sizeof garden - 1] = '\0';
	e.amount = -1.0 / 3e11;
	text_over(&t, mem, sizeof mem);
	diarycsv_line(garden, &e, &t);
	ck_assert(!t.full);
}
END_TEST

/* ---- in ---- */

static const struct {
	const char *row, *file;
	size_t n;
	const char *text, *says; /* of the first entry; of the first fault */
} FILES[] = {
    {"as it went out", HEAD "g,1,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,\"a, b\",,\r\n", 1, "a, b", NULL},
    {"a heading alone", HEAD, 0, NULL, NULL},
    {"nothing at all", "", 0, NULL, "is empty; a diary begins with its heading"},
    {"line feeds, no last one, a mark before (a spreadsheet's)",
     "\xEF\xBB\xBFgarden;number;written;date;planting;crop;variety;bed;verb;text;amount;undoes\n"
     "g;1;2026-05-12T05:00:00Z;2026-05-12;;;;;watered;\"a; b\";;",
     1, "a; b", NULL},
    {"other order, an empty line",
     "undoes,amount,text,verb,bed,variety,crop,planting,date,written,number,garden\n\n"
     ",,a,watered,,,,,2026-05-12,2026-05-12T00:00:00-05:00,1,g\n",
     1, "a", NULL},
    {"a column too few", "garden,number,written,date,planting,crop,variety,bed,verb,text,amount\n", 0, NULL,
     ":1: there is no column \"undoes\""},
    {"a column too many", "mood,garden,number\n", 0, NULL, ":1: column \"mood\" is not known"},
    {"a column twice", "garden,garden\n", 0, NULL, ":1: column \"garden\" is there twice"},
    {"another garden's", HEAD "h,1,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,a,,\n", 0, NULL,
     ":2: is of garden \"h\"; this garden's id is \"g\""},
    {"no offset", HEAD "g,1,2026-05-12T05:00:00,2026-05-12,,,,,watered,a,,\n", 0, NULL, ":2: written: "},
    {"no such day", HEAD "g,1,2026-05-12T05:00:00Z,2026-02-30,,,,,watered,a,,\n", 0, NULL, ":2: date: "},
    {"no number", HEAD "g,,2026-05-12T05:00:00Z,2026-02-28,,,,,watered,a,,\n", 0, NULL, ":2: number: "},
    {"no amount", HEAD "g,1,2026-05-12T05:00:00Z,2026-02-28,,,,,watered,a,nan,\n", 0, NULL, ":2: amount: "},
    {"undoes a word", HEAD "g,1,2026-05-12T05:00:00Z,2026-02-28,,,,,watered,a,,x\n", 0, NULL, ":2: undoes: "},
    {"numbers fall",
     HEAD "g,2,2026-05-12T05:00:00Z,2026-02-28,,,,,watered,a,,\ng,2,2026-05-12T05:00:00Z,2026-02-28,,,,,watered,a,,\n",
     1, "a", ":3: number: 2 comes after 2"},
    {"Latin-1", HEAD "g,1,2026-05-12T05:00:00Z,2026-02-28,,,,,watered,caf\xe9,,\n", 0, NULL, ":2: text is not UTF-8"},
    {"a long word", HEAD "g,1,2026-05-12T05:00:00Z,2026-02-28,a-name-of-thirty-two-bytes-hereee,,,,watered,a,,\n", 0,
     NULL, ":2: planting is longer than 31 bytes"},
    {"a field too few", HEAD "g,1,2026-05-12T05:00:00Z,2026-02-28,,,,,watered,a,\n", 0, NULL, ":2: has 11 fields"},
    {"a lost quote", HEAD "g,1,2026-05-12T05:00:00Z,2026-02-28,,,,,watered,\"a,,\n", 0, NULL, ":2: a quote does not"},
};

START_TEST(file_in)
{
	const char *row = FILES[_i].row;
	enum fault_code code = read_bytes(FILES[_i].file, strlen(FILES[_i].file));
	ROW_INT(row, d.n, FILES[_i].n);
	if (d.n > 0)
		ROW_STR(row, d.entries[0].text, FILES[_i].text);
	if (FILES[_i].says == NULL) {
		ck_assert_msg(code == FAULT_NONE && wrong.n == 0, "%s: %s%s", row, f.text, wrong.at[0].text);
		return;
	}
	ROW_INT(row, code, FAULT_DATA);
	ROW_INT(row, wrong.n, 1);
	ck_assert_msg(strstr(wrong.at[0].text, FILES[_i].says) != NULL, "%s: %s", row, wrong.at[0].text);
	ck_assert_msg(strncmp(wrong.at[0].text, file, strlen(file)) == 0, "%s: %s", row, wrong.at[0].text);
}
END_TEST

START_TEST(all_that_is_wrong)
{
	static const char bytes[] = HEAD "g,1,x,2026-05-12,,,,,watered,a,,\n"
					 "g,2,2026-05-12T05:00:00Z,2026-05-12,,,,,watered,a,,\n"
					 "g,3,2026-05-12T05:00:00Z,x,,,,,watered,a,,\n";
	ck_assert_int_eq(read_bytes(bytes, sizeof bytes - 1), FAULT_DATA);
	ck_assert_uint_eq(wrong.n, 2);
	ck_assert_ptr_nonnull(strstr(wrong.at[1].text, ":4: date: "));
	ck_assert_str_eq(f.text, "");
}
END_TEST

START_TEST(short_of_memory)
{
	char bytes[OUT_SIZE];
	struct text t;
	text_over(&t, bytes, sizeof bytes);
	diarycsv_head(&t);
	for (int i = 1; i <= ANY_ENTRIES; i++) {
		struct entry e = PLAIN;
		e.id = i;
		diarycsv_line("g", &e, &t);
	}
	ck_assert(!t.full);
	for (long n = 0;; n++) {
		mem_fail_after(n, false);
		enum fault_code code = read_bytes(bytes, t.len);
		bool refused = mem_refused() > 0;
		mem_fail_after(-1, false);
		ck_assert_int_eq(code, refused ? FAULT_MEMORY : FAULT_NONE);
		if (!refused)
			break;
		diarycsv_free(&d);
	}
	ck_assert_uint_eq(d.n, ANY_ENTRIES);
}
END_TEST

/* ---- out, in, out ---- */

static uint32_t any(uint32_t *state, uint32_t below)
{
	/* Numerical Recipes, 2nd ed. 7.1: digits without a rule to the eye, the same each time. */
	*state = *state * UINT32_C(1664525) + UINT32_C(1013904223);
	return (*state >> 8) % below;
}

/* Words of letters that CSV readers stumble over. */
static void any_word(char *to, size_t size, uint32_t *state)
{
	static const char *const pieces[] = {"a", "b", " ",  ",", "\"", ";", "'", "\xc3\xa9", "\xf0\x9f\x8c\xb1",
					     "=", "#", "\\", "0"};
	struct text t;
	text_over(&t, to, size);
	for (uint32_t n = any(state, 30); n > 0; n--)
		text_add(&t, pieces[any(state, sizeof pieces / sizeof *pieces)]);
}

static struct entry any_entry(int64_t before, uint32_t *state)
{
	static const double amounts[] = {0.1, 1.0 / 3, 25.4, -7, 1e-9, 123456.789, 0};
	struct entry e = {.written = 1778562000 + any(state, 20), .date = {20000 + (int32_t)any(state, 900)}};
	any_word(e.planting, sizeof e.planting, state);
	any_word(e.crop, sizeof e.crop, state);
	any_word(e.variety, sizeof e.variety, state);
	any_word(e.bed, sizeof e.bed, state);
	any_word(e.verb, sizeof e.verb, state);
	any_word(e.text, sizeof e.text, state);
	e.amount = any(state, 2) ? amounts[any(state, sizeof amounts / sizeof *amounts)] : (double)NAN;
	e.undoes = before > 0 && any(state, 4) == 0 ? 1 + any(state, (uint32_t)before) : 0;
	return e;
}

static int by_id(const void *a, const void *b)
{
	const struct entry *x = a, *y = b;
	return (x->id > y->id) - (x->id < y->id);
}

/* The diary of a garden; numbers are ids here, as the record has no other garden. */
static void write_out(struct record *rec, struct text *t)
{
	struct entry *all;
	size_t n;
	ck_assert_int_eq(diary_list(rec, "g", DIARY_ALL, &all, &n, &f), FAULT_NONE);
	if (n > 0)
		qsort(all, n, sizeof *all, by_id);
	diarycsv_head(t);
	for (size_t i = 0; i < n; i++)
		diarycsv_line("g", &all[i], t);
	ck_assert(!t->full);
	mem_free(all);
}

START_TEST(out_in_out)
{
	static char first[OUT_SIZE], again[OUT_SIZE];
	struct scratchrecord fresh;
	struct diary_taken taken;
	struct text t;
	uint32_t state = 4180 + (uint32_t)_i;
	int64_t count = 0;
	for (int i = 0; i < ANY_ENTRIES; i++) {
		struct entry e = any_entry(count, &state);
		/* What may not be taken back is refused; that is not the matter here. */
		count += diary_append(scratch.rec, "g", &e, &f) == FAULT_NONE;
	}
	text_over(&t, first, sizeof first);
	write_out(scratch.rec, &t);
	ck_assert_int_gt(count, ANY_ENTRIES / 2);
	ck_assert_msg(read_bytes(first, t.len) == FAULT_NONE, "%s%s", f.text, wrong.at[0].text);
	ck_assert_int_eq((int64_t)d.n, count);

	scratchrecord_open(&fresh);
	ck_assert_msg(diary_take(fresh.rec, "g", d.entries, d.n, &taken, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq((int64_t)taken.added, count);
	text_over(&t, again, sizeof again);
	write_out(fresh.rec, &t);
	ck_assert_str_eq(again, first);
	/* And once more there is nothing left to take. */
	ck_assert_int_eq(diary_take(fresh.rec, "g", d.entries, d.n, &taken, &f), FAULT_NONE);
	ck_assert_uint_eq(taken.added, 0);
	scratchrecord_close(&fresh);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("cli/diarycsv");
	TCase *t = tcase_create("diarycsv");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_loop_test(t, line, 0, sizeof LINES / sizeof *LINES);
	tcase_add_test(t, heading);
	tcase_add_test(t, longest_line);
	tcase_add_loop_test(t, file_in, 0, sizeof FILES / sizeof *FILES);
	tcase_add_test(t, all_that_is_wrong);
	tcase_add_test(t, short_of_memory);
	tcase_add_loop_test(t, out_in_out, 0, 5);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
