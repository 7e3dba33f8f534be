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
    "observed until 2031-04-18T06Z, forecast from there on\n"
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
static const char nothing[] =
    "invented: Quillhaven Weather Room\n"
    "variable                                  items hours filled  first           last                min      max "
    "missing dropped skipped   again  unit\n"
#define NOTHING                                                                                                        \
	"     0     0      0  -               -                     -        -       0       0       0       0  - -> "
    "air_temperature                          " NOTHING "C\n"
    "cloud_area_fraction                      " NOTHING "1\n"
    "wind_speed                               " NOTHING "m/s\n"
    "air_pressure_at_mean_sea_level           " NOTHING "hPa\n"
    "precipitation_amount                     " NOTHING "mm\n" NAME NOTHING "W/m2\n"
    "air_temperature_minimum                  " NOTHING "C\n"
    "air_temperature (line 38): /clock/marks is empty\n"
    "cloud_area_fraction (line 43): refused: /columns/sky~1cover~0eighths is not in the answer\n"
    "wind_speed (line 50): /steps is empty\n"
    "air_pressure_at_mean_sea_level (line 62): /steps is empty\n"
    "precipitation_amount (line 73): /spans/wet is empty\n" NAME
    " (line 82): refused: /spans/sun is not in the answer\n"
    "air_temperature_minimum (line 91): refused: /spans/low is no array in the answer\n";

START_TEST(report_of_a_refused_answer)
{
	static char mem[16 * 1024];
	struct text t;
	const char *body = "{\"clock\":{\"east\":0,\"marks\":[]},\"columns\":{\"warmth\":[]},\"steps\":[],"
			   "\"spans\":{\"wet\":[],\"low\":7}}";
	load();
	ck_assert_int_eq(decode_room(body, strlen(body)), FAULT_DATA);
	ck_assert_str_eq(f.text, "no usable air temperature: /clock/marks is empty");
	text_over(&t, mem, sizeof mem);
	report_print(&rep, &d, NULL, &t);
	ck_assert_str_eq(t.at, nothing);
}
END_TEST

/* What an answer says wrongly, or not, of its cell and its age is not said on. */
static const struct {
	const char *name, *members, *line;
} cells[] = {
    {"nothing", "", "issued not said; cell not said; 1 hours\n"},
    {"all",
     ",\"made\":\"2031-04-18T05:10:00Z\",\"spot\":[-89.9,44.3,1000],\"scale\":{\"warmth\":\"C\",\"height\":\"m\"}",
     "issued 2031-04-18T05:10:00Z; cell 44.3000, -89.9000, 1000 m; 1 hours\n"},
    {"a latitude alone", ",\"spot\":[null,44.3]", "issued not said; cell not said; 1 hours\n"},
    {"a longitude alone", ",\"spot\":[-89.9]", "issued not said; cell not said; 1 hours\n"},
    {"texts", ",\"made\":\"today\",\"spot\":[\"-89.9\",\"44.3\",\"1000\"]",
     "issued not said; cell not said; 1 hours\n"},
    {"out of range", ",\"spot\":[-89.9,90.5,1000]", "issued not said; cell not said; 1 hours\n"},
    {"no unit of height", ",\"spot\":[-89.9,44.3,1000]", "issued not said; cell 44.3000, -89.9000; 1 hours\n"},
    {"a strange unit of height", ",\"spot\":[-89.9,44.3,1000],\"scale\":{\"warmth\":\"C\",\"height\":\"C\"}",
     "issued not said; cell 44.3000, -89.9000; 1 hours\n"},
};

START_TEST(cell_of_an_answer)
{
	static char mem[16 * 1024], json[1024];
	struct text t, j;
	load();
	text_over(&j, json, sizeof json);
	text_addf(&j, "{\"clock\":{\"east\":0,\"marks\":[\"2031-04-18T04:00\"]},\"columns\":{\"warmth\":[9]}%s%s}",
		  cells[_i].members, strstr(cells[_i].members, "scale") ? "" : ",\"scale\":{\"warmth\":\"C\"}");
	ROW_MSG(decode_room(j.at, j.len) == FAULT_NONE, "%s: %s", cells[_i].name, f.text);
	text_over(&t, mem, sizeof mem);
	report_print(&rep, &d, &issue, &t);
	const char *line = strchr(t.at, '\n') + 1;
	ROW_MSG(strncmp(line, cells[_i].line, strlen(cells[_i].line)) == 0, "%s: %s", cells[_i].name, t.at);
	issue_free(&issue);
}
END_TEST

/* The first four gaps, and whether there are more. */
static const struct {
	const char *values, *said;
} gaps[] = {
    {"1,null,1,null,null,1,null,1,null,1", "air_temperature: 4 gaps: 2031-04-18T05Z, 1 h; 2031-04-18T07Z, 2 h; "
					   "2031-04-18T10Z, 1 h; 2031-04-18T12Z, 1 h\n"},
    {"1,null,1,null,1,null,1,null,1,null,1", "air_temperature: 5 gaps: 2031-04-18T05Z, 1 h; 2031-04-18T07Z, 1 h; "
					     "2031-04-18T09Z, 1 h; 2031-04-18T11Z, 1 h; ...\n"},
};

START_TEST(gaps_of_an_answer)
{
	static char mem[16 * 1024], json[2048];
	struct text t, j;
	load();
	text_over(&j, json, sizeof json);
	text_addf(&j, "{\"scale\":{\"warmth\":\"C\"},\"columns\":{\"warmth\":[%s]},\"clock\":{\"east\":0,\"marks\":[",
		  gaps[_i].values);
	for (int hour = 4, n = _i == 0 ? 10 : 11; hour < 4 + n; hour++)
		text_addf(&j, "%s\"2031-04-18T%02d:00\"", hour == 4 ? "" : ",", hour);
	text_add(&j, "]}}");
	ROW_MSG(decode_room(j.at, j.len) == FAULT_NONE, "%s", f.text);
	text_over(&t, mem, sizeof mem);
	report_print(&rep, &d, &issue, &t);
	ROW_MSG(strstr(t.at, gaps[_i].said) != NULL, "%s", t.at);
	issue_free(&issue);
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
	tcase_add_loop_test(t, cell_of_an_answer, 0, sizeof cells / sizeof cells[0]);
	tcase_add_loop_test(t, gaps_of_an_answer, 0, sizeof gaps / sizeof gaps[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
