/*
 * The version of this program, as --version and the User-Agent give it.
 */
#ifndef CLI_VERSION_H
#define CLI_VERSION_H

/* "1.2.3"; a constant, never NULL. */
const char *version(void);

/* The year it was made in: no true clock is behind it. */
int version_year(void);

#endif
