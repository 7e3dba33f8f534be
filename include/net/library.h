/*
 * libcurl, made ready once for everybody, its memory through the one gate.
 *
 * Begun as often as you like; each needs its end.
 */
#ifndef NET_LIBRARY_H
#define NET_LIBRARY_H

#include "base/fault.h"

enum fault_code library_begin(struct fault *f) MUST_USE; /* FAULT_MEMORY */
void library_end(void);

#endif
