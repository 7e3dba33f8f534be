#include "net/library.h"

#include <curl/curl.h>
#include <string.h>

#include "base/mem.h"

static char *gate_strdup(const char *s)
{
	size_t n = strlen(s) + 1;
	char *copy = mem_raw(n);
	if (copy != NULL)
		memcpy(copy, s, n);
	return copy;
}

enum fault_code library_begin(struct fault *f)
{
	if (curl_global_init_mem(CURL_GLOBAL_DEFAULT, mem_raw, mem_free, mem_raw_resize, gate_strdup, mem_new) !=
	    CURLE_OK)
		return fault_set(f, FAULT_MEMORY, "libcurl cannot be set up");
	return FAULT_NONE;
}

void library_end(void)
{
	curl_global_cleanup();
}
