"""Chances against scipy's normal distributions, frost dates against years of real lows, counted out here."""

import array
import csv
import datetime
import itertools
import math
import os
import random

import numpy as np
from scipy.stats import multivariate_normal, norm

WEATHER = "build/outside/data/weather.csv"
EPOCH = datetime.date(1970, 1, 1)
LINES_F = (36, 32, 28)
KINDS = ("too few", "never", "every month", "dated")

# Last low at or under 0 C of spring, first of autumn, worked out from the same file by another program.
PRINTED = {
    "Seattle": (["03-19", "03-04", "02-09", "03-04"], ["11-10", "11-21", "11-12", "11-23"]),
    "New York": (["03-27", "04-04", "04-16", "03-29"], ["11-06", "11-12", "11-15", "11-24"]),
}

# Fifth night of the first five in a row at 10 C or more, likewise.
REACHED = {
    "Seattle": ["06-14", "05-08", "05-17", "05-20"],
    "New York": ["05-05", "05-12", "05-08", "05-08"],
}


def ask(place, what, numbers):
    status, out, err = place.run(f"{place.build}/tests/outside/odds", what, stdin=array.array("d", numbers).tobytes())
    if status or err:
        raise RuntimeError(f"odds {what}: {status} {err}")
    return list(array.array("d", out))


def check_normal(checks, place):
    z = np.linspace(-37, 8, 2001)
    p = norm.cdf(z)
    got = np.array(ask(place, "normal", np.column_stack([z, p]).ravel())).reshape(-1, 3)
    checks.near("normal distribution, relative", got[:, 0] / p, np.ones_like(p), 1e-12, "of it", z)
    checks.near("its complement, relative", got[:, 1] / norm.sf(z), np.ones_like(p), 1e-12, "of it", z)
    low = p <= 0.5
    checks.near("its quantile", got[low, 2], norm.ppf(p[low]), 1e-11, "spreads", z[low])


def night_cases(count):
    """Invented runs of nights: (k, line, [(low, spread, rho)])."""
    dice = random.Random(20260522)
    for _ in range(count):
        n = dice.randint(2, 5)
        rho = dice.choice((-0.4, 0, 0.2, 0.35, 0.7, 0.9))
        nights = [(dice.uniform(6, 15), dice.uniform(1, 3.3), dice.choice((rho, 0.35))) for _ in range(n)]
        yield dice.randint(1, n), 10.0, nights


def counted(k, line, nights):
    """The same from the multivariate normal: the sum over all patterns with at least k nights over the line."""
    n = len(nights)
    low, spread, rho = (np.array(x) for x in zip(*nights, strict=True))
    corr = np.array([[math.prod(rho[min(i, j) + 1 : max(i, j) + 1]) for j in range(n)] for i in range(n)])
    at, total = (line - low) / spread, 0.0
    for over in itertools.product((False, True), repeat=n):
        if sum(over) < k:
            continue
        sign = np.where(over, -1.0, 1.0)  # z >= at is -z <= -at
        total += multivariate_normal.cdf(
            sign * at, mean=np.zeros(n), cov=corr * np.outer(sign, sign), maxpts=100000, abseps=1e-7, releps=1e-7
        )
    return total


def check_runs(checks, place):
    cases = list(night_cases(30))
    numbers = [x for k, line, nights in cases for x in (len(nights), k, line, *itertools.chain(*nights))]
    got = ask(place, "runs", numbers)
    labels = [f"{k} of {nights}" for k, _, nights in cases]
    checks.near("at least k of n nights", got, [counted(*case) for case in cases], 1e-5, "of 1", labels)


def lows(city):
    with open(WEATHER, encoding="utf-8", newline="") as f:
        return {
            datetime.date.fromisoformat(row["date"]): float(row["temp_min"])
            for row in csv.DictReader(f)
            if row["location"] == city
        }


def frost_days(days, line_f):
    """Of each year the last day of January to July and the first of August to December, in the file's tenths C."""
    line = math.trunc((line_f - 32) / 1.8 * 10) / 10
    for year in sorted({d.year for d in days}):
        cold = [d for d, low in days.items() if d.year == year and low <= line + 1e-9]
        yield max((d for d in cold if d.month <= 7), default=None), min((d for d in cold if d.month > 7), default=None)


def day_of_365(date):
    return (date.replace(year=2001) if (date.month, date.day) != (2, 29) else datetime.date(2001, 2, 28)).timetuple().tm_yday


def as_days(dates):
    return sorted(day_of_365(datetime.date.fromisoformat(f"2001-{d}")) for d in dates)


def sides(numbers):
    """What `odds frost` prints: of each line its kind, then (years, days) of spring and of autumn."""
    numbers = iter(numbers)
    for kind in numbers:
        found = []
        for _ in range(2):
            years, n = int(next(numbers)), int(next(numbers))
            found.append((years, [int(next(numbers)) for _ in range(n)]))
        yield KINDS[int(kind)], found


def check_frost(checks, place):
    for city, printed in PRINTED.items():
        days = lows(city)
        pairs = list(itertools.chain(*(((d - EPOCH).days, low) for d, low in days.items())))
        got = list(sides(ask(place, "frost", [0.0, *pairs])))
        want = []
        for line in LINES_F:
            spring, autumn = zip(*frost_days(days, line), strict=True)
            want.append([(len(s), sorted(day_of_365(d) for d in s if d)) for s in (spring, autumn)])
        checks.same(
            f"frost dates of {city}, 2012-15", ((f"{f} F", g, w) for f, (_, g), w in zip(LINES_F, got, want, strict=True))
        )
        checks.same(f"four years of {city} are too few", ((f"{f} F", k, "too few") for f, (k, _) in zip(LINES_F, got)))
        told = [as_days(side) for side in printed]
        checks.same(f"the dates of {city} as known", [("0 C", [days for _, days in got[1][1]], told)])
        got = ask(place, "reach", [0.0, 10.0, 5.0, *pairs])
        checks.same(f"five nights of 10 C at {city}", [("days", got, [4, 4, *as_days(REACHED[city])])])


def run(checks, place):
    check_normal(checks, place)
    check_runs(checks, place)
    if not os.path.exists(WEATHER):
        checks.broken("frost dates", f"{WEATHER} is not there")
        return
    check_frost(checks, place)
