#include "record/blob.h"

#include <string.h>

#include "base/mem.h"
#include "lib/harness.h"

enum { FIRST = 1747008000 };

/* Two variables, a hole, every kind of mark; the rest missing. */
static void fill(struct hours *h, size_t n)
{
	struct fault f;
	ck_assert_int_eq(hours_init(h, FIRST, n, &f), FAULT_NONE);
	for (size_t i = 0; i < n; i++) {
		int64_t t = FIRST + (int64_t)i * 3600;
		if (i != 3)
			hours_set(h, VAR_AIR_TEMPERATURE, t, -0.1 * (double)i, (uint8_t)(i % 7 | (i % 2 ? 0x10 : 0)));
		hours_set(h, VAR_WIND, t, 1.0 / (double)(i + 3), ORIGIN_OBSERVED | ORIGIN_WHOLE_HOUR);
	}
}

static void assert_same(const struct hours *a, const struct hours *b)
{
	ck_assert_int_eq(a->first, b->first);
	ck_assert_uint_eq(a->n, b->n);
	for (int v = 0; v < VARS; v++)
		for (size_t i = 0; i < a->n; i++) {
			double x = a->value[v][i], y = b->value[v][i];
			ck_assert_msg((isnan(x) && isnan(y)) || memcmp(&x, &y, sizeof x) == 0, "%s at %zu",
				      var_row((enum var)v)->name, i);
			ck_assert_int_eq(a->origin[v][i], b->origin[v][i]);
		}
}

static const size_t lengths[] = {0, 1, 5, 200};

START_TEST(round_trip)
{
	struct hours in, out;
	struct fault f;
	uint8_t *bytes;
	size_t n;
	fill(&in, lengths[_i]);
	ck_assert_int_eq(blob_encode(&in, &bytes, &n, &f), FAULT_NONE);
	ck_assert_int_eq(blob_decode(bytes, n, &out, &f), FAULT_NONE);
	assert_same(&in, &out);
	mem_free(bytes);
	hours_free(&in);
	hours_free(&out);
}
END_TEST

/* The bytes of one hour of one variable, written out by hand from the layout in the header. */
START_TEST(layout)
{
	static const uint8_t want[] = {
	    'D',  'W',  'H',  'R',  1,   0,   0,    0, /* version 1 */
	    0x00, 0x3a, 0x21, 0x68, 0,   0,   0,    0, /* 1747008000 */
	    1,    0,    0,    0,    1,   0,   0,    0, /* one hour, one variable */
	    10,   'w',  'i',  'n',  'd', '_', 's',  'p',  'e',
	    'e',  'd',                                                     /* its name */
	    0,    0,    0,    0,    0,   0,   0xf8, 0x3f, ORIGIN_ANALYSED, /* 1.5 */
	};
	struct hours h;
	struct fault f;
	uint8_t *bytes;
	size_t n;
	ck_assert_int_eq(hours_init(&h, FIRST, 1, &f), FAULT_NONE);
	hours_set(&h, VAR_WIND, FIRST, 1.5, ORIGIN_ANALYSED);
	ck_assert_int_eq(blob_encode(&h, &bytes, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, sizeof want + 4);
	ck_assert_mem_eq(bytes, want, sizeof want);
	mem_free(bytes);
	hours_free(&h);
}
END_TEST

/* Check value of the usual CRC-32 parameters (width 32, reflected 0xEDB88320): CRC of "123456789". */
START_TEST(crc_check_value)
{
	ck_assert_uint_eq(blob_crc32((const uint8_t *)"123456789", 9), 0xcbf43926);
	ck_assert_uint_eq(blob_crc32((const uint8_t *)"", 0), 0);
}
END_TEST

START_TEST(every_damaged_byte_is_found)
{
	struct hours in, out;
	uint8_t *bytes;
	size_t n;
	struct fault f;
	fill(&in, 5);
	ck_assert_int_eq(blob_encode(&in, &bytes, &n, &f), FAULT_NONE);
	for (size_t i = 0; i < n; i++) {
		bytes[i] ^= 0x40;
		ck_assert_msg(blob_decode(bytes, n, &out, &f) == FAULT_DATA, "byte %zu", i);
		bytes[i] ^= 0x40;
	}
	for (size_t cut = 0; cut < n; cut++)
		ck_assert_msg(blob_decode(bytes, cut, &out, &f) == FAULT_DATA, "cut at %zu", cut);
	ck_assert_int_eq(blob_decode(bytes, n, &out, &f), FAULT_NONE);
	hours_free(&out);
	mem_free(bytes);
	hours_free(&in);
}
END_TEST

/* Bytes that lie, with a right CRC: what a broken writer could leave. */
static const struct {
	const char *row;
	size_t at;
	uint8_t byte;
	const char *says;
} lies[] = {
    {"version 2", 4, 2, "form 2"},
    {"first hour off the hour", 8, 1, "damaged"},
    {"more hours than bytes", 16, 6, "damaged"},
    {"fewer hours than bytes", 16, 4, "damaged"},
    {"hours past all bounds", 19, 0x7f, "damaged"},
    {"more variables than there are", 20, 3, "damaged"},
    {"fewer variables than there are", 20, 1, "damaged"},
    {"variables past all bounds", 22, 1, "damaged"},
    {"a name past the end", 24, 255, "damaged"},
    {"an empty name", 24, 0, "damaged"},
    {"an unknown name", 25, 'q', "not known here"},
};

START_TEST(lies_are_refused)
{
	struct hours in, out;
	uint8_t *bytes;
	size_t n;
	struct fault f;
	fill(&in, 5);
	ck_assert_int_eq(blob_encode(&in, &bytes, &n, &f), FAULT_NONE);
	bytes[lies[_i].at] = lies[_i].byte;
	uint32_t crc = blob_crc32(bytes, n - 4);
	for (size_t i = 0; i < 4; i++)
		bytes[n - 4 + i] = (uint8_t)(crc >> 8 * i);
	ROW_INT(lies[_i].row, blob_decode(bytes, n, &out, &f), FAULT_DATA);
	ck_assert_msg(strstr(f.text, lies[_i].says) != NULL, "%s: %s", lies[_i].row, f.text);
	mem_free(bytes);
	hours_free(&in);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("blob");
	TCase *t = tcase_create("blob");
	tcase_add_loop_test(t, round_trip, 0, sizeof lengths / sizeof *lengths);
	tcase_add_test(t, layout);
	tcase_add_test(t, crc_check_value);
	tcase_add_test(t, every_damaged_byte_is_found);
	tcase_add_loop_test(t, lies_are_refused, 0, sizeof lies / sizeof *lies);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
