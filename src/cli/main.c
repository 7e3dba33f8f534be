#include <locale.h>
#include <signal.h>
#include <stdio.h>
#include <sys/stat.h>

#include "base/mem.h"
#include "cli/command.h"
#include "cli/context.h"
#include "cli/gardens.h"
#include "cli/help.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "cli/version.h"
#include "source/answer.h"

/* What is written is the grower's alone. */
enum { UMASK = 077, VERSION_SIZE = 64 };

static enum fault_code help(enum command_id id, struct fault *f)
{
	char mem[HELP_SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	help_write(id, &t);
	return screen_text(&t, "the help", f);
}

static enum fault_code say_version(struct fault *f)
{
	char mem[VERSION_SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "dewpost %s\n", version());
	return screen_text(&t, "the version", f);
}

static enum fault_code run(const struct options *o, struct fault *f)
{
	struct context *c;
	if (context_new(o, &c, f) != FAULT_NONE)
		return f->code;
	command_run *command = command_row(o->command)->run;
	enum fault_code code = o->gardens != NULL ? gardens_run(c, command, f) : command(c, f);
	screen_faults(&c->wrong);
	context_free(c);
	return code;
}

int main(int argc, char **argv)
{
	struct options o;
	struct fault f = {0};
	setlocale(LC_CTYPE, "C.UTF-8");
	signal(SIGPIPE, SIG_IGN);
	umask(UMASK);
	answer_init();
	enum fault_code code = options_parse(argc, argv, &o, &f);
	if (code == FAULT_NONE) {
		if (options_given(&o, OPTION_HELP))
			code = help(o.command, &f);
		else if (options_given(&o, OPTION_VERSION))
			code = say_version(&f);
		else
			code = run(&o, &f);
	}
	if (code != FAULT_NONE && f.text[0] != '\0')
		screen_fault(f.text);
	return (int)code;
}
