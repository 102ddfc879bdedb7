"""What the functions of the package give back."""

from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from ._native import Port


class Directions(NamedTuple):
    """Where a body stands, without the air, in the shape of the instants."""

    azimuth_deg: NDArray[np.float64]
    """Clockwise from true north, 0 to 360."""
    altitude_deg: NDArray[np.float64]
    """Of the centre, above the horizontal."""


class MoonDirections(NamedTuple):
    """Where the moon stands, without the air, and how it is lit, in the shape of the instants."""

    azimuth_deg: NDArray[np.float64]
    altitude_deg: NDArray[np.float64]
    distance_km: NDArray[np.float64]
    """From the observer."""
    lit_fraction: NDArray[np.float64]
    """Of the disc, 0 to 1."""
    phase_angle_deg: NDArray[np.float64]
    """Angle at the moon between sun and Earth: 0 is full, 180 new."""


class Crossings(NamedTuple):
    """All crossings of an altitude in a span, in order of time, and what the span comes to."""

    at: NDArray[np.datetime64]
    """UTC, to the microsecond."""
    is_rising: NDArray[np.bool_]
    azimuth_deg: NDArray[np.float64]
    uncertainty_s: NDArray[np.float64]
    """What the weather's refraction and the theory leave open, either way."""
    outcome: Literal["crosses", "grazes", "always above", "always below"]
    """Polar day is "always above" the altitude of sunrise, polar night "always below" it."""
    margin_deg: float | None
    """By how much the altitude is missed or passed; none where it is crossed clearly."""


class Transits(NamedTuple):
    """All passages of the meridian in a span, in order of time."""

    at: NDArray[np.datetime64]
    altitude_deg: NDArray[np.float64]
    is_upper: NDArray[np.bool_]
    """Whether the body stands highest there, rather than lowest."""


class Stretches(NamedTuple):
    """Stretches of time in order, each without its end."""

    start: NDArray[np.datetime64]
    end: NDArray[np.datetime64]


class Turns(NamedTuple):
    """High and low waters in order of time."""

    at: NDArray[np.datetime64]
    """UTC, to the microsecond."""
    height_m: NDArray[np.float64]
    """Above the port's datum."""
    is_high: NDArray[np.bool_]


class FittedHarmonic(NamedTuple):
    """One constituent as found, with its standard errors."""

    name: str
    speed_deg_per_h: float
    amplitude_m: float
    amplitude_error_m: float
    phase_lag_deg: float
    """Greenwich phase lag for UTC."""
    phase_lag_error_deg: float
    signal_to_noise: float
    """Below about 10 the constituent is hardly there."""


class ResidualSummary(NamedTuple):
    """What is left when the fit is taken from the readings."""

    readings: int
    standard_deviation_m: float
    highest_m: float
    lowest_m: float
    explained: float
    """Share of the readings' variance, 0 to 1."""
    mean_weight: float
    """1 unless readings far off were weighed down."""


class Analysis(NamedTuple):
    """Harmonic constants found in a record of readings."""

    mean_level_m: float
    """Above the gauge's zero, at the middle of the record."""
    trend_m_per_year: float | None
    harmonics: list[FittedHarmonic]
    """In order of speed."""
    residual: ResidualSummary
    residuals_m: NDArray[np.float64]
    """Reading less fit, in the order of the readings."""
    port: "Port"
    """The constants as a port that predicts, without the trend."""


class Column(NamedTuple):
    """One column of a table of visibility."""

    name: str
    """With its unit."""
    type: str
    unit: str
    is_nullable: bool
    meaning: str


class Part(NamedTuple):
    """A stretch of the instants of a table at a block of its places."""

    instants_cut: int
    """Which cut of the instants, counted from 0."""
    places_cut: int
    """Which cut of the places, counted from 0."""
    instants: tuple[int, int]
    """First and end, by their positions."""
    places: tuple[int, int]
    """First and end, by their positions."""

    @property
    def name(self) -> str:
        """The name of its file in a data set, without an ending."""
        return f"part-t{self.instants_cut:05}-p{self.places_cut:05}"

    @property
    def num_rows(self) -> int:
        return (self.instants[1] - self.instants[0]) * (self.places[1] - self.places[0])


class DepthOfField(NamedTuple):
    """The zone in which points pass for points; distances from the sensor plane."""

    near_m: float
    far_m: float | None
    """None where it has no end."""
    in_front_m: float
    behind_m: float | None
    total_m: float | None
