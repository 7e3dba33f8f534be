/*
 * Files written from the tables of keys are read back as what went in.
 */
#include "garden/sample.h"

#include <string.h>

#include "garden/garden.h"
#include "lib/bed.h"
#include "lib/harness.h"

enum { SIZE = 64 * 1024 };

static struct crops crops;
static struct garden garden;
static struct sample_values values;
static struct text t;

static void setup(void)
{
	bed_crops(&crops);
	values = (struct sample_values){0};
	text_init(&t, SIZE);
}

static void teardown(void)
{
	sample_free(&values);
	text_free(&t);
}

static void add(const char *kind, const char *name, const char *key, const char *value)
{
	struct fault f = {0};
	ck_assert_int_eq(sample_add(&values, kind, name, key, value, &f), FAULT_NONE);
}

static void add_site(void)
{
	add("garden", "", "latitude", "44.31");
	add("garden", "", "longitude", "-89.90");
	add("garden", "", "timezone", "America/Chicago");
	add("garden", "", "source", "a-service");
}

static void write_and_read(void)
{
	struct faults all = {0};
	size_t n;
	const struct key_section *sections = garden_sections(&n);
	sample_write(sections, n, &values, &t);
	ck_assert_msg(garden_parse("x", t.at, t.len, &crops, &garden, &all) == FAULT_NONE, "%s\n%s", all.at[0].text,
		      t.at);
}

START_TEST(what_goes_in_comes_out)
{
	add_site();
	add("mail", "", "way", "smtp");
	add("mail", "", "to", "grower@example.org");
	add("mail", "", "to", "neighbour@example.org");
	add("mail", "", "server", "smtps://mail.example.org");
	add("bed", "south", "area", "4 m2");
	add("bed", "north", "", "");
	add("tub", "patio", "volume", "50 l");
	add("planting", "one-1", "crop", "gourdlet");
	add("planting", "two-1", "crop", "redberry");
	add("planting", "one-1", "in", "north"); /* not beside the first of its section */
	add("planting", "two-1", "sown", "2026-04-20 indoors");
	write_and_read();
	ck_assert_str_eq(garden.timezone, "America/Chicago");
	ROW_NEAR("longitude", garden.longitude, -89.90, 1e-12);
	ck_assert_uint_eq(garden.mail.n_to, 2);
	ck_assert_str_eq(garden.mail.to[1], "neighbour@example.org");
	ck_assert_uint_eq(garden.beds, 2);
	ck_assert_str_eq(garden.bed[1].name, "north");
	ck_assert(isnan(garden.bed[1].area_m2));
	ck_assert_uint_eq(garden.tubs, 1);
	ck_assert_uint_eq(garden.plantings, 2);
	ck_assert_str_eq(garden.planting[0].in, "north");
	ck_assert_str_eq(garden.planting[1].crop, "redberry");
	ck_assert(date_is(garden.planting[1].sown) && !date_is(garden.planting[0].sown));
}
END_TEST

/* Keys without a value stay behind #, with their help; the help of a kind is written once. */
START_TEST(says_what_else_there_is)
{
	add_site();
	add("bed", "south", "area", "4 m2");
	add("bed", "north", "area", "4 m2");
	write_and_read();
	ck_assert_ptr_nonnull(strstr(t.at, "\n# Height of the garden above the sea"));
	ck_assert_ptr_nonnull(strstr(t.at, "\n#elevation = "));
	ck_assert_ptr_nonnull(strstr(t.at, "\n#[tub NAME]\n"));
	const char *help = strstr(t.at, "# Area of the bed");
	ck_assert_ptr_nonnull(help);
	ck_assert_ptr_null(strstr(help + 1, "# Area of the bed"));
}
END_TEST

START_TEST(keeps_lines_short)
{
	enum { COLUMNS = 78 };
	add_site();
	write_and_read();
	for (const char *s = t.at; *s != '\0';) {
		size_t n = strcspn(s, "\n");
		ck_assert_msg(n <= COLUMNS, "%.*s", (int)n, s);
		s += n + (s[n] == '\n');
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("sample");
	TCase *c = tcase_create("sample");
	tcase_add_checked_fixture(c, setup, teardown);
	tcase_add_test(c, what_goes_in_comes_out);
	tcase_add_test(c, says_what_else_there_is);
	tcase_add_test(c, keeps_lines_short);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
