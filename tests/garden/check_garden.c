#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/mem.h"
#include "base/text.h"
#include "garden/garden.h"
#include "lib/harness.h"

static const char GOOD[] = "fixtures/garden/good.ini";

#define FIGURES                                                                                                        \
	.rule = {.base_c = 8, .cap_c = 32, .cutoff = DEGREE_HORIZONTAL}, .slow_c = 11, .stall_c = 7, .cover_c = 3,     \
	.settle_days = 10, .tray_days = 21, .sow_soil_good_c = NAN, .emerge_base_c = NAN, .emerge_dd = NAN,            \
	.harden_day_c = NAN, .harden_night_c = NAN, .straw_soil_c = NAN, .pick_sown_dd = {NAN, NAN, NAN},              \
	.pick_planted_dd = {NAN, NAN, NAN}, .pick_daily_c = NAN, .root_depth_m = NAN, .spacing_m = 0.6

/* Two invented rows; the real ones are check_tables_crops' business. */
static struct crops crops = {
    .n = 2, .at = {{.name = "zucchini", .night_line_c = 15, FIGURES}, {.name = "tomato", .night_line_c = 13, FIGURES}}};
static struct garden garden;
static struct faults all;

static enum fault_code parse(const char *bytes, size_t n)
{
	all = (struct faults){0};
	return garden_parse("garden.ini", bytes, n, &crops, &garden, &all);
}

/* All faults, one a line. */
static const char *said(void)
{
	static char buf[FAULTS_MAX * FAULT_TEXT_SIZE];
	struct text t;

	text_over(&t, buf, sizeof buf);
	for (size_t i = 0; i < all.n; i++)
		text_addf(&t, "%s\n", all.at[i].text);
	return buf;
}

/* ---- bad input: exactly these lines ---- */

#define SITE                                                                                                           \
	"[garden]\nlatitude = 44.31\nlongitude = -89.9\ntimezone = America/Chicago\nsource = a-service\n" /* 5 lines   \
													   */
#define G(n) "garden.ini:" #n ": "
#define GARDEN_KEYS                                                                                                    \
	"id, name, latitude, longitude, elevation, timezone, units, source, history, contact, proxy, record, "         \
	"diary, thermometer, indoor, heat_mat or cover"

static const struct {
	const char *name, *bytes, *want;
} bad[] = {
    /* sections */
    {"no garden", "[bed south]\n",
     G(1) "section [garden] is missing; it needs latitude, longitude, timezone and source\n"},
    {"empty file", "", G(1) "section [garden] is missing; it needs latitude, longitude, timezone and source\n"},
    {"empty garden", "\n[garden]\n",
     G(2) "latitude is missing; as latitude = 44.31\n" G(2) "longitude is missing; as longitude = -89.90\n" G(
	 2) "timezone is missing; as timezone = America/Chicago\n" G(2) "source is missing; as source = a-service\n"},
    {"empty planting", SITE "[planting a]\n", G(6) "planting \"a\": crop is missing; as crop = NAME\n"},
    {"section misspelt", SITE "[plantin a]\ncrop = zucchini\n",
     G(6) "section [plantin] is not known; did you mean \"planting\"?\n"},
    {"section unknown", SITE "[greenhouse]\n",
     G(6) "section [greenhouse] is not known; garden, mail, bed, tub or planting\n"},
    {"bed without a name", SITE "[bed]\n", G(6) "[bed] has no name; [bed NAME]\n"},
    {"garden with a name", "[garden home]\nlatitude = 1\nlongitude = 1\ntimezone = UTC\nsource = x\n",
     G(1) "[garden home] takes no name; [garden]\n"},
    {"garden twice", SITE SITE, G(6) "[garden] is already in line 1; one section for all its keys\n"},
    {"name of two words", SITE "[bed south side]\n",
     G(6) "bed \"south side\" is no fit name; one word of at most 31 bytes\n"},
    {"name too long", SITE "[bed aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa]\n",
     G(6) "bed \"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\" is no fit name; one word of at most 31 bytes\n"},
    {"two plantings of one name", SITE "[planting a]\ncrop = tomato\n[planting a]\ncrop = zucchini\n",
     G(8) "planting \"a\" is already in line 6; another name\n"},
    {"bed and tub of one name", SITE "[bed a]\n[tub a]\n",
     G(7) "tub \"a\" has the name of the bed in line 6; another name\n"},
    /* keys */
    {"key misspelt", SITE "lattitude = 3\n", G(6) "key \"lattitude\" is not known; did you mean \"latitude\"?\n"},
    {"key unknown", SITE "sunshine = yes\n", G(6) "key \"sunshine\" is not known; " GARDEN_KEYS "\n"},
    {"key unknown in a bed", SITE "[bed south]\nslope = 3\n",
     G(7) "bed \"south\": key \"slope\" is not known; area, soil, watering or cover\n"},
    {"key with a basis it does not take", SITE "[planting a]\ncrop = tomato\nnight_line.basis = mine\n",
     G(8) "planting \"a\": key \"night_line.basis\" is not known; garden.ini(5) has the list\n"},
    {"key twice", SITE "latitude = 45\n", G(6) "latitude is already in line 2; keep one of them\n"},
    {"key without a value", SITE "[bed south]\nsoil =\n", G(7) "bed \"south\": soil has no value; as soil = loam\n"},
    /* numbers */
    {"latitude 95", "[garden]\nlatitude = 95\nlongitude = 0\ntimezone = UTC\nsource = x\n",
     G(2) "latitude 95 is outside -90..90; degrees north, south negative\n"},
    {"longitude 181", "[garden]\nlatitude = 9\nlongitude = -181\ntimezone = UTC\nsource = x\n",
     G(3) "longitude -181 is outside -180..180; degrees east, west negative\n"},
    {"latitude with a letter", "[garden]\nlatitude = 44.31 N\nlongitude = 0\ntimezone = UTC\nsource = x\n",
     G(2) "latitude \"44.31 N\" is not a number; degrees north, south negative, as 44.31\n"},
    {"latitude not finite", "[garden]\nlatitude = nan\nlongitude = 0\ntimezone = UTC\nsource = x\n",
     G(2) "latitude \"nan\" is not a number; degrees north, south negative, as 44.31\n"},
    {"half a plant", SITE "[planting a]\ncrop = tomato\nplants = 1.5\n",
     G(8) "planting \"a\": plants \"1.5\" is not a whole number; as 2\n"},
    {"no plant", SITE "[planting a]\ncrop = tomato\nplants = 0\n",
     G(8) "planting \"a\": plants 0 is outside 1..10000\n"},
    {"plants past an int", SITE "[planting a]\ncrop = tomato\nplants = 4294967297\n",
     G(8) "planting \"a\": plants 4294967297 is outside 1..10000\n"},
    {"room too warm", SITE "indoor = 168 F\n", G(6) "indoor 168 F is outside 0..45 C (32..113 F)\n"},
    {"tub too small", SITE "[tub a]\nvolume = 0 l\n",
     G(7) "tub \"a\": volume 0 l is outside 0.1..5000 l (0.02642..1321 gal)\n"},
    /* words */
    {"units unknown", SITE "units = imperial\n", G(6) "units \"imperial\" is not known; metric or us\n"},
    {"units misspelt", SITE "units = metrik\n", G(6) "units \"metrik\" is not known; did you mean \"metric\"?\n"},
    {"watering misspelt", SITE "[bed a]\nwatering = dripp\n",
     G(7) "bed \"a\": watering \"dripp\" is not known; did you mean \"drip\"?\n"},
    {"neither yes nor no", SITE "[tub a]\nmovable = maybe\n",
     G(7) "tub \"a\": movable \"maybe\" is not known; no or yes\n"},
    {"id with a blank", SITE "id = Quarry Lane\n",
     G(6) "id \"Quarry Lane\" is no fit name; letters a-z, digits and - alone\n"},
    {"id too long", SITE "id = aaaaaaaaaabbbbbbbbbbccccccccccddddddddddeeeeeeeeeeffffffffffgggg\n",
     G(6) "id \"aaaaaaaaaabbbbbbbbbbccccccccccdddddddddd\" is too long; at most 63 bytes\n"},
    {"zone no name", "[garden]\nlatitude = 1\nlongitude = 0\ntimezone = Chicago, US\nsource = x\n",
     G(4) "timezone \"Chicago, US\" is not the name of a time zone; as America/Chicago\n"},
    {"zone as a rule", "[garden]\nlatitude = 1\nlongitude = 0\ntimezone = :CST6\nsource = x\n",
     G(4) "timezone \":CST6\" is not the name of a time zone; as America/Chicago\n"},
    {"source with a path", "[garden]\nlatitude = 1\nlongitude = 0\ntimezone = UTC\nsource = ../x\n",
     G(5) "source \"../x\" is no fit name; letters a-z, digits and - alone\n"},
    {"history of two words", SITE "history = an archive\n",
     G(6) "history \"an archive\" is no fit name; letters a-z, digits and - alone\n"},
    {"proxy that is none", SITE "proxy = proxy.example:3128\n",
     G(6) "proxy \"proxy.example:3128\" is no proxy; http:// or https://, its host and its port, as "
	  "http://proxy.example:3128\n"},
    /* dates */
    {"sown nowhere", SITE "[planting a]\ncrop = tomato\nsown = 2026-04-20\n",
     G(8) "planting \"a\": sown \"2026-04-20\" does not say where; indoors or outdoors after the date\n"},
    {"sown somewhere else", SITE "[planting a]\ncrop = tomato\nsown = 2026-04-20 indoor\n",
     G(8) "planting \"a\": sown \"indoor\" is not known; did you mean \"indoors\"?\n"},
    {"planted with a word", SITE "[planting a]\ncrop = tomato\nplanted = 2026-05-20 outdoors\n",
     G(8) "planting \"a\": planted \"2026-05-20 outdoors\" is more than a date; as 2026-05-20\n"},
    {"planted before sown", SITE "[planting a]\ncrop = tomato\nplanted = 2026-04-20\nsown = 2026-04-20 indoors\n",
     G(8) "planting \"a\": planted 2026-04-20 is not after sown 2026-04-20; a later day\n"},
    {"sown outdoors, planted", SITE "[planting a]\ncrop = tomato\nsown = 2026-04-20 outdoors\nplanted = 2026-05-20\n",
     G(9) "planting \"a\": planted is for plants raised indoors; this one was sown outdoors\n"},
    {"ended before planted",
     SITE "[planting a]\ncrop = tomato\nsown = 2026-04-20 indoors\nplanted = 2026-05-20\nended = 2026-05-19\n",
     G(10) "planting \"a\": ended 2026-05-19 is before planted 2026-05-20; a later day\n"},
    {"ended before sown", SITE "[planting a]\ncrop = tomato\nsown = 2026-04-20 outdoors\nended = 2026-04-19\n",
     G(9) "planting \"a\": ended 2026-04-19 is before sown 2026-04-20; a later day\n"},
    {"starts elsewhere than it was sown",
     SITE "[planting a]\ncrop = tomato\nsown = 2026-04-20 indoors\nstart = outdoors\n",
     G(9) "planting \"a\": start is not where it was sown; leave start out once it is sown\n"},
    {"starts outdoors, to be planted", SITE "[planting a]\ncrop = tomato\nstart = outdoors\nplanted = 2026-05-20\n",
     G(9) "planting \"a\": planted is for plants raised indoors; this one starts outdoors\n"},
    /* what refers to something else */
    {"crop misspelt", SITE "[planting a]\ncrop = zuchini\n",
     G(7) "planting \"a\": crop \"zuchini\" is not known; did you mean \"zucchini\"?\n"},
    {"crop unknown", SITE "[planting a]\ncrop = lotus\n",
     G(7) "planting \"a\": crop \"lotus\" is not known; zucchini or tomato\n"},
    {"bed misspelt", SITE "[planting a]\ncrop = tomato\nin = suoth\n[bed south]\n",
     G(8) "planting \"a\": in \"suoth\" is not known; did you mean \"south\"?\n"},
    {"bed unknown", SITE "[planting a]\ncrop = tomato\nin = cellar\n[bed south]\n[tub patio]\n",
     G(8) "planting \"a\": in \"cellar\" is not known; south or patio\n"},
    {"no bed at all", SITE "[planting a]\ncrop = tomato\nin = cellar\n",
     G(8) "planting \"a\": in \"cellar\" is not known; the file has no bed and no tub\n"},
    /* all of them, in the order of the file */
    {"several", SITE "units = si\n[bed a]\nwater = drip\n[planting b]\ncrop = tomatoe\nplants = x\n",
     G(6) "units \"si\" is not known; metric or us\n" G(
	 8) "bed \"a\": key \"water\" is not known; area, soil, "
	    "watering or cover\n" G(11) "planting \"b\": plants \"x\" is not a "
					"whole number; as 2\n" G(10) "planting \"b\": crop \"tomatoe\" is not "
								     "known; did you mean \"tomato\"?\n"},
};

START_TEST(bad_input)
{
	const char *name = bad[_i].name;

	ROW_INT(name, parse(bad[_i].bytes, strlen(bad[_i].bytes)), FAULT_CONFIG);
	ROW_STR(name, said(), bad[_i].want);
}
END_TEST

/* Values that base/unit and base/date judge: their words, our place. */
static const struct {
	const char *name, *bytes, *place, *right;
} judged[] = {
    {"wrong unit", SITE "elevation = 330 kg\n", G(6) "elevation: ", "m"},
    {"no unit", SITE "indoor = 68\n", G(6) "indoor: ", "F"},
    {"unit of another family", SITE "[bed a]\narea = 40 gal\n", G(7) "bed \"a\": area: ", "sq ft"},
    {"no number", SITE "[tub a]\nvolume = big\n", G(7) "tub \"a\": volume: ", "gal"},
    {"no such day", SITE "[planting a]\ncrop = tomato\nplanted = 2026-02-30\n", G(8) "planting \"a\": planted: ", "28"},
    {"date the other way round", SITE "[planting a]\ncrop = tomato\nsown = 20.4.2026 indoors\n",
     G(8) "planting \"a\": sown: ", "2026-04-20"},
    {"date without an end", SITE "[planting a]\ncrop = tomato\nplanted = 2026-02-3000000000000000\n",
     G(8) "planting \"a\": planted: ", "2026-04-20"},
};

START_TEST(bad_values)
{
	const char *name = judged[_i].name;

	ROW_INT(name, parse(judged[_i].bytes, strlen(judged[_i].bytes)), FAULT_CONFIG);
	ROW_INT(name, all.n, 1);
	ck_assert_msg(strncmp(said(), judged[_i].place, strlen(judged[_i].place)) == 0, "%s: %s", name, said());
	ck_assert_msg(strstr(said() + strlen(judged[_i].place), judged[_i].right) != NULL, "%s: %s", name, said());
}
END_TEST

START_TEST(long_lines)
{
	static const struct {
		size_t length;
		const char *want; /* start of the only fault */
	} row[] = {
	    {300, ""},
	    {5000, "garden.ini:6: line has 5000 bytes"},
	};

	for (size_t i = 0; i < 2; i++) {
		static char bytes[8000];
		size_t n = strlen(SITE);

		memcpy(bytes, SITE, n);
		memset(bytes + n, 'x', row[i].length);
		memcpy(bytes + n, "record = ", 9);
		bytes[n + row[i].length] = '\n';
		ROW_INT("long line", parse(bytes, n + row[i].length + 1), *row[i].want ? FAULT_CONFIG : FAULT_NONE);
		ROW_INT("long line", all.n, *row[i].want ? 1 : 0);
		ck_assert_msg(strncmp(said(), row[i].want, strlen(row[i].want)) == 0, "%s", said());
	}
	ROW_STR("what else the file says was read", garden.timezone, "America/Chicago");
}
END_TEST

START_TEST(binary_file)
{
	char bytes[2048];

	for (size_t i = 0; i < sizeof bytes; i++)
		bytes[i] = (char)(i * 167 + i / 7);
	ROW_INT("binary", parse(bytes, sizeof bytes), FAULT_CONFIG);
	ROW_INT("binary: one fault", all.n + all.more, 1);
}
END_TEST

START_TEST(too_many)
{
	static const struct {
		const char *section, *rest, *want;
		int max;
	} row[] = {
	    {"planting", "crop = tomato\n", "garden.ini:518: planting \"n256\" is one too many; at most 256\n",
	     GARDEN_PLANTINGS_MAX},
	    {"bed", "", "garden.ini:70: bed \"n64\" is one too many; at most 64\n", GARDEN_BEDS_MAX},
	    {"tub", "", "garden.ini:70: tub \"n64\" is one too many; at most 64\n", GARDEN_TUBS_MAX},
	};

	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		struct text t;

		text_init(&t, 1 << 20);
		text_add(&t, SITE);
		for (int n = 0; n < row[i].max; n++)
			text_addf(&t, "[%s n%d]\n%s", row[i].section, n, row[i].rest);
		ROW_INT(row[i].section, parse(t.at, t.len), FAULT_NONE);
		text_addf(&t, "[%s n%d]\n%s", row[i].section, row[i].max, row[i].rest);
		ROW_INT(row[i].section, parse(t.at, t.len), FAULT_CONFIG);
		ROW_STR(row[i].section, said(), row[i].want);
		text_free(&t);
	}
}
END_TEST

START_TEST(no_file)
{
	all = (struct faults){0};
	ROW_INT("no file", garden_load("fixtures/garden/none.ini", &crops, &garden, &all), FAULT_NO_INPUT);
	ROW_INT("no file", all.n, 1);
}
END_TEST

/* ---- good input ---- */

static const char *day(struct date d)
{
	static char buf[DATE_TEXT_SIZE];

	return date_is(d) ? date_text(d, buf) : "none";
}

START_TEST(good_garden)
{
	all = (struct faults){0};
	enum fault_code code = garden_load(GOOD, &crops, &garden, &all);

	ck_assert_msg(code == FAULT_NONE, "%s", said());
	ROW_STR("id", garden.id, "quarry-lane");
	ROW_STR("name", garden.name, "Quarry Lane");
	ROW_NEAR("latitude", garden.latitude, 44.31, 0);
	ROW_NEAR("longitude", garden.longitude, -89.9, 0);
	ROW_NEAR("elevation", garden.elevation_m, 330, 0);
	ROW_INT("place", garden.place.latitude_cdeg, 4431);
	ROW_INT("place", garden.place.longitude_cdeg, -8990);
	ROW_INT("place", garden.place.elevation_m, 330);
	ROW_STR("timezone", garden.timezone, "America/Chicago");
	ROW_INT("units", garden.units, UNIT_US);
	ROW_STR("source", garden.source, "a-service");
	ROW_STR("history", garden.history, "an-archive");
	ROW_STR("contact", garden.contact, "grower@example.org");
	ROW_STR("proxy", garden.proxy, "http://proxy.example:3128");
	ROW_STR("record", garden.record, "/var/lib/grower/weather.db");
	ROW_STR("diary", garden.diary, "diary.txt");
	ROW_INT("thermometer", garden.thermometer, GARDEN_AT_BED);
	ROW_NEAR("indoor", garden.indoor_c, 20, 1e-12); /* (68 - 32) / 1.8 */
	ROW_INT("covers", garden.covers, 2);
	ROW_STR("covers", garden.cover[1], "jug");
	ROW_INT("line of a cover", garden.cover_line[1], 19);
	ROW_INT("line of timezone", garden.timezone_line, 8);
	ROW_INT("line of source", garden.source_line, 10);
	ROW_INT("line of history", garden.history_line, 11);
}
END_TEST

START_TEST(good_beds)
{
	all = (struct faults){0};
	ck_assert_int_eq(garden_load(GOOD, &crops, &garden, &all), FAULT_NONE);
	ROW_INT("beds", garden.beds, 2);
	ROW_STR("bed", garden.bed[0].name, "south");
	ROW_NEAR("area", garden.bed[0].area_m2, 40 * 0.3048 * 0.3048, 1e-12); /* the foot is 0.3048 m */
	ROW_STR("soil", garden.bed[0].soil, "loam");
	ROW_INT("watering", garden.bed[0].watering, GARDEN_DRIP);
	ROW_STR("cover", garden.bed[0].cover, "tunnel");
	ROW_STR("bare bed", garden.bed[1].name, "north");
	ROW_TRUE("bare bed", isnan(garden.bed[1].area_m2));
	ROW_STR("bare bed", garden.bed[1].soil, "");
	ROW_INT("bare bed", garden.bed[1].watering, GARDEN_BY_HAND);
	ROW_INT("tubs", garden.tubs, 1);
	ROW_STR("tub", garden.tub[0].name, "patio");
	ROW_NEAR("volume", garden.tub[0].volume_l, 15 * 3.785411784, 1e-12); /* US gallon, 231 cubic inches */
	ROW_TRUE("movable", garden.tub[0].movable);
	ROW_STR("cover", garden.tub[0].cover, "bucket");
}
END_TEST

START_TEST(good_plantings)
{
	all = (struct faults){0};
	ck_assert_int_eq(garden_load(GOOD, &crops, &garden, &all), FAULT_NONE);
	ROW_INT("plantings", garden.plantings, 3);

	const struct planting *p = garden_planting(&garden, "green-1");
	ck_assert_ptr_nonnull(p);
	ROW_STR("green-1", p->crop, "zucchini");
	ROW_INT("green-1", p->crop_index, 0);
	ROW_STR("green-1", p->variety, "striped bush");
	ROW_STR("green-1", p->in, "south");
	ROW_INT("green-1", p->plants, 2);
	ROW_STR("green-1 sown", day(p->sown), "2026-04-20");
	ROW_INT("green-1 sown", p->sowing, GARDEN_SOWN_INDOORS);
	ROW_STR("green-1 planted", day(p->planted), "2026-05-20");
	ROW_STR("green-1 ended", day(p->ended), "2026-09-30");
	ROW_NEAR("green-1 own line", p->figures.night_line_c, (58 - 32) / 1.8, 1e-12);
	ROW_NEAR("green-1 own figure", p->figures.stall_c, (44 - 32) / 1.8, 1e-12);
	ROW_NEAR("green-1 own figure", p->figures.pick_planted_dd.most, 400, 0);
	ROW_NEAR("green-1: its crop's", p->figures.slow_c, 11, 0);

	p = garden_planting(&garden, "green-2");
	ck_assert_ptr_nonnull(p);
	ROW_STR("green-2", p->in, "patio");
	ROW_INT("green-2 sown", p->sowing, GARDEN_SOWN_OUTDOORS);
	ROW_INT("green-2", p->plants, 1);

	p = garden_planting(&garden, "red");
	ck_assert_ptr_nonnull(p);
	ROW_INT("red", p->crop_index, 1);
	ROW_STR("red", p->in, "");
	ROW_STR("red sown", day(p->sown), "none");
	ROW_STR("red planted", day(p->planted), "none");
	ROW_STR("red ended", day(p->ended), "none");
	ROW_NEAR("red: the crop's line", p->figures.night_line_c, 13, 0);
	ck_assert_ptr_null(garden_planting(&garden, "blue"));
}
END_TEST

/* ---- what a planting says of its crop's figures ---- */

static const char *overruled(const struct key *k)
{
	static char bytes[1024];
	struct text t;

	text_over(&t, bytes, sizeof bytes);
	text_addf(&t, SITE "[planting a]\ncrop = tomato\n[planting b]\ncrop = tomato\n%s = %s\n", k->name, k->example);
	return bytes;
}

/* Every figure of the table but the title: that one and no other differs from the crop's, in that planting alone. */
START_TEST(every_figure_overruled)
{
	const struct key *k = &crop_key[_i];
	const char *bytes = overruled(k);
	enum fault_code code = parse(bytes, strlen(bytes));

	/* the two of emergence go together */
	if (_i == CROP_EMERGE || _i == CROP_EMERGE_BASE) {
		ROW_INT(k->name, code, FAULT_CONFIG);
		ROW_STR(k->name, said(),
			G(10) "planting \"b\": emerge_base and emerge go together; both of them, or neither\n");
		return;
	}
	ck_assert_msg(code == FAULT_NONE, "%s: %s", k->name, said());
	for (int i = CROP_BASE; i < CROP_FIGURES; i++) {
		size_t at = crop_key[i].at, n = crop_key[i].kind == KEY_COUNT || crop_key[i].kind == KEY_CHOICE ? 4 : 8;
		const char *crop = (const char *)&crops.at[1], *a = (const char *)&garden.planting[0].figures,
			   *b = (const char *)&garden.planting[1].figures;

		ROW_INT(k->name, garden.planting[0].own_line[i], 0);
		ROW_INT(k->name, garden.planting[1].own_line[i], i == _i ? 10 : 0);
		ROW_TRUE(k->name, memcmp(a + at, crop + at, n) == 0);
		ROW_TRUE(k->name, i == _i || memcmp(b + at, crop + at, n) == 0);
	}
}
END_TEST

START_TEST(figures_overruled)
{
	static const char bytes[] = SITE "[planting a]\nstall = 41 F\nslow = 48 F\npick_sown = 900 (800-1100) F-days\n"
					 "spacing = 2 ft\ncrop = tomato\n";

	ck_assert_msg(parse(bytes, strlen(bytes)) == FAULT_NONE, "%s", said());
	const struct planting *p = &garden.planting[0];
	ROW_NEAR("stall", p->figures.stall_c, 5, 1e-12);
	ROW_NEAR("slow", p->figures.slow_c, (48 - 32) / 1.8, 1e-12);
	ROW_NEAR("pick", p->figures.pick_sown_dd.likely, 500, 1e-9);
	ROW_NEAR("pick", p->figures.pick_sown_dd.least, 800 / 1.8, 1e-9);
	ROW_NEAR("pick", p->figures.pick_sown_dd.most, 1100 / 1.8, 1e-9);
	ROW_NEAR("spacing", p->figures.spacing_m, 0.6096, 1e-12);
	ROW_NEAR("the crop's", p->figures.night_line_c, 13, 0);
	ROW_INT("line of stall", p->own_line[CROP_STALL], 7);
	ROW_INT("line of spacing", p->own_line[CROP_SPACING], 10);
	ROW_INT("no night line of its own", p->own_line[CROP_NIGHT_LINE], 0);
	ROW_NEAR("the table stays as it is", crops.at[1].stall_c, 7, 0);
}
END_TEST

static const struct {
	const char *name, *bytes, *want;
} odd[] = {
    {"stall over slow", SITE "[planting a]\ncrop = tomato\nplants = 2\nstall = 12 C\n",
     G(9) "planting \"a\": stall (12 C, 53.6 F) is not under slow (11 C, 51.8 F); less than that, or as much\n"},
    {"night line under slow", SITE "[planting a]\ncrop = tomato\nnight_line = 50 F\n",
     G(8) "planting \"a\": slow (11 C, 51.8 F) is not under night_line (10 C, 50 F); less than that, or as much\n"},
    {"misspelt", SITE "[planting a]\ncrop = tomato\nnightline = 50 F\n",
     G(8) "planting \"a\": key \"nightline\" is not known; did you mean \"night_line\"?\n"},
    {"out of range", SITE "[planting a]\ncrop = tomato\nstall = 70 C\n",
     G(8) "planting \"a\": stall 70 C is outside -10..50 C (14..122 F)\n"},
    {"title", SITE "[planting a]\ncrop = tomato\ntitle = Red\n",
     G(8) "planting \"a\": key \"title\" is not known; garden.ini(5) has the list\n"},
    {"twice", SITE "[planting a]\ncrop = tomato\nstall = 5 C\nstall = 6 C\n",
     G(9) "planting \"a\": stall is already in line 8; keep one of them\n"},
    {"of a crop that is not known", SITE "[planting a]\ncrop = lotus\nstall = 12 C\n",
     G(7) "planting \"a\": crop \"lotus\" is not known; zucchini or tomato\n"},
    {"nine covers",
     SITE "cover = a\ncover = b\ncover = c\ncover = d\ncover = e\ncover = f\ncover = g\ncover = h\ncover = i\n",
     G(14) "cover is one too many; at most 8\n"},
    {"cover twice", SITE "cover = a\ncover = a\n", G(7) "cover \"a\" is given twice; keep one of them\n"},
};

START_TEST(odd_figures)
{
	ROW_INT(odd[_i].name, parse(odd[_i].bytes, strlen(odd[_i].bytes)), FAULT_CONFIG);
	ROW_STR(odd[_i].name, said(), odd[_i].want);
}
END_TEST

/* ---- covers ---- */

static struct covers covers = {.n = 3, .at = {{.name = "fleece-30"}, {.name = "tunnel"}, {.name = "bucket"}}};

START_TEST(covers_at_hand)
{
	static const char bytes[] =
	    SITE "cover = bucket\ncover = fleece-30\n[bed south]\ncover = tunnel\n[bed north]\n"
		 "[planting a]\ncrop = tomato\nin = south\n[planting b]\ncrop = tomato\nin = north\n"
		 "[planting c]\ncrop = tomato\n";

	ck_assert_msg(parse(bytes, strlen(bytes)) == FAULT_NONE, "%s", said());
	ck_assert_int_eq(garden_covers_known(&garden, "garden.ini", &covers, &all), FAULT_NONE);
	ROW_STR("kept for the bed", garden_cover(&garden, &garden.planting[0], 0), "tunnel");
	ck_assert_ptr_null(garden_cover(&garden, &garden.planting[0], 1));
	for (size_t i = 1; i < 3; i++) { /* in a bed without one, and in none */
		ROW_STR("any", garden_cover(&garden, &garden.planting[i], 0), "bucket");
		ROW_STR("any", garden_cover(&garden, &garden.planting[i], 1), "fleece-30");
		ck_assert_ptr_null(garden_cover(&garden, &garden.planting[i], 2));
	}
	ck_assert_int_eq(parse(SITE, strlen(SITE)), FAULT_NONE);
	ck_assert_ptr_null(garden_cover(&garden, &garden.planting[0], 0));
}
END_TEST

START_TEST(covers_not_known)
{
	static const char bytes[] =
	    SITE "cover = fleece 30\n#\ncover = bucket\ncover = wool\n[bed south]\ncover = tunel\n"
		 "[tub patio]\nmovable = no\ncover = buckets\n";

	ck_assert_msg(parse(bytes, strlen(bytes)) == FAULT_NONE, "%s", said());
	ck_assert_int_eq(garden_covers_known(&garden, "garden.ini", &covers, &all), FAULT_CONFIG);
	ck_assert_str_eq(
	    said(),
	    G(6) "cover \"fleece 30\" is not known; did you mean \"fleece-30\"?\n" G(
		9) "cover \"wool\" is not known; fleece-30, tunnel or bucket\n" G(11) "bed \"south\": cover \"tunel\" "
										      "is not known; did you mean "
										      "\"tunnel\"?\n" G(14) "tub "
													    "\"patio\":"
													    " cover "
													    "\"buckets"
													    "\" is not "
													    "known; "
													    "did you "
													    "mean "
													    "\"bucket\""
													    "?\n");
}
END_TEST

START_TEST(least_garden)
{
	ck_assert_msg(parse(SITE, strlen(SITE)) == FAULT_NONE, "%s", said());
	ROW_STR("id", garden.id, "garden");
	ROW_STR("name is the id", garden.name, "garden");
	ROW_INT("units", garden.units, UNIT_METRIC);
	ROW_INT("thermometer", garden.thermometer, GARDEN_SCREEN);
	ROW_TRUE("elevation", isnan(garden.elevation_m));
	ROW_INT("place", garden.place.elevation_m, PLACE_ELEVATION_NONE);
	ROW_TRUE("indoor", isnan(garden.indoor_c));
	ROW_STR("history", garden.history, "");
	ROW_INT("line of history", garden.history_line, 0);
	ROW_STR("proxy", garden.proxy, "");
	ROW_INT("plantings", garden.plantings, 0);
}
END_TEST

/* The bounds themselves are allowed. */
static const struct {
	const char *name, *bytes;
} edge[] = {
    {"poles", "[garden]\nlatitude = -90\nlongitude = 180\ntimezone = UTC\nsource = x\n"},
    {"date line", "[garden]\nlatitude = 90\nlongitude = -180\ntimezone = UTC\nsource = x\n"},
    {"room at the edge", SITE "indoor = 45 C\n"},
    {"coldest room", SITE "indoor = 32 F\n"},
    {"longest id", SITE "id = aaaaaaaaaabbbbbbbbbbccccccccccddddddddddeeeeeeeeeeffffffffffggg\n"},
    {"longest name", SITE "[bed aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa]\n"},
    {"most plants", SITE "[planting a]\ncrop = tomato\nplants = 10000\n"},
    {"planted the day after", SITE "[planting a]\ncrop = tomato\nsown = 2026-04-20 indoors\nplanted = 2026-04-21\n"},
    {"ended the same day", SITE "[planting a]\ncrop = tomato\nplanted = 2026-05-20\nended = 2026-05-20\n"},
    {"bed after the planting", SITE "[planting a]\ncrop = tomato\nin = south\n[bed south]\n"},
    {"a planting named as its bed", SITE "[bed a]\n[planting a]\ncrop = tomato\nin = a\n"},
    {"carriage returns", "[garden]\r\nlatitude = 1\r\nlongitude = 2\r\ntimezone = UTC\r\nsource = x\r\n"},
};

START_TEST(edges)
{
	ck_assert_msg(parse(edge[_i].bytes, strlen(edge[_i].bytes)) == FAULT_NONE, "%s: %s", edge[_i].name, said());
}
END_TEST

/* ---- the sample ---- */

/* Take the # off every key and head, and give each section and crop a name that exists. */
static void uncomment(const char *sample, struct text *t)
{
	static const char *const from[] = {"[bed NAME", "[tub NAME", "[planting NAME", "crop = NAME", "in = NAME"};
	static const char *const to[] = {"[bed south", "[tub patio", "[planting one", "crop = tomato", "in = south"};

	for (const char *s = sample; *s;) {
		size_t n = strcspn(s, "\n"), i = 0;
		const char *line = *s == '#' && s[1] != ' ' ? s + 1 : s;

		while (i < 5 && strncmp(line, from[i], strlen(from[i])) != 0)
			i++;
		if (i < 5) {
			text_add(t, to[i]);
			line += strlen(from[i]);
		}
		text_add_n(t, line, (size_t)(s + n - line));
		text_add_char(t, '\n', 1);
		s += n + (s[n] == '\n');
	}
}

START_TEST(sample)
{
	struct text printed, open;
	struct fault f = {0};

	text_init(&printed, 1 << 16);
	text_init(&open, 1 << 16);
	garden_sample(&printed);
	ck_assert_int_eq(text_ok(&printed, "sample", &f), FAULT_NONE);
	ck_assert_msg(parse(printed.at, printed.len) == FAULT_NONE, "as printed: %s", said());
	ROW_INT("as printed", garden.beds + garden.tubs + garden.plantings, 0);
	uncomment(printed.at, &open);
	ck_assert_msg(parse(open.at, open.len) == FAULT_NONE, "with every key: %s", said());
	ROW_INT("with every key", garden.beds + garden.tubs + garden.plantings, 3);
	ROW_STR("with every key", day(garden.planting[0].ended), "2026-09-30");
	ROW_TRUE("range in both units", strstr(printed.at, "0..45 C (32..113 F)") != NULL);
	text_free(&printed);
	text_free(&open);
}
END_TEST

/* ---- whatever happens ---- */

START_TEST(no_memory)
{
	long after = 0;

	do {
		mem_fail_after(after++, false);
		enum fault_code code = parse(SITE "[bed a]\nsoil = loam\n", strlen(SITE "[bed a]\nsoil = loam\n"));

		if (mem_refused() == 0) {
			ROW_INT("all memory there", code, FAULT_NONE);
			break;
		}
		ROW_INT("allocation refused", code, FAULT_MEMORY);
	} while (after < 1000);
	mem_fail_after(-1, false);
	ROW_TRUE("some allocations were refused, and the loop came to its end", after > 2 && after < 1000);
}
END_TEST

START_TEST(broken_anywhere)
{
	char *bytes;
	size_t n;
	struct fault f = {0};

	ck_assert_int_eq(file_read(GOOD, 1 << 16, &bytes, &n, &f), FAULT_NONE);
	for (size_t i = 0; i < n; i++) {
		char was = bytes[i];

		bytes[i] = (char)(was ^ 0x12);
		/* still a garden, or faults of which each has its place */
		if (parse(bytes, n) != FAULT_NONE)
			for (size_t k = 0; k < all.n; k++)
				ck_assert_msg(strncmp(all.at[k].text, "garden.ini:", 11) == 0, "byte %zu: %s", i,
					      all.at[k].text);
		bytes[i] = was;
		if (parse(bytes, i) == FAULT_NONE)
			ck_assert_msg(*garden.source != '\0', "cut at %zu", i);
	}
	mem_free(bytes);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("garden");
	TCase *t = tcase_create("garden");

	tcase_add_loop_test(t, bad_input, 0, sizeof bad / sizeof *bad);
	tcase_add_loop_test(t, bad_values, 0, sizeof judged / sizeof *judged);
	tcase_add_test(t, long_lines);
	tcase_add_test(t, binary_file);
	tcase_add_test(t, too_many);
	tcase_add_test(t, no_file);
	tcase_add_test(t, good_garden);
	tcase_add_test(t, good_beds);
	tcase_add_test(t, good_plantings);
	tcase_add_loop_test(t, every_figure_overruled, CROP_BASE, CROP_FIGURES);
	tcase_add_test(t, figures_overruled);
	tcase_add_loop_test(t, odd_figures, 0, sizeof odd / sizeof *odd);
	tcase_add_test(t, covers_at_hand);
	tcase_add_test(t, covers_not_known);
	tcase_add_test(t, least_garden);
	tcase_add_loop_test(t, edges, 0, sizeof edge / sizeof *edge);
	tcase_add_test(t, sample);
	tcase_add_test(t, no_memory);
	tcase_add_test(t, broken_anywhere);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
