#include "garden/garden.h"

#include <math.h>
#include <string.h>

#include "base/ini.h"
#include "garden/gardenkeys.h"
#include "garden/keyvalue.h"
#include "garden/mailkeys.h"
#include "garden/sample.h"

/* ---- what one section says ---- */

static void set_name(const struct ini_section *s, char name[static KEY_WORD_SIZE])
{
	struct text t;

	text_over(&t, name, KEY_WORD_SIZE);
	text_add(&t, s->name); /* keys_heads has complained of a longer one */
}

static int line_of(const struct ini *doc, const struct ini_section *s, const char *key)
{
	const struct ini_entry *e = ini_find(doc, s, key);

	return e ? e->line : 0;
}

static void read_garden(const struct ini *doc, const struct ini_section *s, struct garden *g, struct faults *all)
{
	keys_fill(doc, s, &gardenkeys[GARDENKEYS_GARDEN], true, g, all);
	if (!*g->name)
		memcpy(g->name, g->id, sizeof g->id);
	g->place = place_at(g->latitude, g->longitude, g->elevation_m);
	g->timezone_line = line_of(doc, s, "timezone");
	g->source_line = line_of(doc, s, "source");
	g->history_line = line_of(doc, s, "history");
	for (size_t i = 0, n = 0; i < s->n && n < g->covers; i++)
		if (strcmp(doc->entry[s->first + i].key, "cover") == 0)
			g->cover_line[n++] = doc->entry[s->first + i].line;
}

static void read_bed(const struct ini *doc, const struct ini_section *s, struct bed *b, struct faults *all)
{
	set_name(s, b->name);
	keys_fill(doc, s, &gardenkeys[GARDENKEYS_BED], true, b, all);
	b->cover_line = line_of(doc, s, "cover");
}

static void read_tub(const struct ini *doc, const struct ini_section *s, struct tub *b, struct faults *all)
{
	set_name(s, b->name);
	keys_fill(doc, s, &gardenkeys[GARDENKEYS_TUB], true, b, all);
	b->cover_line = line_of(doc, s, "cover");
}

/* What the planting says of its figures, over those of its crop. */
static void read_planting(const struct ini *doc, const struct ini_section *s, const struct crops *crops,
			  struct planting *p, struct faults *all)
{
	const struct ini_entry *named = ini_find(doc, s, "crop");
	const struct crop *crop = named ? crop_find(crops, named->value) : NULL;
	size_t before = all->n + all->more;
	int own = 0;
	struct fault f = {0};

	set_name(s, p->name);
	if (crop)
		p->figures = *crop;
	keys_fill(doc, s, &gardenkeys[GARDENKEYS_PLANTING], true, p, all);
	for (size_t i = CROP_BASE; i < CROP_FIGURES; i++) {
		p->own_line[i] = line_of(doc, s, crop_key[i].name);
		own = own ? own : p->own_line[i];
	}
	if (crop && own && before == all->n + all->more && crop_check(&p->figures, &f))
		keys_fault(doc, s, own, all, "%s", f.text);
}

static bool room(const struct ini *doc, const struct ini_section *s, size_t n, size_t max, struct faults *all)
{
	if (n < max)
		return true;
	ini_fault(doc, s->line, all, "%s \"%s\" is one too many; at most %zu", s->kind, s->name, max);
	return false;
}

static void read_section(const struct ini *doc, const struct ini_section *s, const struct crops *crops,
			 struct garden *g, struct faults *all)
{
	const struct key_section *kind = keys_section(gardenkeys, GARDENKEYS, s->kind);

	if (!kind)
		return;
	switch (kind - gardenkeys) {
	case GARDENKEYS_GARDEN:
		read_garden(doc, s, g, all);
		break;
	case GARDENKEYS_MAIL:
		keys_fill(doc, s, kind, true, &g->mail, all);
		mailkeys_check(doc, s, &g->mail, all);
		break;
	case GARDENKEYS_BED:
		if (room(doc, s, g->beds, GARDEN_BEDS_MAX, all))
			read_bed(doc, s, &g->bed[g->beds++], all);
		break;
	case GARDENKEYS_TUB:
		if (room(doc, s, g->tubs, GARDEN_TUBS_MAX, all))
			read_tub(doc, s, &g->tub[g->tubs++], all);
		break;
	case GARDENKEYS_PLANTING:
		if (room(doc, s, g->plantings, GARDEN_PLANTINGS_MAX, all))
			read_planting(doc, s, crops, &g->planting[g->plantings++], all);
		break;
	default:
		break;
	}
}

/* ---- what sections say together ---- */

static void say_unknown(const struct ini *doc, const struct ini_section *s, const char *key, const char *value,
			const char *const *known, size_t n, struct faults *all)
{
	char remedy[KEY_LIST_SIZE];

	keys_fault(doc, s, line_of(doc, s, key), all, "%s \"%s\" is not known; %s", key, value,
		   key_remedy(value, known, n, remedy));
}

static void check_crop(const struct ini *doc, const struct ini_section *s, struct planting *p,
		       const struct crops *crops, struct faults *all)
{
	const char *known[CROPS_MAX];

	p->crop_index = crop_index(crops, p->crop);
	if (!*p->crop || p->crop_index < crops->n)
		return;
	for (size_t i = 0; i < crops->n; i++)
		known[i] = crops->at[i].name;
	say_unknown(doc, s, "crop", p->crop, known, crops->n, all);
}

static void check_in(const struct ini *doc, const struct ini_section *s, const struct planting *p,
		     const struct garden *g, struct faults *all)
{
	const char *known[GARDEN_BEDS_MAX + GARDEN_TUBS_MAX];
	size_t n = 0;

	for (size_t i = 0; i < g->beds; i++)
		known[n++] = g->bed[i].name;
	for (size_t i = 0; i < g->tubs; i++)
		known[n++] = g->tub[i].name;
	for (size_t i = 0; i < n; i++)
		if (strcmp(known[i], p->in) == 0)
			return;
	if (*p->in && !n)
		keys_fault(doc, s, line_of(doc, s, "in"), all, "in \"%s\" is not known; the file has no bed and no tub",
			   p->in);
	else if (*p->in)
		say_unknown(doc, s, "in", p->in, known, n, all);
}

static void check_dates(const struct ini *doc, const struct ini_section *s, const struct planting *p,
			struct faults *all)
{
	char early[DATE_TEXT_SIZE], late[DATE_TEXT_SIZE];
	struct date begun = date_is(p->planted) ? p->planted : p->sown;

	if (date_is(p->planted) && date_is(p->sown)) {
		if (p->sowing == GARDEN_SOWN_OUTDOORS)
			keys_fault(doc, s, line_of(doc, s, "planted"), all,
				   "planted is for plants raised indoors; this one was sown outdoors");
		else if (date_diff(p->planted, p->sown) < 1)
			keys_fault(doc, s, line_of(doc, s, "planted"), all,
				   "planted %s is not after sown %s; a later day", date_text(p->planted, late),
				   date_text(p->sown, early));
	}
	if (date_is(p->ended) && date_is(begun) && date_diff(p->ended, begun) < 0)
		keys_fault(doc, s, line_of(doc, s, "ended"), all, "ended %s is before %s %s; a later day",
			   date_text(p->ended, late), date_is(p->planted) ? "planted" : "sown",
			   date_text(begun, early));
}

/* Where it is to be sown, and what that says of one that is not sown yet. */
static void check_start(const struct ini *doc, const struct ini_section *s, struct planting *p, struct faults *all)
{
	int sowing = p->start == GARDEN_START_OUTDOORS ? GARDEN_SOWN_OUTDOORS : GARDEN_SOWN_INDOORS;

	if (p->start == GARDEN_START_NO)
		return;
	if (date_is(p->sown) && sowing != p->sowing)
		keys_fault(doc, s, line_of(doc, s, "start"), all,
			   "start is not where it was sown; leave start out once it is sown");
	else if (date_is(p->planted) && sowing == GARDEN_SOWN_OUTDOORS)
		keys_fault(doc, s, line_of(doc, s, "planted"), all,
			   "planted is for plants raised indoors; this one starts outdoors");
	p->sowing = sowing;
}

static void check_tub(const struct ini *doc, const struct ini_section *s, struct faults *all)
{
	for (size_t i = 0; i < doc->sections; i++) {
		const struct ini_section *bed = &doc->section[i];

		if (strcmp(bed->kind, gardenkeys[GARDENKEYS_BED].kind) == 0 && strcmp(bed->name, s->name) == 0) {
			ini_fault(doc, s->line, all, "tub \"%s\" has the name of the bed in line %d; another name",
				  s->name, bed->line);
			return;
		}
	}
}

static void check_together(const struct ini *doc, const struct crops *crops, struct garden *g, struct faults *all)
{
	size_t plantings = 0;

	for (size_t i = 0; i < doc->sections; i++) {
		const struct ini_section *s = &doc->section[i];

		if (strcmp(s->kind, gardenkeys[GARDENKEYS_TUB].kind) == 0)
			check_tub(doc, s, all);
		if (strcmp(s->kind, gardenkeys[GARDENKEYS_PLANTING].kind) != 0 || plantings == g->plantings)
			continue;
		struct planting *p = &g->planting[plantings++];
		check_crop(doc, s, p, crops, all);
		check_in(doc, s, p, g, all);
		check_dates(doc, s, p, all);
		check_start(doc, s, p, all);
	}
}

/* ---- the file ---- */

static bool has_garden(const struct ini *doc)
{
	for (size_t i = 0; i < doc->sections; i++)
		if (strcmp(doc->section[i].kind, gardenkeys[GARDENKEYS_GARDEN].kind) == 0)
			return true;
	return false;
}

static void say_no_garden(const struct ini *doc, struct faults *all)
{
	enum { NEEDED_MAX = 16 };
	const struct key_section *kind = &gardenkeys[GARDENKEYS_GARDEN];
	const char *needed[NEEDED_MAX];
	char list[KEY_LIST_SIZE];
	size_t n = 0;

	for (size_t i = 0; i < kind->keys && n < NEEDED_MAX; i++)
		if (kind->key[i].required)
			needed[n++] = kind->key[i].name;
	ini_fault(doc, 1, all, "section [garden] is missing; it needs %s", key_listed(needed, n, "and", list));
}

static void read_doc(const struct ini *doc, const struct crops *crops, struct garden *g, struct faults *all)
{
	keys_heads(doc, gardenkeys, GARDENKEYS, all);
	if (!has_garden(doc))
		say_no_garden(doc, all);
	for (size_t i = 0; i < doc->sections; i++)
		read_section(doc, &doc->section[i], crops, g, all);
	check_together(doc, crops, g, all);
}

enum fault_code garden_parse(const char *file, const char *bytes, size_t n, const struct crops *crops, struct garden *g,
			     struct faults *all)
{
	struct ini doc = {0};

	memset(g, 0, sizeof *g);
	/* A file without a section that the reader refused is no garden file: one fault is enough. */
	if (ini_parse(file, bytes, n, &doc, all) == FAULT_NONE || doc.sections)
		read_doc(&doc, crops, g, all);
	ini_free(&doc);
	return faults_code(all);
}

enum fault_code garden_load(const char *path, const struct crops *crops, struct garden *g, struct faults *all)
{
	struct ini doc = {0};

	memset(g, 0, sizeof *g);
	if (ini_load(path, &doc, all) == FAULT_NONE || doc.sections)
		read_doc(&doc, crops, g, all);
	ini_free(&doc);
	return faults_code(all);
}

const struct planting *garden_planting(const struct garden *g, const char *name)
{
	for (size_t i = 0; i < g->plantings; i++)
		if (strcmp(g->planting[i].name, name) == 0)
			return &g->planting[i];
	return NULL;
}

static void cover_check(const char *file, const char *what, const char *cover, int line, const struct covers *covers,
			struct faults *all)
{
	const char *known[COVERS_MAX];
	char remedy[KEY_LIST_SIZE];

	if (!*cover || cover_find(covers, cover))
		return;
	for (size_t i = 0; i < covers->n; i++)
		known[i] = covers->at[i].name;
	faults_addf(all, FAULT_CONFIG, "%s:%d: %scover \"%s\" is not known; %s", file, line, what, cover,
		    key_remedy(cover, known, covers->n, remedy));
}

enum fault_code garden_covers_known(struct garden *g, const char *file, const struct covers *covers, struct faults *all)
{
	char what[KEY_LIST_SIZE];
	struct text t;

	g->cover_table = covers;
	text_over(&t, what, sizeof what);
	for (size_t i = 0; i < g->covers; i++)
		cover_check(file, "", g->cover[i], g->cover_line[i], covers, all);
	for (size_t i = 0; i < g->beds; i++) {
		text_clear(&t);
		text_addf(&t, "bed \"%s\": ", g->bed[i].name);
		cover_check(file, what, g->bed[i].cover, g->bed[i].cover_line, covers, all);
	}
	for (size_t i = 0; i < g->tubs; i++) {
		text_clear(&t);
		text_addf(&t, "tub \"%s\": ", g->tub[i].name);
		cover_check(file, what, g->tub[i].cover, g->tub[i].cover_line, covers, all);
	}
	return faults_code(all);
}

const struct tub *garden_tub(const struct garden *g, const struct planting *p)
{
	for (size_t i = 0; i < g->tubs; i++)
		if (strcmp(g->tub[i].name, p->in) == 0)
			return &g->tub[i];
	return NULL;
}

/* The cover kept for the bed or tub of a planting; "" where there is none. */
static const char *kept_cover(const struct garden *g, const struct planting *p)
{
	const struct tub *tub = garden_tub(g, p);

	for (size_t i = 0; i < g->beds; i++)
		if (strcmp(g->bed[i].name, p->in) == 0)
			return g->bed[i].cover;
	return tub != NULL ? tub->cover : "";
}

const char *garden_cover(const struct garden *g, const struct planting *p, size_t i)
{
	const char *kept = kept_cover(g, p);

	if (*kept)
		return i == 0 ? kept : NULL;
	return i < g->covers ? g->cover[i] : NULL;
}

const struct key_section *garden_sections(size_t *n)
{
	*n = GARDENKEYS;
	return gardenkeys;
}

void garden_sample(struct text *t)
{
	text_add(t, "# A garden file with every key there is.  Take the # off a line to use it.\n\n");
	sample_write(gardenkeys, GARDENKEYS, NULL, t);
}
