"""A year of leaf and soil, beside the same equations in plain words (plain.py)."""

import numpy as np

import plain
import year

WIDTHS_M = (0.07, 0.25)
DEPTHS_M = (0.025, 0.05, 0.10)
SETTLE_H = 240  # ten days, in which soil is not told
NEAR = 1e-6
COLUMNS = 10  # of season/derived
LEAF, WATER, SOIL = 4, 5, slice(7, 10)
COVERS = ("bare soil", "straw", "black plastic")
LOW_WIND = 4.87 / np.log(67.8 * 10 - 5.42)  # FAO-56 eq. 47


def whole(x):
    """Gaps bridged: what a gap does is no matter of these equations."""
    known = np.isfinite(x)
    at = np.arange(len(x))
    return np.interp(at, at[known], x[known])


class Weather:
    """A real year's hours without gaps; cloud, which it has not, is invented out of its humidity."""

    def __init__(self, of, told):
        self.at = of
        self.first = told["time"][0]
        self.air, self.rh, self.wind = (
            whole(told[c]) for c in ("air_temperature", "relative_humidity", "wind_speed")
        )
        self.rain = np.nan_to_num(told["precipitation_amount"])
        self.sunlight = whole(told["reckoned_sunlight"])
        self.cloud = np.clip(2 * self.rh - 1, 0, 1)
        # Of the hour's middle, as leaf and soil want it; the last hour has none.
        self.t, self.u = year.middle(self.air), year.middle(self.wind)
        self.ea = year.middle(np.minimum(self.rh, 1) * plain.saturation(self.air))
        self.sky = plain.sky_emissivity(self.ea, self.t, year.middle(self.cloud))
        self.hours = len(self.air) - 1

    def derived(self, place, width):
        head = [self.first, self.at.latitude, self.at.longitude, self.at.elevation, width, 0]
        hours = np.column_stack([self.air, self.rh, self.wind, self.rain, self.cloud, self.sunlight])
        return year.ask(place, "hours", np.vstack([head, hours]), COLUMNS)[: self.hours]


def leaf(checks, place, w, width):
    ours = w.derived(place, width)
    held, theirs = 0.0, []
    for i in range(w.hours):
        warm, held = plain.leaf(w.t[i], w.ea[i], w.u[i], w.sky[i], w.sunlight[i], w.rain[i], width, held)
        theirs.append((warm, held))
    warm, water = np.array(theirs).T
    name = f"{w.at.airport} leaf of {width} m"
    checks.near(f"{name}: its temperature", ours[:, LEAF], warm, NEAR, "K")
    # Ours begins with a store that nobody knows, until sun or rain has told it.
    told = int(np.argmax(np.isfinite(ours[:, WATER])))
    checks.same(f"{name}: its water is known from the first day on", [("hours", told < 24, True)])
    checks.near(f"{name}: water on it", ours[told:, WATER], water[told:], NEAR, "mm")
    return ours


def bare_soil(checks, w, ours):
    column = plain.Soil(w.t[:SETTLE_H].mean())
    theirs = []
    for i in range(w.hours):
        column.hour(w.t[i], LOW_WIND * w.u[i], w.sunlight[i], w.sky[i], 0.5)
        theirs.append(column.at(DEPTHS_M))
    told, theirs = ours[:, SOIL], np.array(theirs)
    untold = int(np.isnan(told).any(axis=1).sum())
    checks.same(f"{w.at.airport} soil is told after ten days", [("hours", untold, SETTLE_H - 1)])
    for k, depth in enumerate(DEPTHS_M):
        got, want = told[untold:, k], theirs[untold:, k]
        checks.near(f"{w.at.airport} bare soil at {100 * depth:g} cm", got, want, NEAR, "K")


def covered_soil(checks, place, w, cover):
    """A surface that dries and is shaded more and less from day to day."""
    n = w.hours
    day = np.arange(n) // 24
    drying, shade = (day % 5) / 4, (day % 7) / 12
    wind = LOW_WIND * w.u[:n]
    given = np.column_stack([np.full(n, cover), drying, shade, w.t[:n], wind, w.sunlight[:n], w.sky[:n]])
    ours = year.ask(place, "soil", given, 4)
    column, theirs = plain.Soil(w.t[0], cover), []
    for i in range(n):
        into = column.hour(w.t[i], wind[i], w.sunlight[i], w.sky[i], drying[i], shade[i])
        theirs.append([*column.at(DEPTHS_M), into])
    theirs = np.array(theirs)
    name = f"{w.at.airport} soil under {COVERS[cover]}"
    checks.near(f"{name}: 2.5, 5, 10 cm", ours[:, :3].ravel(), theirs[:, :3].ravel(), NEAR, "K")
    checks.near(f"{name}: heat into it", ours[:, 3], theirs[:, 3], NEAR, "W/m2")


def run(checks, place):
    of = year.at("EWR")
    weather = Weather(of, year.Garden(place, of).hours())
    for width in WIDTHS_M:
        ours = leaf(checks, place, weather, width)
    bare_soil(checks, weather, ours)
    for cover in range(len(COVERS)):
        covered_soil(checks, place, weather, cover)
