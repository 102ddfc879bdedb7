"""Reads tables back with pandas and DuckDB and compares random rows with the functions for one instant.

Run:
    pip install pandas pyarrow duckdb
    cargo build --release -p wrackline-programs --bin visibility
    python3 visibility.py ../../../../target/release/visibility

The program's `row` command computes single rows with the scalar functions of the libraries, unrounded; nothing of the
batches is in it. Places, ports and instants are drawn at random with a fixed seed; everything in them is invented.
"""

import io
import json
import math
import pathlib
import random
import subprocess
import sys
import tempfile

import duckdb
import pandas as pd

CONSTITUENTS = (
    "M2 S2 N2 K1 M4 O1 M6 MK3 S4 MN4 NU2 S6 MU2 2N2 OO1 LAM2 S1 M1 J1 MM SSA SA MSF MF RHO1 Q1 T2 R2 2Q1 P1 2SM2 M3 L2 "
    "2MK3 K2 M8 MS4"
).split()
ZONES = ["UTC", "Europe/London", "America/St_Johns", "Asia/Kathmandu", "Australia/Lord_Howe", ""]

# Half the last digit of the column; the error of the batch against the scalar functions (0.003" for directions as
# documented, 0.01 mm for heights) and of single precision is added in `compare`.
HALF_DIGIT = {
    "sun_altitude_deg": 5e-5,
    "sun_azimuth_deg": 5e-5,
    "light_angle_deg": 5e-4,
    "moon_altitude_deg": 5e-5,
    "moon_lit_fraction": 5e-5,
    "tide_height_m": 5e-5,
    "tide_rate_m_per_h": 5e-5,
}
SKY_DEG = 8.4e-7
WORDS = ["light_side", "tide_state", "level_exceeded", "limiting_condition"]


def make_input(folder, places, draw):
    with open(folder / "places.csv", "w") as out:
        out.write("place,latitude_deg,longitude_deg,elevation_m,bearing_deg,push_m,overtop_m,port,zone\n")
        for n in range(places):
            inland = n % 7 == 3
            bearing = "" if n % 5 == 2 else f"{draw.uniform(0, 360):.1f}"
            tide = ",,," if inland else f"5.5,7.0,port{n % 20},"
            zone = draw.choice(ZONES)
            out.write(
                f"p{n},{draw.uniform(-80, 80):.4f},{draw.uniform(-180, 180):.4f},{draw.uniform(0, 900):.0f},"
                f"{bearing},{tide}{zone}\n"
            )
    with open(folder / "ports.csv", "w") as out:
        out.write("port,convention,constituent,amplitude_m,phase_lag_deg\n")
        for n in range(20):
            convention = ["noaa-annual", "schureman-instant", "iho-instant"][n % 3]
            out.write(f"port{n},{convention},Z0,4.4,\n")
            for name in CONSTITUENTS:
                amplitude = draw.uniform(0, 2.5 if name == "M2" else 0.3)
                out.write(f"port{n},{convention},{name},{amplitude:.4f},{draw.uniform(0, 360):.1f}\n")


def near_a_limit(found, row):
    """On the very edge of a class, batch and scalar may fall on different sides."""
    edges = [(row["sun_altitude_deg"], e, 2 * SKY_DEG) for e in (-6, 0, 12)]
    if row["light_angle_deg"] is not None:
        level = max(math.cos(math.radians(row["sun_altitude_deg"])), 1e-9)
        edges += [(row["light_angle_deg"], e, 2 * SKY_DEG / level) for e in (30, 60, 120, 160)]
    if row["tide_height_m"] is not None:
        edges += [(row["tide_height_m"], e, 2e-5) for e in (5.5, 7.0)]
    return any(abs(value - edge) <= error for value, edge, error in edges)


def compare(found, row, worst):
    level = max(math.cos(math.radians(row["sun_altitude_deg"])), 1e-9)
    for name, half in HALF_DIGIT.items():
        value, expected = found[name], row[name]
        assert pd.isna(value) == (expected is None), (name, value, expected)
        if expected is None:
            continue
        difference = value - expected
        if "azimuth" in name:
            difference = (difference + 180) % 360 - 180
        error = {"sun_azimuth_deg": SKY_DEG / level, "light_angle_deg": SKY_DEG / level}.get(name, SKY_DEG)
        if name.startswith("tide"):
            error = 1.1e-5
        tolerance = half + error + abs(expected) * 1.2e-7
        assert abs(difference) <= tolerance, (name, value, expected, row)
        worst[name] = max(worst.get(name, 0), abs(difference))
    lux = abs(found["illuminance_lx"] / row["illuminance_lx"] - 1)
    assert lux <= 0.00501, (found["illuminance_lx"], row)
    worst["illuminance_lx, relative"] = max(worst.get("illuminance_lx, relative", 0), lux)
    assert found["utc_offset_s"] == row["utc_offset_s"]
    local = found["instant_utc"].tz_localize(None) + pd.Timedelta(seconds=row["utc_offset_s"])
    assert found["instant_local"] == local
    if near_a_limit(found, row):
        return
    for name in WORDS:
        value = None if pd.isna(found[name]) else found[name]
        assert value == row[name], (name, value, row)
    usable = None if pd.isna(found["usable"]) else bool(found["usable"])
    assert usable == row["usable"], (usable, row)


def main():
    program = str(pathlib.Path(sys.argv[1]).resolve())
    draw = random.Random(20261125)
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        make_input(folder, 200, draw)
        request = ["--places", "places.csv", "--ports", "ports.csv", "--sun-altitude", "0..12"]
        span = ["--from", "2026-09-01", "--to", "2027-05-01", "--step", "37m"]
        run = lambda *more: subprocess.run([program, *more], cwd=folder, check=True, capture_output=True)
        for output in ("t.parquet", "t.arrow", "t.csv"):
            run(*request, *span, "--output", output)

        by_duckdb = duckdb.sql(f"select * from '{folder / 't.parquet'}'").df()
        by_pandas = pd.read_parquet(folder / "t.parquet")
        arrow = pd.read_feather(folder / "t.arrow")
        text = pd.read_csv(folder / "t.csv", low_memory=False)
        count = duckdb.sql(f"select count(*) from '{folder / 't.parquet'}'").fetchall()[0][0]
        assert len(by_pandas) == len(by_duckdb) == len(arrow) == len(text) == count
        for column in by_pandas.columns:
            if column in HALF_DIGIT or column == "illuminance_lx":
                reference = by_pandas[column]
                for other in (by_duckdb[column], arrow[column], text[column].astype("float32")):
                    assert reference.equals(other.astype("float32")), column
            elif column in WORDS + ["place"]:
                reference = by_pandas[column].astype(object)
                for other in (by_duckdb[column], arrow[column], text[column]):
                    other = other.astype(object)
                    assert ((reference == other) | (reference.isna() & other.isna())).all(), column
        limits = duckdb.sql(
            f"select coalesce(limiting_condition, 'usable') as state, count(*) as rows from '{folder / 't.parquet'}' "
            "group by 1 order by 2 desc"
        ).fetchall()

        wanted = sorted(draw.sample(range(count), 5000))
        places = {f"p{n}": n for n in range(200)}
        rows = by_pandas.iloc[wanted]
        lines = "".join(f"{places[r.place]},{r.instant_utc.isoformat()}\n" for r in rows.itertuples())
        (folder / "wanted.txt").write_text(lines)
        scalar = run("row", *request, "--wanted", "wanted.txt").stdout.decode()
        worst = {}
        for (_, found), line in zip(rows.iterrows(), io.StringIO(scalar), strict=True):
            compare(found, json.loads(line), worst)
        print(f"{len(wanted)} random rows of {count} agree with the scalar functions; largest differences:")
        for name, value in worst.items():
            print(f"  {name:26} {value:.2e}")
        print("rows by state:", ", ".join(f"{state} {rows}" for state, rows in limits))


main()
