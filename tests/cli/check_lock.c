#include "cli/lock.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "lib/harness.h"
#include "lib/scratch.h"

static char folder[SCRATCH_SIZE], record[SCRATCH_SIZE];
static struct lock ours;
static struct fault f;
static int64_t slept_ms;
static int give_pipe[2];
static char said[128];

static void sleep_by(void *context, int64_t ms)
{
	(void)context;
	slept_ms += ms;
	/* The other run ends in the meantime. */
	if (slept_ms >= 1000 && give_pipe[1] >= 0) {
		close(give_pipe[1]);
		give_pipe[1] = -1;
		usleep(100000);
	}
}

static void say(const char *words)
{
	if (words != NULL)
		(void)snprintf(said, sizeof said, "%s", words);
}

static void set_up(void)
{
	f = (struct fault){0};
	slept_ms = 0;
	said[0] = '\0';
	scratch_make(folder);
	scratch_path(folder, "record.db", record);
	ck_assert_msg(lock_open(record, &ours, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq(pipe(give_pipe), 0);
}

static void tear_down(void)
{
	lock_close(&ours);
	scratch_remove(folder);
}

static enum fault_code take(enum lock_of what, const char *key, int64_t most_ms)
{
	const struct lock_wait w = {.most_ms = most_ms, .say = say, .sleep_ms = sleep_by};
	return lock_take(&ours, what, key, &w, &f);
}

/* Another run that holds a garden until the pipe closes, or is killed. */
static pid_t other(enum lock_of what, const char *key)
{
	int ready[2];
	char byte = 0;
	ck_assert_int_eq(pipe(ready), 0);
	pid_t pid = fork();
	ck_assert_int_ge(pid, 0);
	if (pid == 0) {
		struct lock theirs;
		const struct lock_wait w = {.most_ms = 0, .sleep_ms = sleep_by};
		close(give_pipe[1]);
		if (lock_open(record, &theirs, &f) || lock_take(&theirs, what, key, &w, &f))
			_exit(1);
		if (write(ready[1], "x", 1) != 1)
			_exit(1);
		while (read(give_pipe[0], &byte, 1) > 0)
			;
		_exit(0);
	}
	close(ready[1]);
	ck_assert_int_eq(read(ready[0], &byte, 1), 1);
	close(ready[0]);
	return pid;
}

START_TEST(free_is_taken)
{
	struct stat st;
	char path[SCRATCH_SIZE];
	ck_assert_int_eq(take(LOCK_GARDEN, "quarry-lane", 0), FAULT_NONE);
	ck_assert_int_eq(take(LOCK_GARDEN, "quarry-lane", 0), FAULT_NONE); /* ours already */
	ck_assert_int_eq(slept_ms, 0);
	scratch_path(folder, "record.db.lock", path);
	ck_assert_int_eq(stat(path, &st), 0);
	ck_assert_int_eq(st.st_mode & 0777, 0600);
	ck_assert_int_eq(st.st_size, 0);
}
END_TEST

START_TEST(held_is_not)
{
	char pid[32];
	pid_t them = other(LOCK_GARDEN, "quarry-lane");
	ck_assert_int_eq(take(LOCK_GARDEN, "quarry-lane", 0), FAULT_TRY_LATER);
	(void)snprintf(pid, sizeof pid, "(process %ld)", (long)them);
	ck_assert_msg(strstr(f.text, pid) != NULL, "%s", f.text);
	ck_assert_int_eq(slept_ms, 0);
	/* Another garden, and a place of the same name, are others. */
	ck_assert_int_eq(take(LOCK_GARDEN, "mill-bend", 0), FAULT_NONE);
	ck_assert_int_eq(take(LOCK_PLACE, "quarry-lane", 0), FAULT_NONE);
	/* Whoever dies holds nothing. */
	ck_assert_int_eq(kill(them, SIGKILL), 0);
	ck_assert_int_eq(waitpid(them, NULL, 0), them);
	ck_assert_int_eq(take(LOCK_GARDEN, "quarry-lane", 0), FAULT_NONE);
}
END_TEST

START_TEST(waited_for)
{
	pid_t them = other(LOCK_PLACE, "here");
	ck_assert_int_eq(take(LOCK_PLACE, "here", 60000), FAULT_NONE);
	ck_assert_int_ge(slept_ms, 1000);
	ck_assert_str_eq(said, "waiting: another run is at work on this place's forecast");
	ck_assert_int_eq(waitpid(them, NULL, 0), them);
}
END_TEST

START_TEST(not_for_ever)
{
	pid_t them = other(LOCK_GARDEN, "quarry-lane");
	ck_assert_int_eq(take(LOCK_GARDEN, "quarry-lane", 800), FAULT_TRY_LATER);
	ck_assert_int_eq(slept_ms, 800);
	close(give_pipe[1]);
	ck_assert_int_eq(waitpid(them, NULL, 0), them);
}
END_TEST

START_TEST(given_back)
{
	ck_assert_int_eq(take(LOCK_GARDEN, "quarry-lane", 0), FAULT_NONE);
	ck_assert_int_eq(take(LOCK_PLACE, "here", 0), FAULT_NONE);
	lock_give(&ours, LOCK_GARDEN, "quarry-lane");
	pid_t them = other(LOCK_GARDEN, "quarry-lane");
	ck_assert_int_eq(take(LOCK_GARDEN, "quarry-lane", 0), FAULT_TRY_LATER);
	ck_assert_int_eq(kill(them, SIGKILL), 0);
	ck_assert_int_eq(waitpid(them, NULL, 0), them);
}
END_TEST

START_TEST(nowhere_to_write)
{
	struct lock l;
	char path[SCRATCH_SIZE];
	scratch_path(folder, "none/record.db", path);
	ck_assert_int_eq(lock_open(path, &l, &f), FAULT_CREATE);
	ck_assert_ptr_nonnull(strstr(f.text, "none/record.db.lock: cannot be made: "));
	lock_close(&l);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("cli/lock");
	TCase *t = tcase_create("lock");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, free_is_taken);
	tcase_add_test(t, held_is_not);
	tcase_add_test(t, waited_for);
	tcase_add_test(t, not_for_ever);
	tcase_add_test(t, given_back);
	tcase_add_test(t, nowhere_to_write);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
