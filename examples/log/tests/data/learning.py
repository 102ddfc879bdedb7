"""Computes learning.json with scipy and numpy. Run: python3 learning.py > learning.json

The Beta and Student quantiles are scipy's. The pooled chances are a direct numerical integration over a grid that is ten
times finer in each direction than the one the program uses. The regression is numpy's least squares with Student
intervals from scipy; so is the margin of the mean of the water. Visits fade by a sum over seasons that begin on 1 July, the
middle of the absence of an animal that is there from September to April. What a tide would leave of a bracket is an
integral over the normal distribution of the water by scipy.

The rat tumour counts are from Tarone (1982), Biometrics 38, as printed in Gelman et al. (2013), Bayesian Data Analysis,
3rd edition, table 5.1.
"""

import json
import numpy as np
import scipy
from datetime import date
from scipy import integrate, optimize, special, stats

LEVEL = 0.90


def beta_rows():
    shapes = [(9, 2), (1, 5), (1, 1), (0.5, 0.5), (2.4, 14.3), (1.0001, 300), (850, 150), (0.02, 0.03), (40000, 25000), (3, 2)]
    tails = [0.001, 0.05, 0.25, 0.5, 0.95, 0.999]
    return [[a, b, p, float(stats.beta.ppf(p, a, b))] for a, b in shapes for p in tails]


def student_rows():
    return [[df, p, float(stats.t.ppf(p, df))] for df in (1, 2, 3, 4, 7, 13, 30, 200) for p in (0.75, 0.9, 0.95, 0.975, 0.995)]


def pool(tallies, steps=400):
    middle = (np.arange(steps) + 0.5) / steps
    mean, spread = np.meshgrid(middle, middle, indexing="ij")
    total = spread**-2
    a, b = mean * total, (1 - mean) * total
    log = sum(special.betaln(a + h, b + m) - special.betaln(a, b) for h, m in tallies)
    weight = np.exp(log - log.max())
    keep = weight > 1e-12
    weight, a, b = weight[keep], a[keep], b[keep]
    weight /= weight.sum()

    def place(h, m):
        posterior = (a + h, b + m)
        mean = float((weight * posterior[0] / (posterior[0] + posterior[1])).sum())
        cdf = lambda x: float((weight * special.betainc(*posterior, x)).sum())
        quantile = lambda p: float(optimize.brentq(lambda x: cdf(x) - p, 1e-12, 1 - 1e-12, xtol=1e-9))
        return {"hits": h, "misses": m, "mean": mean, "low": quantile((1 - LEVEL) / 2), "high": quantile((1 + LEVEL) / 2)}

    rows = [place(h, m) for h, m in tallies]
    return {"places": rows, "new_place": place(0, 0), "mean_a": float((weight * a).sum()), "mean_b": float((weight * b).sum())}


def diary():
    rng = np.random.default_rng(20261125)
    n = 24
    pressure = np.round(rng.uniform(985, 1036, n))
    points = rng.integers(0, 16, n)
    force = rng.integers(1, 9, n)
    speed = 0.836 * force**1.5
    angle = np.radians(points * 22.5)
    north, east = -speed * np.cos(angle), -speed * np.sin(angle)
    residual = np.round(0.02 - 0.0095 * (pressure - 1013) - 0.004 * north + 0.003 * east + rng.normal(0, 0.05, n), 2)
    x = np.column_stack([np.ones(n), pressure - 1013, north, east])
    beta, squares, _, _ = np.linalg.lstsq(x, residual, rcond=None)
    s2 = squares[0] / (n - 4)
    covariance = s2 * np.linalg.inv(x.T @ x)
    t = stats.t.ppf(0.95, n - 4)
    new = np.array([1, 1030 - 1013, -0.836 * 5**1.5 * np.cos(np.radians(315)), -0.836 * 5**1.5 * np.sin(np.radians(315))])
    return {
        "lines": [[float(r), float(p), int(k), int(f)] for r, p, k, f in zip(residual, pressure, points, force)],
        "coefficients": beta.tolist(),
        "standard_errors": np.sqrt(np.diag(covariance)).tolist(),
        "left_over_m": float(np.sqrt(s2)),
        "forecast_pressure_hpa": 1030,
        "forecast_wind": "NW5",
        "forecast_m": float(new @ beta),
        "forecast_margin_m": float(t * np.sqrt(new @ covariance @ new + s2)),
    }


def missed():
    return [[a, b, n, float(np.exp(special.betaln(a, b + n) - special.betaln(a, b)))] for a, b in ((9, 2), (3.5, 6.25)) for n in (0, 1, 5, 12)]


def spread():
    rng = np.random.default_rng(20261126)
    residual = np.round(rng.normal(0.39, 0.12, 40), 2)
    n = len(residual)
    deviation = float(residual.std(ddof=1))
    margin = float(stats.t.ppf(0.95, n - 1)) * deviation / n**0.5
    return {"residuals_m": residual.tolist(), "mean_m": float(residual.mean()), "standard_deviation_m": deviation, "margin_m": margin}


def faded():
    """Visits to two places over eight seasons, what they count, and what the places say together."""
    rng = np.random.default_rng(20261127)
    season = lambda day: day.year if day.month >= 7 else day.year - 1
    reference, share = date(2026, 2, 10), 0.8
    places = []
    for chance, years in ((0.8, range(2018, 2026)), (0.5, range(2016, 2021))):
        visits = []
        for year in years:
            for month, after in ((9, 0), (12, 0), (2, 1), (4, 1)):
                visits.append((date(year + after, month, int(rng.integers(1, 29))), bool(rng.random() < chance)))
        weight = lambda wanted: sum(share ** max(season(reference) - season(day), 0) for day, hit in visits if hit == wanted)
        places.append({"visits": [[str(day), hit] for day, hit in visits], "hits": weight(True), "misses": weight(False)})
    together = pool([(place["hits"], place["misses"]) for place in places])["places"]
    for place, informed in zip(places, together):
        place.update({key: informed[key] for key in ("mean", "low", "high")})
    return {"reference": str(reference), "per_season": share, "places": places}


def brackets():
    """[lower end, upper end, prediction, mean residual, standard deviation, width expected to be left]"""
    rows = []
    for a, b, predicted, mean, deviation in ((6.72, 7.15, 6.5, 0.39, 0.12), (6.72, 7.15, 6.9, 0.39, 0.12), (6.72, 7.15, 6.9, 0.0, 0.05), (7.73, 8.32, 7.6, 0.39, 0.2)):
        left = lambda x: ((x - a) ** 2 + (b - x) ** 2) / (b - a) if a < x < b else b - a
        centre = predicted + mean
        whole, _ = integrate.quad(lambda x: left(x) * stats.norm.pdf(x, centre, deviation), centre - 8 * deviation, centre + 8 * deviation, points=[p for p in (a, b) if abs(p - centre) < 8 * deviation], epsabs=1e-10)
        rows.append([a, b, predicted, mean, deviation, whole])
    return rows


RATS = [
    (0, 20, 7), (0, 19, 4), (0, 18, 2), (0, 17, 1), (1, 20, 4), (1, 19, 2), (1, 18, 2), (2, 25, 1), (2, 24, 1), (2, 23, 1),
    (2, 20, 6), (1, 10, 1), (5, 49, 1), (2, 19, 1), (5, 46, 1), (3, 27, 1), (2, 17, 1), (7, 49, 1), (7, 47, 1), (3, 20, 2),
    (2, 13, 1), (9, 48, 1), (10, 50, 1), (4, 20, 7), (10, 48, 1), (4, 19, 3), (5, 22, 1), (11, 46, 1), (12, 49, 1), (5, 20, 2),
    (6, 23, 1), (5, 19, 1), (6, 22, 1), (6, 20, 3), (16, 52, 1), (15, 46, 1), (15, 47, 1), (9, 24, 1), (4, 14, 1),
]

if __name__ == "__main__":
    rats = [(y, n - y) for y, n, times in RATS for _ in range(times)]
    assert len(rats) == 71, len(rats)
    few = [(8, 1), (0, 4), (2, 1), (1, 0), (3, 5.5)]
    alike = [(4, 4), (5, 5), (3, 3)]
    print(json.dumps({
        "source": f"scipy {scipy.__version__}, numpy {np.__version__}, by learning.py beside this file",
        "beta_quantiles": beta_rows(),
        "student_quantiles": student_rows(),
        "misses_in_a_row": missed(),
        "pools": [pool(few), pool(alike), pool([(2.0, 1.0)]), pool(rats), pool([(8, 1), (2, 0)])],
        "diary": diary(),
        "spread": spread(),
        "faded": faded(),
        "brackets": brackets(),
    }, indent=1))
