#include "garden/tables.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/ini.h"
#include "base/suggest.h"
#include "garden/keys.h"
#include "garden/sample.h"

static const struct key_section crop_section = {
    .kind = "crop", .named = true, .help = "One for each crop", .key = crop_key, .keys = CROP_FIGURES};

static const struct key_section cover_section = {
    .kind = "cover", .named = true, .help = "One for each kind of cover", .key = cover_key, .keys = COVER_FIGURES};

/* ---- one table, in two layers: ours, and the grower's over it ---- */

struct table {
	const char *name;  /* of the file, without .ini */
	const char *title; /* at the begin of a sentence */
	const struct key_section *section;
	/* One section of a layer into the table. */
	void (*lay)(const struct ini *doc, const struct ini_section *s, bool ours, void *into, struct faults *all);
};

/* A figure that came without a word on its basis: refused in our own table, else the grower's. */
static void check_basis(const struct ini *doc, const struct ini_section *s, const struct key *k, bool ours, void *sheet,
			struct faults *all)
{
	char basis_key[KEY_WORD_SIZE];
	struct text t;

	text_over(&t, basis_key, sizeof basis_key);
	text_addf(&t, "%s.basis", k->name);
	const struct ini_entry *figure = ini_find(doc, s, k->name);
	if (!figure || ini_find(doc, s, basis_key))
		return;
	if (ours)
		keys_fault(doc, s, figure->line, all, "%s has no basis; as %s.basis = where it comes from", k->name,
			   k->name);
	text_over(&t, (char *)sheet + k->basis_at, k->basis_size);
	text_addf(&t, "the grower's own figure, line %d of %s", figure->line, doc->file);
}

/* Into the sheet what a section says, with the bases; `whole`: the sheet was empty. */
static void fill(const struct ini *doc, const struct ini_section *s, const struct key_section *section, bool ours,
		 bool whole, void *sheet, struct faults *all)
{
	keys_fill(doc, s, section, whole, sheet, all);
	for (size_t i = 0; i < section->keys; i++)
		if (section->key[i].basis_at)
			check_basis(doc, s, &section->key[i], ours, sheet, all);
}

static bool room(const struct ini *doc, const struct ini_section *s, size_t i, size_t max, struct faults *all)
{
	if (i < max)
		return true;
	ini_fault(doc, s->line, all, "%s \"%s\" is one too many; at most %zu", s->kind, s->name, max);
	return false;
}

static void lay(const struct table *table, const struct ini *doc, bool ours, void *into, struct faults *all)
{
	keys_heads(doc, table->section, 1, all);
	for (size_t i = 0; i < doc->sections; i++)
		if (strcmp(doc->section[i].kind, table->section->kind) == 0)
			table->lay(doc, &doc->section[i], ours, into, all);
}

static enum fault_code lay_bytes(const struct table *table, const char *file, const char *bytes, size_t n, bool ours,
				 void *into, struct faults *all)
{
	struct ini doc = {0};

	if (ini_parse(file, bytes, n, &doc, all) == FAULT_NONE || doc.sections)
		lay(table, &doc, ours, into, all);
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

static void load_layer(const struct table *table, const char *dir, bool ours, void *into, struct faults *all)
{
	char path[TABLES_PATH_SIZE];
	struct fault f = {0};
	struct ini doc = {0};

	if (path_in(dir, "", table->name, ".ini", path, &f)) {
		faults_add(all, &f);
		return;
	}
	if (!ours && !file_is(path))
		return;
	if (ini_load(path, &doc, all) == FAULT_NONE || doc.sections)
		lay(table, &doc, ours, into, all);
	ini_free(&doc);
}

static enum fault_code load(const struct table *table, const char *dir, const char *user_dir, void *into,
			    struct faults *all)
{
	load_layer(table, dir, true, into, all);
	if (user_dir && faults_code(all) == FAULT_NONE)
		load_layer(table, user_dir, false, into, all);
	return faults_code(all);
}

static void sample(const struct table *table, struct text *t)
{
	text_addf(t,
		  "# %s of your own, and figures that you would rather have than ours.\n"
		  "# For one that we have, give only what differs; a new one needs every figure that says so.\n\n",
		  table->title);
	sample_write(table->section, 1, NULL, t);
}

/* ---- crops ---- */

static void lay_crop(const struct ini *doc, const struct ini_section *s, bool ours, void *into, struct faults *all)
{
	struct crops *crops = into;
	size_t i = crop_index(crops, s->name), before = all->n + all->more;
	bool whole = i == crops->n;
	struct crop_sheet sheet = {0};
	struct fault f = {0};

	if (!room(doc, s, i, CROPS_MAX, all))
		return;
	if (!whole)
		sheet = (struct crop_sheet){.crop = crops->at[i], .basis = crops->basis[i]};
	fill(doc, s, &crop_section, ours, whole, &sheet, all);
	text_copy(sheet.crop.name, sizeof sheet.crop.name, s->name);
	crops->at[i] = sheet.crop;
	crops->basis[i] = sheet.basis;
	crops->n += whole;
	if (before == all->n + all->more && crop_check(&sheet.crop, &f))
		keys_fault(doc, s, s->line, all, "%s", f.text);
}

static const struct table crops_table = {"crops", "Crops", &crop_section, lay_crop};

enum fault_code tables_crops_lay(const char *file, const char *bytes, size_t n, bool ours, struct crops *crops,
				 struct faults *all)
{
	return lay_bytes(&crops_table, file, bytes, n, ours, crops, all);
}

enum fault_code tables_crops(const char *dir, const char *user_dir, struct crops *crops, struct faults *all)
{
	crops->n = 0;
	return load(&crops_table, dir, user_dir, crops, all);
}

const struct key_section *tables_crops_sections(size_t *n)
{
	*n = 1;
	return &crop_section;
}

void tables_crops_sample(struct text *t)
{
	sample(&crops_table, t);
}

/* ---- covers ---- */

static void lay_cover(const struct ini *doc, const struct ini_section *s, bool ours, void *into, struct faults *all)
{
	struct covers *covers = into;
	size_t i = cover_index(covers, s->name);
	bool whole = i == covers->n;

	if (!room(doc, s, i, COVERS_MAX, all))
		return;
	struct cover *c = &covers->at[i];
	fill(doc, s, &cover_section, ours, whole, c, all);
	text_copy(c->name, sizeof c->name, s->name);
	covers->n += whole;
}

static const struct table covers_table = {"covers", "Covers", &cover_section, lay_cover};

enum fault_code tables_covers_lay(const char *file, const char *bytes, size_t n, bool ours, struct covers *covers,
				  struct faults *all)
{
	return lay_bytes(&covers_table, file, bytes, n, ours, covers, all);
}

enum fault_code tables_covers(const char *dir, const char *user_dir, struct covers *covers, struct faults *all)
{
	covers->n = 0;
	return load(&covers_table, dir, user_dir, covers, all);
}

const struct key_section *tables_covers_sections(size_t *n)
{
	*n = 1;
	return &cover_section;
}

void tables_covers_sample(struct text *t)
{
	sample(&covers_table, t);
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
