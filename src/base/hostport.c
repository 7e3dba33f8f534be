#include "base/hostport.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <string.h>

#include "base/num.h"

enum { PORT_MAX = 65535 };

static bool is_alnum(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

/* Bytes of the host at the start of s; 0 where there is none. */
static size_t host_length(const char *s)
{
	if (*s == '[') {
		size_t n = strcspn(s, "]");
		bool address = s[n] != '\0' && n >= 3 && strspn(s + 1, "0123456789abcdefABCDEF:.") == n - 1;
		return address ? n + 1 : 0;
	}
	size_t n = strcspn(s, ":");
	for (size_t i = 0; i < n; i++)
		if (!is_alnum(s[i]) && s[i] != '-' && s[i] != '.')
			return 0;
	return n;
}

bool hostport_parse(const char *s, char host[static HOSTPORT_HOST_SIZE], int *port)
{
	size_t n = host_length(s);
	int given = 0;
	if (n == 0 || n >= HOSTPORT_HOST_SIZE)
		return false;
	if (s[n] != '\0' &&
	    (s[n] != ':' || !num_digits(s + n + 1, strlen(s + n + 1), &given) || given < 1 || given > PORT_MAX))
		return false;
	memcpy(host, s, n);
	host[n] = '\0';
	*port = given;
	return true;
}

bool hostport_is_loopback(const char *host)
{
	struct in_addr v4;
	if (inet_pton(AF_INET, host, &v4) == 1)
		return (ntohl(v4.s_addr) >> 24) == IN_LOOPBACKNET;
	return strcmp(host, "[::1]") == 0;
}
