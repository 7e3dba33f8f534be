#include "record/blob.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"

enum { HEAD_BYTES = 4 + 4 + 8 + 4 + 4, TAIL_BYTES = 4, CELL_BYTES = 8 + 1 };

static const char magic[4] = {'D', 'W', 'H', 'R'};

uint32_t blob_crc32(const uint8_t *bytes, size_t n)
{
	/* Half a byte at a time: the remainders of the sixteen half bytes. */
	static const uint32_t half[16] = {
	    0x00000000, 0x1db71064, 0x3b6e20c8, 0x26d930ac, 0x76dc4190, 0x6b6b51f4, 0x4db26158, 0x5005713c,
	    0xedb88320, 0xf00f9344, 0xd6d6a3e8, 0xcb61b38c, 0x9b64c2b0, 0x86d3d2d4, 0xa00ae278, 0xbdbdf21c,
	};
	uint32_t crc = 0xffffffff;
	for (size_t i = 0; i < n; i++) {
		crc ^= bytes[i];
		crc = crc >> 4 ^ half[crc & 15];
		crc = crc >> 4 ^ half[crc & 15];
	}
	return ~crc;
}

/* Bytes written so far. */
struct pen {
	uint8_t *at;
};

static void put(struct pen *p, uint64_t x, size_t bytes)
{
	for (size_t i = 0; i < bytes; i++)
		*p->at++ = (uint8_t)(x >> 8 * i);
}

static void put_double(struct pen *p, double x)
{
	uint64_t bits;
	memcpy(&bits, &x, sizeof bits);
	put(p, bits, 8);
}

static bool has_any(const struct hours *h, enum var v)
{
	for (size_t i = 0; i < h->n; i++)
		if (!isnan(h->value[v][i]))
			return true;
	return false;
}

static void put_variable(struct pen *p, const struct hours *h, enum var v)
{
	const char *name = var_row(v)->name;
	size_t length = strlen(name);
	put(p, length, 1);
	memcpy(p->at, name, length);
	p->at += length;
	for (size_t i = 0; i < h->n; i++)
		put_double(p, h->value[v][i]);
	for (size_t i = 0; i < h->n; i++)
		put(p, h->origin[v][i], 1);
}

enum fault_code blob_encode(const struct hours *h, uint8_t **bytes, size_t *n, struct fault *f)
{
	bool has[VARS];
	uint32_t variables = 0;
	size_t size = HEAD_BYTES + TAIL_BYTES;
	for (int v = 0; v < VARS; v++) {
		has[v] = has_any(h, (enum var)v);
		if (!has[v])
			continue;
		variables++;
		size += 1 + strlen(var_row((enum var)v)->name) + h->n * CELL_BYTES;
	}
	uint8_t *block = mem_new(size, 1);
	if (!block)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	struct pen p = {block};
	memcpy(p.at, magic, sizeof magic);
	p.at += sizeof magic;
	put(&p, BLOB_VERSION, 4);
	put(&p, (uint64_t)h->first, 8);
	put(&p, h->n, 4);
	put(&p, variables, 4);
	for (int v = 0; v < VARS; v++)
		if (has[v])
			put_variable(&p, h, (enum var)v);
	put(&p, blob_crc32(block, size - TAIL_BYTES), 4);
	*bytes = block;
	*n = size;
	return FAULT_NONE;
}

/* Bytes still to be read. */
struct eye {
	const uint8_t *at;
	size_t left;
};

static uint64_t get(struct eye *e, size_t bytes)
{
	uint64_t x = 0;
	for (size_t i = 0; i < bytes; i++)
		x |= (uint64_t)e->at[i] << 8 * i;
	e->at += bytes;
	e->left -= bytes;
	return x;
}

static double get_double(struct eye *e)
{
	uint64_t bits = get(e, 8);
	double x;
	memcpy(&x, &bits, sizeof x);
	return x;
}

static enum fault_code damaged(struct fault *f)
{
	return fault_set(f, FAULT_DATA, "a stored forecast is damaged");
}

static enum fault_code get_variable(struct eye *e, struct hours *h, struct fault *f)
{
	char name[256];
	size_t length = e->left > 0 ? (size_t)get(e, 1) : 0;
	if (length == 0 || e->left < length || (e->left - length) / CELL_BYTES < h->n)
		return damaged(f);
	memcpy(name, e->at, length);
	name[length] = '\0';
	e->at += length;
	e->left -= length;
	enum var v = var_named(name);
	if (v == VARS)
		return fault_set(f, FAULT_DATA, "a stored forecast speaks of \"%s\", which is not known here", name);
	for (size_t i = 0; i < h->n; i++)
		h->value[v][i] = get_double(e);
	for (size_t i = 0; i < h->n; i++)
		h->origin[v][i] = (uint8_t)get(e, 1);
	return FAULT_NONE;
}

enum fault_code blob_decode(const uint8_t *bytes, size_t n, struct hours *h, struct fault *f)
{
	if (n < HEAD_BYTES + TAIL_BYTES || memcmp(bytes, magic, sizeof magic) != 0)
		return damaged(f);
	struct eye tail = {bytes + n - TAIL_BYTES, TAIL_BYTES};
	if (get(&tail, 4) != blob_crc32(bytes, n - TAIL_BYTES))
		return damaged(f);
	struct eye e = {bytes + sizeof magic, n - sizeof magic - TAIL_BYTES};
	uint64_t version = get(&e, 4);
	if (version != BLOB_VERSION)
		return fault_set(f, FAULT_DATA, "a stored forecast has form %llu, this dewpost knows %d",
				 (unsigned long long)version, (int)BLOB_VERSION);
	int64_t first = (int64_t)get(&e, 8);
	size_t hours = (size_t)get(&e, 4), variables = (size_t)get(&e, 4);
	if (first % HOUR_S != 0 || hours > HOURS_MAX || variables > VARS)
		return damaged(f);
	if (hours_init(h, first, hours, f))
		return f->code;
	enum fault_code code = FAULT_NONE;
	for (size_t i = 0; i < variables && code == FAULT_NONE; i++)
		code = get_variable(&e, h, f);
	if (code == FAULT_NONE && e.left != 0)
		code = damaged(f);
	if (code != FAULT_NONE)
		hours_free(h);
	return code;
}
