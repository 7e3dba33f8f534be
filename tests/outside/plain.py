"""The equations of air, leaf and soil once more, as the sources and our own pages of constants have them: plain loops
and whole arrays, slow, and nothing shared with the program.

Temperatures in deg C, pressures in kPa, radiation in W/m2 but where it says MJ; NaN in gives NaN out.
"""

import numpy as np
from scipy import optimize

ZERO_K = 273.15
SIGMA = 5.670374e-8  # CODATA 2018
EMISSIVITY = 0.97
AIR_HEAT = 1200.0  # J m-3 K-1
WATER, ICE = (17.27, 237.3), (22.46, 272.62)  # FAO-56 eq. 11; WMO-No. 8 annex 4.B
VAPOUR_KPA = 0.6108


def saturation(t, of=WATER):
    return VAPOUR_KPA * np.exp(of[0] * t / (t + of[1]))


def dew_point(ea, of=WATER):
    x = np.log(np.where(ea > 0, ea, np.nan) / VAPOUR_KPA)
    return of[1] * x / (of[0] - x)


def frost_point(ea):
    return dew_point(ea, ICE)


def pressure(elevation):
    """FAO-56 eq. 7."""
    return 101.3 * ((293 - 0.0065 * elevation) / 293) ** 5.26


def wet_bulb(t, ea, kpa):
    """FAO-56 eq. 15, 16 with a ventilated bulb, solved by bracketing."""
    gamma = 0.000662 * kpa

    def one(air, e):
        def off(wet):
            return saturation(wet) - gamma * (air - wet) - e

        low, high = float(dew_point(np.array(e))), float(air)
        return high if off(high) <= 0 else optimize.brentq(off, low - 1, high, xtol=1e-12, rtol=1e-14)

    return np.array([one(a, e) for a, e in zip(t, ea)])


def sky_emissivity(ea, t, cloud):
    """Brutsaert 1975; cloud: Unsworth & Monteith 1975."""
    clear = 1.24 * (10 * ea / (t + ZERO_K)) ** (1 / 7)
    return (1 - 0.84 * cloud) * clear + 0.84 * cloud


def slope(t, of=WATER):
    """FAO-56 eq. 13, with its rounded 4098 for 17.27 times 237.3; over ice the derivative."""
    return saturation(t, of) * (4098 if of is WATER else of[0] * of[1]) / (t + of[1]) ** 2


def leaf(t, ea, wind10, sky, sunlight, rain, width, held):
    """One hour of a leaf in the open: its temperature, and the water on it at the hour's end, mm."""
    wind = max(0.415 * wind10, 0.3)
    exchange = 29.3 * 1.4 * 0.135 * np.sqrt(wind / (0.72 * width))
    air = t + ZERO_K
    grey = EMISSIVITY * SIGMA
    net = 0.5 * sunlight + (sky - 1) * grey * air**4
    heat = 2 * exchange / AIR_HEAT
    vapour = heat / 0.93
    both = heat + 8 * grey * air**3 / AIR_HEAT
    frost = t + net / (AIR_HEAT * both) < 0
    of, melt = (ICE, 2.834e6) if frost else (WATER, 2.45e6)
    latent = slope(t, of) * net + AIR_HEAT * both * (saturation(t, of) - ea)
    latent /= slope(t, of) + 0.066 * both / vapour
    there = min(held + rain, 0.6)
    taken = latent if latent < 0 else min(latent, there * melt / 3600)
    water = min(max(there - latent * 3600 / melt, 0), 0.6)
    return t + (net - taken) / (AIR_HEAT * both), water


class Soil:
    """A column of 16 layers to 1 m: Crank-Nicolson, the first two hours backward Euler, by whole matrices."""

    LAYERS, CONDUCTIVITY, CAPACITY = 16, 1.0, 2.0e6
    # Albedo dry and moist, the same of the share that evaporates by day, resistance of what lies on it.
    COVERS = [((0.22, 0.10), (0.0, 0.5), 0.0), ((0.30, 0.30), (0.2, 0.2), 0.05), ((0.05, 0.05), (0.0, 0.0), 0.0)]

    def __init__(self, mean, cover=0):
        thick = 0.02 * 1.14 ** np.arange(self.LAYERS)
        self.depth = np.cumsum(thick) - thick / 2
        self.store = np.diag(self.CAPACITY * thick / 3600)
        between = self.CONDUCTIVITY / np.diff(self.depth)
        self.conduct = np.zeros((self.LAYERS, self.LAYERS))
        for i, k in enumerate(between):
            self.conduct[i : i + 2, i : i + 2] += np.array([[k, -k], [-k, k]])
        self.t = np.full(self.LAYERS, float(mean))
        self.steps, self.cover = 0, self.COVERS[cover]

    def hour(self, t, wind2, sunlight, sky, drying, shade=0.0):
        """The heat that goes into the soil, W/m2."""
        (albedo_dry, albedo_moist), (dry, moist), lies = self.cover
        grey = EMISSIVITY * SIGMA * (t + ZERO_K) ** 3
        albedo = albedo_dry + drying * (albedo_moist - albedo_dry)
        net = (1 - shade) * ((1 - albedo) * sunlight + (sky - 1) * grey * (t + ZERO_K))
        if net > 0:
            net *= 1 - (dry + drying * (moist - dry))
        exchange = max(5, AIR_HEAT * 0.41**2 * wind2 / np.log(2 / 0.005) ** 2) + 4 * grey
        top = 1 / (1 / exchange + lies + self.depth[0] / self.CONDUCTIVITY)
        outer = t + net / exchange
        weight = 1 if self.steps < 2 else 0.5
        loss = self.conduct.copy()
        loss[0, 0] += top
        gain = np.zeros(self.LAYERS)
        gain[0] = top * outer
        before = self.t
        self.t = np.linalg.solve(self.store + weight * loss, self.store @ before - (1 - weight) * loss @ before + gain)
        self.steps += 1
        return top * (outer - weight * self.t[0] - (1 - weight) * before[0])

    def at(self, depth):
        return np.interp(depth, self.depth, self.t)
