"""Recomputes tests/data/mtf.csv, turbulence.csv and the geometry of depth_of_field.csv where
general libraries can, and compares.

    pip install mpmath numpy scipy prysm
    python detail.py

prysm gives the diffraction MTF and the Airy constants; mpmath the rest with 30 digits. prysm's
long-exposure MTF of turbulence is not used: in 0.21.1 it is wrong for metres and line pairs.
"""

import csv
import pathlib
import re
import sys

from mpmath import acos, besseljzero, cos, exp, findroot, log, mp, mpf, pi, sin, sqrt

mp.dps = 30
DATA = pathlib.Path(__file__).parent.parent


def rows(table):
    lines = [line for line in (DATA / table).open() if not line.startswith("#")]
    return list(csv.DictReader(lines))


def number(row, name):
    found = re.search(rf"(?:^|[ ;(]){re.escape(name)}=([-+0-9.eE]+)", row["inputs"])
    return mpf(found.group(1)) if found else None


def diffraction(x):
    return 2 / pi * (acos(x) - x * sqrt(1 - x * x)) if x < 1 else mpf(0)


def system(nu, f_number, pitch, wavelength):
    angle = pi * nu * pitch / 1000
    return diffraction(nu * wavelength * f_number / 1000) * (sin(angle) / angle if angle else 1)


def mtf(row):
    f_number, wavelength, nu = number(row, "N"), number(row, "lambda"), number(row, "nu")
    quantity = row["quantity"]
    if quantity == "Airy disc first dark ring radius":
        return besseljzero(1, 1) / pi * wavelength * f_number
    if quantity == "diffraction cut-off":
        return 1000 / (wavelength * f_number)
    if quantity == "diffraction-limited MTF":
        return diffraction(nu * wavelength * f_number / 1000)
    if quantity.startswith("system MTF"):
        contrast = mpf("0.5") if "MTF50" in quantity else mpf("0.1")
        cutoff = 1000 / (wavelength * f_number)
        low, high = mpf("1e-9"), min(cutoff, 1000 / number(row, "p"))
        for _ in range(100):
            middle = (low + high) / 2
            if system(middle, f_number, number(row, "p"), wavelength) > contrast:
                low = middle
            else:
                high = middle
        return low
    if quantity == "Shannon aberration transfer factor":
        x = nu * wavelength * f_number / 1000
        return 1 - (number(row, "Wrms") / mpf("0.18")) ** 2 * (1 - 4 * (x - mpf("0.5")) ** 2)
    return None


def turbulence(row):
    cn2, path = number(row, "Cn2"), number(row, "L")
    if cn2 is None or path is None or "plane" in row["quantity"]:
        return None
    wavelength = mpf("0.55e-6")
    r0 = (mpf("0.423") * 3 / 8 * (2 * pi / wavelength) ** 2 * cn2 * path) ** (-mpf(3) / 5)
    quantity = row["quantity"]
    if quantity.startswith("Fried parameter"):
        return r0 * 1000
    if quantity.startswith("long-exposure blur"):
        return mpf("0.98") * wavelength / r0 * path * 1000
    if quantity == "D/r0":
        return number(row, "aperture") / 1000 / r0
    if quantity.startswith("MTF50"):
        x = (log(2) / mpf("3.44")) ** (mpf(3) / 5)
        return x * r0 / wavelength / path / 1000
    if quantity.startswith("rms image wander"):
        pupil = number(row, "aperture") / 1000
        return sqrt(mpf("0.364") * (pupil / r0) ** (mpf(5) / 3)) * wavelength / pupil * path * 1000
    return None


def depth(row):
    if row["quantity"] != "depth of field in front / behind / total":
        return None
    f, n, c, d, p = (number(row, name) for name in ("f", "N", "c", "D", "P"))
    # By halving on the traced blur of a thin lens with its pupil, not by the closed form: the disc
    # of a point at s from the pupil.
    x = (d - number(row, "HH")) / f
    m = 2 / (x - 2 + sqrt(x * (x - 4)))
    u = f * (1 / m + 1 / p)
    disc = lambda s: m * (f / n) * (u - s) / s - c
    low, high = u / 100, u
    for _ in range(110):
        middle = (low + high) / 2
        if disc(middle) > 0:
            low = middle
        else:
            high = middle
    return u - low


def judge(table, compute):
    worst = checked = 0
    for row in rows(table):
        value = compute(row)
        if value is None:
            continue
        checked += 1
        expected = mpf(row["expected"].split("|")[0].strip())
        worst = max(worst, abs(value / expected - 1))
    print(f"{table}: {checked} rows recomputed, largest relative deviation {float(worst):.1e}")
    return checked > 0 and worst < 2e-6


def prysm_agrees():
    try:
        from prysm.otf import diffraction_limited_mtf
    except ImportError:
        print("prysm left out: not installed")
        return True
    worst = max(
        abs(
            float(diffraction_limited_mtf(4, 0.55, frequencies=float(nu)))
            - float(diffraction(mpf(nu) * 4 * mpf("0.55") / 1000))
        )
        for nu in range(10, 450, 10)
    )
    print(f"prysm: diffraction MTF within {worst:.1e}")
    return worst < 1e-9


def heated_ground():
    """The mean of s^(5/3) (0.2 + 1.4 s)^(-4/3), printed to compare with the air's quadrature."""
    from mpmath import quad

    print(
        "weight of heated ground:",
        quad(lambda s: s ** (mpf(5) / 3) * (mpf("0.2") + mpf("1.4") * s) ** (-mpf(4) / 3), [0, 1]),
    )


if __name__ == "__main__":
    heated_ground()
    fine = [
        judge("mtf.csv", mtf),
        judge("turbulence.csv", turbulence),
        judge("depth_of_field.csv", depth),
        prysm_agrees(),
    ]
    sys.exit(not all(fine))
