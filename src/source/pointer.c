#include "source/pointer.h"

#include <string.h>

#include "base/num.h"

/* RFC 6901 section 4: digits without leading zeros; anything else is only a member's name. */
static int32_t array_index(const char *token)
{
	size_t n = strlen(token);
	if (n == 0 || n > 8 || (token[0] == '0' && n > 1))
		return -1;
	int value;
	return num_digits(token, n, &value) ? value : -1;
}

/* One reference token, from behind its /, decoded to the end of the text in *p; NULL: a bad escape. */
static const char *take_token(const char *s, struct pointer *p, size_t *used)
{
	while (*s != '\0' && *s != '/') {
		char c = *s++;
		if (c == '~') {
			if (*s != '0' && *s != '1')
				return NULL;
			c = *s++ == '0' ? '~' : '/';
		}
		p->text[(*used)++] = c;
	}
	p->text[(*used)++] = '\0';
	return s;
}

enum fault_code pointer_compile(const char *s, struct pointer *p, struct fault *f)
{
	struct pointer out = {.set = true};
	size_t used = 0;
	if (s[0] != '\0' && s[0] != '/')
		return fault_set(f, FAULT_CONFIG, "\"%s\" is no JSON Pointer; it begins with /, as in /a/b", s);
	if (strlen(s) > POINTER_TEXT_MAX)
		return fault_set(f, FAULT_CONFIG, "a pointer has at most %d bytes", POINTER_TEXT_MAX);
	while (*s == '/') {
		if (out.n == POINTER_TOKENS_MAX)
			return fault_set(f, FAULT_CONFIG, "a pointer has at most %d parts", POINTER_TOKENS_MAX);
		out.at[out.n] = (uint8_t)used;
		s = take_token(s + 1, &out, &used);
		if (s == NULL)
			return fault_set(f, FAULT_CONFIG, "~ in a pointer is written ~0 (and / in a name ~1)");
		out.index[out.n] = array_index(out.text + out.at[out.n]);
		out.n++;
	}
	*p = out;
	return FAULT_NONE;
}

static const cJSON *step_down(const cJSON *node, const char *token, int32_t index)
{
	const cJSON *child = node->child;
	if (cJSON_IsObject(node)) {
		/* Most names differ in their first letter: the call is the cost. */
		while (child != NULL && (child->string[0] != token[0] || strcmp(child->string, token) != 0))
			child = child->next;
		return child;
	}
	if (!cJSON_IsArray(node) || index < 0)
		return NULL;
	while (child != NULL && index-- > 0)
		child = child->next;
	return child;
}

const cJSON *pointer_get(const struct pointer *p, const cJSON *root)
{
	const cJSON *node = root;
	for (size_t i = 0; i < p->n && node != NULL; i++)
		node = step_down(node, p->text + p->at[i], p->index[i]);
	return node == NULL || cJSON_IsNull(node) ? NULL : node;
}

bool pointer_same(const struct pointer *a, const struct pointer *b)
{
	if (a->set != b->set || a->n != b->n)
		return false;
	for (size_t i = 0; i < a->n; i++)
		if (strcmp(a->text + a->at[i], b->text + b->at[i]) != 0)
			return false;
	return true;
}

const char *pointer_last(const struct pointer *p)
{
	return p->n == 0 ? "" : p->text + p->at[p->n - 1];
}

void pointer_write(const struct pointer *p, struct text *t)
{
	for (size_t i = 0; i < p->n; i++) {
		text_add(t, "/");
		for (const char *s = p->text + p->at[i]; *s != '\0'; s++)
			if (*s == '~' || *s == '/')
				text_add(t, *s == '~' ? "~0" : "~1");
			else
				text_add_char(t, *s, 1);
	}
}
