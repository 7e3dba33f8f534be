#include "post/secret.h"

#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "lib/harness.h"
#include "lib/scratch.h"

#define WORD "courgette-4711-secret" /* invented */

static char folder[SCRATCH_SIZE], path[SCRATCH_SIZE];
static struct secret secret;
static struct fault f;

static void set_up(void)
{
	scratch_make(folder);
	scratch_path(folder, "smtp", path);
	f = (struct fault){0};
	memset(&secret, 'x', sizeof secret);
}

static void tear_down(void)
{
	scratch_remove(folder);
}

static void write_bytes(const char *bytes, size_t n, mode_t mode)
{
	int fd = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0600);
	ck_assert_int_ge(fd, 0);
	ck_assert_int_eq(write(fd, bytes, n), (ssize_t)n);
	ck_assert_int_eq(close(fd), 0);
	ck_assert_int_eq(chmod(path, mode), 0);
}

static bool holds_none(void)
{
	for (size_t i = 0; i < sizeof secret.word; i++)
		if (secret.word[i] != '\0')
			return false;
	return true;
}

static const struct {
	const char *name, *bytes;
} fine[] = {
    {"one line", WORD "\n"},
    {"no line end", WORD},
    {"CR LF", WORD "\r\n"},
};

START_TEST(read_well)
{
	write_bytes(fine[_i].bytes, strlen(fine[_i].bytes), 0600);
	ROW_MSG(secret_read(path, &secret, &f) == FAULT_NONE, "%s: %s", fine[_i].name, f.text);
	ROW_STR(fine[_i].name, secret.word, WORD);
	secret_wipe(&secret);
	ROW_TRUE(fine[_i].name, holds_none());
}
END_TEST

/* Blanks belong to a password, as do bytes beyond ASCII. */
START_TEST(read_word_for_word)
{
	static const char word[] = " a b\xc3\xa9  ";
	write_bytes(word, sizeof word - 1, 0600);
	ck_assert_int_eq(secret_read(path, &secret, &f), FAULT_NONE);
	ck_assert_str_eq(secret.word, word);
}
END_TEST

static const struct {
	mode_t mode;
	bool file, credential;
} modes[] = {
    {0600, true, true},   {0400, true, true},   {0440, false, true},  {0640, false, true},
    {0604, false, false}, {0644, false, false}, {0620, false, false}, {0610, false, false},
    {0601, false, false}, {0602, false, false}, {0777, false, false}, {0660, false, false},
};

START_TEST(mode)
{
	char name[16];
	snprintf(name, sizeof name, "%04o", (unsigned)modes[_i].mode);
	write_bytes(WORD, strlen(WORD), modes[_i].mode);
	ROW_INT(name, secret_read(path, &secret, &f), modes[_i].file ? FAULT_NONE : FAULT_PERMISSION);
	ROW_INT(name, holds_none(), !modes[_i].file);
	if (!modes[_i].file) {
		ROW_MSG(strstr(f.text, name) != NULL && strstr(f.text, "chmod 600") != NULL, "%s: %s", name, f.text);
		ROW_MSG(strncmp(f.text, path, strlen(path)) == 0, "%s: %s", name, f.text);
		ROW_MSG(strstr(f.text, WORD) == NULL, "%s: %s", name, f.text);
	}
	ROW_INT(name, secret_credential(folder, &secret, &f), modes[_i].credential ? FAULT_NONE : FAULT_PERMISSION);
}
END_TEST

static const struct {
	const char *name, *bytes;
	size_t n;
	const char *says;
} unfit[] = {
    {"empty", "", 0, "is empty"},
    {"a line end alone", "\n", 1, "is empty"},
    {"CR LF alone", "\r\n", 2, "is empty"},
    {"two lines", "a\nb\n", 4, "more than one line"},
    {"an empty line behind", "a\n\n", 3, "more than one line"},
    {"an empty line before", "\na\n", 3, "more than one line"},
    {"NUL", "a\0b", 3, "control character"},
    {"CR within", "a\rb", 3, "control character"},
    {"tab", "a\tb", 3, "control character"},
};

START_TEST(not_one_line)
{
	write_bytes(unfit[_i].bytes, unfit[_i].n, 0600);
	ROW_INT(unfit[_i].name, secret_read(path, &secret, &f), FAULT_CONFIG);
	ROW_MSG(strstr(f.text, unfit[_i].says) != NULL, "%s: %s", unfit[_i].name, f.text);
	ROW_TRUE(unfit[_i].name, holds_none());
}
END_TEST

START_TEST(length)
{
	char word[SECRET_SIZE + 100];
	memset(word, 'a', sizeof word);
	word[SECRET_SIZE - 1] = '\n';
	write_bytes(word, SECRET_SIZE, 0600);
	ck_assert_int_eq(secret_read(path, &secret, &f), FAULT_NONE);
	ck_assert_uint_eq(strlen(secret.word), SECRET_SIZE - 1);
	for (size_t n = SECRET_SIZE; n < sizeof word; n++) {
		memset(word, 'a', sizeof word);
		word[n] = '\n';
		write_bytes(word, n + 1 < sizeof word ? n + 1 : n, 0600);
		ck_assert_int_eq(secret_read(path, &secret, &f), FAULT_CONFIG);
		ROW_MSG(strstr(f.text, "more than 511 bytes") != NULL, "%s", f.text);
		ROW_TRUE("nothing kept", holds_none());
	}
}
END_TEST

START_TEST(no_file)
{
	ck_assert_int_eq(secret_read(path, &secret, &f), FAULT_NO_INPUT);
	ck_assert_ptr_nonnull(strstr(f.text, "chmod 600"));
	ck_assert_int_eq(secret_credential(path, &secret, &f), FAULT_NO_INPUT);
	ck_assert(holds_none());
}
END_TEST

START_TEST(other_kinds)
{
	char link[SCRATCH_SIZE];
	ck_assert_int_eq(secret_read(folder, &secret, &f), FAULT_CONFIG);
	ck_assert_ptr_nonnull(strstr(f.text, "no regular file"));
	ck_assert_int_eq(secret_read("/dev/null", &secret, &f), FAULT_CONFIG);
	write_bytes(WORD, strlen(WORD), 0600);
	scratch_path(folder, "link", link);
	ck_assert_int_eq(symlink(path, link), 0);
	ck_assert_int_eq(secret_read(link, &secret, &f), FAULT_CONFIG);
	ck_assert_ptr_nonnull(strstr(f.text, "is a link"));
	ck_assert_int_eq(unlink(link), 0);
	/* Nobody ever writes into the pipe: it must not be waited for. */
	ck_assert_int_eq(mkfifo(link, 0600), 0);
	ck_assert_int_eq(secret_read(link, &secret, &f), FAULT_CONFIG);
	ck_assert(holds_none());
}
END_TEST

/* Only root can give a file away: for others there is nothing to test. */
START_TEST(owner)
{
	enum { OTHER = 4711 };
	write_bytes(WORD, strlen(WORD), 0600);
	if (geteuid() != 0)
		return;
	ck_assert_int_eq(chown(path, OTHER, OTHER), 0);
	ck_assert_int_eq(secret_read(path, &secret, &f), FAULT_PERMISSION);
	ck_assert_ptr_nonnull(strstr(f.text, "belongs to user 4711"));
	ck_assert_int_eq(secret_credential(folder, &secret, &f), FAULT_PERMISSION);
	ck_assert(holds_none());
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("post: secret");
	TCase *c = tcase_create("secret");
	tcase_add_checked_fixture(c, set_up, tear_down);
#define LOOP(test, rows) tcase_add_loop_test(c, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(read_well, fine);
	tcase_add_test(c, read_word_for_word);
	LOOP(mode, modes);
	LOOP(not_one_line, unfit);
#undef LOOP
	tcase_add_test(c, length);
	tcase_add_test(c, no_file);
	tcase_add_test(c, other_kinds);
	tcase_add_test(c, owner);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
