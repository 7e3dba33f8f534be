/*
 * A small hash of bytes: to tell whether two texts are the same without keeping
 * one, and to spread places over an hour.  Not for secrets, nor against malice.
 */
#ifndef BASE_HASH_H
#define BASE_HASH_H

#include <stddef.h>
#include <stdint.h>

/* What a hash begins with; pass the last one to go on. */
#define HASH_START UINT64_C(14695981039346656037)

/*
 * FNV-1a, 64 bits.
 *
 * Source   Fowler, Noll & Vo (1991), the 64-bit offset basis and prime that they publish
 * Checked  the published vectors of "", "a" and "foobar"
 */
uint64_t hash_bytes(uint64_t hash, const void *bytes, size_t n);

uint64_t hash_text(uint64_t hash, const char *s); /* without its NUL */

/* The bits well mixed, as a number in [0, 1): one of the two steps of Steele, Lea & Flood 2014 (SplitMix64). */
double hash_frac(uint64_t hash);

#endif
