#include "source/plan.h"

#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"

#define REST                                                                                                           \
	"[data]\ntimes = /t\ntime_format = unix\n"                                                                     \
	"[var air_temperature]\nvalues = /h/t2\nunit = degC\nkind = instant\n"                                         \
	"[var dew_point_temperature]\nvalues = /h/d2\nunit = degC\nkind = instant\n"

static struct description d;

static void describe(const char *steps)
{
	char mem[2048];
	struct text t;
	struct faults all = {0};
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "[source]\ntitle = T\ncredit = C\n%s%s", steps, REST);
	enum fault_code code = describe_parse("x.ini", t.at, t.len, &d, &all);
	ck_assert_msg(code == FAULT_NONE, "%s", all.at[0].text);
}

/* 2031-04-18T01:00:00Z */
static const int64_t NOW = 1934240400;

static const struct {
	const char *name, *url;
	int lat, lon, alt;
	const char *want;
} urls[] = {
    {"two decimals", "https://a.example/{lat},{lon}", 4431, -8989, 330, "https://a.example/44.31,-89.89"},
    {"trailing zero off", "https://a.example/{lat},{lon}", 4430, -8990, 330, "https://a.example/44.3,-89.9"},
    {"no decimals", "https://a.example/{lat},{lon}", 3000, -8500, 330, "https://a.example/30,-85"},
    {"hundredths alone", "https://a.example/{lat},{lon}", 5, -7, 0, "https://a.example/0.05,-0.07"},
    {"tenths alone", "https://a.example/{lat},{lon}", -50, 0, 0, "https://a.example/-0.5,0"},
    {"elevation", "https://a.example/?z={alt}", 0, 0, -10, "https://a.example/?z=-10"},
    {"elevation unknown, last", "https://a.example/?y={lat}&z={alt}", 100, 0, PLACE_ELEVATION_NONE,
     "https://a.example/?y=1"},
    {"elevation unknown, first", "https://a.example/?z={alt}&y={lat}", 100, 0, PLACE_ELEVATION_NONE,
     "https://a.example/?y=1"},
    {"elevation unknown, between", "https://a.example/?x=2&z={alt}&y={lat}", 100, 0, PLACE_ELEVATION_NONE,
     "https://a.example/?x=2&y=1"},
    {"elevation unknown, alone", "https://a.example/?z={alt}", 100, 0, PLACE_ELEVATION_NONE, "https://a.example/"},
    {"just what is mapped", "https://a.example/?h={vars}&u=ms", 0, 0, 0, "https://a.example/?h=t2,d2&u=ms"},
    {"days", "https://a.example/?s={start}&e={end}", 0, 0, 0, "https://a.example/?s=2031-04-16&e=2031-04-25"},
    {"nothing to put in", "https://a.example/all.json?x=1", 0, 0, 0, "https://a.example/all.json?x=1"},
};

START_TEST(writes_urls)
{
	char step[512];
	struct text t;
	struct fault f = {0};
	struct plan_request request;
	static const struct plan_vars none;
	text_over(&t, step, sizeof step);
	text_addf(&t, "[step a]\nurl = %s\n", urls[_i].url);
	describe(step);
	struct plan_ask ask = {
	    .place = {urls[_i].lat, urls[_i].lon, urls[_i].alt}, .now = NOW, .start = date_none(), .end = date_none()};
	ck_assert_msg(plan_request(&d, 0, &ask, &none, &request, &f) == FAULT_NONE, "%s", f.text);
	ROW_STR(urls[_i].name, request.url, urls[_i].want);
}
END_TEST

START_TEST(takes_days_of_caller)
{
	struct fault f = {0};
	struct plan_request request;
	static const struct plan_vars none;
	struct plan_ask ask = {.now = NOW, .end = date_none()};
	ck_assert_int_eq(date_parse("2031-01-01", &ask.start, &f), FAULT_NONE);
	describe("[step a]\nurl = https://a.example/{start}/{end}\nfrom_day = -1\nto_day = -5\n");
	ck_assert_int_eq(plan_request(&d, 0, &ask, &none, &request, &f), FAULT_NONE);
	ck_assert_str_eq(request.url, "https://a.example/2031-01-01/2031-04-13");
}
END_TEST

START_TEST(hands_headers_on)
{
	struct fault f = {0};
	struct plan_request request;
	static const struct plan_vars none;
	struct plan_ask ask = {.now = NOW};
	describe("[step a]\nurl = https://a.example/\naccept = application/geo+json\nheader.X-A = 1\n");
	ck_assert_int_eq(plan_request(&d, 0, &ask, &none, &request, &f), FAULT_NONE);
	ck_assert_str_eq(request.accept, "application/geo+json");
	ck_assert_uint_eq(request.n_headers, 1);
	ck_assert_str_eq(request.headers[0], "X-A: 1");
}
END_TEST

#define TWO "[step a]\nurl = https://a.example/p/{lat}\nset.g = /g\nset.k = /k\n[step b]\nurl = {g}\n"

START_TEST(learns)
{
	static const char body[] = "{\"g\":\"https://a.example/grid/7?a=1&b=2\",\"k\":\"a b/\\u00e9\"}";
	struct fault f = {0};
	struct plan_request request;
	struct plan_vars vars = {0};
	struct plan_ask ask = {.now = NOW};
	describe(TWO "[step c]\nurl = https://a.example/{k}?n={k}\n");
	ck_assert_int_eq(plan_request(&d, 1, &ask, &vars, &request, &f), FAULT_DATA);
	ck_assert_msg(strstr(f.text, "{g} is not known") != NULL, "%s", f.text);
	ck_assert_msg(plan_learn(&d, 0, body, sizeof body - 1, &vars, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_uint_eq(vars.n, 2);
	/* The whole address is taken as it is; a part of one is encoded (RFC 3986 2.3, UTF-8). */
	ck_assert_int_eq(plan_request(&d, 1, &ask, &vars, &request, &f), FAULT_NONE);
	ck_assert_str_eq(request.url, "https://a.example/grid/7?a=1&b=2");
	ck_assert_int_eq(plan_request(&d, 2, &ask, &vars, &request, &f), FAULT_NONE);
	ck_assert_str_eq(request.url, "https://a.example/a%20b%2F%C3%A9?n=a%20b%2F%C3%A9");
	/* Learned again, it is renewed, not added. */
	ck_assert_int_eq(plan_learn(&d, 0, body, sizeof body - 1, &vars, &f), FAULT_NONE);
	ck_assert_uint_eq(vars.n, 2);
}
END_TEST

#define LOOP "[step a]\nurl = http://127.0.0.1:8080/p\nset.g = /g\n[step b]\nurl = {g}\n"
#define HOST "[step a]\nurl = https://a.example/p\nhost = b.example\nset.g = /g\n[step b]\nurl = {g}\n"

static const struct {
	const char *name, *steps, *url;
	const char *want; /* NULL: fine */
} found[] = {
    {"same host", TWO, "https://a.example/x", NULL},
    {"host in capitals", TWO, "https://A.EXAMPLE/x", NULL},
    {"plain http", TWO, "http://a.example/x", "cannot be used"},
    {"other host", TWO, "https://b.example/x", "is on another host"},
    {"host of a longer name", TWO, "https://a.example.evil.example/x", "is on another host"},
    {"user before the host", TWO, "https://a.example@b.example/x", "cannot be used"},
    {"other port", TWO, "https://a.example:8443/x", "is on another host"},
    {"no scheme", TWO, "//a.example/x", "cannot be used"},
    {"file", TWO, "file:///etc/passwd", "cannot be used"},
    {"line break", TWO, "https://a.example/x\\r\\nX: y", "cannot be used"},
    {"blank", TWO, "https://a.example/x y", "cannot be used"},
    {"loopback from outside", TWO, "http://127.0.0.1/x", "cannot be used"},
    {"listed host", HOST, "https://b.example/x", NULL},
    {"own host beside a listed one", HOST, "https://a.example/x", NULL},
    {"host not listed", HOST, "https://c.example/x", "is on another host"},
    {"listed host, plain http", HOST, "http://b.example/x", "cannot be used"},
    {"loopback", LOOP, "http://127.0.0.1:8080/x", NULL},
    {"loopback, other port", LOOP, "http://127.0.0.1:8081/x", "another host or port"},
    {"loopback, other address", LOOP, "http://127.0.0.2:8080/x", "another host or port"},
    {"loopback to outside", LOOP, "https://a.example/x", "another host or port"},
};

START_TEST(holds_discovery_to_host)
{
	char body[256];
	struct text t;
	struct fault f = {0};
	struct plan_vars vars = {0};
	text_over(&t, body, sizeof body);
	text_addf(&t, "{\"k\":\"1\",\"g\":\"%s\"}", found[_i].url);
	describe(found[_i].steps);
	enum fault_code code = plan_learn(&d, 0, t.at, t.len, &vars, &f);
	if (found[_i].want == NULL) {
		ck_assert_msg(code == FAULT_NONE, "%s: %s", found[_i].name, f.text);
		return;
	}
	ROW_INT(found[_i].name, code, FAULT_DATA);
	ck_assert_msg(strstr(f.text, found[_i].want) != NULL, "%s: %s", found[_i].name, f.text);
	ck_assert_msg(strncmp(f.text, "[step a] ", 9) == 0, "%s: %s", found[_i].name, f.text);
	ROW_INT(found[_i].name, vars.n, 0);
}
END_TEST

static const struct {
	const char *name, *body, *want;
} bad[] = {
    {"pointer to nothing", "{\"k\":\"1\"}", "[step a] /g is not in the answer"},
    {"null", "{\"g\":null,\"k\":\"1\"}", "[step a] /g is not in the answer"},
    {"object", "{\"g\":{},\"k\":\"1\"}", "[step a] /g is not in the answer"},
    {"empty", "", "[step a] the answer is empty"},
    {"HTML", "<html></html>", "[step a] the answer is HTML or XML, not JSON"},
};

START_TEST(refuses_bad_answers)
{
	struct fault f = {0};
	struct plan_vars vars = {0};
	describe(TWO);
	ROW_INT(bad[_i].name, plan_learn(&d, 0, bad[_i].body, strlen(bad[_i].body), &vars, &f), FAULT_DATA);
	ROW_STR(bad[_i].name, f.text, bad[_i].want);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("plan");
	TCase *t = tcase_create("plan");
	tcase_add_loop_test(t, writes_urls, 0, sizeof urls / sizeof urls[0]);
	tcase_add_test(t, takes_days_of_caller);
	tcase_add_test(t, hands_headers_on);
	tcase_add_test(t, learns);
	tcase_add_loop_test(t, holds_discovery_to_host, 0, sizeof found / sizeof found[0]);
	tcase_add_loop_test(t, refuses_bad_answers, 0, sizeof bad / sizeof bad[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
