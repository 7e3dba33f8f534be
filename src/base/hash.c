#include "base/hash.h"

#include <string.h>

uint64_t hash_bytes(uint64_t hash, const void *bytes, size_t n)
{
	static const uint64_t prime = UINT64_C(1099511628211);
	const unsigned char *s = bytes;
	for (size_t i = 0; i < n; i++)
		hash = (hash ^ s[i]) * prime;
	return hash;
}

uint64_t hash_text(uint64_t hash, const char *s)
{
	return hash_bytes(hash, s, strlen(s));
}

double hash_frac(uint64_t hash)
{
	uint64_t z = hash + UINT64_C(0x9e3779b97f4a7c15);
	z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
	z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
	z ^= z >> 31;
	return (double)(z >> 11) * 0x1p-53;
}
