"""Humidity, the sun and evapotranspiration beside libraries that reckon them in their own way."""

import warnings

import numpy as np

import plain
import year

HIGH_SUN = 0.3  # rad: under it, and at night, refet does not carry the cloudiness of the day on
ET0_MM, SUN_S, BULB_K, BULB_HOT_K, HOT_C = 0.005, 10, 0.15, 0.2, 25
DAY_S = 86400
EVENTS = {"rise": "sunrise", "noon": "transit", "set": "sunset"}  # ours, pvlib's
# Places and their local standard time.  Further north the sun grazes the horizon.
PLACES = {
    "New York": (40.6925, -74.1687, -5),
    "the equator": (0.0, 20.0, 1),
    "45 S": (-45.0, 170.0, 11),
    "60 N": (60.0, 25.0, 2),
}


def humidity(checks, place):
    """Every pair of temperature and humidity that the year had."""
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    pairs, elevation = set(), year.at("EWR").elevation
    for of in map(year.at, year.AIRPORTS):
        pairs.update(zip(of.air_temperature, of.relative_humidity))
    t, rh = np.array([p for p in sorted(pairs) if np.isfinite(p).all()]).T
    pressure = plain.pressure(elevation)
    dew, frost, wet, bulb = year.ask(place, "air", np.column_stack([t, rh, np.full_like(t, elevation)]), 4).T
    ea = rh * plain.saturation(t)
    labels = [f"{a:.1f} C {r:.4f}" for a, r in zip(t, rh)]

    def near(name, got, want, limit, chosen=slice(None)):
        checks.near(name, got[chosen], want[chosen], limit, "K", np.array(labels)[chosen])

    near("dew point by the same formula", dew, plain.dew_point(ea), 1e-9)
    near("frost point by the same formula", frost, plain.frost_point(ea), 1e-9)
    near("wet bulb by the same formula", wet, plain.wet_bulb(t, ea, pressure), 1e-9)

    # Under 0 C psychrolib has ice: its humidity would be over ice, so it is given the vapour pressure, and no air
    # over saturation, which it does not know.
    sound = ea <= np.where(t < 0, plain.saturation(t, plain.ICE), plain.saturation(t))
    theirs = np.array([psychrolib.GetTDewPointFromVapPres(a, 1000 * e) for a, e in zip(t, ea)])
    near("dew point by psychrolib, from 0 C", dew, theirs, BULB_K, sound & (theirs >= 0))
    near("frost point by psychrolib, under 0 C", frost, theirs, BULB_K, sound & (theirs < 0))
    ratio = [psychrolib.GetHumRatioFromVapPres(1000 * e, 1000 * pressure) for e in ea]
    theirs = np.array(
        [
            psychrolib.GetTWetBulbFromHumRatio(a, w, 1000 * pressure) if right else np.nan
            for a, w, right in zip(t, ratio, sound)
        ]
    )
    near("wet bulb by psychrolib, 0 to 25 C", wet, theirs, BULB_K, sound & (theirs >= 0) & (t <= HOT_C))
    near("wet bulb by psychrolib, above 25 C", wet, theirs, BULB_HOT_K, sound & (t > HOT_C))
    near("iced bulb by psychrolib", bulb, theirs, BULB_K, sound & (theirs < -0.01) & (bulb < 0))


def sun(checks, place):
    import pandas
    from pvlib import solarposition

    for name, (latitude, longitude, offset) in PLACES.items():
        days = pandas.date_range("2013-01-01", "2013-12-31", tz="UTC")
        number = days.as_unit("s").astype("int64") // DAY_S
        ours = dict(zip(EVENTS, year.ask(place, "sun", [(d, latitude, longitude) for d in number], 3).T))
        labels = [str(d.date()) for d in days]
        noon_h = (ours["noon"] - number * DAY_S) / 3600 + offset
        checks.near(f"sun's noon at {name} is of the day asked for", noon_h, [12] * len(days), 1, "h", labels)
        for what, theirs_is in EVENTS.items():
            # Theirs is the event on the UTC date of ours, which may be the day's before or after.
            on = pandas.to_datetime(ours[what] // DAY_S, unit="D", utc=True)
            theirs = solarposition.sun_rise_set_transit_spa(on, latitude, longitude)[theirs_is]
            off = ours[what] - theirs.dt.as_unit("ns").astype("int64").to_numpy() / 1e9
            off = (off + DAY_S / 2) % DAY_S - DAY_S / 2
            # About midnight UTC theirs slips by a day, and then by as much as the event moves in one.
            fit = np.abs((ours[what] + DAY_S / 2) % DAY_S - DAY_S / 2) > 120
            checks.near(f"sun's {what} at {name}", off[fit], np.zeros(fit.sum()), SUN_S, "s", np.array(labels)[fit])
        hours = pandas.date_range("2013-01-01", "2013-12-31", freq="5h", tz="UTC")
        theirs = solarposition.get_solarposition(hours, latitude, longitude)
        at = hours.as_unit("s").astype("int64")
        ours = year.ask(place, "altitude", [(t, latitude, longitude) for t in at], 2)
        checks.near(f"sun's altitude at {name}", ours[:, 0], theirs.elevation, 0.015, "deg", map(str, hours))


def high_sun(of, day, hour):
    """Whether the sun stands high at both the begin of the hour, which refet looks at, and its middle, as we do."""
    from refet import calcs

    latitude, longitude = np.radians(of.latitude), np.radians(of.longitude)
    declination = calcs.declination(day)

    def sine(utc_h):
        angle = calcs.solar_hour_angle(calcs.solar_time_rad(longitude, utc_h, calcs.seasonal_correction(day)))
        level, upright = np.sin(latitude) * np.sin(declination), np.cos(latitude) * np.cos(declination)
        return level + upright * np.cos(angle)

    return np.minimum(sine(hour), sine(hour + 0.5)) > np.sin(HIGH_SUN)


def evapotranspiration(checks, of, told):
    import refet

    air, rh = told["air_temperature"], told["relative_humidity"]
    vapour = year.middle(rh * plain.saturation(air))
    wind, light = year.middle(told["wind_speed"]), told["reckoned_sunlight"]
    date = told["time"].astype("datetime64[s]").astype("datetime64[D]")
    given = {
        "tmean": year.middle(air),
        "ea": vapour,
        "uz": wind,
        "rs": 0.0036 * light,
        "time": told["time"] % 86400 / 3600,
        "doy": (date - date.astype("datetime64[Y]")).astype(int) + 1,
    }
    chosen = high_sun(of, given["doy"], given["time"]) & np.isfinite(sum(given.values()))
    theirs = refet.Hourly(
        **{name: values[chosen] for name, values in given.items()},
        zw=10,
        elev=of.elevation,
        lat=of.latitude,
        lon=of.longitude,
        method="asce",
    ).eto()
    ours, labels = told["reference_evapotranspiration"][chosen], np.array(told["local"])[chosen]
    checks.near(f"{of.airport} ET0 by refet, sun above {HIGH_SUN} rad", ours, theirs, ET0_MM, "mm", labels)


def run(checks, place):
    warnings.simplefilter("ignore")  # theirs, of one another
    humidity(checks, place)
    sun(checks, place)
    for of in map(year.at, year.AIRPORTS):
        told = year.Garden(place, of).hours()
        dew = plain.dew_point(told["relative_humidity"] * plain.saturation(told["air_temperature"]))
        checks.near(f"{of.airport} dew point as printed", told["reckoned_dew_point"], dew, 1e-4, "K", told["local"])
        evapotranspiration(checks, of, told)
