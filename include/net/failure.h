/*
 * What a failure of libcurl means to who asked: try later, or not to be had as it is.
 *
 * Given    rc      any code but CURLE_OK
 *          detail  libcurl's own words, put into brackets
 * Returned FAULT_TRY_LATER where the same request may work later: a name (the proxy's too) not found,
 *          no connection, no handshake, out of time, broken off or damaged on the way;
 *          FAULT_CONFIG for a file of trusted certificates that cannot be read; FAULT_UNAVAILABLE else
 * Source   derived here from libcurl-errors(3), 7.88
 */
#ifndef NET_FAILURE_H
#define NET_FAILURE_H

#include <curl/curl.h>

#include "base/fault.h"

enum fault_code failure_set(CURLcode rc, const char *detail, struct fault *f);

#endif
