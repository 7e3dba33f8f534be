"""Letters as they come over the wire: a mail server written in Python keeps envelope and bytes as they are."""

import email
import logging
import ssl
import warnings

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult

import letters
import servers


# Of what its next version will drop, and of authentication that it does not see to be within TLS.
logging.getLogger("mail.log").setLevel(logging.ERROR)
warnings.filterwarnings("ignore", module="aiosmtpd")


class Keeper:
    """Takes everything, and remembers it."""

    def __init__(self):
        self.taken = []

    async def handle_DATA(self, _server, session, envelope):
        self.taken.append((envelope.mail_from, envelope.rcpt_tos, envelope.original_content, session.authenticated))
        return "250 taken"


def authenticate(_server, _session, _envelope, _mechanism, data):
    right = (data.login, data.password) == (servers.USER.encode(), servers.PASSWORD.encode())
    return AuthResult(success=right, handled=False)


def receive(checks, name, place, batch, implicit, settings):
    """What the server has, by Message-ID."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(settings["certificate"] + ".pem", settings["certificate"] + ".key")
    how = {"ssl_context": context, "auth_require_tls": False} if implicit else {"tls_context": context}
    keeper = Keeper()
    (port,) = servers.free_ports(1)
    server = Controller(
        keeper, "127.0.0.1", port, server_hostname="mail.example", require_starttls=not implicit,
        authenticator=authenticate, auth_required=True, **how,
    )  # fmt: skip
    server.start()
    url = f"{'smtps' if implicit else 'smtp'}://localhost:{port}"
    password = place.file("password", servers.PASSWORD + "\n")
    try:
        letters.post_all(
            checks, f"{name}, sent", place, batch,
            way="smtp", server=url, ca_file=settings["ca"], user=servers.USER, password_file=password,
        )  # fmt: skip
    finally:
        server.stop()
    return {email.message_from_bytes(taken[2])["message-id"]: taken for taken in keeper.taken}


def run(checks, place):
    certs = servers.certificates(place)
    settings = {"ca": f"{certs}/ca.pem", "certificate": f"{certs}/right"}
    batch = letters.awkward() + list(letters.generated(30))
    for name, implicit, some in (("STARTTLS", False, batch), ("implicit TLS", True, batch[::12])):
        taken = receive(checks, name, place, some, implicit, settings)
        wanted = letters.write_all(place, some)
        rows = [(one, m, taken.get(email.message_from_bytes(m)["message-id"], (None,) * 4)) for one, m in wanted]
        checks.same(f"{name}, letters", [("number", len(taken), len(some))])
        checks.same(
            f"{name}, sender, recipient, authenticated",
            ((one.label, (sender, to, known), (one.sender, [one.to], True)) for one, _, (sender, to, _, known) in rows),
        )
        checks.same(f"{name}, bytes", ((one.label, got[2], m) for one, m, got in rows))
