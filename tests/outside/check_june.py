"""The real June of 2013 at three New York airports, morning by morning, with a forecast that knew what came: an ordinary
June has two COVER lines at most.  Nobody reported the sky, so each night counts as clear: more covers, not fewer."""

import datetime
import json
import math
import os

import year

LINES = 2
DAY_S, BEFORE_DAYS, AHEAD_DAYS = 86400, 10, 8
OFFSET_S = -4 * year.HOUR_S  # their summer time

SOURCE = """\
[source]
title = what came (a test's own)
credit = Hours as they came.

[step forecast]
url = http://127.0.0.1:1/hours?lat={lat}&lon={lon}

[data]
step = forecast
past = analysed
updated = /made
max_age = PT18H
times = /stamp
time_format = unix

[var air_temperature]
values = /air
unit = degC
kind = instant

[var relative_humidity]
values = /damp
unit = 1
kind = instant

[var wind_speed]
values = /wind
unit = m/s
kind = instant
"""

GARDEN = """\
[garden]
id = june
name = June
latitude = {latitude!r}
longitude = {longitude!r}
elevation = {elevation:.0f} ft
timezone = {zone}
units = us
source = came
contact = grower@example.org
"""

PLANTED = {"zucchini": 9, "winter-squash": 9, "tomato": 15, "pepper": 12, "cucumber": 5, "basil": 12}


class Season:
    """A garden planted some days before the first morning, and its notes."""

    def __init__(self, place, of, first):
        self.place, self.of, self.home = place, of, place.folder("june")
        config = os.path.join(self.home, ".config/dewpost")
        os.makedirs(f"{config}/sources")
        with open(f"{config}/sources/came.ini", "w", encoding="utf-8") as f:
            f.write(SOURCE)
        with open(f"{config}/garden.ini", "w", encoding="utf-8") as f:
            f.write(
                GARDEN.format(latitude=of.latitude, longitude=of.longitude, elevation=of.feet, zone=year.ZONE)
            )
            for crop, days in PLANTED.items():
                planted = first - datetime.timedelta(days)
                sown = planted - datetime.timedelta(35)
                f.write(f"\n[planting {crop}-1]\ncrop = {crop}\nsown = {sown} indoors\nplanted = {planted}\n")

    def answer(self, made):
        hours = range(made - BEFORE_DAYS * DAY_S, made + AHEAD_DAYS * DAY_S, year.HOUR_S)
        at = [(t - year.FIRST) // year.HOUR_S for t in hours]

        def column(series):
            return [None if math.isnan(series[i]) else round(float(series[i]), 4) for i in at]

        return json.dumps(
            {
                "made": datetime.datetime.fromtimestamp(made, datetime.timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ"),
                "stamp": list(hours),
                "air": column(self.of.air_temperature),
                "damp": column(self.of.relative_humidity),
                "wind": column(self.of.wind_speed),
            }
        )

    def note(self, day):
        """The lines of the note of a morning, as JSON has them."""
        midnight = int(datetime.datetime(day.year, day.month, day.day, tzinfo=datetime.timezone.utc).timestamp())
        made = midnight - OFFSET_S + 4 * year.HOUR_S
        file = self.place.file("answer.json", self.answer(made))
        for command in (("fetch", "--answer", file), ("morning", "--offline", "--print", "--json")):
            at = f"{day}T{'05:00' if command[0] == 'fetch' else '06:00'}:00-04:00"
            status, out, err = self.place.run("dewpost", *command, "--at", at, home=self.home)
            if status != 0:
                raise OSError(f"{command[0]} of {day}: {(out + err).decode()}")
        return json.loads(out)["lines"]

    def covers(self, first, days):
        lines = [self.note(first + datetime.timedelta(d)) for d in range(days)]
        return sum(line["verdict"] == "COVER" for note in lines for line in note)


def run(checks, place):
    june, april = datetime.date(2013, 6, 1), datetime.date(2013, 4, 1)
    for of in map(year.at, year.AIRPORTS):
        n = Season(place, of, june).covers(june, 30)
        checks.same(f"{of.airport} June: {n} COVER lines, {LINES} at most", [("few", n <= LINES, True)])
        n = Season(place, of, april).covers(april, 5)
        checks.same(f"{of.airport} first days of April: {n} COVER lines", [("some", n > 0, True)])
