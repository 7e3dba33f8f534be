"""Letters through a mail server of Debian's, read back from where it delivers them."""

import dataclasses
import email
import re

import letters
import servers

# What a server may write before a message: RFC 5321 4.4.
TRACE = re.compile(rb"(?:(?:Return-path|Received): [^\n]*\n(?:[ \t][^\n]*\n)*)*", re.IGNORECASE)


def identity(message):
    return email.message_from_bytes(message)["message-id"]


def without_trace(message):
    return message[TRACE.match(message).end() :]


def envelope(message):
    msg = email.message_from_bytes(message)
    return msg["return-path"], re.findall(r"\bwith (\S+)", msg["received"] or "")


def check_way(checks, place, name, batch, boxes, protocol, settings):
    """Send all, then compare what came with what was written: byte for byte below the trace."""
    letters.post_all(checks, f"{name}, sent", place, batch, **settings)
    there = [(identity(raw), raw) for raw in boxes() if f".{batch[0].garden}.".encode() in raw]
    written = [(one, raw, dict(there).get(identity(raw), b"")) for one, raw in letters.write_all(place, batch, "lf")]
    checks.same(f"{name}, mails", [("number", len(there), len(batch))])
    checks.same(f"{name}, bytes", ((one.label, without_trace(got), raw) for one, raw, got in written))
    checks.same(
        f"{name}, envelope",
        ((one.label, envelope(got), (f"<{one.sender}>", [protocol])) for one, _, got in written),
    )


def check_refusals(checks, place, server, certs, one):
    """Nothing of these may arrive; (door, settings, result, words that have to be in the fault)."""
    ca = {"ca_file": f"{certs}/ca.pem"}
    known = ca | servers.login(place)
    rows = [
        ("wrong CA, STARTTLS", "starttls", known | {"ca_file": f"{certs}/other-ca.pem"}, "later", "certificate"),
        ("wrong CA, implicit TLS", "implicit", known | {"ca_file": f"{certs}/other-ca.pem"}, "later", "certificate"),
        ("CA of the machine alone", "implicit", servers.login(place), "later", "certificate"),
        ("certificate of another host", "misnamed", known, "later", "certificate"),
        ("certificate out of date", "outdated", known, "later", "certificate"),
        ("no STARTTLS", "bare", known, "later", "no STARTTLS"),
        ("no AUTH", "unopen", known, "later", "offers no authentication"),
        ("wrong password", "starttls", ca | servers.login(place, "wrong"), "refused", "535"),
        ("nobody logged in", "starttls", ca, "refused", "log in first"),
        ("no such box", "starttls", known | {"box": "gone"}, "refused", "no such box"),
        ("box full", "starttls", known | {"box": "full"}, "later", "box is full"),
    ]
    for n, (name, door, settings, result, words) in enumerate(rows):
        box = settings.pop("box", "maildir")
        letter = dataclasses.replace(one, garden=f"refused-{n}", to=f"{box}@box.example")
        got, why = letters.post(place, letter, way="smtp", server=server.url(door), **settings)
        checks.same(f"{name}, {result}", [(why, (got, words in why), (result, True))])
    arrived = [m for m in server.in_maildir() if b".refused-" in m]
    checks.same("nothing of these came", [("messages", len(arrived), 0)])


def relay(place, server, certs):
    """A second program that takes mail as sendmail does, and hands it on to the server."""
    password = place.file("password", servers.PASSWORD)
    config = place.file("config", f"""account default
host localhost
port {server.port['starttls']}
tls on
tls_starttls on
tls_trust_file {certs}/ca.pem
auth plain
user {servers.USER}
passwordeval cat {password}
""")  # fmt: skip
    return place.file("sendmail", f'#!/bin/sh\nexec msmtp -C {config} "$@"\n', 0o700)


def run(checks, place):
    certs = servers.certificates(place)
    batch = [one for one in letters.awkward() if not one.label.startswith("to ")]
    few = batch[::9]
    with servers.Exim(place, certs) as server:
        secure = {"way": "smtp", "ca_file": f"{certs}/ca.pem"} | servers.login(place)
        clear = {"way": "smtp", "server": f"smtp://127.0.0.1:{server.port['bare']}", "clear": "yes"}
        exim = {"way": "sendmail", "program": server.program(place)}
        msmtp = {"way": "sendmail", "program": relay(place, server, certs)}
        rows = [
            ("STARTTLS, AUTH PLAIN", batch, "maildir", "esmtpsa", secure | {"server": server.url("starttls")}),
            ("implicit TLS", few, "maildir", "esmtpsa", secure | {"server": server.url("implicit")}),
            ("AUTH LOGIN", few, "maildir", "esmtpsa", secure | {"server": server.url("login")}),
            ("AUTH CRAM-MD5", few, "maildir", "esmtpsa", secure | {"server": server.url("cram")}),
            ("in clear on the loopback", few, "maildir", "esmtp", clear),
            ("sendmail of exim", batch, "mbox", "local", exim),
            ("sendmail of msmtp", few, "mbox", "esmtpsa", msmtp),
        ]
        for n, (name, some, box, protocol, settings) in enumerate(rows):
            mine = [dataclasses.replace(one, garden=f"way-{n}", to=f"{box}@box.example") for one in some]
            boxes = server.in_maildir if box == "maildir" else server.in_mbox
            check_way(checks, place, name, mine, boxes, protocol, settings)
        check_refusals(checks, place, server, certs, few[0])
