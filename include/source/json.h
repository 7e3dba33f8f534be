/*
 * A body to a cJSON tree, with one line that says why it is none.
 */
#ifndef SOURCE_JSON_H
#define SOURCE_JSON_H

#include <stddef.h>

#include <cjson/cJSON.h>

#include "base/fault.h"
#include "base/text.h"
#include "source/pointer.h"

/*
 * body[n] must be NUL.  FAULT_DATA: empty, HTML, not JSON, cut off, or neither
 * an object nor an array; FAULT_MEMORY.  Free *root with cJSON_Delete.
 */
enum fault_code json_read(const char *body, size_t n, cJSON **root, struct fault *f) MUST_USE;

/* The first of some pointers that finds a text, as one line of at most size - 1 bytes; false where none does. */
bool json_said(const struct pointer *at, size_t n, const cJSON *root, char *said, size_t size);

#endif
