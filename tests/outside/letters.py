"""Letters to be written and sent: what they say, and our program that does it.

All names and texts are invented.  The awkward ones come first, then many made by a
generator of fixed start, so that a run can be repeated.
"""

import dataclasses
import datetime
import os
import random

import frame

SPRING = 1779185820  # 2026-05-19 10:17 UTC

SUBJECTS = {
    "plain": "Cover the bed tonight",
    "degree sign": "Cover south tonight: 3 °C",
    "empty": "",
    "76 columns": "s" * 67,
    "77 columns": "s" * 68,
    "long": "Cover the south bed, the north bed and the frames " * 8 + "tonight",
    "long UTF-8": "Zucchini ½ kühl – pěstitel żółć ἄνθος 育てる 🥒 " * 6 + "x",
    "an encoded word in it": "=?UTF-8?Q?not_one?= of ours",
    "half an encoded word": "what is =? that ?=",
    "blanks at its ends": "  two blanks  ",
    "blanks within": "one  two   three    é  four",
    "signs": 'a=b_c?d "e" <f> (g), h; i: j \\ k @ l',
    "underscores": "_a_b_ é",
    "right to left": "שלום abc",
    "one long word": "é" * 200,
    "joined emoji": "👩‍🌾🏳️‍🌈 in the garden",
}

NAMES = {
    "none": "",
    "plain": "Quarry Lane",
    "quotes": 'The "big" garden',
    "backslash": "back\\slash\\",
    "comma": "Lane, Quarry",
    "brackets": "Lane <quarry@elsewhere.example>",
    "comment": "Lane (west)",
    "dots": "Q. Lane & Sons.",
    "colon and semicolon": "group: a, b;",
    "UTF-8": "Gärtnerei Žluťoučký kůň",
    "UTF-8 with signs": 'Gärtner, "der" <große> (hier)',
    "long": "Quarry Lane and Hill Road " * 3,
    "long UTF-8": "Grüne Straße " * 5,
    "blanks": " Lane ",
    "encoded word": "=?utf-8?B?cXVhcnJ5?=",
    "quote alone": '"',
}

ADDRESSES = (
    "grower@example.org",
    "o'grady+garden=note@sub.example.org",
    "a!#$%&*/?^_`{|}~-z@example.org",
    "x" * 64 + "@" + "d" * 63 + "." + "d" * 63 + "." + "d" * 53 + ".example",
)

BODIES = {
    "plain": "Cover the bed.\n\n1 WAIT.\n",
    "empty": "",
    "no last line end": "one\ntwo",
    "blank lines": "\n\n\none\n\n\n",
    "degree sign": "Tonight 3 °C, tomorrow 11 °C.\n",
    "dots": ".\n..\n.x\n...\n",
    "dots with UTF-8": ".\n..é\n.\n",
    "From lines": "From the south\n>From here\nFrom \nfrom\nFrom é\n",
    "trailing blanks": "one \ntwo\t\nthree  \t \n \n\t\nend ",
    "998 columns": "x" * 998 + "\n",
    "999 columns": "x" * 999 + "\n",
    "long": "long line " * 500 + "\n",
    "long UTF-8": "🥒é" * 900 + "\n",
    "equals signs": "a=3D\n=\n==\n=20\na=\n",
    "76 and more": "".join("y" * n + "\n" for n in range(70, 82)),
    "76 and more, ends wide": "".join("y" * n + "é\n" for n in range(68, 80)),
    "dot after a soft end": "".join("y" * n + "." * 9 + "é\n" for n in range(66, 80)),
    "From after a soft end": "".join("y" * n + "From é\n" for n in range(66, 80)),
    "blank before a soft end": "".join("y" * n + "    é\n" for n in range(66, 80)),
    "controls": "bell \x07 delete \x7f escape \x1b[1m form \x0c lone \r return\n",
    "separators": "one\u0085two\u2028three\u2029four\x0bfive\n",
    "marks": "\ufeffmark first\n",
    "boundary": "--\n-- \n--boundary\nContent-Type: text/html\n\n<b>x</b>\n",
    "header": "Subject: another\nBcc: all@example.org\n\n",
    "every byte of ASCII": "".join(chr(c) for c in range(1, 128) if c not in (10, 13)) + "\n",
}


@dataclasses.dataclass(frozen=True)
class Letter:
    label: str
    sender: str = "garden@example.org"
    to: str = ADDRESSES[0]
    name: str = "Quarry Lane"
    subject: str = SUBJECTS["plain"]
    body: str = BODIES["plain"]
    at: int = SPRING
    offset: int = -5 * 3600
    garden: str = "quarry-lane"
    kind: str = "morning"

    @property
    def zone(self):
        return datetime.timezone(datetime.timedelta(seconds=self.offset))

    @property
    def day(self):
        return datetime.datetime.fromtimestamp(self.at, self.zone).date().isoformat()

    @property
    def note(self):
        """The note as it has to arrive: a mail's last line always has an end."""
        text = self.body if self.body.endswith("\n") else self.body + "\n"
        return text.encode()

    def arguments(self):
        return [
            f"from={self.sender}", f"to={self.to}", f"from_name={self.name}", f"subject={self.subject}",
            f"at={self.at}", f"offset={self.offset}", f"day={self.day}", f"garden={self.garden}", f"kind={self.kind}",
        ]  # fmt: skip


def awkward():
    """One thing awkward at a time; each on a day of its own, so that each has its own Message-ID."""
    made = [("subject " + k, {"subject": v}) for k, v in SUBJECTS.items()]
    made += [("name " + k, {"name": v[:79]}) for k, v in NAMES.items()]
    made += [("to " + v[:20], {"to": v}) for v in ADDRESSES]
    made += [("from " + v[:20], {"sender": v}) for v in ADDRESSES]
    made += [("body " + k, {"body": v}) for k, v in BODIES.items()]
    made += [(f"offset {s}", {"offset": s}) for s in (-12 * 3600, -34200, 0, 20700, 14 * 3600)]
    return [Letter(label, at=SPRING + 2 * 86400 * n, **kw) for n, (label, kw) in enumerate(made)]


def random_text(dice, length, more=""):
    kinds = (
        "abcdefghijklmnopqrstuvwxyz ", " .=_?\"\\<>(),;:@'-", "éüß°½–", "育てる花ἄ", "🥒👩‍🌾", more or "Z",
    )  # fmt: skip
    weights = dice.choice(([20, 4, 1, 0, 0, 3], [4, 1, 4, 3, 2, 1], [1, 8, 0, 0, 0, 4], [0, 0, 0, 1, 1, 0]))
    return "".join(dice.choice(dice.choices(kinds, weights)[0]) for _ in range(length))


def generated(n):
    dice = random.Random(20260519)
    for i in range(n):
        name = random_text(dice, dice.randrange(40)).encode()[:79].decode(errors="ignore")
        yield Letter(
            f"generated {i}",
            name=name,
            to=dice.choice(ADDRESSES),
            subject=random_text(dice, dice.choice((5, 40, 66, 67, 68, 69, 150))),
            body=random_text(dice, dice.randrange(600), "\n\n\t\t .FF"),
            at=dice.randrange(2**31),
            offset=60 * dice.randrange(-720, 840),
            garden=f"garden-{i}",
            kind=dice.choice(("morning", "evening")),
        )


def program(place):
    return os.path.join(place.build, "tests/outside/letter")


def write(place, letter, ends="crlf"):
    """The message as bytes."""
    status, out, _ = place.run(program(place), "write", f"ends={ends}", *letter.arguments(), stdin=letter.body.encode())
    if status != 0:
        raise ValueError(f"{letter.label}: {out.decode()}")
    return out


def write_all(place, batch, ends="crlf"):
    return list(zip(batch, frame.each(lambda one: write(place, one, ends), batch)))


def post(place, letter, **settings):
    """("sent", "") or what else became of it, and why; settings as in [mail] of a garden file."""
    given = [f"{key}={value}" for key, value in settings.items()]
    _, out, _ = place.run(program(place), "post", *given, *letter.arguments(), stdin=letter.body.encode())
    result, _, why = out.decode().partition("\n")
    return result, why.strip()


def post_all(checks, name, place, batch, **settings):
    """Each has to go."""
    results = frame.each(lambda one: post(place, one, **settings), batch)
    checks.same(name, ((one.label, got, ("sent", "")) for one, got in zip(batch, results)))
