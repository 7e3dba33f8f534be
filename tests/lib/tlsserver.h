/*
 * An https server for tests: "openssl s_server" on 127.0.0.1, with certificates made on the spot.
 *
 * It hands out files of its folder, each a complete answer with its status line and
 * header, and ends with tlsserver_stop or with its test.
 */
#ifndef TESTS_LIB_TLSSERVER_H
#define TESTS_LIB_TLSSERVER_H

#include <sys/types.h>

#include "lib/scratch.h"

enum { TLSSERVER_URL_SIZE = 128 };

/* CA and certificates (see certs.sh) into a folder. */
void tlsserver_certificates(const char *folder);

struct tlsserver {
	pid_t pid;
	int port, out;
};

/*
 * Serve `folder` with its CERTIFICATE.pem and .key; `version` is an option of s_server
 * ("-tls1_1") that fixes the TLS version, or NULL.  Returns when it listens.
 */
void tlsserver_start(struct tlsserver *s, const char *folder, const char *certificate, const char *version);
void tlsserver_stop(struct tlsserver *s);

/* Put an answer under a name of the folder, status line and all. */
void tlsserver_answer(const char *folder, const char *name, const char *answer);

/* https://HOST:PORT/name; returns buf. */
char *tlsserver_url(const struct tlsserver *s, const char *host, const char *name, char buf[static TLSSERVER_URL_SIZE]);

#endif
