"""The same bits as the Rust libraries."""

import struct

import numpy as np
import pytest
import wrackline

SITES = ("spit_end", "high_north", "far_south")
PORTS = {"haven_annual": "schureman-annual", "haven_instant": "iho-instant"}


def given(parity, name, subject):
    return parity[f"given.{name}", subject][0][1]


def same(found, expected):
    """Bit for bit."""
    found = np.asarray(found, dtype=float).ravel().tolist()
    assert [struct.pack(">d", value).hex() for value in found] == [
        struct.pack(">d", value).hex() for value in expected
    ]


def column(parity, quantity, subject):
    rows = parity[quantity, subject]
    assert rows, (quantity, subject)
    return [x for x, _ in rows], [value for _, value in rows]


def instants(xs):
    return np.array([int(x) for x in xs], dtype="datetime64[ms]")


def span(parity, subject):
    start, end = (int(given(parity, f"span_{name}_ms", subject)) for name in ("start", "end"))
    return np.datetime64(start, "ms"), np.datetime64(end, "ms")


@pytest.fixture(params=SITES)
def observer(request, parity):
    site = (
        given(parity, name, request.param)
        for name in ("latitude_deg", "longitude_deg", "elevation_m")
    )
    return request.param, wrackline.Observer(*site)


@pytest.fixture(params=PORTS)
def port(request, parity):
    names, amplitudes = column(parity, "given.amplitude_m", request.param)
    _, lags = column(parity, "given.phase_lag_deg", request.param)
    level = given(parity, "mean_level_m", request.param)
    lines = dict(zip(names, zip(amplitudes, lags)))
    return request.param, wrackline.Port(level, lines, PORTS[request.param])


def test_single_instants(parity, observer):
    name, observer = observer
    for quantity in ("azimuth_deg", "altitude_deg"):
        xs, expected = column(parity, f"sun.{quantity}", name)
        same([getattr(observer.sun(at), quantity) for at in instants(xs)], expected)
    for quantity in ("azimuth_deg", "altitude_deg", "distance_km", "lit_fraction"):
        xs, expected = column(parity, f"moon.{quantity}", name)
        same([getattr(observer.moon(at), quantity) for at in instants(xs)], expected)


def test_few_instants_over_a_long_time_are_single_ones(parity, observer):
    name, observer = observer
    xs, expected = column(parity, "sun.altitude_deg", name)
    same(observer.sun(instants(xs)).altitude_deg, expected)


@pytest.mark.parametrize("way", ("scattered", "even"))
def test_batches_of_the_sky(parity, observer, way):
    name, observer = observer
    xs, expected = column(parity, f"sun_{way}.altitude_deg", name)
    same(observer.sun(instants(xs)).altitude_deg, expected)
    if way == "even":
        xs, expected = column(parity, "sun_even.azimuth_deg", name)
        same(observer.sun(instants(xs)).azimuth_deg, expected)
    xs, expected = column(parity, f"moon_{way}.altitude_deg", name)
    same(observer.moon(instants(xs)).altitude_deg, expected)


def test_crossings_and_transits(parity, observer):
    name, observer = observer
    start, end = span(parity, name)
    found = observer.sun_crossings("sunrise", start, end)
    _, expected = column(parity, "sunrise.at_us", name)
    same(found.at.astype("int64"), expected)
    _, expected = column(parity, "sunrise.azimuth_deg", name)
    same(found.azimuth_deg, expected)
    found = observer.moon_transits(start, end)
    same(found.at.astype("int64"), column(parity, "moon_transit.at_us", name)[1])
    same(found.altitude_deg, column(parity, "moon_transit.altitude_deg", name)[1])
    same(found.is_upper, column(parity, "moon_transit.is_upper", name)[1])


def test_heights(parity, port):
    name, port = port
    xs, expected = column(parity, "height_m", name)
    same([port.heights(at) for at in instants(xs)], expected)
    for way in ("scattered", "even"):
        xs, expected = column(parity, f"height_{way}_m", name)
        same(port.heights(instants(xs)), expected)
    xs, expected = column(parity, "rate_m_per_h", name)
    same(port.rates(instants(xs)), expected)


def test_turns_and_levels(parity, port):
    name, port = port
    start, end = span(parity, name)
    turns = port.turns(start, end)
    same(turns.at.astype("int64"), column(parity, "turn.at_us", name)[1])
    same(turns.height_m, column(parity, "turn.height_m", name)[1])
    same(turns.is_high, column(parity, "turn.is_high", name)[1])
    above = port.above(given(parity, "level_m", name), start, end)
    same(above.start.astype("int64"), column(parity, "above.start_us", name)[1])
    same(above.end.astype("int64"), column(parity, "above.end_us", name)[1])


def test_framing(parity):
    name = "long_kit"
    kit = wrackline.Kit(
        given(parity, "focal_length_mm", name),
        given(parity, "f_number", name),
        minimum_focus_m=given(parity, "minimum_focus_m", name),
        converter=given(parity, "converter", name),
        sensor_mm=(given(parity, "sensor_width_mm", name), given(parity, "sensor_height_mm", name)),
        pixels=(int(given(parity, "columns", name)), int(given(parity, "rows", name))),
    )
    for figure in ("focal_length_mm", "effective_f_number", "minimum_focus_m"):
        same([getattr(kit, figure)], column(parity, f"kit.{figure}", name)[1])
    subject = given(parity, "subject_m", name)
    circle = given(parity, "circle_pixels", name)
    xs, expected = column(parity, "frame_share", name)
    same(kit.frame_share(subject, [float(x) for x in xs]), expected)
    same([kit.frame_share(subject, float(x)) for x in xs], expected)
    same(kit.pixels_along(subject, [float(x) for x in xs]), column(parity, "pixels_along", name)[1])
    zones = [kit.depth_of_field(float(x), circle_pixels=circle) for x in xs]
    same([zone.near_m for zone in zones], column(parity, "near_m", name)[1])
    same([zone.far_m for zone in zones if zone.far_m is not None], column(parity, "far_m", name)[1])
    xs, expected = column(parity, "distance_for_share", name)
    same([kit.distance_for_share(subject, float(x)) for x in xs], expected)
