#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <termios.h>
#include <unistd.h>

#include "base/file.h"
#include "base/mem.h"
#include "base/newfile.h"
#include "cli/check_live.h"
#include "cli/command.h"
#include "cli/compose.h"
#include "cli/context.h"
#include "cli/findings.h"
#include "cli/interview.h"
#include "cli/nextsteps.h"
#include "cli/question.h"
#include "cli/screen.h"
#include "garden/garden.h"
#include "garden/sample.h"
#include "post/secret.h"

enum { FILE_SIZE = 256 * 1024, REPORT_SIZE = 64 * 1024 };

#define ETC "/etc"

/* ---- the file ---- */

/* Of those that a path goes through, the last that is there. */
static void nearest_folder(const char *path, char folder[static PATHS_SIZE])
{
	struct stat there;
	(void)text_copy(folder, PATHS_SIZE, path);
	do {
		char *slash = strrchr(folder, '/');
		if (slash == NULL)
			(void)text_copy(folder, PATHS_SIZE, ".");
		else
			slash[slash == folder] = '\0';
	} while (stat(folder, &there) != 0);
}

/* Better told before all the questions than after: that folder has to take a new name. */
static enum fault_code can_be_made(const char *path, struct fault *f)
{
	char folder[PATHS_SIZE];
	nearest_folder(path, folder);
	if (access(folder, W_OK | X_OK) == 0)
		return FAULT_NONE;
	return fault_set(f, FAULT_PERMISSION, "%s: cannot be made, for %s: %s; name another place by --garden FILE",
			 path, folder, strerror(errno));
}

/* Where it is to lie; nothing may be there. */
static enum fault_code find_place(struct context *c, struct fault *f)
{
	struct stat there;
	if (context_garden_path(c, f) != FAULT_NONE)
		return f->code;
	if (lstat(c->garden_path, &there) != 0)
		return can_be_made(c->garden_path, f);
	return fault_set(
	    f, FAULT_CREATE,
	    "%s: is there already, and stays as it is; change it in an editor, or name another by --garden "
	    "FILE",
	    c->garden_path);
}

static void file_text(const struct sample_values *values, struct text *t)
{
	size_t n;
	const struct key_section *sections = garden_sections(&n);
	text_add(t, "# A garden, written by dewpost setup. Take the # off a line to use it; \"dewpost check\" says\n"
		    "# whether all is well, \"man garden.ini\" has more.\n\n");
	sample_write(sections, n, values, t);
}

/* Read as it will be read, before anything is written. */
static enum fault_code judge(struct context *c, const struct text *t, struct fault *f)
{
	if (text_ok(t, "the garden file", f) != FAULT_NONE)
		return f->code;
	enum fault_code code = garden_parse(c->garden_path, t->at, t->len, &c->crops, &c->garden, &c->wrong);
	if (code != FAULT_NONE)
		*f = (struct fault){.code = code};
	return code;
}

static enum fault_code write_file(struct context *c, const struct sample_values *values, struct fault *f)
{
	struct text t;
	text_init(&t, FILE_SIZE);
	file_text(values, &t);
	enum fault_code code = FAULT_NONE;
	if (judge(c, &t, f) || file_make_folder_of(c->garden_path, f) || newfile_put(c->garden_path, t.at, t.len, f))
		code = f->code;
	text_free(&t);
	return code;
}

/* ---- the password ---- */

static bool password_is_missing(const struct context *c, char path[static PATHS_SIZE])
{
	struct fault f;
	struct stat there;
	const struct mail *m = &c->garden.mail;
	return m->way == MAIL_SMTP && m->user[0] != '\0' && m->password_file[0] != '\0' &&
	       paths_beside(c->garden_path, m->password_file, path, &f) == FAULT_NONE && lstat(path, &there) != 0;
}

/*
 * One line that the terminal does not show; "" where there is none.  Asked for only when nothing is
 * shown any more: what was typed before that is thrown away.
 */
static void read_unseen(struct asker *a, char word[static SECRET_SIZE])
{
	struct termios seen, unseen;
	word[0] = '\0';
	if (tcgetattr(STDIN_FILENO, &seen) != 0)
		return;
	unseen = seen;
	/* Ctrl-C would leave a terminal that shows nothing: here it is a character, and no password has one. */
	unseen.c_lflag &= ~(tcflag_t)(ECHO | ISIG);
	if (tcsetattr(STDIN_FILENO, TCSAFLUSH, &unseen) != 0)
		return;
	asker_say(a, "Password (it is not shown; empty: later): ");
	if (fgets(word, SECRET_SIZE, stdin) == NULL)
		word[0] = '\0';
	word[strcspn(word, "\r\n")] = '\0';
	for (const char *s = word; *s != '\0'; s++)
		if ((unsigned char)*s < ' ')
			word[0] = '\0';
	tcsetattr(STDIN_FILENO, TCSAFLUSH, &seen);
	asker_say(a, "\n");
}

/* On a terminal alone; whatever comes of it, the garden file is there. */
static void offer_password(struct context *c, struct asker *a)
{
	char path[PATHS_SIZE], line[SECRET_SIZE + 1];
	struct secret secret = {.word = ""};
	struct text t;
	struct fault f;
	if (!a->terminal || !password_is_missing(c, path))
		return;
	asker_say(a, "\nThe password for %s goes into %s, which only you can read.\n", c->garden.mail.user, path);
	read_unseen(a, secret.word);
	text_over(&t, line, sizeof line);
	text_addf(&t, "%s\n", secret.word);
	if (secret.word[0] != '\0' && newfile_put(path, t.at, t.len, &f) != FAULT_NONE)
		screen_warning(f.text);
	secret_wipe(&secret);
	explicit_bzero(line, sizeof line);
}

/* ---- trying it ---- */

static enum fault_code try_it(struct context *c, struct fault *f)
{
	struct findings w = {.code = FAULT_NONE};
	text_init(&w.lines, REPORT_SIZE);
	check_live_year(c, &w);
	if (!options_given(c->options, OPTION_OFFLINE))
		check_live_fetch(c, &w);
	findings_record(c, false, &w);
	text_add(&w.lines, "\n");
	enum fault_code code = screen_text(&w.lines, "what was found", f);
	text_free(&w.lines);
	return code;
}

static enum fault_code show_note(struct context *c, struct fault *f)
{
	struct composed *m = NULL;
	struct text t;
	if (compose(c, c->now, &m, f) != FAULT_NONE)
		return f->code;
	text_init(&t, REPORT_SIZE);
	text_add(&t, "Your first note:\n\n");
	note_write(&m->facts, &t);
	enum fault_code code = screen_text(&t, "the note", f);
	text_free(&t);
	compose_free(m);
	return code;
}

static enum fault_code say_next(const struct context *c, struct fault *f)
{
	char path[PATHS_SIZE];
	struct text t;
	text_init(&t, REPORT_SIZE);
	nextsteps(c, password_is_missing(c, path) ? path : NULL, &t);
	enum fault_code code = screen_text(&t, "what is next", f);
	text_free(&t);
	return code;
}

static enum fault_code say_written(const struct context *c, struct fault *f)
{
	struct text t;
	text_init(&t, REPORT_SIZE);
	text_addf(&t, "%s is written.\n\n", c->garden_path);
	enum fault_code code = screen_text(&t, "what was written", f);
	text_free(&t);
	return code;
}

/* ---- all of it ---- */

static enum fault_code ask_and_write(struct context *c, struct asker *a, struct fault *f)
{
	struct sample_values values = {0};
	enum fault_code code = FAULT_NONE;
	asker_say(a,
		  "dewpost asks what it has to know of your garden, and writes %s.\n"
		  "Enter takes what stands in brackets, ? tells more, Ctrl-C ends it with nothing written.\n\n",
		  c->garden_path);
	if (interview(c, a, ETC, &values, f) || write_file(c, &values, f))
		code = f->code;
	sample_free(&values);
	return code;
}

enum fault_code command_setup(struct context *c, struct fault *f)
{
	struct asker a;
	if (find_place(c, f) || context_tables(c, f))
		return f->code;
	enum fault_code code = asker_open(&a, stdin, stdout, isatty(STDIN_FILENO) == 1, &c->wrong, f);
	if (code == FAULT_NONE)
		code = ask_and_write(c, &a, f);
	if (code == FAULT_NONE)
		offer_password(c, &a);
	asker_say(&a, code == FAULT_NONE ? "\n" : "");
	asker_close(&a);
	if (code != FAULT_NONE)
		return code;
	if (say_written(c, f) || context_garden(c, f) || context_zone(c, f) || try_it(c, f) || show_note(c, f))
		return f->code;
	return say_next(c, f);
}
