#include "base/hash.h"

#include "lib/harness.h"

/* FNV-1a, 64 bits: the vectors that its authors publish. */
static const struct {
	const char *text;
	uint64_t want;
} VECTORS[] = {
    {"", UINT64_C(0xcbf29ce484222325)},
    {"a", UINT64_C(0xaf63dc4c8601ec8c)},
    {"foobar", UINT64_C(0x85944171f73967e8)},
};

START_TEST(as_published)
{
	uint64_t got = hash_text(HASH_START, VECTORS[_i].text);
	ROW_MSG(got == VECTORS[_i].want, "\"%s\": %llx, want %llx", VECTORS[_i].text, (unsigned long long)got,
		(unsigned long long)VECTORS[_i].want);
}
END_TEST

START_TEST(in_parts_as_in_one)
{
	ck_assert(hash_bytes(hash_text(HASH_START, "foo"), "bar", 3) == hash_text(HASH_START, "foobar"));
}
END_TEST

/* SplitMix64's first output of a seed, widely printed as its check value; here its upper 53 bits. */
static const struct {
	const char *name;
	uint64_t seed, first;
} SEEDS[] = {
    {"seed 0", 0, UINT64_C(0xe220a8397b1dcdaf)},
    {"seed 1234567", 1234567, UINT64_C(6457827717110365317)},
};

START_TEST(mixed_as_published)
{
	ROW_NEAR(SEEDS[_i].name, hash_frac(SEEDS[_i].seed), (double)(SEEDS[_i].first >> 11) / 9007199254740992.0, 0);
}
END_TEST

/* Neighbours lie far apart, and all tenths of the span are met about equally. */
START_TEST(spreads)
{
	enum { N = 10000, TENTHS = 10, FEW = 900, MANY = 1100 };
	int met[TENTHS] = {0};
	for (int i = 0; i < N; i++) {
		double x = hash_frac(hash_bytes(HASH_START, &i, sizeof i));
		ck_assert(x >= 0 && x < 1);
		met[(int)(x * TENTHS)]++;
	}
	for (int k = 0; k < TENTHS; k++)
		ck_assert_msg(met[k] > FEW && met[k] < MANY, "tenth %d: %d of %d", k, met[k], N);
}
END_TEST

#define ROWS(table) ((int)(sizeof(table) / sizeof *(table)))

static Suite *suite(void)
{
	Suite *s = suite_create("base/hash");
	TCase *t = tcase_create("hash");
	tcase_add_loop_test(t, as_published, 0, ROWS(VECTORS));
	tcase_add_test(t, in_parts_as_in_one);
	tcase_add_loop_test(t, mixed_as_published, 0, ROWS(SEEDS));
	tcase_add_test(t, spreads);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
