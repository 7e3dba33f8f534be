/*
 * Hours as bytes: what an issue's row holds.
 *
 * Layout, little-endian: "DWHR", u32 version 1, i64 first hour, u32 count,
 * u32 variables; then a variable: u8 length and bytes of its name, count
 * doubles (IEEE 754), count marks (u8); at the end u32 CRC-32 of all before it
 * (reflected polynomial 0xEDB88320, as in ITU-T V.42).  Variables without any
 * value are left out.  By name, so that the table of variables may grow.
 */
#ifndef RECORD_BLOB_H
#define RECORD_BLOB_H

#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "facts/hours.h"

enum { BLOB_VERSION = 1 };

/* The bytes of all hours; mem_free(*bytes). */
enum fault_code blob_encode(const struct hours *h, uint8_t **bytes, size_t *n, struct fault *f) MUST_USE;

/* *h is made here (hours_free).  FAULT_DATA where the bytes are cut short, damaged or of an unknown version. */
enum fault_code blob_decode(const uint8_t *bytes, size_t n, struct hours *h, struct fault *f) MUST_USE;

/* CRC-32; "123456789" gives 0xCBF43926. */
uint32_t blob_crc32(const uint8_t *bytes, size_t n);

#endif
