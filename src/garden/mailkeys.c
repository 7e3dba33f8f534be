#include "garden/mailkeys.h"

#include <stddef.h>
#include <string.h>

#define TEXT(field) .at = offsetof(struct mail, field), .size = sizeof(((struct mail *)0)->field)

const struct key mailkeys[MAILKEYS] = {
    {.name = "way",
     .kind = KEY_CHOICE,
     .word = {[MAIL_PRINT] = "print",
	      [MAIL_FILE] = "file",
	      [MAIL_MAILDIR] = "maildir",
	      [MAIL_SENDMAIL] = "sendmail",
	      [MAIL_SMTP] = "smtp"},
     .required = true,
     .example = "print",
     .help = "How the note goes out",
     .at = offsetof(struct mail, way)},
    {.name = "to",
     .kind = KEY_MAIL,
     .example = "grower@example.org",
     .help = "Mail address that gets the note; each one gets a mail of its own",
     .at = offsetof(struct mail, to),
     .size = MAIL_ADDRESS_SIZE,
     .most = MAIL_TO_MAX,
     .count_at = offsetof(struct mail, n_to)},
    {.name = "from",
     .kind = KEY_MAIL,
     .example = "garden@example.org",
     .help = "Mail address that the note comes from; the first of to where not given",
     TEXT(from)},
    {.name = "from_name",
     .kind = KEY_TEXT,
     .example = "Quarry Lane",
     .help = "Name beside the address that the note comes from",
     TEXT(from_name)},
    {.name = "server",
     .kind = KEY_SERVER,
     .word = {"smtp", "smtps"},
     .example = "smtp://mail.example.org:587",
     .right = "smtp:// (with STARTTLS) or smtps://, its host and its port",
     .help = "Mail server of the way smtp: smtp:// with STARTTLS, or smtps://",
     TEXT(server)},
    {.name = "clear",
     .kind = KEY_YES,
     .fallback = "no",
     .example = "no",
     .help = "Whether the server is spoken to without encryption; only where it is this machine, as 127.0.0.1",
     .at = offsetof(struct mail, clear)},
    {.name = "user",
     .kind = KEY_TEXT,
     .example = "grower@example.org",
     .help = "Name at the server; without it nothing is proved to the server",
     TEXT(user)},
    {.name = "password_file",
     .kind = KEY_TEXT,
     .example = "/home/grower/.config/dewpost/mail.password",
     .help = "File with the password in its one line, readable by nobody else (mode 600); the credential smtp of the "
	     "service manager where not given",
     TEXT(password_file)},
    {.name = "ca_file",
     .kind = KEY_TEXT,
     .example = "/etc/ssl/certs/own-ca.pem",
     .help = "Certificates that the mail server is judged by; those of the machine where not given",
     TEXT(ca_file)},
    {.name = "program",
     .kind = KEY_TEXT,
     .fallback = "/usr/sbin/sendmail",
     .example = "/usr/sbin/sendmail",
     .help = "Program of the way sendmail, which takes -i, -f and a recipient as that one does",
     TEXT(program)},
    {.name = "folder",
     .kind = KEY_TEXT,
     .example = "/home/grower/Maildir",
     .help = "Folder of the way maildir",
     TEXT(folder)},
    {.name = "file",
     .kind = KEY_TEXT,
     .example = "/home/grower/note.txt",
     .help = "File of the way file; the note of the day takes the place of the last one",
     TEXT(file)},
    {.name = "unknown",
     .kind = KEY_CHOICE,
     .word = {[MAIL_RESEND] = "resend", [MAIL_NEVER] = "never"},
     .fallback = "resend",
     .example = "resend",
     .help = "What happens once with a note of which nobody knows whether the server took it: it may come twice, or "
	     "not at all",
     .at = offsetof(struct mail, unknown)},
};

/* What a way cannot do without. */
static const struct {
	int way;
	const char *key;
} needed[] = {
    {MAIL_FILE, "file"},   {MAIL_MAILDIR, "folder"}, {MAIL_MAILDIR, "to"},
    {MAIL_SENDMAIL, "to"}, {MAIL_SMTP, "server"},    {MAIL_SMTP, "to"},
};

static const struct key *key_named(const char *name)
{
	size_t i = 0;

	while (i + 1 < MAILKEYS && strcmp(mailkeys[i].name, name) != 0)
		i++;
	return &mailkeys[i];
}

static void check_needed(const struct ini *doc, const struct ini_section *s, const struct mail *m, struct faults *all)
{
	const struct ini_entry *way = ini_find(doc, s, "way");

	for (size_t i = 0; way && i < sizeof needed / sizeof *needed; i++)
		if (needed[i].way == m->way && !ini_find(doc, s, needed[i].key))
			ini_fault(doc, way->line, all, "way %s needs %s; as %s = %s", key_named("way")->word[m->way],
				  needed[i].key, needed[i].key, key_named(needed[i].key)->example);
}

static void check_server(const struct ini *doc, const struct ini_section *s, const struct mail *m, struct faults *all)
{
	const struct ini_entry *clear = ini_find(doc, s, "clear");
	struct mail_server server;

	if (!clear || !m->clear || !mail_server_parse(m->server, &server))
		return;
	if (server.tls)
		ini_fault(doc, clear->line, all, "clear = yes does not go with smtps://; smtp:// or clear = no");
	else if (!hostport_is_loopback(server.host))
		ini_fault(doc, clear->line, all,
			  "clear = yes is only for a server on this machine, by its address; smtp://127.0.0.1 or "
			  "clear = no");
}

void mailkeys_check(const struct ini *doc, const struct ini_section *s, struct mail *m, struct faults *all)
{
	const struct ini_entry *password = ini_find(doc, s, "password_file");

	check_needed(doc, s, m, all);
	check_server(doc, s, m, all);
	if (password && !ini_find(doc, s, "user"))
		ini_fault(doc, password->line, all, "password_file needs user; as user = %s",
			  key_named("user")->example);
	if (m->n_to && !*m->from)
		memcpy(m->from, m->to[0], sizeof m->from);
}
