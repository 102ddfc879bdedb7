"""What the classes do beyond figures: they travel, let others run, give outcomes as such."""

import json
import os
import pickle
import subprocess
import threading
import time

import numpy as np
import pytest
import wrackline

OBSERVER = wrackline.Observer(53.4, 1.2, 3)
PORT = wrackline.Port(4.4, {"M2": (2.52, 171.0), "S2": (0.86, 219.0)}, "iho-instant")
KIT = wrackline.Kit(
    600, 4, minimum_focus_m=4.5, sensor_mm=(36, 24), pixels=(8000, 5333), converter=1.4, tube_mm=12
)
HOURS = np.arange("2026-01-01", "2026-03-01", dtype="datetime64[h]")


@pytest.mark.parametrize(
    "make", [lambda: OBSERVER, lambda: PORT, lambda: KIT, wrackline.Scenario.demo]
)
@pytest.mark.parametrize("protocol", range(2, pickle.HIGHEST_PROTOCOL + 1))
def test_pickled_by_content(make, protocol):
    thing = make()
    copy = pickle.loads(pickle.dumps(thing, protocol))
    assert copy is not thing
    assert copy == thing and repr(copy) == repr(thing)


def test_results_pickle():
    analysis = wrackline.analyse(HOURS, PORT.heights(HOURS), "iho-instant")
    results = [
        OBSERVER.sun(HOURS),
        PORT.turns(HOURS[0], HOURS[-1]),
        analysis,
        KIT.depth_of_field(20, circle_mm=0.03),
    ]
    for result in results:
        copy = pickle.loads(pickle.dumps(result))
        assert type(copy) is type(result)
        assert repr(copy) == repr(result)


def test_different_things_are_not_equal():
    assert OBSERVER != wrackline.Observer(53.4, 1.2, 3.5) and OBSERVER != 3
    assert PORT != wrackline.Port(4.4, {"M2": (2.52, 171.0)}, "iho-instant")


def test_a_scenario_with_includes_travels_without_its_files(tmp_path):
    demo = wrackline.Scenario.demo()
    (name, text), *_ = demo.__reduce__()[1][1].items()
    head, kit = text.split("[[body]]", 1)
    tail_at = kit.find("\n[[place]]") if "\n[[place]]" in kit else len(kit)
    (tmp_path / "kit.toml").write_text("[[body]]" + kit[:tail_at])
    (tmp_path / "coast.toml").write_text('include = ["kit.toml"]\n' + head + kit[tail_at:])
    scenario = wrackline.Scenario(tmp_path / "coast.toml")
    carried = pickle.dumps(scenario)
    for file in tmp_path.iterdir():
        file.unlink()
    copy = pickle.loads(carried)
    assert copy == scenario and copy.seats == demo.seats


def test_other_threads_go_on_while_a_batch_runs():
    minutes = np.arange("2000-01-01", "2006-01-01", dtype="datetime64[m]")
    batch = threading.Thread(target=OBSERVER.moon, args=(minutes,))
    counted, slept = 0, []
    batch.start()
    while batch.is_alive():
        before = time.monotonic()
        time.sleep(0.001)
        slept.append(time.monotonic() - before)
        counted += 1
    # With the lock held this thread would come to turn a few times, at the batch's two ends.
    assert counted > 20, (counted, max(slept))


def test_constants_come_back_from_their_own_heights():
    found = wrackline.analyse(HOURS, PORT.heights(HOURS), "iho-instant", constituents=["M2", "S2"])
    lines = {line.name: line for line in found.harmonics}
    # The heights are exact but for the batch's micrometre.
    assert lines["M2"].amplitude_m == pytest.approx(2.52, abs=2e-5)
    assert lines["S2"].phase_lag_deg == pytest.approx(219.0, abs=2e-3)
    assert found.residual.readings == len(HOURS) and found.residuals_m.shape == HOURS.shape
    assert np.abs(found.port.heights(HOURS) - PORT.heights(HOURS)).max() < 1e-4


def test_polar_day_is_an_outcome():
    north = wrackline.Observer(70, 25)
    found = north.sun_crossings("sunrise", "2026-06-21T00:00Z", "2026-06-22T00:00Z")
    assert len(found.at) == 0 and found.outcome == "always above" and found.margin_deg > 4


def test_a_depth_without_end_is_none():
    wide = wrackline.Kit(24, 8, minimum_focus_m=0.2, sensor_mm=(36, 24), pixels=(8000, 5333))
    zone = wide.depth_of_field(10, circle_mm=0.03)
    assert zone.far_m is None and zone.behind_m is None and zone.near_m < 10


def test_a_claim_is_judged():
    answer = KIT.reaches_like(840, 5.6, length_m=0.24, height_m=0.2, distance_m=20.0)
    assert answer["verdicts"]["claim"]["lens"]["focal_length_mm"] == pytest.approx(840)
    assert any("stand-off" in caution for caution in answer["cautions"])


def test_a_season_is_that_of_the_program():
    season = wrackline.season(wrackline.Scenario.demo(), "2026-11-25", days=40, count=5)
    assert season["windows"] and season["cautions"]
    program = os.environ.get("WRACKLINE_PROGRAMS")
    if program is None:
        pytest.skip("WRACKLINE_PROGRAMS names no folder of programs")
    options = "--from 2026-11-25 --days 40 --count 5 --format json".split()
    told = subprocess.run(
        [f"{program}/season", *options], check=True, capture_output=True, text=True
    )
    assert season == json.loads(told.stdout)
