#include "source/json.h"

#include <string.h>

#include "base/mem.h"

static size_t blank(const char *s)
{
	return strspn(s, " \t\r\n");
}

/* Does the text end within a string, an object or an array? */
static bool is_cut_off(const char *s)
{
	bool text = false;
	long depth = 0;
	for (; *s != '\0'; s++)
		if (text && *s == '\\' && s[1] != '\0')
			s++;
		else if (*s == '"')
			text = !text;
		else if (!text)
			depth += (*s == '{' || *s == '[') - (*s == '}' || *s == ']');
	return text || depth > 0;
}

static enum fault_code refuse(const char *body, size_t n, const char *end, struct fault *f)
{
	if (n == 0 || body[blank(body)] == '\0')
		return fault_set(f, FAULT_DATA, "the answer is empty");
	if (body[blank(body)] == '<')
		return fault_set(f, FAULT_DATA, "the answer is HTML or XML, not JSON");
	if (is_cut_off(body))
		return fault_set(f, FAULT_DATA, "the answer is cut off after %zu bytes", n);
	return fault_set(f, FAULT_DATA, "the answer is not JSON (near byte %zu)", (size_t)(end - body));
}

enum fault_code json_read(const char *body, size_t n, cJSON **root, struct fault *f)
{
	const char *end = body;
	long refused = mem_refused();
	/* The NUL is handed in too: older releases of the library look one byte past a cut text. */
	cJSON *tree = cJSON_ParseWithLengthOpts(body, n + 1, &end, false);
	if (tree == NULL && mem_refused() > refused)
		return fault_set(f, FAULT_MEMORY, "no memory for the answer");
	if (tree != NULL && (size_t)(end - body) + blank(end) < n) {
		cJSON_Delete(tree);
		return fault_set(f, FAULT_DATA, "the answer goes on after its JSON (at byte %zu)",
				 (size_t)(end - body));
	}
	if (tree != NULL && !cJSON_IsObject(tree) && !cJSON_IsArray(tree)) {
		cJSON_Delete(tree);
		return fault_set(f, FAULT_DATA, "the answer is a bare value, not an object");
	}
	if (tree == NULL)
		return refuse(body, n, end, f);
	*root = tree;
	return FAULT_NONE;
}

bool json_said(const struct pointer *at, size_t n, const cJSON *root, char *said, size_t size)
{
	for (size_t i = 0; i < n; i++) {
		const cJSON *item = pointer_get(&at[i], root);
		if (!cJSON_IsString(item) || *item->valuestring == '\0')
			continue;
		/* Lines become one line; what else could harm a terminal goes as in any fault. */
		char line[FAULT_TEXT_SIZE];
		struct fault harmless = {0};
		size_t len = strnlen(item->valuestring, sizeof line - 1);
		for (size_t k = 0; k < len; k++) {
			line[k] = item->valuestring[k];
			if (strchr("\n\r\t\a", line[k]) != NULL)
				line[k] = ' ';
		}
		line[len] = '\0';
		fault_set(&harmless, FAULT_DATA, "%s", line);
		struct text t;
		text_over(&t, said, size);
		text_add(&t, harmless.text);
		return true;
	}
	return false;
}
