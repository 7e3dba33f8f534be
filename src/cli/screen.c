#include "cli/screen.h"

#include <errno.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "note/sentence.h"

/* ECMA-48 8.3.117, select graphic rendition. */
#define BOLD  "\033[1m"
#define PLAIN "\033[m"
/* To the line's begin, and ECMA-48 8.3.41, erase in line. */
#define OVER "\r\033[K"
/* sd-daemon(3): syslog's levels. */
#define ERROR   "<3>"
#define WARNING "<4>"

/* What is on the screen, and what is to stand before the next that comes. */
static struct {
	const char *about, *heading;
	bool wrote, apart, progress;
} screen;

void screen_about(const char *what)
{
	screen.about = what;
}

void screen_apart(const char *heading)
{
	screen.apart = true;
	screen.heading = heading;
}

static bool put(const char *s, size_t n)
{
	return fwrite(s, 1, n, stdout) == n;
}

static bool put_between(void)
{
	const char *heading = screen.heading;
	bool blank = screen.apart && screen.wrote;
	if (!screen.apart)
		return true;
	screen.apart = false;
	if (blank && !put("\n", 1))
		return false;
	return heading == NULL || (put(heading, strlen(heading)) && put("\n", 1));
}

enum fault_code screen_write(const char *s, size_t n, struct fault *f)
{
	if (n == 0)
		return FAULT_NONE;
	screen_progress(NULL);
	errno = 0;
	bool fine = put_between() && put(s, n) && fflush(stdout) == 0;
	screen.wrote = true;
	if (fine)
		return FAULT_NONE;
	return fault_set(f, FAULT_IO, "standard output: %s", strerror(errno));
}

enum fault_code screen_text(const struct text *t, const char *what, struct fault *f)
{
	if (text_ok(t, what, f) != FAULT_NONE)
		return f->code;
	return screen_write(t->at, t->len, f);
}

bool screen_bold(void)
{
	const char *no_color = getenv("NO_COLOR"), *term = getenv("TERM");
	bool dumb = term == NULL || term[0] == '\0' || strcmp(term, "dumb") == 0;
	return isatty(STDOUT_FILENO) == 1 && (no_color == NULL || no_color[0] == '\0') && !dumb;
}

void screen_note(const struct note_facts *n, const char *note, struct text *t)
{
	enum { HEAD_SIZE = 32 };
	size_t k = 0;
	while (*note != '\0') {
		size_t len = strcspn(note, "\n");
		len += note[len] == '\n';
		char mem[HEAD_SIZE];
		struct text head;
		text_over(&head, mem, sizeof mem);
		if (k < n->lines->n)
			text_addf(&head, "%zu ", k + 1);
		const char *verb = k < n->lines->n ? advice_verdict(n->lines->at[k].lead->verdict)->word : "";
		size_t before = head.len, verbs = strlen(verb);
		text_add(&head, verb);
		if (head.len > 0 && strncmp(note, head.at, head.len) == 0) {
			text_add_n(t, note, before);
			text_addf(t, BOLD "%s" PLAIN, verb);
			text_add_n(t, note + before + verbs, len - before - verbs);
			k++;
		} else {
			text_add_n(t, note, len);
		}
		note += len;
	}
}

void screen_progress(const char *words)
{
	const char *term = getenv("TERM");
	if (words == NULL && !screen.progress)
		return;
	if (isatty(STDERR_FILENO) != 1 || term == NULL || term[0] == '\0' || strcmp(term, "dumb") == 0)
		return;
	screen.progress = words != NULL;
	fprintf(stderr, OVER "%s", words != NULL ? words : "");
	fflush(stderr);
}

/* systemd.exec(5): $JOURNAL_STREAM is "DEVICE:INODE" of the stream, to be compared with our own. */
static bool journal(void)
{
	enum { STREAM_SIZE = 64 };
	const char *stream = getenv("JOURNAL_STREAM");
	char mem[STREAM_SIZE];
	struct text own;
	struct stat st;
	if (stream == NULL || fstat(STDERR_FILENO, &st) != 0)
		return false;
	text_over(&own, mem, sizeof mem);
	text_addf(&own, "%ju:%ju", (uintmax_t)st.st_dev, (uintmax_t)st.st_ino);
	return strcmp(stream, own.at) == 0;
}

static void say(const char *level, const char *text)
{
	const char *about = screen.about != NULL ? screen.about : "";
	bool told = strncmp(text, about, strlen(about)) == 0;
	screen_progress(NULL);
	fprintf(stderr, "%sdewpost: %s%s%s\n", journal() ? level : "", told ? "" : about, told ? "" : ": ", text);
}

static void say_all(const char *level, const struct faults *all)
{
	enum { MORE_SIZE = 64 };
	for (size_t i = 0; i < all->n; i++)
		say(level, all->at[i].text);
	if (all->more == 0)
		return;
	char mem[MORE_SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "and %zu more", all->more);
	say(level, t.at);
}

void screen_word(const char *text)
{
	if (isatty(STDERR_FILENO) == 1)
		say("", text);
}

void screen_fault(const char *text)
{
	say(ERROR, text);
}

void screen_warning(const char *text)
{
	say(WARNING, text);
}

void screen_faults(const struct faults *all)
{
	say_all(ERROR, all);
}

void screen_warnings(const struct faults *all)
{
	say_all(WARNING, all);
}
