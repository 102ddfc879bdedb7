"""What the tests share: invented places and ports."""

import csv
import struct
from collections import defaultdict
from pathlib import Path

import pytest

# The figures that every language is held to, written by Rust.
PARITY = Path(__file__).parents[2] / "embed" / "tests" / "parity.csv"
CONSTITUENTS = {"M2": (2.52, 171.0), "S2": (0.86, 219.0), "K1": (0.14, 290.0), "M4": (0.21, 243.0)}


@pytest.fixture(scope="session")
def parity():
    """Rows of the parity file: quantity and subject to pairs of x and value."""
    rows = defaultdict(list)
    with PARITY.open() as file:
        for row in csv.DictReader(file):
            value = struct.unpack(">d", bytes.fromhex(row["bits"]))[0]
            rows[row["quantity"], row["subject"]].append((row["x"], value))
    return rows


@pytest.fixture
def files(tmp_path):
    """A file of places and one of ports."""
    places, ports = tmp_path / "places.csv", tmp_path / "ports.csv"
    lines = ["place,latitude_deg,longitude_deg,elevation_m,bearing_deg,push_m,overtop_m,port,zone"]
    for n in range(30):
        lines.append(
            f"p{n},{-60 + 4 * n},{-170 + 11 * n},{n},{12 * n},5.5,7.0,h{n % 7},Europe/London"
        )
    places.write_text("\n".join(lines) + "\n")
    lines = ["port,convention,constituent,amplitude_m,phase_lag_deg"]
    for n in range(7):
        lines.append(f"h{n},iho-instant,Z0,4.4,")
        for name, (amplitude, lag) in CONSTITUENTS.items():
            lines.append(f"h{n},iho-instant,{name},{amplitude + 0.01 * n},{lag}")
    ports.write_text("\n".join(lines) + "\n")
    return places, ports
