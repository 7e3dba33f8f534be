#include "base/file.h"
#include "base/mem.h"
#include "source/frame.h"
#include "source/report.h"

/* The invented service, all three layouts in one answer: its hours and the report of them, both written by hand. */

enum { FROM = 1934251200 /* 2031-04-18T04:00:00Z */, MARKS = 8, FILE_MAX = 64 * 1024 };

static struct issue issue;
static struct fault f;

static void load(void)
{
	static struct faults all;
	all = (struct faults){0};
	ck_assert_msg(describe_load("fixtures/source/invented.ini", &d, &all) == FAULT_NONE, "%s", all.at[0].text);
	answer_init();
}

/* Received at 06:20: of its hours 04 and 05 have ended. */
static enum fault_code decode_room(const char *body, size_t n)
{
	const char *bodies[] = {"{}", "{}", body};
	const size_t sizes[] = {2, 2, n};
	const struct answer_given given = {bodies, sizes, 3, FROM + 2 * HOUR_S + 1200, NULL};
	return answer_decode(&d, &given, &issue, &rep, &f);
}

static void decode_file(void)
{
	char *bytes;
	size_t n;
	ck_assert_msg(file_read("fixtures/source/invented.json", FILE_MAX, &bytes, &n, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_msg(decode_room(bytes, n) == FAULT_NONE, "%s", f.text);
	mem_free(bytes);
}

#define NO   ((double)NAN)
#define KNOT (1852.0 / 3600)
#define INHG 33.8639

/* From 04 to 11 UTC; a mark each: o observed, f forecast, i interpolated; capitals stand for the whole hour. */
static const struct {
	enum var v;
	double want[MARKS];
	const char *marks;
} invented[] = {
    {VAR_AIR_TEMPERATURE, {10, 5, 0, NO, -5, NO, 15, 20}, "oof.f.ff"},
    {VAR_CLOUD, {0, 1, 0.5, 0.375, 0.25, 0.125, 0.375, 0.625}, "oofiffif"},
    {VAR_WIND, {10 * KNOT, 10 * KNOT, 20 * KNOT, 20 * KNOT, NO, NO, NO, NO}, "OOFF...."},
    {VAR_PRESSURE, {30 * INHG, 29.5 * INHG, 29 * INHG, 29 * INHG, 29 * INHG, NO, NO, NO}, "oifif..."},
    {VAR_PRECIPITATION, {2.54, 2.54, 2.54, 0, NO, 1.27, 1.27, NO}, "ooff.ff."},
    {VAR_SHORTWAVE, {NO, NO, NO, NO, NO, NO, 500, 500}, "......FF"},
    {VAR_WINDOW_MINIMUM, {-5, NO, NO, NO, NO, NO, NO, NO}, "f......."},
    {VAR_WINDOW_MINIMUM_SPAN, {13, NO, NO, NO, NO, NO, NO, NO}, "f......."},
    {VAR_DEW_POINT, {NO, NO, NO, NO, NO, NO, NO, NO}, "........"},
};

START_TEST(hours_of_the_invented_service)
{
	const char *name = var_row(invented[_i].v)->name;
	load();
	decode_file();
	ROW_INT(name, issue.hours.first, FROM);
	ROW_INT(name, issue.hours.n, MARKS);
	for (size_t h = 0; h < MARKS; h++) {
		double got = issue.hours.value[invented[_i].v][h], want = invented[_i].want[h];
		ROW_MSG(isnan(want) ? isnan(got) : fabs(got - want) < 1e-9, "%s: hour %zu is %.10g, want %.10g", name,
			h, got, want);
		char mark = mark_letter(issue.hours.origin[invented[_i].v][h]);
		ROW_MSG(mark == invented[_i].marks[h], "%s: hour %zu is marked %c", name, h, mark);
	}
	issue_free(&issue);
}
END_TEST

START_TEST(issue_of_the_invented_service)
{
	load();
	decode_file();
	ck_assert_str_eq(issue.source, "invented");
	ck_assert_str_eq(issue.title, "Quillhaven Weather Room");
	ck_assert_str_eq(issue.credit, "Weather of Quillhaven (invented)");
	ck_assert_int_eq(issue.issued, FROM + HOUR_S + 600);
	ck_assert_int_eq(issue.received, FROM + 2 * HOUR_S + 1200);
	ck_assert_int_eq(issue.max_age_s, 9 * HOUR_S);
	ck_assert_int_eq(issue.past, ISSUE_PAST_OBSERVED);
	ck_assert_double_eq_tol(issue.cell_latitude, 44.29, 1e-12);
	ck_assert_double_eq_tol(issue.cell_longitude, -89.91, 1e-12);
	ck_assert_double_eq_tol(issue.cell_elevation_m, 304.8, 1e-9);
	issue_free(&issue);
}
END_TEST

/* Columns are as wide as the longest name asks for. */
#define NAME "surface_downwelling_shortwave_flux_in_air"
static const char whole[] =
    "invented: Quillhaven Weather Room\n"
    "issued 2031-04-18T05:10:00Z; cell 44.2900, -89.9100, 305 m; 8 hours\n"
    "variable                                  items hours filled  first           last                min      max "
    "missing dropped skipped   again  unit\n"
    "air_temperature                               8     6      0  2031-04-18T04Z  2031-04-18T11Z    -5.00    20.00 "
    "      2       0       0       0  degF -> C\n"
    "cloud_area_fraction                           8     8      2  2031-04-18T04Z  2031-04-18T11Z     0.00     1.00 "
    "      2       0       0       0  okta -> 1\n"
    "wind_speed                                    3     4      0  2031-04-18T04Z  2031-04-18T07Z     5.14    10.29 "
    "      0       1       0       0  kn -> m/s\n"
    "air_pressure_at_mean_sea_level                3     5      2  2031-04-18T04Z  2031-04-18T08Z   982.05  1015.92 "
    "      0       0       0       0  inHg -> hPa\n"
    "precipitation_amount                          3     6      0  2031-04-18T04Z  2031-04-18T10Z     0.00     2.54 "
    "      0       0       0       0  in -> mm\n" NAME
    "     2     2      0  2031-04-18T10Z  2031-04-18T11Z   500.00   500.00       0       0       1       0  MJ/m2 -> "
    "W/m2\n"
    "air_temperature_minimum                       2     1      0  2031-04-18T04Z  2031-04-18T04Z    -5.00    -5.00 "
    "      0       0       1       0  degF -> C\n"
    "air_temperature: 2 gaps: 2031-04-18T07Z, 1 h; 2031-04-18T09Z, 1 h\n"
    "precipitation_amount: 10.160 mm in, 10.160 mm laid into 6 hours, 0.000 mm skipped\n"
    "precipitation_amount: 1 gap: 2031-04-18T08Z, 1 h\n";

START_TEST(report_of_the_invented_service)
{
	static char mem[16 * 1024];
	struct text t;
	load();
	decode_file();
	text_over(&t, mem, sizeof mem);
	report_print(&rep, &d, &issue, &t);
	ck_assert_str_eq(t.at, whole);
	issue_free(&issue);
}
END_TEST

/* A refused answer has a report too: it shows what is wrong with the description. */
START_TEST(report_of_a_refused_answer)
{
	static char mem[16 * 1024];
	struct text t;
	const char *body = "{\"clock\":{\"east\":0,\"marks\":[]},\"columns\":{\"warmth\":[]},\"steps\":[]}";
	load();
	ck_assert_int_eq(decode_room(body, strlen(body)), FAULT_DATA);
	ck_assert_str_eq(f.text, "no usable air temperature: /clock/marks is empty");
	text_over(&t, mem, sizeof mem);
	report_print(&rep, &d, NULL, &t);
	ck_assert_msg(strncmp(t.at, "invented: Quillhaven Weather Room\nvariable ", 43) == 0, "%s", t.at);
	ck_assert_ptr_nonnull(strstr(t.at,
				     "\nair_temperature                               0     0      0  -"
				     "               -                     -        -       0       0       0       0"
				     "  - -> C\n"));
	ck_assert_ptr_nonnull(strstr(t.at, "\nair_temperature (line 38): /clock/marks is empty\n"));
	ck_assert_ptr_nonnull(strstr(t.at, "\nprecipitation_amount (line 73): refused: /spans/wet is not in the "
					   "answer\n"));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("report");
	TCase *t = tcase_create("report");
	tcase_add_loop_test(t, hours_of_the_invented_service, 0, sizeof invented / sizeof invented[0]);
	tcase_add_test(t, issue_of_the_invented_service);
	tcase_add_test(t, report_of_the_invented_service);
	tcase_add_test(t, report_of_a_refused_answer);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
