#include "cli/plotlines.h"

#include <assert.h>
#include <ctype.h>
#include <stdbool.h>
#include <string.h>

#include "base/text.h"
#include "garden/keyvalue.h"

enum { PART_SIZE = 128 };

const struct key *plotlines_key(const char *kind, const char *key)
{
	size_t n;
	const struct key_section *sections = garden_sections(&n);
	const struct key_section *s = keys_section(sections, n, kind);
	assert(s != NULL);
	size_t i = 0;
	while (i + 1 < s->keys && strcmp(s->key[i].name, key) != 0)
		i++;
	return &s->key[i];
}

/* The next part up to a comma, blanks at its ends dropped; false where the line is at its end or a part is too long. */
static bool next_part(const char **line, char part[static PART_SIZE])
{
	struct text t;
	const char *s = *line + strspn(*line, " \t,");
	size_t n = strcspn(s, ",");
	*line = s + n;
	while (n > 0 && (s[n - 1] == ' ' || s[n - 1] == '\t'))
		n--;
	text_over(&t, part, PART_SIZE);
	text_add_n(&t, s, n);
	return n > 0;
}

/* ---- beds and tubs ---- */

static size_t known_places(const struct garden *g, const char *known[static GARDEN_BEDS_MAX + GARDEN_TUBS_MAX])
{
	size_t n = 0;
	for (size_t i = 0; i < g->beds; i++)
		known[n++] = g->bed[i].name;
	for (size_t i = 0; i < g->tubs; i++)
		known[n++] = g->tub[i].name;
	return n;
}

static bool is_place(const struct garden *g, const char *name)
{
	const char *known[GARDEN_BEDS_MAX + GARDEN_TUBS_MAX];
	size_t n = known_places(g, known);
	for (size_t i = 0; i < n; i++)
		if (strcmp(known[i], name) == 0)
			return true;
	return false;
}

static enum fault_code fit_name(const struct garden *g, const char *kind, const char *name, struct fault *f)
{
	if (!key_one_word(name, KEY_WORD_SIZE))
		return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" is no fit name; one word of at most %d bytes", kind,
				 KEY_SHOWN(name), KEY_WORD_SIZE - 1);
	if (is_place(g, name))
		return fault_set(f, FAULT_CONFIG, "%s \"%s\" is there already; another name", kind, name);
	return FAULT_NONE;
}

struct place_kind {
	const char *kind, *size; /* key of how large it is */
	size_t most;
};

/* `into` is the struct of the section. */
static enum fault_code read_place(struct plot *p, const struct place_kind *k, size_t n, const char *line, void *into,
				  struct fault *f)
{
	char name[PART_SIZE] = "", size[PART_SIZE] = "", more[PART_SIZE];
	bool named = next_part(&line, name), sized = next_part(&line, size);
	const struct key *row = plotlines_key(k->kind, k->size);
	if (!named || next_part(&line, more))
		return fault_set(f, FAULT_CONFIG, "a name and how large it is; as NAME, %s", row->example);
	if (n == k->most)
		return fault_set(f, FAULT_CONFIG, "%s \"%s\" is one too many; at most %zu", k->kind, name, k->most);
	if (fit_name(p->garden, k->kind, name, f) != FAULT_NONE || (sized && key_set(row, size, into, f) != FAULT_NONE))
		return f->code;
	return sample_add(p->values, k->kind, name, sized ? k->size : "", size, f) == FAULT_NONE ? FAULT_NONE : f->code;
}

static void first_word(const char *line, char name[static KEY_WORD_SIZE])
{
	char part[PART_SIZE];
	(void)next_part(&line, part);
	(void)text_copy(name, KEY_WORD_SIZE, part);
}

enum fault_code plotlines_bed(struct plot *p, const char *line, struct fault *f)
{
	static const struct place_kind kind = {"bed", "area", GARDEN_BEDS_MAX};
	struct garden *g = p->garden;
	struct bed bed = {0};
	if (read_place(p, &kind, g->beds, line, &bed, f) != FAULT_NONE)
		return f->code;
	first_word(line, bed.name);
	g->bed[g->beds++] = bed;
	return FAULT_NONE;
}

enum fault_code plotlines_tub(struct plot *p, const char *line, struct fault *f)
{
	static const struct place_kind kind = {"tub", "volume", GARDEN_TUBS_MAX};
	struct garden *g = p->garden;
	struct tub tub = {0};
	if (read_place(p, &kind, g->tubs, line, &tub, f) != FAULT_NONE)
		return f->code;
	first_word(line, tub.name);
	g->tub[g->tubs++] = tub;
	return FAULT_NONE;
}

/* ---- plantings ---- */

/* Whether a part begins with a word, which is then behind it. */
static const char *behind_word(const char *part, const char *word)
{
	size_t n = strlen(word);
	bool is = strncmp(part, word, n) == 0 && (part[n] == ' ' || part[n] == '\t');
	return is ? part + n + strspn(part + n, " \t") : NULL;
}

static enum fault_code set(const char *key, const char *value, char *to, size_t size, struct fault *f)
{
	struct planting scratch;
	if (to[0] != '\0')
		return fault_set(f, FAULT_CONFIG, "%s is given twice; once is right", key);
	if (key_set(plotlines_key("planting", key), value, &scratch, f) != FAULT_NONE)
		return f->code;
	return text_copy(to, size, value) ? FAULT_NONE : fault_set(f, FAULT_CONFIG, "%s is too long", key);
}

static enum fault_code set_place(const struct plot *p, const char *name, struct plot_planting *planting,
				 struct fault *f)
{
	const char *known[GARDEN_BEDS_MAX + GARDEN_TUBS_MAX];
	char remedy[KEY_LIST_SIZE];
	size_t n = known_places(p->garden, known);
	if (isdigit((unsigned char)name[0]) && strchr(name, '-') != NULL && !is_place(p->garden, name))
		return fault_set(f, FAULT_CONFIG, "\"%.*s\": sown or planted before a day; as sown %s", KEY_SHOWN(name),
				 plotlines_key("planting", "sown")->example);
	if (is_place(p->garden, name))
		return set("in", name, planting->in, sizeof planting->in, f);
	if (n == 0)
		return fault_set(f, FAULT_CONFIG, "\"%.*s\" is no day, and there is no bed and no tub; sown or planted",
				 KEY_SHOWN(name));
	return fault_set(f, FAULT_CONFIG, "\"%.*s\" is no bed, tub or day; %s", KEY_SHOWN(name),
			 key_remedy(name, known, n, remedy));
}

/* "2 plants" */
static bool is_count(const char *part, char count[static PART_SIZE])
{
	size_t n = strspn(part, "0123456789");
	const char *rest = part + n + strspn(part + n, " \t");
	struct text t;
	text_over(&t, count, PART_SIZE);
	text_add_n(&t, part, n);
	return n > 0 && (strcmp(rest, "plants") == 0 || strcmp(rest, "plant") == 0);
}

enum fault_code plotlines_part(const struct plot *p, const char *part, struct plot_planting *planting, struct fault *f)
{
	char count[PART_SIZE];
	const char *value;
	if ((value = behind_word(part, "sown")) != NULL)
		return set("sown", value, planting->sown, sizeof planting->sown, f);
	if ((value = behind_word(part, "planted")) != NULL)
		return set("planted", value, planting->planted, sizeof planting->planted, f);
	if (is_count(part, count))
		return set("plants", count, planting->plants, sizeof planting->plants, f);
	value = behind_word(part, "in");
	return set_place(p, value != NULL ? value : part, planting, f);
}

static enum fault_code set_crop(const struct plot *p, const char *crop, struct plot_planting *planting, struct fault *f)
{
	const char *known[CROPS_MAX];
	char remedy[KEY_LIST_SIZE];
	if (crop_index(p->crops, crop) < p->crops->n)
		return set("crop", crop, planting->crop, sizeof planting->crop, f);
	for (size_t i = 0; i < p->crops->n; i++)
		known[i] = p->crops->at[i].name;
	return fault_set(f, FAULT_CONFIG, "crop \"%.*s\" is not known; %s", KEY_SHOWN(crop),
			 key_remedy(crop, known, p->crops->n, remedy));
}

/* As the garden file will be judged. */
static enum fault_code days_go_together(const struct plot_planting *planting, struct fault *f)
{
	struct planting p = {.sown = date_none(), .planted = date_none()};
	if (planting->sown[0] == '\0' || planting->planted[0] == '\0')
		return FAULT_NONE;
	if (key_set(plotlines_key("planting", "sown"), planting->sown, &p, f) != FAULT_NONE ||
	    key_set(plotlines_key("planting", "planted"), planting->planted, &p, f) != FAULT_NONE)
		return f->code;
	if (p.sowing == GARDEN_SOWN_OUTDOORS)
		return fault_set(f, FAULT_CONFIG, "planted is for plants raised indoors; this one was sown outdoors");
	if (date_diff(p.planted, p.sown) < 1)
		return fault_set(f, FAULT_CONFIG, "planted %s is not after sown %s; a later day", planting->planted,
				 planting->sown);
	return FAULT_NONE;
}

enum fault_code plotlines_planting(const struct plot *p, const char *line, struct plot_planting *planting,
				   struct fault *f)
{
	char part[PART_SIZE];
	*planting = (struct plot_planting){.crop = ""};
	if (p->garden->plantings == GARDEN_PLANTINGS_MAX)
		return fault_set(f, FAULT_CONFIG, "one planting too many; at most %d", GARDEN_PLANTINGS_MAX);
	if (!next_part(&line, part))
		return fault_set(f, FAULT_CONFIG,
				 "a crop and what is known of it; as CROP, BED, sown 2026-04-20 indoors");
	if (set_crop(p, part, planting, f) != FAULT_NONE)
		return f->code;
	while (next_part(&line, part))
		if (plotlines_part(p, part, planting, f) != FAULT_NONE)
			return f->code;
	return days_go_together(planting, f);
}

static void name_it(const struct plot *p, const char *crop, char name[static KEY_WORD_SIZE])
{
	enum { NUMBER = 4 };
	size_t n = 1;
	struct text t;
	for (size_t i = 0; i < p->garden->plantings; i++)
		n += strcmp(p->garden->planting[i].crop, crop) == 0;
	text_over(&t, name, KEY_WORD_SIZE);
	text_addf(&t, "%.*s-%zu", KEY_WORD_SIZE - 1 - NUMBER, crop, n);
}

enum fault_code plotlines_keep(struct plot *p, const struct plot_planting *planting, struct fault *f)
{
	const struct {
		const char *key, *value;
	} values[] = {
	    {"crop", planting->crop}, {"in", planting->in},           {"plants", planting->plants},
	    {"sown", planting->sown}, {"planted", planting->planted},
	};
	struct garden *g = p->garden;
	struct planting *one = &g->planting[g->plantings];
	*one = (struct planting){.sown = date_none(), .planted = date_none(), .ended = date_none()};
	name_it(p, planting->crop, one->name);
	for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
		const struct key *k = plotlines_key("planting", values[i].key);
		if (values[i].value[0] == '\0')
			continue;
		if (key_set(k, values[i].value, one, f) != FAULT_NONE ||
		    sample_add(p->values, "planting", one->name, values[i].key, values[i].value, f) != FAULT_NONE)
			return f->code;
	}
	g->plantings++;
	return FAULT_NONE;
}
