"""Times the Python wheel beside Python libraries that do the same work, each held to agree with
ours before it is timed.

Called by tables.py --python. Needs an interpreter with the wheel built in the release profile, and
whichever peers are wanted: pip install pvlib astral skyfield pyTMD utide. Skyfield also needs a JPL
ephemeris, named by the environment variable EPHEMERIS.
"""

import importlib
import os
import time
import warnings

import numpy as np
import wrackline

LATITUDE, LONGITUDE = 53.4, 1.2
CONSTITUENTS = {
    "M2": (2.52, 171.0),
    "S2": (0.86, 219.0),
    "N2": (0.49, 150.5),
    "K1": (0.14, 290.0),
    "O1": (0.16, 108.0),
}


def cost(work, times=3):
    """Processor seconds of the best of some runs."""
    best = float("inf")
    for _ in range(times):
        begun = time.process_time()
        work()
        best = min(best, time.process_time() - begun)
    return best


def peer(name):
    try:
        return importlib.import_module(name)
    except ImportError:
        return None


def held(what, found, expected, tolerance):
    """Refuses to time what does not do the same work."""
    worst = np.abs(np.asarray(found) - np.asarray(expected)).max()
    assert worst <= tolerance, f"{what} differs by {worst}, more than {tolerance}"
    return worst


def report(work, by, seconds, count, agreement=""):
    each = seconds / count
    spelt = f"{each * 1e9:,.0f} ns" if each < 1e-4 else f"{each * 1e3:.2f} ms"
    print(f"| {work} | {by} | {spelt} | {agreement} |", flush=True)


def sun():
    observer = wrackline.Observer(LATITUDE, LONGITUDE)
    even = np.arange("2026-01-01", "2027-01-01", dtype="datetime64[m]")
    scattered = even[np.random.default_rng(7).permutation(len(even))]
    report("sun, even grid", "wrackline", cost(lambda: observer.sun(even)), len(even))
    report("sun, scattered", "wrackline", cost(lambda: observer.sun(scattered)), len(scattered))
    report(
        "moon and its light, even grid", "wrackline", cost(lambda: observer.moon(even)), len(even)
    )
    few = even[:: len(even) // 5000]
    ours = observer.sun(few).altitude_deg
    pvlib = peer("pvlib")
    if pvlib:
        import pandas as pd

        index = pd.DatetimeIndex(few).tz_localize("UTC")
        run = lambda: pvlib.solarposition.spa_python(index, LATITUDE, LONGITUDE)  # noqa: E731
        # The algorithm states 0.0003 degrees; its default for the Earth's rotation adds a second,
        # 0.004 degrees.
        apart = held("pvlib", run()["elevation"], ours, 0.005)
        report(
            "sun, scattered",
            f"pvlib {pvlib.__version__}",
            cost(run),
            len(few),
            f"within {apart:.4f}°",
        )
    astral = peer("astral")
    if astral:
        from astral.sun import elevation

        place = astral.Observer(LATITUDE, LONGITUDE)
        instants = [
            at.replace(tzinfo=__import__("datetime").timezone.utc)
            for at in few.astype("datetime64[s]").tolist()
        ]
        run = lambda: [elevation(place, at, with_refraction=False) for at in instants]  # noqa: E731
        # Low-precision formulas, which state a hundredth of a degree.
        apart = held("astral", run(), ours, 0.02)
        report(
            "sun, scattered",
            f"astral {astral.__version__}",
            cost(run),
            len(few),
            f"within {apart:.4f}°",
        )
    skyfield, ephemeris = peer("skyfield"), os.environ.get("EPHEMERIS")
    if skyfield and ephemeris:
        from skyfield.api import load, load_file, wgs84

        scale, planets = load.timescale(), load_file(ephemeris)
        place = planets["earth"] + wgs84.latlon(LATITUDE, LONGITUDE)
        instants = few.astype("datetime64[s]").astype(object)
        utc = __import__("datetime").timezone.utc
        instants = scale.from_datetimes([at.replace(tzinfo=utc) for at in instants])
        seen = lambda: place.at(instants).observe(planets["sun"]).apparent()  # noqa: E731
        run = lambda: seen().altaz()[0].degrees  # noqa: E731
        apart = held("skyfield", run(), ours, 0.0005)
        report(
            "sun, scattered",
            f"skyfield {skyfield.__version__}",
            cost(run),
            len(few),
            f"within {apart:.6f}°",
        )


def rise_and_set():
    observer = wrackline.Observer(LATITUDE, LONGITUDE)
    year = (np.datetime64("2026-01-01"), np.datetime64("2027-01-01"))
    ours = observer.sun_crossings("sunrise", *year)
    report(
        "a year of sunrises and sunsets",
        "wrackline",
        cost(lambda: observer.sun_crossings("sunrise", *year)),
        1,
    )
    astral = peer("astral")
    if astral:
        from astral.sun import sunrise, sunset

        place = astral.Observer(LATITUDE, LONGITUDE)
        days = np.arange(*year, dtype="datetime64[D]").tolist()
        run = lambda: [find(place, day) for day in days for find in (sunrise, sunset)]  # noqa: E731
        found = np.array([at.replace(tzinfo=None) for at in run()], dtype="datetime64[us]")
        apart = held("astral", (found - ours.at) / np.timedelta64(1, "s"), 0, 60)
        report(
            "a year of sunrises and sunsets",
            f"astral {astral.__version__}",
            cost(run),
            1,
            f"within {apart:.0f} s",
        )
    skyfield, ephemeris = peer("skyfield"), os.environ.get("EPHEMERIS")
    if skyfield and ephemeris:
        from skyfield import almanac
        from skyfield.api import load, load_file, wgs84

        scale, planets = load.timescale(), load_file(ephemeris)
        start, end = (scale.utc(np.datetime64(at, "Y").astype(int) + 1970) for at in year)
        there = planets["earth"] + wgs84.latlon(LATITUDE, LONGITUDE)

        def run():
            rises, _ = almanac.find_risings(there, planets["sun"], start, end, -5 / 6)
            sets, _ = almanac.find_settings(there, planets["sun"], start, end, -5 / 6)
            return np.sort(np.concatenate([rises.tt, sets.tt]))

        found = scale.tt_jd(run()).utc_datetime()
        found = np.array([at.replace(tzinfo=None) for at in found], dtype="datetime64[us]")
        apart = held("skyfield", (found - ours.at) / np.timedelta64(1, "s"), 0, 1)
        report(
            "a year of sunrises and sunsets",
            f"skyfield {skyfield.__version__}",
            cost(run),
            1,
            f"within {apart:.2f} s",
        )


def heights():
    port = wrackline.Port(0.0, CONSTITUENTS, "schureman-instant")
    even = np.arange("2026-01-01", "2027-01-01", dtype="datetime64[m]")
    scattered = even[np.random.default_rng(7).permutation(len(even))]
    work = f"height, {len(CONSTITUENTS)} constituents"
    report(f"{work}, even grid", "wrackline", cost(lambda: port.heights(even)), len(even))
    report(f"{work}, scattered", "wrackline", cost(lambda: port.heights(scattered)), len(scattered))
    many = np.arange("2026-01-01", "2026-07-01", dtype="datetime64[h]")
    ours = port.heights(many)
    tmd = peer("pyTMD.predict")
    if tmd:
        days = (many - np.datetime64("1992-01-01")) / np.timedelta64(1, "D")
        names = [name.lower() for name in CONSTITUENTS]
        waves = np.array([a * np.exp(-1j * np.radians(g)) for a, g in CONSTITUENTS.values()])
        run = lambda: tmd_series(tmd, days, waves, names)  # noqa: E731
        try:
            found = np.asarray(run()).ravel()
        except Exception as error:
            # A peer that has moved its functions is left out, and said to be.
            print(f"| {work} | pyTMD | not timed: {error} | |")
        else:
            # Other series for the nodal factors: some parts in ten thousand of four metres.
            apart = held("pyTMD", found, ours, 0.02)
            report(
                work,
                f"pyTMD {importlib.metadata.version('pyTMD')}",
                cost(run),
                len(many),
                f"within {apart * 1000:.1f} mm",
            )
    utide = peer("utide")
    if utide:
        warnings.filterwarnings("ignore")
        fit = utide.solve(
            many,
            ours,
            lat=LATITUDE,
            constit=list(CONSTITUENTS),
            conf_int="none",
            trend=False,
            verbose=False,
        )
        run = lambda: utide.reconstruct(many, fit, verbose=False).h  # noqa: E731
        apart = held("UTide", run(), ours, 0.02)
        report(
            work,
            f"UTide {utide.__version__}",
            cost(run),
            len(many),
            f"within {apart * 1000:.1f} mm",
        )


def tmd_series(tmd, days, waves, names):
    import xarray as xr

    constants = xr.Dataset({name: xr.DataArray(wave) for name, wave in zip(names, waves)})
    return tmd.time_series(days, constants, corrections="OTIS")


def main():
    print("| work | by | processor time each | held to agree |\n| --- | --- | --- | --- |")
    sun()
    rise_and_set()
    heights()


if __name__ == "__main__":
    main()
