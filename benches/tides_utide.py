"""Times UTide (Wesley Bowman et al., PyPI) on the work that benches/benches/tides.rs gives ours: a
year of hours, 60 constituents.

Run by hand: pip install utide; python benches/tides_utide.py
"""

import time
import warnings

import numpy as np
import utide

warnings.filterwarnings("ignore")

# The same constituents as UTide names them, the sixty of a year's record.
NAMES = (
    "M2 S2 N2 K1 O1 K2 P1 Q1 SA SSA MM MF MSF M4 MS4 MN4 M6 L2 NU2 MU2 2N2 T2 LDA2 "
    "J1 OO1 RHO1 M3 MK3 SO3 S1 NO1 2Q1 SIG1 M8 MK4 SN4 S4 2SM6 2MK6 MSN2 R2 3MK7 EPS2 ETA2 CHI1 "
    "TAU1 PHI1 THE1 UPS1 SO1 2MK5 2SK5 SK3 SK4 MSK6 2MN6 2MS6 MSM PI1 PSI1"
).split()


def main():
    hours = np.arange(8760)
    start = np.datetime64("2026-01-01T00:00")
    times = start + hours.astype("timedelta64[h]")
    level = 2.6 * np.cos(np.radians(28.9841042 * hours)) + 0.4 * np.cos(np.radians(30.0 * hours))
    level += 0.05 * np.sin(0.7 * hours) + 0.04 * np.cos(0.013 * hours)
    best = float("inf")
    for _ in range(5):
        begun = time.perf_counter()
        found = utide.solve(
            times,
            level,
            lat=44.9,
            constit=NAMES,
            method="ols",
            conf_int="linear",
            trend=False,
            verbose=False,
        )
        best = min(best, time.perf_counter() - begun)
    print(
        f"UTide {utide.__version__}: analysis of a year, {len(found.name)} constituents: "
        f"{best * 1e3:.0f} ms"
    )
    begun = time.perf_counter()
    utide.reconstruct(times, found, verbose=False)
    print(
        f"UTide {utide.__version__}: a height: {(time.perf_counter() - begun) / 8760 * 1e9:.0f} ns"
    )


if __name__ == "__main__":
    main()
