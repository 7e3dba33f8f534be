"""A real year through `dewpost import`, `hours` and `degrees`."""

import datetime
import re

import numpy as np

import year

BASE_C, CAP_C = 8.0, 32.0  # zucchini in config/crops.ini
HOURS_ENOUGH = 20
TALLY = ("days_with_all_hours", "days_with_hours_filled", "days_missing")
# `hours` prints six digits: half a unit of the last of them, of the largest value there is.
PRINTED = {
    "air_temperature": (5.1e-5, "C"),
    "relative_humidity": (5.1e-7, "of 1"),
    "wind_speed": (5.1e-5, "m/s"),
    "precipitation_amount": (5.1e-5, "mm"),
}
MORNINGS = [f"2013-{month:02}-04T12:00:00Z" for month in range(2, 13)] + ["2013-12-30T12:00:00Z"]


def number(pattern, words):
    found = re.search(pattern, words)
    return int(found[1].replace(",", "")) if found else 0


def gaps(known):
    """Runs of missing hours between the first and the last."""
    return int((np.diff(np.flatnonzero(known)) > 1).sum())


def reported(of, said):
    """(what, as import says it, as the package has it)"""
    rows, clock = of.rows, ["year", "month", "day", "hour"]
    named = number(r"nothing from .*? and (\d+) more", said)
    listed = len(re.findall(r"\d{4}-\d\d-\d\dT[\d:]+Z \([\d,]+ hours?\)", said))
    known = np.zeros(of.n, bool)
    known[0] = True  # the rain of the hour before
    known[(of.at - year.FIRST) // year.HOUR_S] = True
    yield "rows", number(r"([\d,]+) lines read", said), len(rows)
    yield "twice", number(r"(\d+) rows at clock times that occur twice", said), int(rows.duplicated(clock, False).sum())
    yield "missing", number(r"([\d,]+) values? (?:is|are) missing", said), int(
        rows[["temp", "humid", "wind_speed", "precip"]].isna().sum().sum()
    )
    yield "out of range", number(r"([\d,]+) values? (?:is|are) out of range", said), int(
        (rows.wind_speed * year.MPH_MS > year.WIND_MOST_MS).sum()
    )
    yield "gaps", listed + named, gaps(known)
    for name in year.COLUMNS:
        yield name, number(rf"{name}: ([\d,]+)", said), int(np.isfinite(getattr(of, name)).sum())


def rates(air):
    return np.clip(air, BASE_C, CAP_C) - BASE_C


def days_of(of):
    """{civil day: the air temperatures of its hours, NaN where missing}; whole days only."""
    instants = of.instants()
    day = year.local_days(instants)
    return {int(d): of.air_temperature[day == d] for d in np.unique(day)[1:-1]}


def tally(air):
    """Which of the counts a day of these hours belongs to."""
    known = np.isfinite(air).sum()
    return TALLY[0 if known == len(air) else 1 if known >= HOURS_ENOUGH else 2]


def by_hours(air):
    known = air[np.isfinite(air)]
    return rates(known).mean() * len(air) / 24 if len(known) >= HOURS_ENOUGH else np.nan


def by_sine(air, integrate):
    """One sine from low to high, its rate integrated over the angle, piece by piece between where it bends."""
    known = air[np.isfinite(air)]
    if len(known) < HOURS_ENOUGH:
        return np.nan
    mean, half = (known.max() + known.min()) / 2, (known.max() - known.min()) / 2
    bends = [np.arcsin((line - mean) / half) for line in (BASE_C, CAP_C) if half > 0 and abs(line - mean) < half]
    edges = [-np.pi / 2, *sorted(bends), np.pi / 2]
    part = sum(
        integrate.quad(lambda x: rates(mean + half * np.sin(x)), a, b, epsabs=1e-13, epsrel=1e-13)[0]
        for a, b in zip(edges, edges[1:])
    )
    return part / np.pi


def degree_days(checks, of, garden):
    from scipy import integrate

    days = days_of(of)
    first = datetime.date(2013, 1, 3).toordinal()
    hourly = {d: by_hours(a) for d, a in days.items() if d >= first}
    sine = {d: by_sine(a, integrate) for d, a in days.items() if d >= first}
    told = [garden.degrees(morning) for morning in MORNINGS]
    until = [datetime.date.fromisoformat(m[:10]).toordinal() for m in MORNINGS]
    sums = {name: [np.nansum([v for d, v in dd.items() if d < u]) for u in until] for name, dd in
            (("by-hours", hourly), ("by-sine", sine))}  # fmt: skip
    for name, limit in (("by-hours", 1e-9), ("by-sine", 1e-9)):
        got = [t[name]["degree_days_known_c"] for t in told]
        checks.near(f"{of.airport} degree days {name}", got, sums[name], limit, "C-days", MORNINGS)
    for name in TALLY:
        held = [t["by-hours"][name] for t in told]
        want = [sum(tally(days[d]) == name for d in hourly if d < u) for u in until]
        checks.same(f"{of.airport} {name}, at last {want[-1]}", zip(MORNINGS, held, want))
    last = told[-1]
    share = last["by-sine"]["degree_days_known_c"] / last["by-hours"]["degree_days_known_c"]
    checks.near(f"{of.airport} year by single sine, of that by hours", [share], [1.0], 0.1, "of 1")


def run(checks, place):
    for of in map(year.at, year.AIRPORTS):
        garden = year.Garden(place, of)
        said = list(reported(of, garden.said))
        told = ", ".join(f"{got} {what}" for what, got, _ in said)
        checks.same(f"{of.airport} import says what is there: {told}", said)
        told = garden.hours()
        where = (told["time"] - year.FIRST) // year.HOUR_S
        for name, (limit, unit) in PRINTED.items():
            checks.near(f"{of.airport} {name}", told[name], getattr(of, name)[where], limit, unit, told["local"])
        degree_days(checks, of, garden)
