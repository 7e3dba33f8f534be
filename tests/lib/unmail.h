/*
 * What a mail reader does, for tests: takes apart what post puts together, by the rules alone.
 */
#ifndef TESTS_LIB_UNMAIL_H
#define TESTS_LIB_UNMAIL_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"

/* RFC 2045 6.7: quoted-printable with CR LF lines; line ends become LF.  Any breach of its rules fails the test. */
void unmail_quoted(const char *s, size_t n, struct text *t);

/* RFC 2047: encoded words (Q alone) within other text; white space between two words goes.  No breach, as above. */
void unmail_words(const char *s, size_t n, struct text *t);

/* RFC 5321 4.5.2: the dot that the sender put before a line's own one goes. */
void unmail_dots(const char *s, size_t n, struct text *t);

/* The value of a header field, unfolded (RFC 5322 2.2.3), without the blank before it; false: there is none. */
bool unmail_field(const char *message, const char *name, struct text *t);

/* The body, behind the empty line; NULL: there is none. */
const char *unmail_body(const char *message);

/* Fails the test where a line is longer than `most` without its CR LF, or a CR or LF stands alone. */
void unmail_lines(const char *what, const char *s, size_t n, size_t most);

#endif
