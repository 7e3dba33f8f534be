#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/mem.h"
#include "lib/faultvfs.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/diary.h"

/*
 * Entries that come in from elsewhere.  Each is written here as "number:text", "number:text<undone number",
 * and its instant is the length of its text, so that the same text is of the same second.
 */

enum { MOST = 12, SAID_SIZE = 400, MOST_POINTS = 10000 };

static struct scratchrecord scratch;
static struct fault f;

static void set_up(void)
{
	f = (struct fault){0};
	scratchrecord_open(&scratch);
}

static void tear_down(void)
{
	faultvfs_off();
	scratchrecord_close(&scratch);
}

static size_t entries_of(const char *list, struct entry all[static MOST])
{
	size_t n = 0;
	while (*list != '\0') {
		struct entry e = {.date = {20000}, .amount = NAN};
		size_t size = strcspn(list, " "), text = 2;
		ck_assert_uint_lt(n, MOST);
		e.id = list[0] - '0';
		size_t end = text + strcspn(list + text, " <");
		(void)snprintf(e.text, sizeof e.text, "%.*s", (int)(end - text), list + text);
		e.written = (int64_t)(end - text);
		if (list[end] == '<')
			e.undoes = list[end + 1] - '0';
		all[n++] = e;
		list += size + (list[size] == ' ');
	}
	return n;
}

/* What is there, in the same way, numbered from 1 by the order it came in. */
static void said(char buf[static SAID_SIZE])
{
	struct entry *all;
	size_t n;
	int used = 0;
	buf[0] = '\0';
	ck_assert_int_eq(diary_list(scratch.rec, "g", DIARY_ALL, &all, &n, &f), FAULT_NONE);
	for (size_t i = 0; i < n; i++) {
		size_t back = 0;
		while (all[i].undoes != 0 && all[back].id != all[i].undoes)
			back++;
		used +=
		    snprintf(buf + used, SAID_SIZE - (size_t)used, "%s%zu:%s", i > 0 ? " " : "", i + 1, all[i].text);
		if (all[i].undoes != 0)
			used += snprintf(buf + used, SAID_SIZE - (size_t)used, "<%zu", back + 1);
	}
	mem_free(all);
}

static enum fault_code take(const char *list, struct diary_taken *taken)
{
	struct entry all[MOST];
	size_t n = entries_of(list, all);
	return diary_take(scratch.rec, "g", all, n, taken, &f);
}

static const struct {
	const char *row, *before, *given, *after;
	size_t there;      /* of the given, there already */
	const char *fault; /* NULL: none */
	size_t wrong;
} TAKES[] = {
    {"into nothing", "", "1:a 2:bb", "1:a 2:bb", 0, NULL, 0},
    {"nothing", "1:a", "", "1:a", 0, NULL, 0},
    {"the same again", "1:a 2:bb", "1:a 2:bb", "1:a 2:bb", 2, NULL, 0},
    {"in between", "1:a 2:ccc", "1:a 2:bb 3:ccc", "1:a 2:ccc 3:bb", 2, NULL, 0},
    {"two of one second are two", "", "1:a 2:a", "1:a 2:a", 0, NULL, 0},
    {"and two of them again none", "1:a 2:a", "1:a 2:a", "1:a 2:a", 2, NULL, 0},
    {"one of them was there", "1:a", "1:a 2:a", "1:a 2:a", 1, NULL, 0},
    {"an undo", "", "1:a 3:bb 7:undo<3", "1:a 2:bb 3:undo<2", 0, NULL, 0},
    {"an undo again", "1:a 2:bb 3:undo<2", "1:a 3:bb 7:undo<3", "1:a 2:bb 3:undo<2", 3, NULL, 0},
    {"an undo of what was there", "1:xx 2:a", "1:a 2:undo<1", "1:xx 2:a 3:undo<2", 1, NULL, 0},
    {"an undo is no entry that says the same", "1:a 2:undo", "1:a 2:undo<1", "1:a 2:undo 3:undo<1", 1, NULL, 0},
    {"two undos of one second", "", "1:a 2:bb 3:undo<2 4:undo<1", "1:a 2:bb 3:undo<2 4:undo<1", 0, NULL, 0},
    {"an undo of none", "1:x", "1:a 2:undo<5", "1:x", 0, "takes back 5, which is no entry before it", 1},
    {"an undo of a later one", "1:x", "1:a 2:undo<3 3:bb", "1:x", 0, "takes back 3, which is no", 1},
    {"an undo of itself", "1:x", "1:undo<1", "1:x", 0, "takes back 1, which is no", 0},
    {"an undo of an undo", "1:x", "1:a 2:undo<1 3:undone<2", "1:x", 0, "takes back 2, which takes another back", 2},
    {"undone twice", "1:x", "1:a 2:undo<1 3:undone<1", "1:x", 0, "or was taken back already", 2},
    {"undone before, by another", "1:a 2:undo<1", "1:a 2:undone<1", "1:a 2:undo<1", 0, "or was taken back", 1},
    {"a line break", "1:x", "1:a 2:b\nb", "1:x", 0, "one line of plain text is right", 1},
};

START_TEST(takes)
{
	const char *row = TAKES[_i].row;
	struct diary_taken taken;
	struct entry all[MOST];
	char now[SAID_SIZE];
	ck_assert_msg(take(TAKES[_i].before, &taken) == FAULT_NONE, "%s: %s", row, f.text);
	enum fault_code code = take(TAKES[_i].given, &taken);
	if (TAKES[_i].fault == NULL) {
		ck_assert_msg(code == FAULT_NONE, "%s: %s", row, f.text);
		ROW_INT(row, taken.there, TAKES[_i].there);
		ROW_INT(row, taken.added + taken.there, entries_of(TAKES[_i].given, all));
	} else {
		ROW_INT(row, code, FAULT_DATA);
		ck_assert_msg(strstr(f.text, TAKES[_i].fault) != NULL, "%s: %s", row, f.text);
		ROW_INT(row, taken.wrong, TAKES[_i].wrong);
	}
	said(now);
	ROW_STR(row, now, TAKES[_i].after);
}
END_TEST

/* Another garden's diary is none of it. */
START_TEST(of_one_garden)
{
	struct diary_taken taken;
	struct entry all[MOST];
	size_t n = entries_of("1:a 2:undo<1", all);
	ck_assert_int_eq(diary_take(scratch.rec, "h", all, n, &taken, &f), FAULT_NONE);
	ck_assert_int_eq(take("1:a 2:undo<1", &taken), FAULT_NONE);
	ck_assert_uint_eq(taken.added, 2);
}
END_TEST

START_TEST(one_line_alone)
{
	struct entry e = {.written = 1, .date = {1}, .verb = "watered\t"};
	ck_assert_int_eq(diary_append(scratch.rec, "g", &e, &f), FAULT_DATA);
	char now[SAID_SIZE];
	said(now);
	ck_assert_str_eq(now, "");
}
END_TEST

static const char GIVEN[] = "1:a 2:bb 3:undo<2 4:cccccc";

/* All of it or nothing, wherever a run is killed. */
START_TEST(killed_at_any_point)
{
	char now[SAID_SIZE];
	long point = 0;
	record_close(scratch.rec);
	faultvfs_install();
	for (int status = SIGKILL; WIFSIGNALED(status); point++) {
		pid_t pid = fork();
		ck_assert_int_ge(pid, 0);
		if (pid == 0) {
			struct diary_taken taken;
			ck_assert_int_eq(record_open(scratch.path, RECORD_READ_WRITE, &scratch.rec, &f), FAULT_NONE);
			faultvfs_kill_after(point);
			_exit(take(GIVEN, &taken) == FAULT_NONE ? 0 : 1);
		}
		ck_assert_int_eq(waitpid(pid, &status, 0), pid);
		ck_assert(WIFEXITED(status) ? WEXITSTATUS(status) == 0 : WTERMSIG(status) == SIGKILL);
		ck_assert_int_eq(record_open(scratch.path, RECORD_READ_WRITE, &scratch.rec, &f), FAULT_NONE);
		said(now);
		ck_assert_msg(now[0] == '\0' || strcmp(now, "1:a 2:bb 3:undo<2 4:cccccc") == 0, "point %ld: %s", point,
			      now);
		record_close(scratch.rec);
		ck_assert_int_lt(point, MOST_POINTS);
	}
	ck_assert_int_gt(point, 5);
	ck_assert_int_eq(record_open(scratch.path, RECORD_READ_WRITE, &scratch.rec, &f), FAULT_NONE);
	said(now);
	ck_assert_str_eq(now, GIVEN);
}
END_TEST

/* All or nothing too where the disk is full, or memory is short. */
START_TEST(each_point_fails)
{
	char now[SAID_SIZE];
	long refused = 1;
	faultvfs_install();
	record_close(scratch.rec);
	ck_assert_int_eq(record_open(scratch.path, RECORD_READ_WRITE, &scratch.rec, &f), FAULT_NONE);
	for (long point = 0; refused > 0; point++) {
		struct diary_taken taken;
		if (_i == 0)
			mem_fail_after(point, false);
		else
			faultvfs_fail_after(point, false, true);
		enum fault_code code = take(GIVEN, &taken);
		refused = _i == 0 ? mem_refused() : faultvfs_refused();
		mem_fail_after(-1, false);
		faultvfs_off();
		ck_assert_msg(code == FAULT_NONE || code == (_i == 0 ? FAULT_MEMORY : FAULT_IO), "point %ld: %d %s",
			      point, (int)code, f.text);
		said(now);
		ck_assert_str_eq(now, code == FAULT_NONE ? GIVEN : "");
		if (code == FAULT_NONE)
			break;
		ck_assert_int_lt(point, MOST_POINTS);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("diary, taken in");
	TCase *t = tcase_create("take");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_loop_test(t, takes, 0, sizeof TAKES / sizeof *TAKES);
	tcase_add_test(t, of_one_garden);
	tcase_add_test(t, one_line_alone);
	tcase_add_test(t, killed_at_any_point);
	tcase_add_loop_test(t, each_point_fails, 0, 2);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
