/*
 * What set-up makes of answers: guesses by zone and country, out of invented descriptions; no terminal, no network.
 */
#include "cli/interview.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/instant.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratch.h"

#define NOW INT64_C(1779185820) /* 2026-05-19T10:17Z */

#define TAIL                                                                                                           \
	"[data]\nstep = a\ntimes = /t\ntime_format = unix\n"                                                           \
	"[var air_temperature]\nvalues = /x\nunit = degC\nkind = instant\n"
#define AHEAD "[step a]\nurl = https://a.example/\n" TAIL
#define DATED                                                                                                          \
	"[step a]\nurl = https://a.example/{start}/{end}\nfrom_day = -14\nto_day = -5\n"                               \
	"[data]\nstep = a\npast = analysed\ntimes = /t\ntime_format = unix\n"                                          \
	"[var air_temperature]\nvalues = /x\nunit = degC\nkind = instant\n"

/* The invented services. */
static const struct {
	const char *name, *text;
} files[] = {
    {"globe.ini", "[source]\ntitle = Globe\ncredit = Globe\ncontact = no\narea = world\n" AHEAD},
    {"low.ini", "[source]\ntitle = Lowlands\ncredit = Lowlands\ncontact = required\narea = DE NL\n" AHEAD},
    {"plains.ini", "[source]\ntitle = Plains\ncredit = Plains\ncontact = no\narea = US\n" AHEAD},
    {"attic.ini", "[source]\ntitle = Attic\ncredit = Attic\ncontact = no\narea = world\n" DATED},
    {"broken.ini", "[source]\ntitle = Broken\narea = somewhere\n"},
};

enum { FILES = sizeof files / sizeof files[0] };

static char top[SCRATCH_SIZE], sources[SCRATCH_SIZE], etc[SCRATCH_SIZE];
static struct options options;
static struct context *c;
static struct sample_values values;
static struct fault f;

static void spill(const char *folder, const char *name, const char *words)
{
	char path[SCRATCH_SIZE];
	scratch_path(folder, name, path);
	FILE *file = fopen(path, "w");
	ck_assert_ptr_nonnull(file);
	fputs(words, file);
	fclose(file);
}

/* The tree's tables, but for its descriptions of services. */
static void link_tables(void)
{
	char link[SCRATCH_SIZE], tree[4096];
	DIR *d = opendir("config");
	ck_assert_ptr_nonnull(d);
	ck_assert_int_eq(chdir("config"), 0);
	for (const struct dirent *e; (e = readdir(d)) != NULL;) {
		if (strstr(e->d_name, ".ini") == NULL)
			continue;
		scratch_path(top, e->d_name, link);
		ck_assert_ptr_nonnull(realpath(e->d_name, tree));
		ck_assert_int_eq(symlink(tree, link), 0);
	}
	ck_assert_int_eq(chdir(".."), 0);
	closedir(d);
}

static void set_up(void)
{
	scratch_make(top);
	scratch_path(top, "sources", sources);
	scratch_path(top, "etc", etc);
	ck_assert_int_eq(mkdir(sources, 0700), 0);
	ck_assert_int_eq(mkdir(etc, 0700), 0);
	for (size_t i = 0; i < FILES; i++)
		spill(sources, files[i].name, files[i].text);
	link_tables();
	ck_assert_int_eq(setenv("XDG_CONFIG_HOME", "/nowhere", 1), 0);
	options = (struct options){.tables = top, .at = NOW};
	f = (struct fault){0};
	values = (struct sample_values){0};
	ck_assert_int_eq(context_new(&options, &c, &f), FAULT_NONE);
	ck_assert_int_eq(context_tables(c, &f), FAULT_NONE);
	/* The broken description is told of on standard error, which is not looked at here. */
	ck_assert_ptr_nonnull(freopen("/dev/null", "w", stderr));
}

static void tear_down(void)
{
	sample_free(&values);
	context_free(c);
	scratch_remove(etc);
	scratch_remove(sources);
	scratch_remove(top);
}

static enum fault_code answer(const char *answers)
{
	struct asker a;
	FILE *in = fmemopen((void *)(uintptr_t)answers, strlen(answers), "r");
	ck_assert_ptr_nonnull(in);
	enum fault_code code = asker_open(&a, in, stdout, false, &c->wrong, &f);
	if (code == FAULT_NONE)
		code = interview(c, &a, etc, &values, &f);
	asker_close(&a);
	fclose(in);
	return code;
}

/* "" where the key has no value. */
static const char *value(const char *key)
{
	for (size_t i = 0; i < values.n; i++)
		if (strcmp(values.at[i].key, key) == 0)
			return values.at[i].value;
	return "";
}

static const struct {
	const char *zone, *coordinates, *units, *source, *history; /* what is taken where it is not given */
} guesses[] = {
    {"America/Chicago", "44.31, -89.90", "us", "plains", "attic"},
    {"Europe/Berlin", "52.5, 13.4", "metric", "low", "attic"},
    {"Europe/Amsterdam", "52.4, 4.9", "metric", "low", "attic"},
    {"Asia/Tokyo", "35.7, 139.7", "metric", "globe", "attic"},
    {"Etc/UTC", "52.5, 13.4", "metric", "globe", "attic"},
};

START_TEST(guesses_by_country)
{
	char answers[512];
	snprintf(answers, sizeof answers,
		 "timezone = %s\ncoordinates = %s\ncontact = a@example.org\n"
		 "planting = tomato, sown 2026-04-01 indoors\n",
		 guesses[_i].zone, guesses[_i].coordinates);
	ROW_MSG(answer(answers) == FAULT_NONE, "%s: %s", guesses[_i].zone, c->wrong.at[0].text);
	ROW_STR(guesses[_i].zone, value("units"), guesses[_i].units);
	ROW_STR(guesses[_i].zone, value("source"), guesses[_i].source);
	ROW_STR(guesses[_i].zone, value("history"), guesses[_i].history);
}
END_TEST

/* Only a past that is worth having is asked for. */
static const struct {
	const char *row, *planting, *history;
} pasts[] = {
    {"sown before", "planting = tomato, sown 2026-05-18 indoors\n", "attic"},
    {"planted before", "planting = tomato, planted 2026-05-18\n", "attic"},
    {"sown today", "planting = tomato, sown 2026-05-19 indoors\n", ""},
    {"still to come", "planting = tomato, sown 2026-06-01 outdoors\n", ""},
    {"not sown", "planting = tomato\n", ""},
    {"nothing grows", "", ""},
    {"not wanted", "planting = tomato, sown 2026-05-18 indoors\nhistory = -\n", ""},
    {"wanted all the same", "history = attic\n", "attic"},
};

START_TEST(asks_for_a_past_there_is)
{
	char answers[512];
	snprintf(answers, sizeof answers, "timezone = America/Chicago\ncoordinates = 44.31, -89.90\n%s",
		 pasts[_i].planting);
	ROW_MSG(answer(answers) == FAULT_NONE, "%s: %s", pasts[_i].row, c->wrong.at[0].text);
	ROW_STR(pasts[_i].row, value("history"), pasts[_i].history);
}
END_TEST

START_TEST(takes_the_machines_zone)
{
	spill(etc, "timezone", "Europe/Berlin\n");
	ck_assert_msg(answer("coordinates = 52.5 N 13.4 E\ncontact = a@example.org\n") == FAULT_NONE, "%s",
		      c->wrong.at[0].text);
	ck_assert_str_eq(value("timezone"), "Europe/Berlin");
	ck_assert_str_eq(value("source"), "low");
	ck_assert_str_eq(value("way"), "print");
}
END_TEST

static const struct {
	const char *name, *id;
} names[] = {
    {"Quarry Lane", "quarry-lane"}, {"  Mill--Bend!  ", "mill-bend"}, {"42", "42"},       {"M\u00fchle", "m-hle"},
    {"\u00fcber", "ber"},           {"\u6771\u4eac", "garden"},       {"a.b_c", "a-b-c"},
};

START_TEST(makes_an_id_of_the_name)
{
	char answers[512];
	snprintf(answers, sizeof answers, "name = %s\ntimezone = America/Chicago\ncoordinates = 44.31, -89.90\n",
		 names[_i].name);
	ROW_MSG(answer(answers) == FAULT_NONE, "%s: %s", names[_i].name, c->wrong.at[0].text);
	ROW_STR(names[_i].name, value("id"), names[_i].id);
}
END_TEST

static const struct {
	const char *coordinates, *latitude, *longitude;
} written[] = {
    {"44.31, -89.90", "44.31", "-89.90"},       {"44, -89", "44.00", "-89.00"},
    {"44.3123456, -89.9", "44.3123", "-89.90"}, {"44.125, -89.9995", "44.125", "-89.9995"},
    {"44 18 36 N 89 54 W", "44.31", "-89.90"},
};

START_TEST(writes_degrees_as_they_are)
{
	char answers[512];
	snprintf(answers, sizeof answers, "timezone = America/Chicago\ncoordinates = %s\n", written[_i].coordinates);
	ROW_INT(written[_i].coordinates, answer(answers), FAULT_NONE);
	ROW_STR(written[_i].coordinates, value("latitude"), written[_i].latitude);
	ROW_STR(written[_i].coordinates, value("longitude"), written[_i].longitude);
}
END_TEST

static const struct {
	const char *row, *answers, *says;
} wrong[] = {
    {"a service for elsewhere", "source = low\n", "source \"low\" is not known, or not for there; plains or globe"},
    {"a past that knows none", "history = globe\n", "history \"globe\" is not known, or not for there; attic"},
    {"a past as a forecast", "source = attic\n", "source \"attic\" is not known, or not for there; plains or globe"},
    {"a broken one", "source = broken\n", "source \"broken\" is not known, or not for there; plains or globe"},
    {"no address", "way = sendmail\n", "to is missing; as to = grower@example.org"},
    {"no server", "way = smtp\nto = a@example.org\n", "server is missing; as server = smtp://mail.example.org:587"},
    {"no folder", "way = maildir\nto = a@example.org\n", "folder is missing; as folder = /home/grower/Maildir"},
    {"no file", "way = file\n", "file is missing; as file = /home/grower/note.txt"},
    {"a server that is not asked for", "server = smtp://mail.example.org\n",
     "server is one too many, or not asked for with these other answers"},
    {"two names", "name = a\nname = b\n", "name is one too many, or not asked for with these other answers"},
    {"a name that is too long",
     "name = 0123456789 0123456789 0123456789 0123456789 0123456789 0123456789 0123456789 0123456789\n",
     "is too long; at most 79 bytes"},
    {"a password", "password = twelve gourds\n", "\"password\" is not asked for; man dewpost lists what is"},
};

START_TEST(says_what_is_wrong)
{
	char answers[512];
	snprintf(answers, sizeof answers, "timezone = America/Chicago\ncoordinates = 44.31, -89.90\n%s",
		 wrong[_i].answers);
	ROW_INT(wrong[_i].row, answer(answers), FAULT_DATA);
	ROW_INT(wrong[_i].row, c->wrong.n, 1);
	ROW_MSG(strstr(c->wrong.at[0].text, wrong[_i].says) != NULL, "%s: says %s", wrong[_i].row, c->wrong.at[0].text);
}
END_TEST

/* Whichever allocation fails, it ends, and says so. */
START_TEST(ends_without_memory)
{
	static const char all[] = "timezone = America/Chicago\ncoordinates = 44.31, -89.90\nbed = south, 4 m2\n"
				  "planting = tomato, south, sown 2026-04-01 indoors\nway = smtp\nto = a@example.org\n"
				  "server = smtp://mail.example.org\n";
	enum fault_code code = FAULT_MEMORY;
	int refused = 0;
	for (long after = 0; code != FAULT_NONE; after++) {
		sample_free(&values);
		c->wrong = (struct faults){0};
		mem_fail_after(after, false);
		code = answer(all);
		bool hit = mem_refused() > 0;
		mem_fail_after(-1, false);
		ck_assert_int_lt(after, 2000);
		refused += hit;
		if (!hit)
			ck_assert_msg(code == FAULT_NONE, "%s", c->wrong.at[0].text);
		if (code == FAULT_NONE && hit)
			code = FAULT_MEMORY; /* it went on without what is no matter */
	}
	ck_assert_int_gt(refused, 20);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("interview");
	TCase *t = tcase_create("interview");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_loop_test(t, guesses_by_country, 0, sizeof guesses / sizeof guesses[0]);
	tcase_add_loop_test(t, asks_for_a_past_there_is, 0, sizeof pasts / sizeof pasts[0]);
	tcase_add_test(t, takes_the_machines_zone);
	tcase_add_loop_test(t, makes_an_id_of_the_name, 0, sizeof names / sizeof names[0]);
	tcase_add_loop_test(t, writes_degrees_as_they_are, 0, sizeof written / sizeof written[0]);
	tcase_add_loop_test(t, says_what_is_wrong, 0, sizeof wrong / sizeof wrong[0]);
	tcase_add_test(t, ends_without_memory);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
