#include "garden/garden.h"

#include <math.h>
#include <string.h>

#include "base/ini.h"
#include "garden/keyvalue.h"
#include "garden/mailkeys.h"
#include "garden/sample.h"

#define AT(type, field)   .at = offsetof(struct type, field)
#define TEXT(type, field) .at = offsetof(struct type, field), .size = sizeof(((struct type *)0)->field)

static const struct key garden_key[] = {
    {.name = "id",
     .kind = KEY_ID,
     .fallback = "garden",
     .example = "quarry-lane",
     .help = "Stable name of the garden, by which the record knows what was sent to it",
     TEXT(garden, id)},
    {.name = "name",
     .kind = KEY_TEXT,
     .example = "Quarry Lane",
     .help = "Name at the head of a note; the id where not given",
     TEXT(garden, name)},
    {.name = "latitude",
     .kind = KEY_NUMBER,
     .lo = -90,
     .hi = 90,
     .required = true,
     .example = "44.31",
     .right = "degrees north, south negative",
     .help = "Degrees north, south negative; two decimals are enough",
     AT(garden, latitude)},
    {.name = "longitude",
     .kind = KEY_NUMBER,
     .lo = -180,
     .hi = 180,
     .required = true,
     .example = "-89.90",
     .right = "degrees east, west negative",
     .help = "Degrees east, west negative; two decimals are enough",
     AT(garden, longitude)},
    {.name = "elevation",
     .kind = KEY_VALUE,
     .family = UNIT_LENGTH,
     .lo = -450,
     .hi = 6000,
     .example = "330 m",
     .help = "Height of the garden above the sea",
     AT(garden, elevation_m)},
    {.name = "timezone",
     .kind = KEY_ZONE,
     .required = true,
     .example = "America/Chicago",
     .right = "as America/Chicago",
     .help = "Time zone by its name in the IANA zone database",
     TEXT(garden, timezone)},
    {.name = "units",
     .kind = KEY_CHOICE,
     .word = {[UNIT_METRIC] = "metric", [UNIT_US] = "us"},
     .fallback = "metric",
     .example = "us",
     .help = "Units of the note",
     AT(garden, units)},
    {.name = "source",
     .kind = KEY_ID,
     .required = true,
     .example = "a-service",
     .help = "Source description of the forecast: a file of that name in the folder sources",
     TEXT(garden, source)},
    {.name = "history",
     .kind = KEY_ID,
     .example = "an-archive",
     .help = "Source description of past weather, from which days before the first fetch are filled in",
     TEXT(garden, history)},
    {.name = "contact",
     .kind = KEY_TEXT,
     .example = "grower@example.org",
     .help = "Mail address or web page that a weather service may write to; some ask for it",
     TEXT(garden, contact)},
    {.name = "proxy",
     .kind = KEY_SERVER,
     .word = {"http", "https"},
     .example = "http://proxy.example:3128",
     .right = "http:// or https://, its host and its port",
     .help = "Proxy between this machine and the weather services; that of the environment (https_proxy) where not "
	     "given, but cron has no environment",
     TEXT(garden, proxy)},
    {.name = "record",
     .kind = KEY_TEXT,
     .example = "/home/grower/weather.db",
     .help = "File of the weather record; one in the state folder where not given",
     TEXT(garden, record)},
    {.name = "thermometer",
     .kind = KEY_CHOICE,
     .word = {[GARDEN_SCREEN] = "screen", [GARDEN_AT_BED] = "bed"},
     .fallback = "screen",
     .example = "screen",
     .help = "Where the grower's own thermometer hangs",
     AT(garden, thermometer)},
    {.name = "indoor",
     .kind = KEY_VALUE,
     .family = UNIT_TEMPERATURE,
     .lo = 0,
     .hi = 45,
     .example = "68 F",
     .help = "Temperature of the room where trays stand; without it their warmth is not counted",
     AT(garden, indoor_c)},
};

static const struct key bed_key[] = {
    {.name = "area",
     .kind = KEY_VALUE,
     .family = UNIT_AREA,
     .lo = 0.01,
     .hi = 100000,
     .example = "40 sq ft",
     .help = "Area of the bed",
     AT(bed, area_m2)},
    {.name = "soil", .kind = KEY_ID, .example = "loam", .help = "Kind of soil", TEXT(bed, soil)},
    {.name = "watering",
     .kind = KEY_CHOICE,
     .word = {[GARDEN_BY_HAND] = "hand", [GARDEN_DRIP] = "drip", [GARDEN_SPRINKLER] = "sprinkler"},
     .fallback = "hand",
     .example = "drip",
     .help = "How the bed is watered",
     AT(bed, watering)},
};

static const struct key tub_key[] = {
    {.name = "volume",
     .kind = KEY_VALUE,
     .family = UNIT_VOLUME,
     .lo = 0.1,
     .hi = 5000,
     .example = "15 gal",
     .help = "Volume of the mix in the tub",
     AT(tub, volume_l)},
    {.name = "movable",
     .kind = KEY_YES,
     .fallback = "no",
     .example = "no",
     .help = "Whether it can be carried in for a night",
     AT(tub, movable)},
};

static const struct key planting_key[] = {
    {.name = "crop",
     .kind = KEY_NAME,
     .required = true,
     .example = "NAME",
     .help = "A crop of the tables",
     TEXT(planting, crop)},
    {.name = "variety",
     .kind = KEY_TEXT,
     .example = "striped bush",
     .help = "Variety, in your own words",
     TEXT(planting, variety)},
    {.name = "in",
     .kind = KEY_NAME,
     .example = "NAME",
     .help = "The bed or tub it stands in or is meant for",
     TEXT(planting, in)},
    {.name = "plants",
     .kind = KEY_COUNT,
     .lo = 1,
     .hi = 10000,
     .fallback = "1",
     .example = "2",
     .help = "Number of plants",
     AT(planting, plants)},
    {.name = "sown",
     .kind = KEY_DATE,
     .word = {[GARDEN_SOWN_INDOORS] = "indoors", [GARDEN_SOWN_OUTDOORS] = "outdoors"},
     .example = "2026-04-20 indoors",
     .help = "Day of sowing and where",
     AT(planting, sown),
     .word_at = offsetof(struct planting, sowing)},
    {.name = "planted",
     .kind = KEY_DATE,
     .example = "2026-05-20",
     .help = "Day of planting out",
     AT(planting, planted)},
    {.name = "ended",
     .kind = KEY_DATE,
     .example = "2026-09-30",
     .help = "Day on which the planting was cleared",
     AT(planting, ended)},
    {.name = "night_line",
     .kind = KEY_VALUE,
     .family = UNIT_TEMPERATURE,
     .lo = -10,
     .hi = 35,
     .example = "58 F",
     .help = "Your own night line for planting out, over that of the tables",
     AT(planting, night_line_c)},
};

enum { SECTION_GARDEN, SECTION_MAIL, SECTION_BED, SECTION_TUB, SECTION_PLANTING, SECTIONS };

#define ROWS(table) .key = (table), .keys = sizeof(table) / sizeof *(table)

static const struct key_section section[SECTIONS] = {
    [SECTION_GARDEN] = {.kind = "garden", .help = "The garden as a whole", ROWS(garden_key)},
    [SECTION_MAIL] = {.kind = "mail",
		      .help = "How the note goes out; printed where not given",
		      .key = mailkeys,
		      .keys = MAILKEYS},
    [SECTION_BED] = {.kind = "bed", .named = true, .help = "One for each bed", ROWS(bed_key)},
    [SECTION_TUB] = {.kind = "tub", .named = true, .help = "One for each tub or pot", ROWS(tub_key)},
    [SECTION_PLANTING] = {.kind = "planting",
			  .named = true,
			  .help = "One for each lot of plants sown and grown together",
			  ROWS(planting_key)},
};

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
	keys_fill(doc, s, &section[SECTION_GARDEN], true, g, all);
	if (!*g->name)
		memcpy(g->name, g->id, sizeof g->id);
	g->place = place_at(g->latitude, g->longitude, g->elevation_m);
	g->timezone_line = line_of(doc, s, "timezone");
	g->source_line = line_of(doc, s, "source");
	g->history_line = line_of(doc, s, "history");
}

static bool room(const struct ini *doc, const struct ini_section *s, size_t n, size_t max, struct faults *all)
{
	if (n < max)
		return true;
	ini_fault(doc, s->line, all, "%s \"%s\" is one too many; at most %zu", s->kind, s->name, max);
	return false;
}

static void read_section(const struct ini *doc, const struct ini_section *s, struct garden *g, struct faults *all)
{
	const struct key_section *kind = keys_section(section, SECTIONS, s->kind);

	if (!kind)
		return;
	switch (kind - section) {
	case SECTION_GARDEN:
		read_garden(doc, s, g, all);
		break;
	case SECTION_MAIL:
		keys_fill(doc, s, kind, true, &g->mail, all);
		mailkeys_check(doc, s, &g->mail, all);
		break;
	case SECTION_BED:
		if (room(doc, s, g->beds, GARDEN_BEDS_MAX, all)) {
			set_name(s, g->bed[g->beds].name);
			keys_fill(doc, s, kind, true, &g->bed[g->beds++], all);
		}
		break;
	case SECTION_TUB:
		if (room(doc, s, g->tubs, GARDEN_TUBS_MAX, all)) {
			set_name(s, g->tub[g->tubs].name);
			keys_fill(doc, s, kind, true, &g->tub[g->tubs++], all);
		}
		break;
	case SECTION_PLANTING:
		if (room(doc, s, g->plantings, GARDEN_PLANTINGS_MAX, all)) {
			set_name(s, g->planting[g->plantings].name);
			keys_fill(doc, s, kind, true, &g->planting[g->plantings++], all);
		}
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

static void check_tub(const struct ini *doc, const struct ini_section *s, struct faults *all)
{
	for (size_t i = 0; i < doc->sections; i++) {
		const struct ini_section *bed = &doc->section[i];

		if (strcmp(bed->kind, section[SECTION_BED].kind) == 0 && strcmp(bed->name, s->name) == 0) {
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

		if (strcmp(s->kind, section[SECTION_TUB].kind) == 0)
			check_tub(doc, s, all);
		if (strcmp(s->kind, section[SECTION_PLANTING].kind) != 0 || plantings == g->plantings)
			continue;
		struct planting *p = &g->planting[plantings++];
		check_crop(doc, s, p, crops, all);
		check_in(doc, s, p, g, all);
		check_dates(doc, s, p, all);
	}
}

/* ---- the file ---- */

static bool has_garden(const struct ini *doc)
{
	for (size_t i = 0; i < doc->sections; i++)
		if (strcmp(doc->section[i].kind, section[SECTION_GARDEN].kind) == 0)
			return true;
	return false;
}

static void say_no_garden(const struct ini *doc, struct faults *all)
{
	const char *needed[sizeof garden_key / sizeof *garden_key];
	char list[KEY_LIST_SIZE];
	size_t n = 0;

	for (size_t i = 0; i < sizeof garden_key / sizeof *garden_key; i++)
		if (garden_key[i].required)
			needed[n++] = garden_key[i].name;
	ini_fault(doc, 1, all, "section [garden] is missing; it needs %s", key_listed(needed, n, "and", list));
}

static void read_doc(const struct ini *doc, const struct crops *crops, struct garden *g, struct faults *all)
{
	keys_heads(doc, section, SECTIONS, all);
	if (!has_garden(doc))
		say_no_garden(doc, all);
	for (size_t i = 0; i < doc->sections; i++)
		read_section(doc, &doc->section[i], g, all);
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

double garden_night_line(const struct planting *p, const struct crops *crops)
{
	return isnan(p->night_line_c) ? crops->at[p->crop_index].night_line_c : p->night_line_c;
}

const struct key_section *garden_sections(size_t *n)
{
	*n = SECTIONS;
	return section;
}

void garden_sample(struct text *t)
{
	text_add(t, "# A garden file with every key there is.  Take the # off a line to use it.\n\n");
	sample_write(section, SECTIONS, NULL, t);
}
