#include "lib/netbed.h"

#include <string.h>

#include "lib/harness.h"

static int64_t now_standing(void *context)
{
	(void)context;
	return NETBED_NOW;
}

static void sleep_counted(void *context, int64_t ms)
{
	*(int64_t *)context += ms;
}

struct net_limits netbed_limits(void)
{
	struct net_limits l = net_limits_default();
	l.connect_ms = l.total_ms = NETBED_MS;
	l.max_bytes = NETBED_CAP;
	l.max_header_bytes = NETBED_HEADER_CAP;
	l.allow_loopback_http = true;
	l.proxy = "";
	l.now = now_standing;
	l.sleep_ms = sleep_counted;
	return l;
}

struct net *netbed_open(const struct net_limits *l)
{
	struct net *net = NULL;
	struct fault f = {0};
	ck_assert_msg(net_open(l, "dewpost-test/1 (+grower@example.org)", &net, &f) == FAULT_NONE, "%s", f.text);
	return net;
}

enum fault_code netbed_ask(const struct net_limits *l, const char *url, struct net_response *r, struct fault *f)
{
	struct net *net = netbed_open(l);
	enum fault_code code = net_get(net, &(struct net_request){.url = url}, r, f);
	net_close(net);
	return code;
}

int netbed_refuses(const char *row, const struct net_limits *l, const char *url, enum fault_code code, const char *says)
{
	struct net_response r;
	struct fault f = {0};
	ROW_INT(row, netbed_ask(l, url, &r, &f), code);
	ROW_MSG(strstr(f.text, says) != NULL, "%s: \"%s\" is not in \"%s\"", row, says, f.text);
	net_response_free(&r);
	return r.requests;
}
