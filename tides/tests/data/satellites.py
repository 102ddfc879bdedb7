"""Heights by UTide's own reconstruction of made constants, for the satellite convention.

Run by hand: pip install utide==0.4.0; python satellites.py > satellites.csv

M7 is left out: UTide multiplies M2's argument by 3.5 after it was brought into one turn, so that M7
flips with each turn of M2. Every other constituent of UTide's table but the mean level has an
amplitude and a lag of its own, so that each is seen. The nodal and satellite corrections are those
that UTide makes by default: at each instant, for the latitude.
"""

import warnings

import numpy as np
import utide

warnings.filterwarnings("ignore")

LATITUDES = (-62.0, -33.9, -2.0, 14.6, 51.5, 67.3)
SPAN = (np.datetime64("1970-01-01T00:00"), np.datetime64("2050-12-31T00:00"))


def main():
    constants = utide._ut_constants.ut_constants["const"]
    names = [str(name) for name in constants["name"] if str(name) not in ("Z0", "M7")]
    random = np.random.default_rng(1977)
    amplitude = np.round(
        np.where(random.random(len(names)) < 0.2, 0.5, 0.02) * (0.5 + random.random(len(names))), 4
    )
    lag = np.round(360.0 * random.random(len(names)), 2)
    minutes = np.sort(random.integers(0, int((SPAN[1] - SPAN[0]).astype(int)), 120))
    times = SPAN[0] + minutes.astype("timedelta64[m]")
    print(
        "# Computed with UTide 0.4.0 (Wesley Bowman et al.) by satellites.py, 2026-11-26: "
        "constituents, then heights at latitudes."
    )
    print(
        "# Metres; degrees, Greenwich, UTC; heights printed to 0.001 mm. "
        "Nodal corrections at each instant."
    )
    print(
        "row,name_or_time,amplitude_m,lag_deg,"
        + ",".join(f"height_m_at_{latitude}" for latitude in LATITUDES)
    )
    for row in zip(names, amplitude, lag):
        print("constant,{},{},{},,,,,,".format(*row))
    # A record only to have a result to put the constants into.
    hours = SPAN[0] + np.arange(24 * 400).astype("timedelta64[h]")
    level = np.cos(np.arange(hours.size) * 0.5)
    columns = []
    for latitude in LATITUDES:
        found = utide.solve(
            hours,
            level,
            lat=latitude,
            constit=names,
            method="ols",
            conf_int="none",
            trend=False,
            verbose=False,
        )
        order = [names.index(str(name)) for name in found.name]
        found.A, found.g, found.mean = amplitude[order], lag[order], 0.0
        columns.append(utide.reconstruct(times, found, min_SNR=0.0, verbose=False).h)
    for index, time in enumerate(times):
        heights = ",".join(f"{column[index]:.6f}" for column in columns)
        print(f"height,{time}Z,,,{heights}")


if __name__ == "__main__":
    main()
