/*
 * A program of the build alone: manual page FILE, or manual completion, to standard output.
 */
#include <locale.h>
#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "base/mem.h"
#include "manual/completion.h"
#include "manual/pages.h"

static enum fault_code page(const char *path, struct text *t, struct fault *f)
{
	char *bytes = NULL;
	size_t n;
	if (file_read(path, PAGES_SIZE, &bytes, &n, f) != FAULT_NONE)
		return f->code;
	enum fault_code code = pages_fill(bytes, t, f) != FAULT_NONE ? fault_place(f, "%s: ", path) : FAULT_NONE;
	mem_free(bytes);
	return code;
}

int main(int argc, char **argv)
{
	enum { PAGE_WORDS = 3, COMPLETION_WORDS = 2 };
	struct fault f = {0};
	struct text t;
	setlocale(LC_CTYPE, "C.UTF-8");
	text_init(&t, PAGES_SIZE);
	if (argc == PAGE_WORDS && strcmp(argv[1], "page") == 0)
		(void)page(argv[2], &t, &f);
	else if (argc == COMPLETION_WORDS && strcmp(argv[1], "completion") == 0)
		completion_write(&t);
	else
		fault_set(&f, FAULT_USAGE, "right is: manual page FILE, or manual completion");
	if (f.code == FAULT_NONE && text_ok(&t, "the page", &f) == FAULT_NONE &&
	    (fwrite(t.at, 1, t.len, stdout) != t.len || fflush(stdout) != 0))
		fault_set(&f, FAULT_IO, "standard output cannot be written");
	if (f.code != FAULT_NONE)
		fprintf(stderr, "manual: %s\n", f.text);
	text_free(&t);
	return (int)f.code;
}
