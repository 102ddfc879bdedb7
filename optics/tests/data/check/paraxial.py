"""Recomputes tests/data/paraxial.csv with three independent tracers and compares.

    pip install mpmath optiland rayoptics
    python paraxial.py

mpmath multiplies ray-transfer matrices with 30 digits; optiland and rayoptics trace paraxial rays
in their own way. A package that is not installed is left out, and said so.
"""

import csv
import json
import pathlib
import sys

from mpmath import inf, matrix, mp, mpf

mp.dps = 30
DATA = pathlib.Path(__file__).parent.parent
PRESCRIPTIONS = json.loads((DATA / "paraxial_prescriptions.json").read_text())


def by_matrices(surfaces):
    whole = matrix([[1, 0], [0, 1]])
    front = rear = None
    index = mpf(1)
    for at, surface in enumerate(surfaces):
        if surface["stop"]:
            front, rear = whole.copy(), matrix([[1, 0], [0, 1]])
        after = mpf(surface["n_after"])
        radius = inf if surface["R"] is None else mpf(surface["R"])
        step = matrix([[1, 0], [-(after - index) / radius if radius != inf else 0, 1]])
        if at + 1 < len(surfaces):
            gap = mpf(surfaces[at + 1]["z"]) - mpf(surface["z"])
            step = matrix([[1, gap / after], [0, 1]]) * step
        whole = step * whole
        if rear is not None:
            rear = step * rear
        index = after
    last = mpf(surfaces[-1]["z"])
    a, c, d = whole[0, 0], whole[1, 0], whole[1, 1]
    return {
        "effective focal length": -1 / c,
        "back focal distance (last vertex to F2)": -a / c,
        "front principal plane, z from first vertex": (d - 1) / c,
        "rear principal plane, z from first vertex": last + (1 - a) / c,
        "principal plane separation HH2 (signed)": last + (2 - a - d) / c,
        "entrance pupil, z from first vertex": front[0, 1] / front[0, 0],
        "exit pupil, z from first vertex": last - rear[0, 1] / rear[1, 1],
        "pupil magnification XP/EP diameter": abs(front[0, 0] / rear[1, 1]),
    }


def by_optiland(surfaces):
    from optiland.materials import IdealMaterial
    from optiland.optic import Optic

    lens = Optic()
    lens.surfaces.add(index=0, thickness=float("inf"))
    for at, surface in enumerate(surfaces):
        gap = surfaces[at + 1]["z"] - surface["z"] if at + 1 < len(surfaces) else 10.0
        radius = float("inf") if surface["R"] is None else surface["R"]
        lens.surfaces.add(
            index=at + 1,
            radius=radius,
            thickness=gap,
            material=IdealMaterial(surface["n_after"]),
            is_stop=surface["stop"],
        )
    lens.surfaces.add(index=len(surfaces) + 1)
    lens.set_aperture(aperture_type="EPD", value=1.0)
    lens.fields.set_type("angle")
    lens.fields.add(y=0)
    lens.wavelengths.add(value=0.55, is_primary=True)
    return {
        "effective focal length": float(lens.paraxial.f2().item()),
        "pupil magnification XP/EP diameter": abs(float(lens.paraxial.XPD().item())),
    }


def by_rayoptics(surfaces):
    from rayoptics.environment import FieldSpec, OpticalModel, PupilSpec, WvlSpec

    model = OpticalModel()
    spec = model["optical_spec"]
    spec["pupil"] = PupilSpec(spec, key=["object", "epd"], value=1.0)
    spec["fov"] = FieldSpec(
        spec, key=["object", "angle"], value=1.0, flds=[0.0, 1.0], is_relative=True
    )
    spec["wvls"] = WvlSpec([("d", 1.0)], ref_wl=0)
    sequence = model["seq_model"]
    sequence.do_apertures = False
    sequence.gaps[0].thi = 1e10
    for at, surface in enumerate(surfaces):
        gap = surfaces[at + 1]["z"] - surface["z"] if at + 1 < len(surfaces) else 10.0
        curvature = 0.0 if surface["R"] is None else 1 / surface["R"]
        # A glass is given by its index at the d line and an Abbe number, which plays no part at
        # that line.
        medium = [] if surface["n_after"] == 1.0 else [surface["n_after"], 60.0]
        sequence.add_surface([curvature, gap, *medium])
        if surface["stop"]:
            sequence.set_stop()
    model.update_model()
    first = model["analysis_results"]["parax_data"].fod
    return {
        "effective focal length": first.efl,
        "back focal distance (last vertex to F2)": first.bfl,
    }


def main():
    results = {}
    for name, trace in [
        ("matrices", by_matrices),
        ("optiland", by_optiland),
        ("rayoptics", by_rayoptics),
    ]:
        try:
            results[name] = {
                system: trace(lens["surfaces"]) for system, lens in PRESCRIPTIONS.items()
            }
        except (
            Exception
        ) as problem:  # another version of a peer, or none: say so and go on with the others
            print(f"{name} left out: {problem!r}")
    lines = [line for line in (DATA / "paraxial.csv").open() if not line.startswith("#")]
    worst = {name: 0.0 for name in results}
    for row in csv.DictReader(lines):
        for name, systems in results.items():
            value = systems[row["system"]].get(row["quantity"])
            if value is not None:
                worst[name] = max(worst[name], abs(float(value) / float(row["expected"]) - 1))
    for name, deviation in worst.items():
        print(f"{name}: largest relative deviation {deviation:.1e}")
    sys.exit("matrices" not in worst or any(deviation > 1e-5 for deviation in worst.values()))


if __name__ == "__main__":
    main()
