"""Whole mornings of the demo's invented garden: `dewpost morning` sends, and what arrives is the note of its outbox."""

import contextlib
import email
import email.policy
import os
import shutil
import sqlite3

import servers

FIXTURES = "fixtures/demo"
AT = ("--at", "2026-05-19T05:17:00-05:00")
SENT = 2  # enum letter_state
UNAVAILABLE = 69  # sysexits.h
BOXES = ("maildir@box.example", "mbox@box.example")


class Garden:
    """A home folder with the demo's garden, its three days of forecasts, and a way for the mail."""

    def __init__(self, place, name, mail):
        self.place, self.home = place, place.folder(name)
        config = shutil.copytree(f"{FIXTURES}/config", os.path.join(self.home, ".config"))
        self.file = os.path.join(config, "dewpost/garden.ini")
        with open(self.file, encoding="utf-8") as f:
            self.plain = f.read()
        self.mail = {"from": "garden@example.org", "to": BOXES, **mail}
        self.write()
        for day in (17, 18, 19):
            told = self.dewpost(
                "fetch", "--answer", f"{FIXTURES}/answer-2026-05-{day}.json", "--at", f"2026-05-{day}T04:10:00-05:00"
            )
            if told[0] != 0:
                raise OSError(f"no record: {told}")

    def write(self, **changed):
        self.mail.update(changed)
        lines = ["[mail]"]
        for key, value in self.mail.items():
            lines += [f"{key} = {v}" for v in ([value] if isinstance(value, str) else value)]
        with open(self.file, "w", encoding="utf-8") as f:
            f.write("\n".join([self.plain, *lines, ""]))

    def dewpost(self, *args):
        return self.place.run("dewpost", *args, home=self.home)

    def morning(self, *more):
        return self.dewpost("morning", "--offline", *AT, *more)

    def outbox(self):
        """{recipient: (subject, text)} of what is sent, and how many letters there are in all."""
        with contextlib.closing(sqlite3.connect(f"{self.home}/.local/state/dewpost/record.db")) as db:
            rows = db.execute("SELECT way, subject, text, state FROM letter").fetchall()
        return {way: (subject, text) for way, subject, text, state in rows if state == SENT}, len(rows)


def read(raw):
    """(recipient, (subject, text)) of a message that arrived."""
    msg = email.message_from_bytes(raw, policy=email.policy.SMTP.clone(raise_on_defect=True))
    return str(msg["to"]), (msg["subject"], msg.get_payload(decode=True).replace(b"\r\n", b"\n").decode())


def check_once(checks, name, garden, boxes):
    """The morning's run mails, a second one has nothing to do; what arrived is what the outbox says."""
    runs = [garden.morning() for _ in range(2)]
    ends = [(f"run {n}", (status, out), (0, b"")) for n, (status, out, _) in enumerate(runs)]
    checks.same(f"{name}, run twice, quietly", ends)
    _, shown, _ = garden.morning("--print")
    kept, _ = garden.outbox()
    came = [read(raw) for raw in boxes()]
    checks.same(f"{name}, once to each", [("mails", sorted(to for to, _ in came), sorted(BOXES))])
    checks.same(f"{name}, as in the outbox", ((to, dict(came).get(to), kept.get(to)) for to in BOXES))
    checks.same(f"{name}, as shown on the screen", ((to, text, shown.decode()) for to, (_, text) in came))


def check_second_try(checks, place, certs):
    """What the first run could not send is sent by the next, once."""
    with servers.Exim(place, certs) as server:
        other = {"way": "smtp", "server": server.url("starttls"), "ca_file": f"{certs}/other-ca.pem"}
        garden = Garden(place, "second", other | servers.login(place))
        status, _, err = garden.morning()
        checks.same("wrong CA, nothing sent", [(err, (status, garden.outbox()), (UNAVAILABLE, ({}, len(BOXES))))])
        garden.write(ca_file=f"{certs}/ca.pem")
        check_once(checks, "then the right CA", garden, server.in_both)


def run(checks, place):
    certs = servers.certificates(place)
    for name, door in (("STARTTLS", "starttls"), ("implicit TLS", "implicit")):
        with servers.Exim(place, certs) as server:
            mail = {"way": "smtp", "server": server.url(door), "ca_file": f"{certs}/ca.pem"} | servers.login(place)
            check_once(checks, name, Garden(place, "smtp", mail), server.in_both)
    with servers.Exim(place, certs) as server:
        garden = Garden(place, "sendmail", {"way": "sendmail", "program": server.program(place)})
        check_once(checks, "sendmail", garden, server.in_both)
    folder = os.path.join(place.folder("maildir"), "box")
    garden = Garden(place, "maildir", {"way": "maildir", "folder": folder})
    check_once(checks, "maildir", garden, lambda: servers.messages_in(folder))
    check_second_try(checks, place, certs)
