"""Measures everything and prints the tables that the README is made from.

Run from anywhere: python3 benches/tables.py [--no-criterion] [--python]

First the criterion benchmarks, in which ours and the peers run one after the other and are held
against each other before they are timed; then the program `visibility` on 1,000 invented places,
each with a port of its own of 37 constituents, at 10,000 instants. With --python only the Python
wheel, which the interpreter must have, beside the Python libraries that it has.
"""

import json
import pathlib
import random
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent
CONSTITUENTS = (
    "M2 S2 N2 K1 M4 O1 M6 MK3 S4 MN4 NU2 S6 MU2 2N2 OO1 LAM2 S1 M1 J1 MM SSA SA MSF MF RHO1 Q1 "
    "T2 R2 2Q1 P1 2SM2 M3 L2 2MK3 K2 M8 MS4"
).split()


def cargo(*arguments):
    subprocess.run(["cargo", *arguments], cwd=ROOT, check=True)


def target():
    told = subprocess.run(
        ["cargo", "metadata", "--format-version", "1", "--no-deps"],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    return pathlib.Path(json.loads(told.stdout)["target_directory"])


def spell(nanoseconds):
    for unit, size in (("s", 1e9), ("ms", 1e6), ("µs", 1e3)):
        if nanoseconds >= size:
            return f"{nanoseconds / size:.3g} {unit}"
    return f"{nanoseconds:.3g} ns"


def criterion(folder):
    print("| work | by | time | an element |\n| --- | --- | --- | --- |")
    for file in sorted(folder.glob("**/new/benchmark.json")):
        about = json.loads(file.read_text())
        time = json.loads((file.parent / "estimates.json").read_text())["median"]["point_estimate"]
        throughput = about.get("throughput") or {}
        each = spell(time / throughput["Elements"]) if "Elements" in throughput else ""
        print(
            f"| {about['group_id']} | {about.get('function_id') or ''} | {spell(time)} | {each} |"
        )
    print()


def make_input(folder):
    draw = random.Random(7)
    with open(folder / "places.csv", "w") as out:
        out.write(
            "place,latitude_deg,longitude_deg,elevation_m,bearing_deg,push_m,overtop_m,port\n"
        )
        for n in range(1000):
            latitude, longitude = draw.uniform(-65, 65), draw.uniform(-180, 180)
            site = f"{latitude:.4f},{longitude:.4f},{draw.uniform(0, 50):.1f}"
            out.write(f"p{n},{site},{draw.uniform(0, 359):.0f},5.5,7.0,port{n}\n")
    with open(folder / "ports.csv", "w") as out:
        out.write("port,convention,constituent,amplitude_m,phase_lag_deg\n")
        for n in range(1000):
            out.write(f"port{n},schureman-instant,Z0,4.4,\n")
            for name in CONSTITUENTS:
                amplitude = draw.uniform(0, 2.5 if name == "M2" else 0.3)
                out.write(
                    f"port{n},schureman-instant,{name},{amplitude:.4f},{draw.uniform(0, 360):.1f}\n"
                )


def batch_table(program, folder):
    """One run for each format."""
    request = "--places places.csv --ports ports.csv --sun-altitude 0..12".split()
    span = "--from 2026-11-01T00:00:00Z --to 2027-01-09T10:40:00Z --timings".split()
    print(
        "| format | elapsed | processor | largest memory | size | sky | tide | rows | encoding "
        "| writing |"
    )
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    for name in ("parquet", "arrow", "csv", "jsonl"):
        command = [
            "/usr/bin/env",
            "time",
            "-f",
            "%e %U %S %M",
            program,
            *request,
            *span,
            "--output",
            f"t.{name}",
        ]
        told = subprocess.run(
            command, cwd=folder, check=True, capture_output=True, text=True
        ).stderr.split("\n")
        costs = json.loads(told[0])
        elapsed, user, system, kibibytes = map(float, told[1].split())
        assert costs["rows"] == 10_000_000
        sky = costs["prepare_sky_s"] + costs["sky_s"]
        parts = " | ".join(
            f"{s:.1f} s"
            for s in (sky, *(costs[k] for k in ("tide_s", "rows_s", "encode_s", "write_s")))
        )
        memory = f"{kibibytes / 1024:.0f} MiB"
        print(
            f"| {name} | {elapsed:.1f} s | {user + system:.1f} s | {memory} "
            f"| {costs['bytes'] / 1e6:.0f} MB | {parts} |"
        )
        (folder / f"t.{name}").unlink()


def main():
    if "--python" in sys.argv:
        subprocess.run([sys.executable, ROOT / "benches" / "tables_python.py"], check=True)
        return
    if "--no-criterion" not in sys.argv:
        cargo("bench", "-p", "wrackline-benches")
        criterion(target() / "criterion")
    cargo("build", "--release", "-p", "wrackline-visibility", "--bin", "visibility")
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        make_input(folder)
        batch_table(target() / "release" / "visibility", folder)


main()
