/*
 * Beds, tubs and plantings in a line each.
 */
#include "cli/plotlines.h"

#include <string.h>

#include "base/mem.h"
#include "lib/bed.h"
#include "lib/harness.h"

static struct crops crops;
static struct plot plot;
static struct sample_values values;
static struct fault f;

static void set_up(void)
{
	bed_crops(&crops);
	values = (struct sample_values){0};
	f = (struct fault){0};
	plot = (struct plot){.crops = &crops, .garden = mem_new(1, sizeof *plot.garden), .values = &values};
	ck_assert_ptr_nonnull(plot.garden);
	ck_assert_int_eq(plotlines_bed(&plot, "south, 40 sq ft", &f), FAULT_NONE);
	ck_assert_int_eq(plotlines_tub(&plot, "patio", &f), FAULT_NONE);
}

static void tear_down(void)
{
	sample_free(&values);
	mem_free(plot.garden);
}

static const struct {
	const char *line, *says; /* "": it is right */
	bool tub;
} places[] = {
    {"north", "", false},
    {"north, 32 sq ft", "", false},
    {" north ,3 m2 ", "", false},
    {"terrace, 50 l", "", true},
    {"", "a name and how large it is; as NAME, 40 sq ft", false},
    {",", "a name and how large it is; as NAME, 15 gal", true},
    {"north bed, 3 m2", "bed \"north bed\" is no fit name; one word of at most 31 bytes", false},
    {"north=1", "bed \"north=1\" is no fit name", false},
    {"a-name-that-is-longer-than-31-bytes", "is no fit name", false},
    {"south", "bed \"south\" is there already; another name", false},
    {"south", "tub \"south\" is there already; another name", true},
    {"patio", "bed \"patio\" is there already; another name", false},
    {"north, 40", "area: 40: a unit is missing; ", false},
    {"north, 15 gal", "\"gal\" is not a unit of area", false},
    {"terrace, 40 sq ft", "\"sq ft\" is not a unit of volume", true},
    {"terrace, 0 l", "volume 0 l is outside 0.1..5000 l", true},
    {"north, 3 m2, loam", "a name and how large it is; as NAME, 40 sq ft", false},
};

START_TEST(reads_beds_and_tubs)
{
	size_t n = values.n, known = plot.garden->beds + plot.garden->tubs;
	enum fault_code code =
	    places[_i].tub ? plotlines_tub(&plot, places[_i].line, &f) : plotlines_bed(&plot, places[_i].line, &f);
	bool right = places[_i].says[0] == '\0';
	ROW_MSG((code == FAULT_NONE) == right, "%s: %s", places[_i].line, f.text);
	ROW_MSG(strstr(f.text, places[_i].says) != NULL, "%s: says %s", places[_i].line, f.text);
	ROW_INT(places[_i].line, values.n - n, right);
	ROW_INT(places[_i].line, plot.garden->beds + plot.garden->tubs - known, right);
}
END_TEST

static const struct {
	const char *line;
	struct plot_planting want;
} plantings[] = {
    {"gourdlet", {.crop = "gourdlet"}},
    {"gourdlet, south", {.crop = "gourdlet", .in = "south"}},
    {"gourdlet, in patio", {.crop = "gourdlet", .in = "patio"}},
    {"redberry,south,2 plants", {.crop = "redberry", .in = "south", .plants = "2"}},
    {"redberry, 1 plant", {.crop = "redberry", .plants = "1"}},
    {"gourdlet, sown 2026-04-20 indoors", {.crop = "gourdlet", .sown = "2026-04-20 indoors"}},
    {"gourdlet, planted 2026-05-15, sown  2026-04-20  indoors, south",
     {.crop = "gourdlet", .in = "south", .sown = "2026-04-20  indoors", .planted = "2026-05-15"}},
};

START_TEST(reads_plantings)
{
	struct plot_planting got;
	const struct plot_planting *want = &plantings[_i].want;
	ROW_MSG(plotlines_planting(&plot, plantings[_i].line, &got, &f) == FAULT_NONE, "%s: %s", plantings[_i].line,
		f.text);
	ROW_STR(plantings[_i].line, got.crop, want->crop);
	ROW_STR(plantings[_i].line, got.in, want->in);
	ROW_STR(plantings[_i].line, got.plants, want->plants);
	ROW_STR(plantings[_i].line, got.sown, want->sown);
	ROW_STR(plantings[_i].line, got.planted, want->planted);
	ROW_INT(plantings[_i].line, plotlines_keep(&plot, &got, &f), FAULT_NONE);
	ROW_INT(plantings[_i].line, plot.garden->plantings, 1);
}
END_TEST

static const struct {
	const char *line, *says;
} wrong[] = {
    {"", "a crop and what is known of it"},
    {"gourdlett", "crop \"gourdlett\" is not known; did you mean \"gourdlet\"?"},
    {"south", "crop \"south\" is not known; gourdlet or redberry"},
    {"gourdlet, souht", "\"souht\" is no bed, tub or day; did you mean \"south\"?"},
    {"gourdlet, in", "\"in\" is no bed, tub or day; south or patio"},
    {"gourdlet, 2026-04-20", "\"2026-04-20\": sown or planted before a day; as sown 2026-04-20 indoors"},
    {"gourdlet, sown 2026-04-20", "does not say where; indoors or outdoors after the date"},
    {"gourdlet, sown 20 April", "sown: "},
    {"gourdlet, sown 2026-02-30 indoors", "sown: "},
    {"gourdlet, planted 2026-05-15 indoors", "planted \"2026-05-15 indoors\" is more than a date"},
    {"gourdlet, 0 plants", "plants 0 is outside 1..10000"},
    {"gourdlet, 99999999999999999999 plants", "plants "},
    {"gourdlet, south, patio", "in is given twice; once is right"},
    {"gourdlet, 2 plants, 3 plants", "plants is given twice"},
    {"gourdlet, sown 2026-04-20 outdoors, planted 2026-05-15", "planted is for plants raised indoors"},
    {"gourdlet, sown 2026-05-15 indoors, planted 2026-05-15", "planted 2026-05-15 is not after sown 2026-05-15"},
};

START_TEST(refuses_plantings)
{
	struct plot_planting got;
	ROW_INT(wrong[_i].line, plotlines_planting(&plot, wrong[_i].line, &got, &f), FAULT_CONFIG);
	ROW_MSG(strstr(f.text, wrong[_i].says) != NULL, "%s: says %s", wrong[_i].line, f.text);
}
END_TEST

/* Of each crop counted by itself, and as many as a garden takes. */
START_TEST(names_them_by_crop)
{
	static const char *const lines[] = {"gourdlet", "redberry", "gourdlet"};
	static const char *const names[] = {"gourdlet-1", "redberry-1", "gourdlet-2"};
	struct plot_planting one;
	for (size_t i = 0; i < 3; i++) {
		ck_assert_int_eq(plotlines_planting(&plot, lines[i], &one, &f), FAULT_NONE);
		ck_assert_int_eq(plotlines_keep(&plot, &one, &f), FAULT_NONE);
		ck_assert_str_eq(plot.garden->planting[i].name, names[i]);
	}
	while (plot.garden->plantings < GARDEN_PLANTINGS_MAX)
		ck_assert_int_eq(plotlines_keep(&plot, &one, &f), FAULT_NONE);
	ck_assert_int_eq(plotlines_planting(&plot, "gourdlet", &one, &f), FAULT_CONFIG);
	ck_assert_str_eq(f.text, "one planting too many; at most 256");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("plotlines");
	TCase *t = tcase_create("plotlines");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_loop_test(t, reads_beds_and_tubs, 0, sizeof places / sizeof places[0]);
	tcase_add_loop_test(t, reads_plantings, 0, sizeof plantings / sizeof plantings[0]);
	tcase_add_loop_test(t, refuses_plantings, 0, sizeof wrong / sizeof wrong[0]);
	tcase_add_test(t, names_them_by_crop);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
