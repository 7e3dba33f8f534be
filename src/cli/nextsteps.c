#include "cli/nextsteps.h"

#include <limits.h>
#include <stdlib.h>
#include <unistd.h>

#include "base/date.h"
#include "cli/timers.h"

/* The way this program is started with this garden: by its place, for cron knows no other. */
static void program(const struct context *c, const char *command, struct text *t)
{
	char path[PATHS_SIZE];
	ssize_t n = readlink("/proc/self/exe", path, sizeof path - 1);
	path[n > 0 ? n : 0] = '\0';
	text_addf(t, "%s %s", n > 0 ? path : "dewpost", command);
	if (c->options->garden == NULL)
		return;
	char whole[PATH_MAX]; /* cron starts it in the home folder */
	text_addf(t, " --garden %s", realpath(c->garden_path, whole) != NULL ? whole : c->garden_path);
}

static void in_shell(const struct context *c, const char *command, struct text *t)
{
	text_addf(t, "  dewpost %s", command);
	if (c->options->garden != NULL)
		text_addf(t, " --garden %s", c->options->garden);
}

static struct date first_day(const struct garden *g)
{
	struct date first = date_none();
	for (size_t i = 0; i < g->plantings; i++) {
		struct date begun = date_is(g->planting[i].sown) ? g->planting[i].sown : g->planting[i].planted;
		if (date_is(begun) && (!date_is(first) || date_diff(begun, first) < 0))
			first = begun;
	}
	return first;
}

static void fill_in(const struct context *c, struct text *t)
{
	char day[DATE_TEXT_SIZE];
	struct date first = first_day(&c->garden);
	if (c->garden.history[0] == '\0' || !date_is(first))
		return;
	text_add(t, "The warmth since your first sowing, once:\n\n");
	in_shell(c, "fetch", t);
	text_addf(t, " --since %s\n\n", date_text(first, day));
}

static void by_timers(struct text *t)
{
	text_add(t, "Each morning by itself, also while you are not logged in:\n\n"
		    "  systemctl --user enable --now dewpost-fetch.timer dewpost-morning.timer dewpost-evening.timer\n"
		    "  loginctl enable-linger\n\n");
}

static void by_cron(const struct context *c, struct text *t)
{
	/* What could not be mailed at 5:17 goes an hour later; what is printed would come three times. */
	text_addf(t, "Each morning by itself, three lines for crontab -e:\n\n  17 %s",
		  c->garden.mail.way == MAIL_PRINT ? "5 * * *    " : "5-7 * * *  ");
	program(c, "morning", t);
	text_add(t, "\n  27 15 * * *   ");
	program(c, "evening", t);
	text_add(t, "\n  41 */3 * * *  ");
	program(c, "fetch --spread 40min", t);
	text_add(t, "\n\n");
}

void nextsteps(const struct context *c, const char *password, struct text *t)
{
	text_add(t, "\nWhat is left to do\n\n");
	if (password != NULL)
		text_addf(t,
			  "The mail server's password, into a file that only you can read: type it, Enter, Ctrl-D.\n\n"
			  "  (umask 077; cat >%s)\n\n",
			  password);
	fill_in(c, t);
	text_add(t, c->garden.mail.way == MAIL_PRINT ? "Whether all of it works:\n\n"
						     : "Whether all of it works, with a test message:\n\n");
	in_shell(c, "check live", t);
	text_add(t, "\n\n");
	if (timers_systemd() && c->options->garden == NULL)
		by_timers(t);
	else
		by_cron(c, t);
	text_addf(t, "Beds and plantings change in %s.\n", c->garden_path);
}
