"""What comes in any form, and what is refused."""

import datetime
import re

import numpy as np
import pytest
import wrackline

OBSERVER = wrackline.Observer(53.4, 1.2, 3)
PORT = wrackline.Port(4.4, {"M2": (2.52, 171.0), "S2": (0.86, 219.0)}, "iho-instant")
KIT = wrackline.Kit(600, 4, minimum_focus_m=4.5, sensor_mm=(36, 24), pixels=(8000, 5333))
NEW_YEAR = "2026-01-01T00:00Z"
DAY = (NEW_YEAR, "2026-01-02T00:00Z")


@pytest.mark.parametrize(
    ("count", "unit", "seconds"),
    [
        (2, "Y", 730 * 86400),
        (2, "M", 59 * 86400),
        (1, "W", 7 * 86400),
        (-3, "D", -3 * 86400),
        (5, "h", 18000),
        (5, "m", 300),
        (7, "s", 7),
        (7000, "ms", 7),
        (7 * 10**6, "us", 7),
        (7 * 10**9, "ns", 7),
        (7 * 10**12, "ps", 7),
        (7 * 10**15, "fs", 7),
        (7 * 10**18, "as", 7),
        (3, "5m", 900),
        (2, "3D", 6 * 86400),
    ],
)
def test_every_unit_of_time_is_the_same_instant(count, unit, seconds):
    assert OBSERVER.sun(np.datetime64(count, unit)) == OBSERVER.sun(np.datetime64(seconds, "s"))


@pytest.mark.parametrize("unit", ["ms", "us", "ns", "3us", "40ms", "7ms"])
def test_parts_of_a_second_before_1970(unit):
    first = np.datetime64("1969-12-31T23:17:59.16").astype(f"datetime64[{unit}]")
    instants = first + (np.arange(5) ** 2).astype(f"timedelta64[{unit}]")
    parts = instants.astype("datetime64[ns]").astype("int64") % 10**9
    texts = [f"1969-12-31T23:17:59.{part:09}Z" for part in parts]
    assert (PORT.heights(instants) == PORT.heights(texts)).all()


def test_every_form_is_the_same_instant():
    utc = datetime.timezone.utc
    east = datetime.timezone(datetime.timedelta(hours=5, minutes=30))
    expected = OBSERVER.sun(np.datetime64("2026-12-29T09:33:00.25"))
    forms = [
        "2026-12-29T09:33:00.25Z",
        "2026-12-29T15:03:00.25+05:30",
        datetime.datetime(2026, 12, 29, 9, 33, 0, 250_000, utc),
        datetime.datetime(2026, 12, 29, 15, 3, 0, 250_000, east),
        np.array("2026-12-29T09:33:00.250", dtype=">M8[ms]"),
    ]
    for form in forms:
        assert OBSERVER.sun(form) == expected
        assert OBSERVER.sun([form]).altitude_deg.tolist() == [expected.altitude_deg]
    mixed = OBSERVER.sun(forms[:4])
    # A batch agrees with the full theory within 0.003".
    assert np.abs(mixed.altitude_deg - expected.altitude_deg).max() < 1e-6


def test_data_frames():
    pandas = pytest.importorskip("pandas")
    index = pandas.date_range("2026-12-29", periods=48, freq="30min")
    expected = OBSERVER.sun(index.to_numpy()).altitude_deg
    assert (OBSERVER.sun(index).altitude_deg == expected).all()
    assert (OBSERVER.sun(pandas.Series(index)).altitude_deg == expected).all()
    # With a zone they come as objects, no longer evenly spaced for sure: within 0.003", as batches
    # are.
    there = index.tz_localize("UTC").tz_convert("Asia/Kolkata")
    assert np.abs(OBSERVER.sun(there).altitude_deg - expected).max() < 1e-6


def test_results_have_the_shape_of_the_instants():
    instants = np.arange("2026-01-01", "2026-01-02", dtype="datetime64[h]").reshape(2, 3, 4)
    assert OBSERVER.sun(instants).altitude_deg.shape == (2, 3, 4)
    assert OBSERVER.moon(instants[:, :, ::2]).distance_km.shape == (2, 3, 2)
    assert PORT.heights(instants).shape == (2, 3, 4)
    assert PORT.heights(instants[0, 0, 0]).shape == ()
    empty = np.array([], dtype="datetime64[s]")
    assert (
        OBSERVER.sun(empty).altitude_deg.shape
        == PORT.heights(empty).shape
        == PORT.rates(empty).shape
        == (0,)
    )


def test_order_does_not_matter():
    instants = np.arange("2026-01-01", "2026-01-03", dtype="datetime64[h]") + np.arange(48) % 7
    backwards = instants[::-1]
    assert (
        OBSERVER.moon(instants).altitude_deg == OBSERVER.moon(backwards).altitude_deg[::-1]
    ).all()
    assert (PORT.heights(instants) == PORT.heights(backwards)[::-1]).all()


NAT = np.array(["2026-01-01", "NaT"], dtype="datetime64[D]")
READINGS = np.arange("2026-01-01", "2026-02-01", dtype="datetime64[h]")


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: OBSERVER.sun(NAT), r"instants\[1\] is NaT: give an instant"),
        (lambda: PORT.heights(NAT), r"instants\[1\] is NaT"),
        (lambda: OBSERVER.moon([DAY[0], "noon"]), r"instants\[1\]: .*noon"),
        (lambda: OBSERVER.sun([1, 2]), r"instants\[0\] is 1 of type int: give datetime64"),
        (lambda: OBSERVER.sun(np.array([1.5])), r"instants\[0\] is 1.5 of type float"),
        (lambda: OBSERVER.sun([None]), r"instants\[0\] is None"),
        (lambda: OBSERVER.sun("2026-01-01T00:00"), "no offset: add one"),
        (lambda: OBSERVER.sun(datetime.datetime(2026, 1, 1)), "without a zone"),
        (
            lambda: OBSERVER.sun(np.array([0, 1], "datetime64[as]")),
            r"instants\[1\] is finer than a nanosecond",
        ),
        (lambda: OBSERVER.sun(np.datetime64(10**6, "Y")), "years -9999 to 9999"),
        (lambda: OBSERVER.sun(np.datetime64(2**62, "s")), "years -9999 to 9999"),
        (lambda: OBSERVER.sun(np.datetime64(2**62, "ms")), "years -9999 to 9999"),
        (lambda: OBSERVER.sun(np.array([2**62], "M8[2000000W]")), "years -9999 to 9999"),
        (lambda: OBSERVER.sun_transits(DAY[0], NAT), "end"),
        (lambda: OBSERVER.sun_transits(NAT[:0], DAY[1]), "start holds 0 instants: give one"),
        (lambda: OBSERVER.sun_crossings("noon", *DAY), 'threshold "noon" is not known'),
        (lambda: OBSERVER.sun_crossings(float("nan"), *DAY), "altitude NaN deg is out of range"),
        (lambda: OBSERVER.sun_crossings(0, *DAY[::-1]), "holds no time"),
        (lambda: OBSERVER.sun_between(12, 0, *DAY), "give figures that rise"),
        (lambda: wrackline.Observer(95, 0), "latitude 95 deg is out of range"),
        (lambda: wrackline.Observer(0, float("nan")), "longitude NaN"),
        (lambda: wrackline.Port(4.4, {}, "iho-instant"), "no constituents"),
        (lambda: wrackline.Port(4.4, {"M2": (-1, 0)}, "iho-instant"), "amplitude of M2 is -1 m"),
        (lambda: wrackline.Port(4.4, {"QQ9": (1, 0)}, "iho-instant"), "unknown constituent `QQ9`"),
        (lambda: wrackline.Port(4.4, [("M2", 1, float("inf"))], "iho-instant"), "phase lag of M2"),
        (lambda: wrackline.Port(4.4, {"M2": (1, 0)}, "iho"), "give one of schureman-annual"),
        (lambda: PORT.heights("1500-01-01T00:00Z"), "years 1600 to 2400"),
        (
            lambda: PORT.heights(np.array(["1700-01-01", "2300-01-01"], "M8[D]").repeat(50_000)),
            "100 years a span",
        ),
        (lambda: PORT.turns(*DAY[::-1]), "holds no time"),
        (lambda: PORT.above(float("nan"), *DAY), "level NaN m is out of range"),
        (
            lambda: wrackline.analyse(READINGS, np.zeros(9), "iho-instant"),
            "744 instants go with 9 heights",
        ),
        (lambda: wrackline.analyse(READINGS, np.full(744, np.nan), "iho-instant"), "reading 0"),
        (lambda: wrackline.analyse(READINGS[:9], np.zeros(9), "iho-instant"), "reading"),
        (lambda: KIT.frame_share(0.24, [85.0, 3.0]), r"distance_m\[1\]: 3 m is nearer"),
        (lambda: KIT.frame_share(-1, 85.0), "subject"),
        (lambda: KIT.pixels_along(float("nan"), 85.0), "subject"),
        (lambda: KIT.depth_of_field(85), "give either circle_mm or circle_pixels"),
        (lambda: KIT.depth_of_field(85, circle_mm=0), "above zero"),
        (lambda: KIT.distance_for_share(0.24, float("inf")), "share"),
        (
            lambda: KIT.reaches_like(840, 4, length_m=1, height_m=-1, distance_m=50),
            "height of the subject",
        ),
        (lambda: wrackline.judge_reach("first = 1"), "question"),
        (lambda: wrackline.Scenario("none.toml"), "none.toml:1:1: cannot be read"),
        (lambda: wrackline.Scenario.of_texts("a.toml", {"a.toml": "zone = 3"}), "a.toml:1"),
        (lambda: wrackline.season(wrackline.Scenario.demo(), "tomorrow"), "YYYY-MM-DD"),
        (
            lambda: wrackline.season(wrackline.Scenario.demo(), "2026-11-25", days=0),
            "0 days is out of range",
        ),
        (
            lambda: wrackline.season(wrackline.Scenario.demo(), "2026-11-25", place="x"),
            'no place "x"',
        ),
        (
            lambda: wrackline.season(wrackline.Scenario.demo(), "2026-11-25", tide="slack"),
            "flood, ebb or both",
        ),
    ],
)
def test_bad_input_is_told(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_numbers_of_the_wrong_type_are_refused():
    with pytest.raises(TypeError):
        wrackline.Observer("north", 0)
    with pytest.raises(TypeError):
        wrackline.Port(4.4, {"M2": 1}, "iho-instant")


def test_messages_name_no_flags():
    for text in ("2026-01-01T00:00", "x"):
        with pytest.raises(ValueError) as caught:
            OBSERVER.sun(text)
        assert not re.search("--[a-z]", str(caught.value))
