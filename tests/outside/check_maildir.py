"""A Maildir that we wrote, as Python's mailbox module and a mail reader of Debian's find it."""

import email
import email.policy
import mailbox
import os
import re
import stat

import frame
import letters


def names(folder, sub):
    return sorted(os.listdir(os.path.join(folder, sub)))


def modes(folder):
    for path, _, files in os.walk(folder):
        yield path, oct(stat.S_IMODE(os.stat(path).st_mode)), "0o700"
        for name in files:
            yield name, oct(stat.S_IMODE(os.stat(os.path.join(path, name)).st_mode)), "0o600"


def by_identity(box):
    """Key, message and bytes of each, by Message-ID."""
    for key in box.keys():
        raw = box.get_bytes(key)
        yield email.message_from_bytes(raw)["message-id"], (key, box.get_message(key), raw)


def reader(place, *command):
    status, out, err = place.run(*command)
    return out if status == 0 and not err else (status, err)


def check_reader(checks, place, folder, written):
    """The same by mblaze: it lists what is unseen, and decodes header and body by itself."""
    listed = reader(place, "mlist", "-N", folder).decode().splitlines()
    checks.same("mblaze lists all as new", [("messages", len(listed), len(written))])
    ids = frame.each(lambda path: reader(place, "mhdr", "-h", "message-id", path).decode().strip(), listed)
    by_id = dict(zip(ids, listed))
    cases = [(one, by_id.get(email.message_from_bytes(raw)["message-id"], "none")) for one, raw in written]
    plain = [(one, path) for one, path in cases if one.subject.strip() and not re.search("[\0-\x1f]", one.subject)]
    subjects = frame.each(lambda case: reader(place, "mhdr", "-d", "-h", "subject", case[1]), plain)
    checks.same(
        "mblaze decodes the subject",
        ((one.label, got, (one.subject + "\n").encode()) for (one, _), got in zip(plain, subjects)),
    )
    bodies = frame.each(lambda case: reader(place, "mshow", "-O", case[1], "1"), cases)
    checks.same("mblaze decodes the body", ((one.label, got, one.note) for (one, _), got in zip(cases, bodies)))


def run(checks, place):
    folder = os.path.join(place.folder("maildir"), "made/by/us")
    batch = letters.awkward() + list(letters.generated(30))
    written = letters.write_all(place, batch, "lf")
    letters.post_all(checks, "put", place, batch, way="maildir", folder=folder)
    checks.same("folders", [("names", sorted(os.listdir(folder)), ["cur", "new", "tmp"])])
    checks.same("nothing left in tmp, nothing in cur", [(sub, names(folder, sub), []) for sub in ("tmp", "cur")])
    checks.same("a file of its own for each", [("files", len(names(folder, "new")), len(batch))])
    safe = re.compile(r"[0-9]+\.[A-Za-z0-9.=_+-]+")
    checks.same("names fit for a Maildir", ((n, bool(safe.fullmatch(n)), True) for n in names(folder, "new")))
    checks.same("nobody else may read", modes(folder))

    box = mailbox.Maildir(folder, create=False)
    found = dict(by_identity(box))
    rows = [(one, raw, *found[email.message_from_bytes(raw)["message-id"]]) for one, raw in written]
    checks.same("mailbox finds the bytes", ((one.label, got, raw) for one, raw, _, _, got in rows))
    states = [(one.label, (m.get_subdir(), m.get_flags()), ("new", "")) for one, _, _, m, _ in rows]
    checks.same("new and without flags", states)
    check_reader(checks, place, folder, written)

    letters.post_all(checks, "put once more", place, batch[:5], way="maildir", folder=folder)
    checks.same("and still one of each", [("files", len(names(folder, "new")), len(batch))])
    _, _, key, message, _ = rows[0]
    message.add_flag("S")
    message.set_subdir("cur")
    box[key] = message
    there = [len(names(folder, sub)) for sub in ("cur", "new")]
    checks.same("a reader may move one to cur", [("cur, new", there, [1, len(batch) - 1])])
