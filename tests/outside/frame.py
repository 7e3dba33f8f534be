"""Checks, counted and told in one line each; and where things are.

A check is over many cases: it holds where all of them do.  Its line says "same",
or the largest difference; the cases that are wrong stand below it.
"""

import concurrent.futures
import itertools
import math
import os
import subprocess
import time

SHOWN = 5  # wrong cases that are printed of one check


class Checks:
    def __init__(self):
        self.passed = self.failed = 0

    def _tell(self, name, told, wrong):
        if wrong:
            self.failed += 1
        else:
            self.passed += 1
        print(f"{'FAIL' if wrong else 'ok  '} {name}: {told}", flush=True)
        for line in wrong[:SHOWN]:
            print(f"       {line}")
        if len(wrong) > SHOWN:
            print(f"       and {len(wrong) - SHOWN} more")

    def same(self, name, cases):
        """cases: (label, what we have, what is right), at least one."""
        cases = list(cases)
        wrong = [f"{label}: {got!r}, not {want!r}" for label, got, want in cases if got != want]
        if not cases:
            wrong = ["nothing was compared"]
        told = f"{len(wrong)} of {len(cases)} differ" if wrong else f"same ({len(cases)})"
        self._tell(name, told, wrong)

    def near(self, name, got, want, limit, unit, labels=None):
        """Numbers of ours against theirs, within a limit; NaN is near NaN alone."""
        got, want = list(got), list(want)
        labels = range(len(want)) if labels is None else labels
        wrong, most = [], 0.0
        if not want or len(got) != len(want):
            wrong.append(f"{len(got)} numbers against {len(want)}")
        for label, g, w in zip(labels, got, want, strict=len(got) == len(want)):
            off = 0.0 if math.isnan(g) and math.isnan(w) else abs(g - w)
            most = math.inf if math.isnan(off) else max(most, off)
            if not off <= limit:
                wrong.append(f"{label}: {g!r}, not {w!r}")
        self._tell(name, f"largest difference {most:.3g} {unit}, allowed {limit:g} ({len(want)})", wrong)

    def broken(self, name, words):
        """A check that could not be made is one that failed."""
        self._tell(name, "could not be made", words.splitlines()[-SHOWN:])


class Place:
    """The tree, the build, and a folder for what a run needs, which goes away with it."""

    def __init__(self, build, work):
        self.build, self.work = os.path.abspath(build), work
        self._number = itertools.count(1)

    def folder(self, name):
        path = os.path.join(self.work, f"{name}-{next(self._number)}")
        os.mkdir(path)
        return path

    def file(self, name, text, mode=0o600):
        path = os.path.join(self.folder("file"), name)
        with open(os.open(path, os.O_WRONLY | os.O_CREAT, mode), "wb") as f:
            f.write(text.encode())
        return path

    def run(self, *args, stdin=b"", home=None):
        """A program to its end: status, standard output, standard error."""
        env = dict(os.environ, HOME=home or self.work, LC_ALL="C", PATH=f"{self.build}:{os.environ['PATH']}")
        for name in list(env):
            if name.startswith("XDG_") or name.lower().endswith("_proxy") or name in ("TZ", "MBLAZE"):
                del env[name]
        done = subprocess.run(args, input=stdin, capture_output=True, env=env, timeout=60, check=False)
        return done.returncode, done.stdout, done.stderr


def each(do, items):
    """The results of do(item), several at a time: what is done is waiting for programs."""
    with concurrent.futures.ThreadPoolExecutor(4) as pool:
        return list(pool.map(do, items))


def wait_for(what, seconds=20):
    """What `what()` returns, as soon as that is something; None where nothing comes."""
    end = time.monotonic() + seconds
    while True:
        found = what()
        if found or time.monotonic() > end:
            return found or None
        time.sleep(0.02)
