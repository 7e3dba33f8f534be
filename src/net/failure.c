#include "net/failure.h"

static const struct {
	CURLcode rc;
	enum fault_code code;
	const char *phrase;
} failures[] = {
    {CURLE_COULDNT_RESOLVE_PROXY, FAULT_TRY_LATER, "the proxy's name was not found"},
    {CURLE_COULDNT_RESOLVE_HOST, FAULT_TRY_LATER, "the host's name was not found"},
    {CURLE_COULDNT_CONNECT, FAULT_TRY_LATER, "no connection"},
    {CURLE_OPERATION_TIMEDOUT, FAULT_TRY_LATER, "no whole answer in time"},
    {CURLE_SSL_CONNECT_ERROR, FAULT_TRY_LATER, "no secure connection"},
    {CURLE_GOT_NOTHING, FAULT_TRY_LATER, "the server closed without an answer"},
    {CURLE_SEND_ERROR, FAULT_TRY_LATER, "the connection broke"},
    {CURLE_RECV_ERROR, FAULT_TRY_LATER, "the connection broke"},
    {CURLE_PARTIAL_FILE, FAULT_TRY_LATER, "the answer broke off"},
    {CURLE_HTTP2, FAULT_TRY_LATER, "the connection broke"},
    {CURLE_HTTP2_STREAM, FAULT_TRY_LATER, "the connection broke"},
    {CURLE_BAD_CONTENT_ENCODING, FAULT_TRY_LATER, "the compressed answer is damaged"},
    {CURLE_PEER_FAILED_VERIFICATION, FAULT_UNAVAILABLE, "the certificate is not trusted"},
    {CURLE_SSL_CACERT_BADFILE, FAULT_CONFIG, "the file of trusted certificates cannot be read"},
};

enum fault_code failure_set(CURLcode rc, const char *detail, struct fault *f)
{
	for (size_t i = 0; i < sizeof failures / sizeof failures[0]; i++)
		if (failures[i].rc == rc)
			return fault_set(f, failures[i].code, "%s (%s)", failures[i].phrase, detail);
	return fault_set(f, FAULT_UNAVAILABLE, "no usable answer (%s)", detail);
}
