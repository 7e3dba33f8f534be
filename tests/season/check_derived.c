#include "season/derived.h"

#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "physics/evapo.h"
#include "physics/humid.h"
#include "physics/insolation.h"
#include "physics/wind.h"

/* An invented record at Greeley's place (40.41 N, 104.78 W, 1462.4 m). */
static const struct derived_site greeley = {
    .lat_deg = 40.41, .lon_deg = -104.78, .elevation_m = 1462.4, .leaf_m = 0.25};

static struct hours h;
static struct derived d;
static struct fault f;

static void begin(size_t n)
{
	f = (struct fault){0};
	ck_assert_int_eq(hours_init(&h, instant_at(bed_day(0), 0, -7 * HOUR_S), n, &f), FAULT_NONE);
}

static void end(void)
{
	derived_free(&d);
	hours_free(&h);
}

static void put(enum var v, size_t i, double x, uint8_t origin)
{
	hours_set(&h, v, h.first + (int64_t)i * HOUR_S, x, origin);
}

static uint8_t observed = ORIGIN_OBSERVED;

static void all(enum var v, double x)
{
	for (size_t i = 0; i < h.n; i++)
		put(v, i, x, observed);
}

static void still_weather(void)
{
	all(VAR_AIR_TEMPERATURE, 18);
	all(VAR_DEW_POINT, 10);
	all(VAR_WIND, 3);
	all(VAR_CLOUD, 0.2);
	all(VAR_PRECIPITATION, 0);
	all(VAR_SHORTWAVE, 400);
}

static void work_out(void)
{
	ck_assert_msg(derived_init(&h, &greeley, &d, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_uint_eq(d.n, h.n);
}

/* In weather that never changes every hour is what the formula of one hour says of it. */
START_TEST(each_column_is_its_formula)
{
	begin(24 * 3);
	still_weather();
	work_out();
	double ea = humid_saturation(10), gamma = humid_psychrometric(humid_pressure(1462.4));
	for (size_t i = 0; i + 1 < h.n; i++) {
		ROW_NEAR("dew point", d.value[DERIVED_DEW_POINT][i], 10, 1e-9);
		/* FAO-56 table 2.3: 2.064 kPa at 18 C and 1.228 at 10. */
		ROW_NEAR("deficit", d.value[DERIVED_DEFICIT][i], 2.064 - 1.228, 0.001);
		ROW_NEAR("sunlight", d.value[DERIVED_SUNLIGHT][i], 400, 1e-9);
		ROW_STR("basis", derived_basis(&d, i), "measured");
	}
	/* At noon, with the sun high: its own share of clear sky, and wind taken from 10 m to 2. */
	size_t noon = 36;
	struct insolation_site site = {40.41, -104.78, 1462.4, RADIATION_RANGE_INLAND};
	double sun[72], clear[72], cloud[72];
	uint8_t mark[72];
	insolation_hours(&site,
			 &(struct insolation_given){.first = h.first, .n = 72, .shortwave_wm2 = h.value[VAR_SHORTWAVE]},
			 &(struct insolation){sun, clear, cloud, mark});
	struct evapo_hour hour = {.air_c = 18,
				  .vapour_kpa = ea,
				  .wind_ms = wind_at(3, 10, 2),
				  .shortwave_mj = 400 * RADIATION_MJ_PER_WM2_HOUR,
				  .cloudiness = radiation_cloudiness(400 / clear[noon]),
				  .psychrometric_kpa_k = gamma};
	ROW_NEAR("ET0", d.value[DERIVED_ET0][noon], evapo_hour(EVAPO_SHORT, &hour).mm, 1e-9);
	end();
}
END_TEST

/* States are taken in the hour's middle; what stands for the whole hour is that already. */
START_TEST(middles)
{
	for (int kind = 0; kind < 2; kind++) {
		begin(48);
		observed = (uint8_t)(ORIGIN_OBSERVED | (kind ? ORIGIN_WHOLE_HOUR : 0));
		still_weather();
		for (size_t i = 0; i < h.n; i++)
			put(VAR_AIR_TEMPERATURE, i, (double)i, observed);
		all(VAR_SHORTWAVE, 0);
		all(VAR_CLOUD, 1);
		all(VAR_WIND, 40);
		all(VAR_DEW_POINT, -30);
		work_out();
		/* In a gale under cloud a leaf is as warm as its air. */
		for (size_t i = 5; i + 1 < h.n; i++)
			ROW_NEAR(kind ? "whole hour" : "middle", d.value[DERIVED_LEAF][i], (double)i + (kind ? 0 : 0.5),
				 0.4);
		ck_assert(isnan(d.value[DERIVED_LEAF][h.n - 1]) == !kind);
		end();
	}
}
END_TEST

/* Nothing from nothing: which columns an hour without a variable has. */
START_TEST(what_is_missing)
{
	static const struct {
		const char *name;
		enum var without;
		bool dew, sun, et0, leaf;
	} rows[] = {
	    {"air temperature", VAR_AIR_TEMPERATURE, false, true, false, false},
	    {"dew point", VAR_DEW_POINT, false, true, true, false},
	    {"wind", VAR_WIND, true, true, true, false},
	    {"sunlight, but cloud", VAR_SHORTWAVE, true, true, true, true},
	};
	for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
		begin(72);
		still_weather();
		all(rows[k].without, (double)NAN);
		work_out();
		size_t noon = 36;
		ROW_INT(rows[k].name, !isnan(d.value[DERIVED_DEW_POINT][noon]), rows[k].dew);
		ROW_INT(rows[k].name, !isnan(d.value[DERIVED_SUNLIGHT][noon]), rows[k].sun);
		ROW_INT(rows[k].name, !isnan(d.value[DERIVED_ET0][noon]), rows[k].et0);
		ROW_INT(rows[k].name, !isnan(d.value[DERIVED_LEAF][noon]), rows[k].leaf);
		/* What stands in is marked. */
		ROW_TRUE(rows[k].name, !rows[k].et0 || d.et0_mark[noon] != 0);
		end();
	}
}
END_TEST

/* Soil is told when its beginning no longer shows, and again so after a gap of a day. */
START_TEST(soil_settles)
{
	begin(24 * 40);
	still_weather();
	for (size_t i = 24 * 20; i < 24 * 21; i++)
		put(VAR_AIR_TEMPERATURE, i, (double)NAN, ORIGIN_NONE);
	work_out();
	const double *soil = d.value[DERIVED_SOIL_5CM];
	ck_assert(isnan(soil[0]) && isnan(soil[200]) && !isnan(soil[260]));
	ck_assert(isnan(soil[24 * 20 + 12]) && isnan(soil[24 * 22]) && !isnan(soil[24 * 33]));
	/* Sun without end on it: warmer than the air, and warmest at the top. */
	ck_assert(soil[24 * 39] > 18);
	ck_assert(d.value[DERIVED_SOIL_2_5CM][24 * 39] > d.value[DERIVED_SOIL_10CM][24 * 39]);
	end();
}
END_TEST

/* A dew point over the temperature: by half a degree it is a rounding, by more it is no reading. */
START_TEST(beyond_saturation)
{
	begin(24);
	still_weather();
	put(VAR_DEW_POINT, 3, 18.4, ORIGIN_OBSERVED);
	put(VAR_DEW_POINT, 5, 20, ORIGIN_OBSERVED);
	work_out();
	ck_assert_uint_eq(d.clamped, 1);
	ck_assert_uint_eq(d.refused, 1);
	ROW_NEAR("clamped", d.value[DERIVED_DEW_POINT][3], 18, 1e-9);
	ROW_NEAR("clamped", d.value[DERIVED_DEFICIT][3], 0, 1e-12);
	ck_assert(isnan(d.value[DERIVED_DEW_POINT][5]) && isnan(d.value[DERIVED_DEFICIT][5]));
	end();
}
END_TEST

START_TEST(odd_lengths_and_places)
{
	static const size_t lengths[] = {0, 1, 2, 23, 25};
	for (size_t k = 0; k < sizeof lengths / sizeof *lengths; k++) {
		begin(lengths[k]);
		still_weather();
		work_out();
		end();
	}
	/* Polar night: dark, by geometry, whatever is not known. */
	struct derived_site pole = {.lat_deg = 90, .lon_deg = 0, .elevation_m = (double)NAN, .leaf_m = 0.25};
	ck_assert_int_eq(hours_init(&h, instant_at(bed_day(210), 0, 0), 48, &f), FAULT_NONE); /* 15 December */
	ck_assert_int_eq(derived_init(&h, &pole, &d, &f), FAULT_NONE);
	ROW_NEAR("dark", d.value[DERIVED_SUNLIGHT][12], 0, 0);
	ROW_STR("dark", derived_basis(&d, 12), "dark");
	ck_assert(isnan(d.value[DERIVED_ET0][12]));
	end();
}
END_TEST

/* Soil alone is the same soil, and nothing else is there to be taken for worked out. */
START_TEST(soil_alone)
{
	static const enum derived_column same[] = {DERIVED_SUNLIGHT, DERIVED_SOIL_2_5CM, DERIVED_SOIL_5CM,
						   DERIVED_SOIL_10CM};
	struct derived soil;
	begin(24 * 12);
	still_weather();
	work_out();
	ck_assert_int_eq(derived_soil(&h, &greeley, &soil, &f), FAULT_NONE);
	ck_assert(!isnan(soil.value[DERIVED_SOIL_10CM][24 * 11]));
	for (size_t i = 0; i < h.n; i++) {
		for (size_t k = 0; k < sizeof same / sizeof *same; k++) {
			double x = soil.value[same[k]][i], y = d.value[same[k]][i];
			ck_assert(isnan(x) ? isnan(y) : x == y);
		}
	}
	ck_assert_ptr_null(soil.value[DERIVED_LEAF]);
	ck_assert_ptr_null(soil.value[DERIVED_LEAF_WATER]);
	ck_assert_ptr_null(soil.value[DERIVED_LEAF_WET]);
	ck_assert_ptr_null(soil.value[DERIVED_ET0]);
	derived_free(&soil);
	end();
}
END_TEST

START_TEST(without_memory)
{
	begin(24);
	mem_fail_after(0, false);
	enum fault_code code = derived_init(&h, &greeley, &d, &f);
	mem_fail_after(-1, false);
	ck_assert_int_eq(code, FAULT_MEMORY);
	end();
}
END_TEST

START_TEST(heads)
{
	for (int k = 0; k < DERIVED_COLUMNS; k++) {
		const struct derived_row *row = derived_row((enum derived_column)k);
		ck_assert(row->name != NULL && row->unit != NULL);
		ck_assert_int_eq(var_named(row->name), VARS); /* no name of the record's */
		for (int j = 0; j < k; j++)
			ck_assert_str_ne(row->name, derived_row((enum derived_column)j)->name);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("season/derived");
	TCase *t = tcase_create("derived");
	tcase_add_test(t, each_column_is_its_formula);
	tcase_add_test(t, middles);
	tcase_add_test(t, what_is_missing);
	tcase_add_test(t, soil_settles);
	tcase_add_test(t, beyond_saturation);
	tcase_add_test(t, odd_lengths_and_places);
	tcase_add_test(t, soil_alone);
	tcase_add_test(t, without_memory);
	tcase_add_test(t, heads);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
