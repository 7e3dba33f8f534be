"""The floor of a benchmark: ASCE-EWRI 2005 short reference, radiation and all, written for numpy's arrays.

numpy_evapo.py FILE FIRST LATITUDE LONGITUDE ELEVATION WIND_HEIGHT ROUNDS
FILE: doubles, one array behind the other: air (deg C), vapour pressure (kPa), wind (m/s), sunlight (W/m2) of hours from FIRST.
Prints the median of the rounds in seconds of one core, and the sum in mm.
"""

import statistics
import sys
import time

import numpy as np


def days(first_day, last_day, lat_deg):
    """Terms of the days, one each."""
    day = np.arange(first_day, last_day + 1)
    date = day.astype("datetime64[D]")
    j = (date - date.astype("datetime64[Y]").astype("datetime64[D]")).astype(int) + 1
    lat = np.radians(lat_deg)
    distance = 1 + 0.033 * np.cos(2 * np.pi * j / 365)
    declination = 0.409 * np.sin(2 * np.pi * j / 365 - 1.39)
    b = 2 * np.pi * (j - 81) / 364
    solar_h = 0.1645 * np.sin(2 * b) - 0.1255 * np.cos(b) - 0.025 * np.sin(b)
    sunset = np.arccos(np.clip(-np.tan(lat) * np.tan(declination), -1, 1))
    return distance, np.sin(lat) * np.sin(declination), np.cos(lat) * np.cos(declination), solar_h, sunset


def evapo(first, lat_deg, lon_deg, elevation, wind_height, air, ea, wind, light):
    n, offset = len(air), round(lon_deg / 15)
    hour = np.arange(n) + first // 3600 + offset
    day = hour // 24
    distance, sine, cosine, solar_h, sunset = (x[day - day[0]] for x in days(day[0], day[-1], lat_deg))

    angle = np.pi / 12 * (hour % 24 + 0.5 - offset + lon_deg / 15 + solar_h) - np.pi
    begin = np.clip(angle - np.pi / 24, -sunset, sunset)
    end = np.clip(angle + np.pi / 24, -sunset, sunset)
    ra = 4.92 * 12 / np.pi * distance * ((end - begin) * sine + cosine * (np.sin(end) - np.sin(begin)))
    rso = (0.75 + 2e-5 * elevation) * ra
    rs = 0.0036 * light

    high = sine + cosine * np.cos(angle) >= np.sin(0.3)
    told = np.maximum.accumulate(np.where(high, np.arange(n), 0))  # the last hour of high sun
    with np.errstate(all="ignore"):
        share = np.where(high, np.clip(rs / rso, 0.3, 1), 0.5)
    cloudiness = (1.35 * share - 0.35)[told]

    es = 0.6108 * np.exp(17.27 * air / (air + 237.3))
    slope = 2503 / 0.6108 * es / (air + 237.3) ** 2
    gamma = 0.665e-3 * 101.3 * ((293 - 0.0065 * elevation) / 293) ** 5.26
    u2 = wind * 4.87 / np.log(67.8 * wind_height - 5.42)
    black = (air + 273.16) ** 2
    net = 0.77 * rs - 2.042e-10 * black * black * (0.34 - 0.14 * np.sqrt(ea)) * cloudiness
    ground = np.where(net < 0, 0.5, 0.1) * net
    cd = np.where(net < 0, 0.96, 0.24)
    wind_part = gamma * 37 / (air + 273) * u2 * (es - ea)
    return (0.408 * slope * (net - ground) + wind_part) / (slope + gamma * (1 + cd * u2))


def main(path, first, lat_deg, lon_deg, elevation, wind_height, rounds):
    arrays = np.fromfile(path).reshape(4, -1)
    took = []
    for _ in range(int(rounds)):
        start = time.process_time()
        mm = evapo(int(first), float(lat_deg), float(lon_deg), float(elevation), float(wind_height), *arrays)
        took.append(time.process_time() - start)
    print(statistics.median(took), repr(float(mm.sum())))


if __name__ == "__main__":
    main(*sys.argv[1:])
