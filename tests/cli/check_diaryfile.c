#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/instant.h"
#include "base/mem.h"
#include "cli/diaryfile.h"
#include "garden/diaryline.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"

/* Mornings of an invented garden with a file of diary lines: what of it is taken, and when. */

enum { OFFSET = -6 * HOUR_S, MORNING_S = 6 * HOUR_S, EVENING_S = 19 * HOUR_S, SAID_SIZE = 4096, MORNINGS = 5 };

static struct scratchrecord scratch;
static struct options options;
static struct context *c;
static struct fault f;

static void setup(void)
{
	f = (struct fault){0};
	scratchrecord_open(&scratch);
	options = (struct options){
	    .command = COMMAND_MORNING, .date = date_none(), .since = date_none(), .until = date_none(), .at = 0};
	ck_assert_int_eq(context_new(&options, &c, &f), FAULT_NONE);
	bed_crops(&c->crops);
	bed_garden(&c->garden, UNIT_US);
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", "");
	bed_planting(&c->garden, &c->crops, "green-2", "gourdlet", "2026-04-20", "");
	(void)snprintf(c->garden.diary, sizeof c->garden.diary, "diary.txt");
	scratch_path(scratch.folder, "garden.ini", c->garden_path);
	zone_fixed("Test/Lane", OFFSET, &c->zone);
	c->record = scratch.rec;
}

static void teardown(void)
{
	c->record = NULL; /* the scratch's own */
	context_free(c);
	scratchrecord_close(&scratch);
}

/* NULL: there is none. */
static void write_file(const char *text)
{
	char path[SCRATCH_SIZE];
	scratch_path(scratch.folder, "diary.txt", path);
	(void)unlink(path);
	if (text == NULL)
		return;
	FILE *out = fopen(path, "wb");
	ck_assert_ptr_nonnull(out);
	ck_assert_int_ge(fputs(text, out), 0);
	fclose(out);
}

static void type(const char *line, int day)
{
	struct diaryline read;
	ck_assert_msg(diaryline_read(line, &c->garden, bed_day(day), &read, &f) == FAULT_NONE, "%s", f.text);
	for (size_t i = 0; i < read.n; i++)
		read.entry[i].written = instant_at(bed_day(day), EVENING_S, OFFSET);
	ck_assert_int_eq(diary_append_all(c->record, c->garden.id, read.entry, read.n, &f), FAULT_NONE);
}

/* "new known; said anew of refused", or the fault. */
static const char *morning(int day)
{
	static char said[SAID_SIZE];
	struct diaryfile d;
	c->now = instant_at(bed_day(day), MORNING_S, OFFSET);
	if (diaryfile_take(c, &d, &f) != FAULT_NONE)
		(void)snprintf(said, sizeof said, "fault %d", (int)f.code);
	else
		(void)snprintf(said, sizeof said, "%zu %zu; %zu of %zu", d.taken, d.known, d.fresh.n, d.refused.n);
	diaryfile_free(&d);
	return said;
}

static const struct {
	const char *row;
	struct given {
		const char *typed; /* on the evening before; NULL: nothing */
		const char *file, *want;
	} step[MORNINGS]; /* a morning each */
} ROWS[] = {
    {"each line once", {{NULL, "low 38 F\n", "1 0; 0 of 0"}, {NULL, "low 38 F\n", "0 1; 0 of 0"}}},
    {"comments, blanks, no end of the last line",
     {{NULL, "# mine\n\n  low 38 F  # cold\r\n#low 20 F\nnote row #3", "2 0; 0 of 0"}}},
    {"a new line, wherever it stands",
     {{NULL, "low 38 F\n", "1 0; 0 of 0"}, {NULL, "rain 8 mm\nlow 38 F\nrain 9 mm\n", "2 1; 0 of 0"}}},
    {"a second copy is a second time",
     {{NULL, "watered green-1\n", "1 0; 0 of 0"},
      {NULL, "watered green-1\nwatered green-1\n", "1 1; 0 of 0"},
      {NULL, "watered green-1\nwatered green-1\n", "0 2; 0 of 0"}}},
    {"the same words in an emptied file",
     {{NULL, "watered green-1\n", "1 0; 0 of 0"},
      {NULL, "", "0 0; 0 of 0"},
      {NULL, "watered green-1\n", "1 0; 0 of 0"}}},
    {"the same words in a shortened file",
     {{NULL, "watered green-1\nlow 38 F\n", "2 0; 0 of 0"},
      {NULL, "low 38 F\n", "0 1; 0 of 0"},
      {NULL, "low 38 F\nwatered green-1\n", "1 1; 0 of 0"}}},
    {"lines with their day in a file that was away",
     {{NULL, "1 May: low 38 F\n1 May: low 38 F\n", "2 0; 0 of 0"},
      {NULL, "", "0 0; 0 of 0"},
      {NULL, "1 May: low 38 F\n1 May: low 38 F\n1 May: low 38 F\n", "1 2; 0 of 0"}}},
    {"a file that cannot be read is not an empty one",
     {{NULL, "watered green-1\n", "1 0; 0 of 0"},
      {NULL, NULL, "fault 66"},
      {NULL, "watered green-1\n", "0 1; 0 of 0"}}},
    {"a line about two, in a new file of a record that has it",
     {{"14 May: fed green-1 and green-2", "14 May: fed green-1 and green-2\n", "0 1; 0 of 0"}}},
    {"what was typed before there was a file",
     {{"watered green-1", "watered green-1\nwatered green-1\n", "1 1; 0 of 0"}}},
    {"what is typed beside the file",
     {{NULL, "low 38 F\n", "1 0; 0 of 0"}, {"watered green-1", "low 38 F\nwatered green-1\n", "1 1; 0 of 0"}}},
    {"not understood: said once, and not forgotten",
     {{NULL, "lwo 38 F\n", "0 0; 1 of 1"},
      {NULL, "lwo 38 F\n", "0 0; 0 of 1"},
      {NULL, "lwo 38 F\nrian 8 mm\n", "0 0; 1 of 2"},
      {NULL, "low 38 F\nrian 8 mm\n", "1 0; 0 of 1"}}},
    {"a copy of it is another", {{NULL, "lwo 3\n", "0 0; 1 of 1"}, {NULL, "lwo 3\nlwo 3\n", "0 0; 1 of 2"}}},
    {"a day to come is refused until it is there",
     {{NULL, "2026-05-20 low 38 F\n", "0 0; 1 of 1"}, {NULL, "2026-05-20 low 38 F\n", "1 0; 0 of 0"}}},
    {"no text: a byte of another encoding", {{NULL, "note \xff\nlow 38 F\n", "1 0; 1 of 1"}}},
    {"an empty file", {{NULL, "", "0 0; 0 of 0"}}},
};

START_TEST(mornings)
{
	for (int i = 0; i < MORNINGS && ROWS[_i].step[i].want != NULL; i++) {
		const struct given *s = &ROWS[_i].step[i];
		char row[SAID_SIZE];
		if (s->typed != NULL)
			type(s->typed, i - 1);
		write_file(s->file);
		(void)snprintf(row, sizeof row, "%s, morning %d", ROWS[_i].row, i + 1);
		ROW_STR(row, morning(i), s->want);
	}
}
END_TEST

/* The day of a line without one is that of its first reading, and stays. */
START_TEST(day_of_first_reading)
{
	struct entry *all;
	size_t n;
	write_file("low 38 F\n");
	ck_assert_str_eq(morning(0), "1 0; 0 of 0");
	ck_assert_str_eq(morning(3), "0 1; 0 of 0");
	ck_assert_int_eq(diary_list(c->record, c->garden.id, DIARY_STANDING, &all, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 1);
	ck_assert_int_eq(all[0].date.n, bed_day(0).n);
	ck_assert_str_eq(all[0].text, "low 38 F");
	/* Taken back it stays so, though the line is still there. */
	struct entry undo = {
	    .written = c->now, .date = bed_day(3), .verb = "undo", .text = "undo 1", .undoes = all[0].id};
	mem_free(all);
	ck_assert_int_eq(diary_append(c->record, c->garden.id, &undo, &f), FAULT_NONE);
	ck_assert_str_eq(morning(4), "0 1; 0 of 0");
}
END_TEST

/* A planting that the garden file learns of later. */
START_TEST(understood_later)
{
	write_file("picked green-3\n");
	ck_assert_str_eq(morning(0), "0 0; 1 of 1");
	ck_assert_str_eq(morning(1), "0 0; 0 of 1");
	bed_planting(&c->garden, &c->crops, "green-3", "gourdlet", "", "");
	ck_assert_str_eq(morning(2), "1 0; 0 of 0");
	ck_assert_str_eq(morning(3), "0 1; 0 of 0");
}
END_TEST

START_TEST(what_is_said)
{
	struct diaryfile d;
	write_file("# mine\nMon: low 38 F\n\nlwo 38 F\n");
	c->now = instant_at(bed_day(0), MORNING_S, OFFSET);
	ck_assert_int_eq(diaryfile_look(c, &d, &f), FAULT_NONE);
	ck_assert_str_eq(d.echo.at, "Mon 18 May: low 38 F\n");
	ck_assert_str_eq(d.fresh.at[0].text, "diary.txt:4: \"lwo\" is not understood; did you mean \"low\"?");
	diaryfile_free(&d);
	/* A look stores nothing. */
	ck_assert_str_eq(morning(0), "1 0; 1 of 1");
	/* A garden without a file. */
	c->garden.diary[0] = '\0';
	ck_assert_str_eq(morning(0), "0 0; 0 of 0");
}
END_TEST

START_TEST(no_memory)
{
	write_file("low 38 F\npicked green-1\nlwo 3\n");
	long after = 0;
	for (bool refused = true; refused; after++) {
		struct diaryfile d;
		mem_fail_after(after, true);
		enum fault_code code = diaryfile_look(c, &d, &f);
		refused = mem_refused() > 0;
		mem_fail_after(-1, false);
		ck_assert(code == FAULT_NONE || code == FAULT_MEMORY);
		diaryfile_free(&d);
	}
	ck_assert_int_gt(after, 3);
	ck_assert_str_eq(morning(0), "2 0; 1 of 1");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("cli/diaryfile");
	TCase *t = tcase_create("mornings");
	tcase_add_checked_fixture(t, setup, teardown);
	tcase_add_loop_test(t, mornings, 0, sizeof ROWS / sizeof *ROWS);
	tcase_add_test(t, day_of_first_reading);
	tcase_add_test(t, understood_later);
	tcase_add_test(t, what_is_said);
	tcase_add_test(t, no_memory);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
