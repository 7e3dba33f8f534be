#include "garden/tables.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/ini.h"
#include "base/suggest.h"
#include "garden/keys.h"
#include "garden/sample.h"

#define FIGURE(field, which)                                                                                           \
	.required = true, .at = offsetof(struct crop, field), .basis_at = offsetof(struct crop, basis[which]),         \
	.basis_size = CROP_BASIS_SIZE

/* Bounds of temperatures are those of a slip (a wrong unit), not of a plant; their order is crop_check's. */
#define LINE(field, which) .kind = KEY_VALUE, .family = UNIT_TEMPERATURE, .lo = -10, .hi = 50, FIGURE(field, which)

static const struct key crop_key[] = {
    {.name = "title",
     .kind = KEY_TEXT,
     .required = true,
     .example = "NAME",
     .help = "The crop as a note says it",
     .at = offsetof(struct crop, title),
     .size = CROP_TITLE_SIZE},
    {.name = "base", .example = "10 C", .help = "Degree days count from here", LINE(rule.base_c, CROP_BASE)},
    {.name = "cap", .example = "30 C", .help = "Warmth over it counts no more", LINE(rule.cap_c, CROP_CAP)},
    {.name = "method",
     .kind = KEY_CHOICE,
     .word = {[DEGREE_HOURLY] = "hourly",
	      [DEGREE_AVERAGE_MEAN] = "average-mean",
	      [DEGREE_AVERAGE_ENDS] = "average-ends",
	      [DEGREE_AVERAGE_HIGH] = "average-high",
	      [DEGREE_SINE] = "sine",
	      [DEGREE_TRIANGLE] = "triangle",
	      [DEGREE_SINE_DOUBLE] = "sine-double",
	      [DEGREE_TRIANGLE_DOUBLE] = "triangle-double"},
     .example = "hourly",
     .help = "How degree days are counted",
     FIGURE(rule.method, CROP_METHOD)},
    {.name = "cutoff",
     .kind = KEY_CHOICE,
     .word = {[DEGREE_NO_CUTOFF] = "none",
	      [DEGREE_HORIZONTAL] = "horizontal",
	      [DEGREE_VERTICAL] = "vertical",
	      [DEGREE_INTERMEDIATE] = "intermediate",
	      [DEGREE_INTERMEDIATE_FLOORED] = "intermediate-floored"},
     .example = "horizontal",
     .help = "What warmth over the cap does",
     FIGURE(rule.cutoff, CROP_CUTOFF)},
    {.name = "night_line",
     .example = "60 F",
     .help = "Nights at or over it are fit for planting out",
     LINE(night_line_c, CROP_NIGHT_LINE)},
    {.name = "slow", .example = "55 F", .help = "Nights under it slow growth", LINE(slow_c, CROP_SLOW)},
    {.name = "stall",
     .example = "50 F",
     .help = "Nights under it stall what was just planted out",
     LINE(stall_c, CROP_STALL)},
    {.name = "kill", .example = "32 F", .help = "A leaf at or under it dies", LINE(kill_c, CROP_KILL)},
    {.name = "cover",
     .example = "36 F",
     .help = "A forecast low at or under it calls for a cover",
     LINE(cover_c, CROP_COVER)},
    {.name = "settle_days",
     .kind = KEY_COUNT,
     .lo = 0,
     .hi = 60,
     .example = "10",
     .help = "Days after planting out in which stall counts",
     FIGURE(settle_days, CROP_SETTLE)},
    {.name = "tray_days",
     .kind = KEY_COUNT,
     .lo = 0,
     .hi = 180,
     .example = "21",
     .help = "Days from sowing indoors before which a plant is too young for the bed",
     FIGURE(tray_days, CROP_TRAY)},
};

static const struct key_section section[] = {
    {.kind = "crop",
     .named = true,
     .help = "One for each crop",
     .key = crop_key,
     .keys = sizeof crop_key / sizeof *crop_key},
};

enum { SECTIONS = sizeof section / sizeof *section };

_Static_assert(sizeof(enum degree_method) == sizeof(int) && sizeof(enum degree_cutoff) == sizeof(int),
	       "a choice is stored as an int");

/* A figure that came without a word on its basis: refused in our own table, else the grower's. */
static void check_basis(const struct ini *doc, const struct ini_section *s, bool ours, struct crop *c,
			struct faults *all)
{
	for (size_t i = 0; i < CROP_FIGURES; i++) {
		const char *key = crop_figure_key((enum crop_figure)i);
		char basis_key[KEY_WORD_SIZE];
		struct text t;

		text_over(&t, basis_key, sizeof basis_key);
		text_addf(&t, "%s.basis", key);
		const struct ini_entry *figure = ini_find(doc, s, key);
		if (!figure || ini_find(doc, s, basis_key))
			continue;
		if (ours)
			keys_fault(doc, s, figure->line, all, "%s has no basis; as %s.basis = where it comes from", key,
				   key);
		text_over(&t, c->basis[i], sizeof c->basis[i]);
		text_addf(&t, "the grower's own figure, line %d of %s", figure->line, doc->file);
	}
}

static void lay_crop(const struct ini *doc, const struct ini_section *s, bool ours, struct crops *crops,
		     struct faults *all)
{
	size_t i = crop_index(crops, s->name), before = all->n + all->more;
	bool whole = i == crops->n;
	struct fault f = {0};
	struct text t;

	if (i == CROPS_MAX) {
		ini_fault(doc, s->line, all, "crop \"%s\" is one too many; at most %d", s->name, CROPS_MAX);
		return;
	}
	struct crop *c = &crops->at[i];
	keys_fill(doc, s, &section[0], whole, c, all);
	text_over(&t, c->name, sizeof c->name);
	text_add(&t, s->name);
	crops->n += whole;
	check_basis(doc, s, ours, c, all);
	if (before == all->n + all->more && crop_check(c, &f))
		keys_fault(doc, s, s->line, all, "%s", f.text);
}

static void lay(const struct ini *doc, bool ours, struct crops *crops, struct faults *all)
{
	keys_heads(doc, section, SECTIONS, all);
	for (size_t i = 0; i < doc->sections; i++)
		if (strcmp(doc->section[i].kind, section[0].kind) == 0)
			lay_crop(doc, &doc->section[i], ours, crops, all);
}

enum fault_code tables_crops_lay(const char *file, const char *bytes, size_t n, bool ours, struct crops *crops,
				 struct faults *all)
{
	struct ini doc = {0};

	if (ini_parse(file, bytes, n, &doc, all) == FAULT_NONE || doc.sections)
		lay(&doc, ours, crops, all);
	ini_free(&doc);
	return faults_code(all);
}

static enum fault_code path_in(const char *dir, const char *rest, const char *name, const char *end,
			       char buf[static TABLES_PATH_SIZE], struct fault *f)
{
	struct text t;

	text_over(&t, buf, TABLES_PATH_SIZE);
	text_addf(&t, "%s/%s%s%s", dir, rest, name, end);
	return text_ok(&t, "path of a table", f);
}

static void load_crops(const char *dir, bool ours, struct crops *crops, struct faults *all)
{
	char path[TABLES_PATH_SIZE];
	struct fault f = {0};
	struct ini doc = {0};

	if (path_in(dir, "", "crops", ".ini", path, &f)) {
		faults_add(all, &f);
		return;
	}
	if (!ours && !file_is(path))
		return;
	if (ini_load(path, &doc, all) == FAULT_NONE || doc.sections)
		lay(&doc, ours, crops, all);
	ini_free(&doc);
}

enum fault_code tables_crops(const char *dir, const char *user_dir, struct crops *crops, struct faults *all)
{
	crops->n = 0;
	load_crops(dir, true, crops, all);
	if (user_dir && faults_code(all) == FAULT_NONE)
		load_crops(user_dir, false, crops, all);
	return faults_code(all);
}

const struct key_section *tables_crops_sections(size_t *n)
{
	*n = SECTIONS;
	return section;
}

void tables_crops_sample(struct text *t)
{
	text_add(t, "# Crops of your own, and figures that you would rather have than ours.\n"
		    "# For a crop that we have, give only what differs; a new one needs every figure.\n\n");
	sample_write(section, SECTIONS, NULL, t);
}

/* ---- source descriptions ---- */

static bool has_name(const struct tables_sources *names, const char *name)
{
	for (size_t i = 0; i < names->n; i++)
		if (strcmp(names->at[i], name) == 0)
			return true;
	return false;
}

static void list_sources(const char *dir, struct tables_sources *names)
{
	char path[TABLES_PATH_SIZE], name[ISSUE_SOURCE_SIZE];
	struct fault f = {0};
	DIR *d;

	if (path_in(dir, "sources", "", "", path, &f) || !(d = opendir(path)))
		return;
	/* readdir is safe while nobody else reads this DIR */
	/* cppcheck-suppress readdirCalled */
	for (const struct dirent *e; names->n < TABLES_SOURCES_MAX && (e = readdir(d));) {
		size_t len = strlen(e->d_name);

		if (len < 5 || len - 4 >= sizeof name || strcmp(e->d_name + len - 4, ".ini") != 0)
			continue;
		memcpy(name, e->d_name, len - 4);
		name[len - 4] = '\0';
		if (!has_name(names, name))
			memcpy(names->at[names->n++], name, len - 3);
	}
	closedir(d);
}

static int by_name(const void *a, const void *b)
{
	return strcmp(a, b);
}

void tables_sources(const char *dir, const char *user_dir, struct tables_sources *names)
{
	names->n = 0;
	if (user_dir)
		list_sources(user_dir, names);
	list_sources(dir, names);
	qsort(names->at, names->n, sizeof names->at[0], by_name);
}

static enum fault_code source_unknown(const char *dir, const char *user_dir, const char *name, struct fault *f)
{
	struct tables_sources names;
	const char *known[TABLES_SOURCES_MAX];

	tables_sources(dir, user_dir, &names);
	for (size_t i = 0; i < names.n; i++)
		known[i] = names.at[i];
	const char *near = suggest(name, known, names.n);
	if (near)
		return fault_set(f, FAULT_CONFIG, "source \"%s\" is not known; did you mean \"%s\"?", name, near);
	return fault_set(f, FAULT_CONFIG, "source \"%s\" is not known; a file sources/%s.ini in %s", name, name,
			 user_dir ? user_dir : dir);
}

enum fault_code tables_source_path(const char *dir, const char *user_dir, const char *name,
				   char buf[static TABLES_PATH_SIZE], struct fault *f)
{
	const char *const folder[] = {user_dir, dir};

	if (!*name || strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789-") != strlen(name))
		return fault_set(f, FAULT_CONFIG, "source \"%s\" is no fit name; letters a-z, digits and - alone",
				 name);
	for (size_t i = 0; i < 2; i++) {
		if (!folder[i])
			continue;
		if (path_in(folder[i], "sources/", name, ".ini", buf, f))
			return f->code;
		if (file_is(buf))
			return FAULT_NONE;
	}
	return source_unknown(dir, user_dir, name, f);
}
