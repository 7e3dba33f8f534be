#include "source/pointer.h"

#include <string.h>

#include "lib/harness.h"

/* The document and the pointers of RFC 6901 section 5; null is missing to us, as is what is not there. */
static const char DOCUMENT[] = "{\"foo\":[\"bar\",\"baz\"],\"\":0,\"a/b\":1,\"c%d\":2,\"e^f\":3,\"g|h\":4,\"i\\\\j\":5,"
			       "\"k\\\"l\":6,\" \":7,\"m~n\":8,\"none\":null,\"deep\":{\"none\":{\"x\":9},\"7\":10}}";

static const struct {
	const char *pointer, *want; /* want: the value as JSON, NULL missing */
} found[] = {
    {"/foo", "[\"bar\",\"baz\"]"},
    {"/foo/0", "\"bar\""},
    {"/foo/1", "\"baz\""},
    {"/", "0"},
    {"/a~1b", "1"},
    {"/c%d", "2"},
    {"/e^f", "3"},
    {"/g|h", "4"},
    {"/i\\j", "5"},
    {"/k\"l", "6"},
    {"/ ", "7"},
    {"/m~0n", "8"},
    {"/deep/none/x", "9"},
    {"/deep/7", "10"},
    {"/foo/2", NULL},
    {"/foo/01", NULL},
    {"/foo/-", NULL},
    {"/foo/bar", NULL},
    {"/foo/0/0", NULL},
    {"/none", NULL},
    {"/none/x", NULL},
    {"/nothing", NULL},
    {"/Foo", NULL},
    {"/a", NULL},
};

START_TEST(finds)
{
	const char *row = found[_i].pointer;
	struct fault f = {0};
	struct pointer p;
	cJSON *root = cJSON_Parse(DOCUMENT);
	ck_assert_ptr_nonnull(root);
	ROW_INT(row, pointer_compile(row, &p, &f), FAULT_NONE);
	const cJSON *item = pointer_get(&p, root);
	if (found[_i].want == NULL) {
		ROW_TRUE(row, item == NULL);
	} else {
		ROW_TRUE(row, item != NULL);
		char *got = cJSON_PrintUnformatted(item);
		ROW_STR(row, got, found[_i].want);
		cJSON_free(got);
	}
	char mem[64];
	struct text back;
	text_over(&back, mem, sizeof mem);
	pointer_write(&p, &back);
	ROW_STR(row, back.at, row);
	cJSON_Delete(root);
}
END_TEST

START_TEST(finds_whole_document)
{
	struct fault f = {0};
	struct pointer p;
	cJSON *root = cJSON_Parse("[1]");
	ck_assert_int_eq(pointer_compile("", &p, &f), FAULT_NONE);
	ck_assert_ptr_eq(pointer_get(&p, root), root);
	ck_assert_str_eq(pointer_last(&p), "");
	cJSON_Delete(root);
}
END_TEST

START_TEST(decodes_tilde_once)
{
	/* RFC 6901 section 4: "~01" is "~1", never "/". */
	struct fault f = {0};
	struct pointer p;
	ck_assert_int_eq(pointer_compile("/x/~01", &p, &f), FAULT_NONE);
	ck_assert_str_eq(pointer_last(&p), "~1");
}
END_TEST

static const struct {
	const char *pointer, *want;
} broken[] = {
    {"foo", "begins with /"},
    {"a/b", "begins with /"},
    {"/a~2b", "~ in a pointer"},
    {"/a~", "~ in a pointer"},
    {"/a/b/c/d/e/f/g/h/i/j/k/l/m", "at most 12 parts"},
    {"/0123456789012345678901234567890123456789012345678901234567890123456789012345678901234567890123456789012345678"
     "90123456789",
     "at most 119 bytes"},
};

START_TEST(refuses)
{
	struct fault f = {0};
	struct pointer p;
	ROW_INT(broken[_i].pointer, pointer_compile(broken[_i].pointer, &p, &f), FAULT_CONFIG);
	ck_assert_msg(strstr(f.text, broken[_i].want) != NULL, "%s: %s", broken[_i].pointer, f.text);
}
END_TEST

START_TEST(compares)
{
	struct fault f = {0};
	struct pointer a, b, c, none = {0};
	ck_assert_int_eq(pointer_compile("/a/b", &a, &f), FAULT_NONE);
	ck_assert_int_eq(pointer_compile("/a/b", &b, &f), FAULT_NONE);
	ck_assert_int_eq(pointer_compile("/a~1b", &c, &f), FAULT_NONE);
	ck_assert(pointer_same(&a, &b));
	ck_assert(!pointer_same(&a, &c));
	ck_assert(!pointer_same(&a, &none));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("pointer");
	TCase *t = tcase_create("pointer");
	tcase_add_loop_test(t, finds, 0, sizeof found / sizeof found[0]);
	tcase_add_test(t, finds_whole_document);
	tcase_add_test(t, decodes_tilde_once);
	tcase_add_loop_test(t, refuses, 0, sizeof broken / sizeof broken[0]);
	tcase_add_test(t, compares);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
