"""Letters through a mail server of Debian's, read back from where it delivers them."""

import email
import mailbox
import os
import re

import frame
import letters
import servers

# What a server may write before a message: RFC 5321 4.4.
TRACE = re.compile(rb"(?:(?:Return-path|Received): [^\n]*\n(?:[ \t][^\n]*\n)*)*", re.IGNORECASE)


def to_box(letter, box):
    return letters.dataclasses.replace(letter, to=f"{box}@box.example")


def identity(message):
    return email.message_from_bytes(message)["message-id"]


def delivered(boxes, wanted):
    """Messages by Message-ID, as soon as all that are wanted are there."""
    found = {}

    def all_there():
        for bytes_ in boxes():
            found[identity(bytes_)] = bytes_
        return wanted <= found.keys()

    frame.wait_for(all_there)
    return found


def files_of(server):
    folder = os.path.join(server.maildir(), "new")
    for name in os.listdir(folder) if os.path.isdir(folder) else ():
        with open(os.path.join(folder, name), "rb") as f:
            yield f.read()


def box_of(server):
    if not os.path.exists(server.mbox()):
        return
    box = mailbox.mbox(server.mbox(), create=False)
    for key in box.keys():
        yield box.get_bytes(key)
    box.close()


def without_trace(message):
    return message[TRACE.match(message).end() :]


def envelope(message):
    msg = email.message_from_bytes(message)
    return msg["return-path"], re.findall(r"\bwith (\S+)", msg["received"] or "")


def login(place, password=servers.PASSWORD):
    return {"user": servers.USER, "password_file": place.file("password", password + "\n")}


def check_way(checks, place, name, batch, boxes, protocol, way, **settings):
    """Send all, then compare what came with what was written: byte for byte below the trace."""
    results = [(one.label, letters.post(place, one, way, **settings), ("sent", "")) for one in batch]
    checks.same(f"{name}, sent", results)
    wanted = [(one, letters.write(place, one, "lf")) for one in batch]
    there = delivered(boxes, {identity(m) for _, m in wanted})
    came = [(one, m, there.get(identity(m), b"")) for one, m in wanted]
    checks.same(f"{name}, bytes", ((one.label, without_trace(got), m) for one, m, got in came))
    checks.same(f"{name}, envelope", ((one.label, envelope(got), (f"<{one.sender}>", [protocol])) for one, _, got in came))


def check_refusals(checks, place, server, certs, one):
    """Nothing of these may arrive; (door, settings, result, words that have to be in the fault)."""
    ca = {"ca_file": f"{certs}/ca.pem"}
    known = ca | login(place)
    rows = [
        ("wrong CA, STARTTLS", "starttls", known | {"ca_file": f"{certs}/other-ca.pem"}, "later", "certificate"),
        ("wrong CA, implicit TLS", "implicit", known | {"ca_file": f"{certs}/other-ca.pem"}, "later", "certificate"),
        ("CA of the machine alone", "implicit", login(place), "later", "certificate"),
        ("certificate of another host", "misnamed", known, "later", "certificate"),
        ("certificate out of date", "outdated", known, "later", "certificate"),
        ("no STARTTLS", "bare", known, "later", "no STARTTLS"),
        ("no AUTH", "unopen", known, "later", "offers no authentication"),
        ("wrong password", "starttls", ca | login(place, "wrong"), "refused", "535"),
        ("nobody logged in", "starttls", ca, "refused", "log in first"),
        ("no such box", "starttls", known | {"box": "gone"}, "refused", "no such box"),
        ("box full", "starttls", known | {"box": "full"}, "later", "box is full"),
    ]
    for n, (name, door, settings, result, words) in enumerate(rows):
        letter = to_box(letters.dataclasses.replace(one, garden=f"refused-{n}"), settings.pop("box", "maildir"))
        got, why = letters.post(place, letter, "smtp", server=server.url(door), **settings)
        checks.same(f"{name}, {result}", [(why, (got, words in why), (result, True))])
    arrived = [m for m in files_of(server) if b".refused-" in m]
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
    batch = [to_box(one, "maildir") for one in letters.awkward() if one.label[:3] != "to "]
    few = batch[::9]
    boxed = [to_box(letters.dataclasses.replace(one, garden="boxed"), "mbox") for one in batch]
    relayed = [to_box(letters.dataclasses.replace(one, garden="relayed"), "mbox") for one in few]
    with servers.Exim(place, certs) as server:
        secure = {"ca_file": f"{certs}/ca.pem"} | login(place)

        def files():
            return files_of(server)

        def box():
            return box_of(server)

        check_way(
            checks, place, "STARTTLS, AUTH PLAIN", batch, files, "esmtpsa", "smtp", server=server.url("starttls"), **secure
        )  # fmt: skip
        for n, (name, door) in enumerate(
            (("implicit TLS", "implicit"), ("AUTH LOGIN", "login"), ("AUTH CRAM-MD5", "cram"))
        ):
            some = [letters.dataclasses.replace(one, garden=f"door-{n}") for one in few]
            check_way(checks, place, name, some, files, "esmtpsa", "smtp", server=server.url(door), **secure)
        some = [letters.dataclasses.replace(one, garden="clear") for one in few]
        clear = f"smtp://127.0.0.1:{server.port['bare']}"
        check_way(checks, place, "in clear on the loopback", some, files, "esmtp", "smtp", server=clear, clear="yes")
        check_way(checks, place, "sendmail of exim", boxed, box, "local", "sendmail", program=server.program(place))
        check_way(
            checks, place, "sendmail of msmtp", relayed, box, "esmtpsa", "sendmail", program=relay(place, server, certs)
        )  # fmt: skip
        check_refusals(checks, place, server, certs, few[0])
