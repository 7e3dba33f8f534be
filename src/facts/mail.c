#include "facts/mail.h"

#include <string.h>

/* RFC 5321 4.5.3.1.1, RFC 1035 2.3.4 */
enum { LOCAL_MAX = 64, LABEL_MAX = 63 };

/* RFC 8314 3.3, RFC 6409 3.1 */
enum { PORT_TLS = 465, PORT_SUBMISSION = 587 };

static const char letters[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";

static bool is_one_of(char c, const char *set)
{
	return c != '\0' && strchr(set, c) != NULL;
}

/* Words of the allowed characters with single dots between them; none longer than `most`. */
static bool dotted(const char *s, size_t n, const char *marks, size_t most)
{
	size_t word = 0;
	for (size_t i = 0; i < n; i++) {
		if (s[i] != '.' && !is_one_of(s[i], letters) && !is_one_of(s[i], marks))
			return false;
		if (s[i] == '.' && word == 0)
			return false;
		word = s[i] == '.' ? 0 : word + 1;
		if (word > most)
			return false;
	}
	return word > 0;
}

static bool is_domain(const char *s, size_t n)
{
	if (!dotted(s, n, "-", LABEL_MAX) || s[0] == '-' || s[n - 1] == '-')
		return false;
	for (size_t i = 1; i + 1 < n; i++)
		if (s[i] == '.' && (s[i - 1] == '-' || s[i + 1] == '-'))
			return false;
	return true;
}

enum fault_code mail_address_check(const char *address, struct fault *f)
{
	size_t n = strlen(address), local = strcspn(address, "@");
	const char *domain = address + local + 1;
	if (n >= MAIL_ADDRESS_SIZE)
		return fault_set(f, FAULT_CONFIG, "the address has %zu bytes; at most %d", n, MAIL_ADDRESS_SIZE - 1);
	for (size_t i = 0; i < n; i++)
		if (address[i] <= ' ' || address[i] > '~')
			return fault_set(f, FAULT_CONFIG,
					 "the address has a blank, a control character or a byte beyond ASCII; one "
					 "address, as grower@example.org");
	if (local == n || local == 0 || *domain == '\0' || strchr(domain, '@') != NULL)
		return fault_set(f, FAULT_CONFIG, "\"%.80s\" is no mail address; as grower@example.org", address);
	if (local > LOCAL_MAX)
		return fault_set(f, FAULT_CONFIG, "the address has %zu bytes before its @; at most %d", local,
				 LOCAL_MAX);
	/* RFC 5322 3.2.3, atext */
	if (!dotted(address, local, "!#$%&'*+-/=?^_`{|}~", LOCAL_MAX) || !is_domain(domain, strlen(domain)))
		return fault_set(f, FAULT_CONFIG,
				 "\"%.80s\" is no mail address; one alone, without name, brackets, quotes or commas, "
				 "as grower@example.org",
				 address);
	return FAULT_NONE;
}

bool mail_server_parse(const char *url, struct mail_server *server)
{
	static const char plain[] = "smtp://", tls[] = "smtps://";
	server->tls = strncmp(url, tls, sizeof tls - 1) == 0;
	if (!server->tls && strncmp(url, plain, sizeof plain - 1) != 0)
		return false;
	if (!hostport_parse(url + (server->tls ? sizeof tls : sizeof plain) - 1, server->host, &server->port))
		return false;
	if (server->port == 0)
		server->port = server->tls ? PORT_TLS : PORT_SUBMISSION;
	return true;
}
