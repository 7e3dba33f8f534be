"""Messages as Python's email package reads them, and by the letter of the standards."""

import datetime
import email
import email.header
import email.policy
import email.utils
import re

import letters

GENERATED = 400

# RFC 2045 6.7, rules 1 to 3 and 5, of one line without its end.
QUOTED = re.compile(rb"(?:[!-<>-~]|=[0-9A-F]{2}|[ \t](?!$)){0,76}|(?:[!-<>-~ \t]|=[0-9A-F]{2}){0,75}=")


def read(message):
    return email.message_from_bytes(message, policy=email.policy.SMTP.clone(raise_on_defect=True))


def named_address(message):
    """Name and address of From, by email's older reader: the newer one of Python 3.11 keeps the blank between two
    encoded words of a name, which RFC 2047 6.2 has it drop."""
    name, address = email.utils.parseaddr(email.message_from_bytes(message)["from"])
    return str(email.header.make_header(email.header.decode_header(name))), address


def defects(msg):
    found = list(msg.defects)
    for _, value in msg.items():
        found += value.defects
    return found


def body_lines(message):
    return message.split(b"\r\n\r\n", 1)[1].split(b"\r\n")


def line_faults(message):
    """What RFC 5322 2.1 and 2.3 and RFC 2047 2 forbid, seen on the bytes alone."""
    head = message.split(b"\r\n\r\n", 1)[0].split(b"\r\n")
    faults = []
    if message.replace(b"\r\n", b"").translate(None, delete=bytes(c for c in range(128) if c not in b"\r\n\0")):
        faults.append("a lone CR or LF, NUL, or a byte of 8 bits")
    if not message.endswith(b"\r\n"):
        faults.append("the last line has no end")
    if max(map(len, message.split(b"\r\n"))) > 998:
        faults.append("a line of more than 998")
    if any(len(line) > 76 and b"=?" in line for line in head):
        faults.append("a line of more than 76 with an encoded word")
    if any(len(line) > 78 and b" " in line.lstrip(b" ").split(b": ", 1)[-1] for line in head):
        faults.append("a line of more than 78 that could be folded")
    if any(not line.strip(b" \t") for line in head):
        faults.append("a folded line of blanks alone")
    return faults


def body_faults(message):
    lines = body_lines(message)
    faults = [f"{line[:20]!r} may be changed on its way" for line in lines if re.match(rb"\.|From ", line)]
    faults += [f"{line[-20:]!r} ends with a blank" for line in lines if line.endswith((b" ", b"\t"))]
    if b"Content-Transfer-Encoding: quoted-printable" in message:
        faults += [f"{line!r} is no quoted-printable" for line in lines if not QUOTED.fullmatch(line)]
    return faults


def headers(letter, message, msg):
    """(what, as read, as meant)"""
    to = msg["to"].addresses
    when = datetime.datetime.fromtimestamp(letter.at, letter.zone)
    yield "the fields and no others", sorted(msg.keys()), sorted([
        "Date", "From", "To", "Subject", "Message-ID", "MIME-Version", "Content-Type", "Content-Transfer-Encoding",
        "Auto-Submitted",
    ])  # fmt: skip
    yield "From", [a.addr_spec for a in msg["from"].addresses], [letter.sender]
    yield "From decoded", named_address(message), (letter.name, letter.sender)
    yield "To", [(a.display_name, a.addr_spec) for a in to], [("", letter.to)]
    yield "Date", (msg["date"].datetime, msg["date"].datetime.utcoffset()), (when, when.utcoffset())
    yield "Auto-Submitted", msg["auto-submitted"], "auto-generated"
    yield "MIME-Version", msg["mime-version"], "1.0"
    yield "Content-Type", (msg.get_content_type(), msg.get_content_charset()), ("text/plain", "utf-8")


def identified(letter, msg):
    domain = re.escape(letter.sender.partition("@")[2])
    wanted = rf"<{letter.day.replace('-', '')}\.{letter.garden}\.[0-9a-f]{{8}}@{domain}>"
    return bool(re.fullmatch(wanted, msg["message-id"]))


def run(checks, place):
    batch = letters.awkward() + list(letters.generated(GENERATED))
    written = letters.write_all(place, batch)
    parsed = [(one, read(message)) for one, message in written]
    fields = [(one.label, *row) for (one, m), (_, msg) in zip(written, parsed) for row in headers(one, m, msg)]
    checks.same("no defect for a strict reader", ((one.label, defects(msg), []) for one, msg in parsed))
    checks.same("lines by the standards", ((one.label, line_faults(m), []) for one, m in written))
    checks.same("body proof against its way", ((one.label, body_faults(m), []) for one, m in written))
    for what in dict.fromkeys(row[1] for row in fields):
        checks.same(what, ((label, got, want) for label, name, got, want in fields if name == what))
    checks.same("Subject decoded", ((one.label, msg["subject"], one.subject) for one, msg in parsed))
    checks.same("Message-ID of its form", ((one.label, identified(one, msg), True) for one, msg in parsed))
    ids = {msg["message-id"] for _, msg in parsed}
    names = {(one.day, one.garden, one.to, one.sender, one.kind) for one in batch}
    checks.same("one Message-ID a letter", [("letters", len(ids), len(names))])
    checks.same(
        "body decoded",
        ((one.label, msg.get_payload(decode=True).replace(b"\r\n", b"\n"), one.note) for one, msg in parsed),
    )
    unix = letters.write_all(place, batch[:100], "lf")
    checks.same(
        "with LF but for its line ends the same",
        ((one.label, got, m.replace(b"\r\n", b"\n")) for (one, got), (_, m) in zip(unix, written)),
    )
