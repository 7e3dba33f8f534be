/*
 * Text that is not plain ASCII, as mail carries it.
 *
 * Lines are ended by `eol` ("\r\n" or "\n").
 */
#ifndef POST_ENCODE_H
#define POST_ENCODE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"

/*
 * A header's text as encoded words of UTF-8 in the Q encoding, a blank or a folded line between them.
 *
 * Given    s       UTF-8, not empty
 *          column  characters that stand in the line before it, at most 20
 * Limits   a word has at most 75 characters, a line with words 76; no character is split; of the
 *          printable characters only those stand for themselves that may do so in a name (5 (3))
 * Source   RFC 2047 2, 4.2 and 5
 */
void encode_words(const char *s, size_t column, const char *eol, struct text *t);

/*
 * Whether a body can go out as it stands, whatever is on its way: ASCII, lines of at most 998
 * octets (RFC 5322 2.1.1), none that ends with a blank or begins with a dot or "From ".
 */
bool encode_plain_fits(const char *body);

/* The body with its line ends alone changed; the last line has one in any case. */
void encode_plain(const char *body, const char *eol, struct text *t);

/*
 * The body as quoted-printable.
 *
 * Limits   lines of at most 76 characters, none ends with a blank or begins with a dot or "From "
 * Source   RFC 2045 6.7
 */
void encode_quoted(const char *body, const char *eol, struct text *t);

#endif
