from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from os import PathLike
from typing import Any, Literal, Self, TypeAlias, final, overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ._results import (
    Analysis,
    Column,
    Crossings,
    DepthOfField,
    Directions,
    MoonDirections,
    Part,
    Stretches,
    Transits,
    Turns,
)

_Instant: TypeAlias = str | datetime | np.datetime64
_Instants: TypeAlias = _Instant | NDArray[np.datetime64] | Sequence[_Instant] | ArrayLike
_Threshold: TypeAlias = float | Literal["sunrise", "moonrise", "civil", "nautical", "astronomical"]
_Convention: TypeAlias = Literal[
    "schureman-annual", "schureman-instant", "iho-instant", "rijkswaterstaat"
]

__all__ = [
    "Kit",
    "Observer",
    "PartOfTable",
    "Port",
    "Scenario",
    "TableSchema",
    "VisibilityTable",
    "__version__",
    "analyse",
    "judge_reach",
    "season",
]

__version__: str

@final
class Observer:
    """Somebody who looks at the sky from a place on the WGS84 ellipsoid: latitude north, longitude
    east.
    """

    def __new__(
        cls, latitude_deg: float, longitude_deg: float, elevation_m: float = 0.0
    ) -> Self: ...
    @property
    def latitude_deg(self) -> float: ...
    @property
    def longitude_deg(self) -> float: ...
    @property
    def elevation_m(self) -> float: ...
    def sun(self, instants: _Instants) -> Directions:
        """Where the sun stands. Even steps are the fastest; a few instants over a long time are
        worked out one by one.
        """
    def moon(self, instants: _Instants) -> MoonDirections:
        """Where the moon stands and how it is lit."""
    def sun_crossings(self, threshold: _Threshold, start: _Instant, end: _Instant) -> Crossings:
        """All instants at which the sun's centre crosses an airless altitude in degrees, or one of
        those with a name.
        """
    def moon_crossings(self, threshold: _Threshold, start: _Instant, end: _Instant) -> Crossings:
        """All instants at which the moon crosses an airless altitude in degrees, or one of those
        with a name.
        """
    def sun_transits(self, start: _Instant, end: _Instant) -> Transits: ...
    def moon_transits(self, start: _Instant, end: _Instant) -> Transits: ...
    def sun_between(
        self, lowest_deg: float, highest_deg: float, start: _Instant, end: _Instant
    ) -> Stretches:
        """The stretches in which the sun's centre stands in a band of airless altitudes."""
    def moon_between(
        self, lowest_deg: float, highest_deg: float, start: _Instant, end: _Instant
    ) -> Stretches:
        """The stretches in which the moon's centre stands in a band of airless altitudes."""
    def __getnewargs__(self) -> tuple[float, float, float]: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    __hash__: None  # type: ignore[assignment]

@final
class Port:
    """A port by its harmonic constants: names with amplitude in metres and Greenwich phase lag in
    degrees for UTC.

    The convention is that of whoever analysed the constants, and has no default.
    """

    def __new__(
        cls,
        mean_level_m: float,
        constituents: Mapping[str, tuple[float, float]] | Iterable[tuple[str, float, float]],
        convention: _Convention,
    ) -> Self: ...
    @property
    def mean_level_m(self) -> float: ...
    @property
    def constituents(self) -> list[tuple[str, float, float]]: ...
    @property
    def convention(self) -> str: ...
    def heights(self, instants: _Instants) -> NDArray[np.float64]:
        """Estimated heights of the tide above the port's datum, metres."""
    def rates(self, instants: _Instants) -> NDArray[np.float64]:
        """Rates of rise, metres an hour, negative when the water falls."""
    def turns(self, start: _Instant, end: _Instant) -> Turns:
        """All high and low waters of a span, none missed."""
    def above(self, level_m: float, start: _Instant, end: _Instant) -> Stretches:
        """The stretches with the water above a level."""
    def below(self, level_m: float, start: _Instant, end: _Instant) -> Stretches:
        """The stretches with the water at or below a level."""
    def __getnewargs__(self) -> tuple[float, list[tuple[str, float, float]], str]: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    __hash__: None  # type: ignore[assignment]

def analyse(
    instants: _Instants,
    heights_m: ArrayLike,
    convention: _Convention,
    *,
    constituents: Sequence[str] | None = None,
    rayleigh: float = 1.0,
    trend: bool = False,
    robust: bool = False,
) -> Analysis:
    """Finds the harmonic constants of a record of readings: those named, or all that the record can
    tell apart.
    """

@final
class Kit:
    """A lens on a sensor, with converter and extension tube between them."""

    def __new__(
        cls,
        focal_length_mm: float,
        f_number: float,
        *,
        minimum_focus_m: float,
        sensor_mm: tuple[float, float],
        pixels: tuple[int, int],
        converter: float | None = None,
        tube_mm: float | None = None,
        pupil_magnification: float = 1.0,
        principal_separation_mm: float = 0.0,
    ) -> Self: ...
    @property
    def focal_length_mm(self) -> float:
        """Of lens and converter, with the focus at infinity."""
    @property
    def effective_f_number(self) -> float: ...
    @property
    def minimum_focus_m(self) -> float: ...
    @overload
    def frame_share(self, subject_m: float, distance_m: float) -> float:
        """Length of a subject over the frame's width, at a distance from the sensor plane."""
    @overload
    def frame_share(
        self, subject_m: float, distance_m: NDArray[np.float64] | Sequence[float]
    ) -> NDArray[np.float64]: ...
    @overload
    def pixels_along(self, subject_m: float, distance_m: float) -> float:
        """Pixels along a subject that lies across the frame."""
    @overload
    def pixels_along(
        self, subject_m: float, distance_m: NDArray[np.float64] | Sequence[float]
    ) -> NDArray[np.float64]: ...
    def distance_for_share(self, subject_m: float, share: float) -> float:
        """The distance from the sensor plane at which a subject takes a share of the frame's width.

        A stand-off distance is not a matter of framing: it goes first.
        """
    def depth_of_field(
        self,
        distance_m: float,
        *,
        circle_mm: float | None = None,
        circle_pixels: float | None = None,
    ) -> DepthOfField:
        """The zone in which points pass for points, by one of the two choices of circle."""
    def reaches_like(
        self,
        focal_length_mm: float,
        f_number: float,
        *,
        length_m: float,
        height_m: float,
        distance_m: float,
        sensor_mm: tuple[float, float] | None = None,
        pixels: tuple[int, int] | None = None,
    ) -> dict[str, Any]:
        """The claim that this kit reaches like another lens, judged for every meaning of reach,
        with what was assumed.
        """
    def __getnewargs_ex__(self) -> tuple[tuple[float, float], dict[str, Any]]: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    __hash__: None  # type: ignore[assignment]

def judge_reach(question: str, name: str = "question") -> dict[str, Any]:
    """A question of reach in TOML, two kits or a kit and a claim before one subject, judged."""

@final
class Scenario:
    """Places, seats, animals, closures, water and kit of a scenario file, read and checked. Pickled
    as the texts of its files.
    """

    def __new__(cls, path: str | PathLike[str]) -> Self: ...
    @staticmethod
    def demo() -> Scenario:
        """The invented demo."""
    @staticmethod
    def of_texts(name: str, texts: Mapping[str, str]) -> Scenario:
        """A scenario from texts by name: its own, and those that it includes."""
    @property
    def title(self) -> str: ...
    @property
    def zone(self) -> str: ...
    @property
    def seats(self) -> list[tuple[str, str]]:
        """Each place with each of its seats, by their ids."""
    def __reduce__(self) -> tuple[Any, ...]: ...
    def __eq__(self, other: object, /) -> bool: ...
    __hash__: None  # type: ignore[assignment]

def season(
    scenario: Scenario,
    start: str | date,
    *,
    days: int = 90,
    place: str | None = None,
    subject: str | None = None,
    light: str | None = None,
    tide: Literal["flood", "ebb", "both"] = "both",
    count: int = 15,
) -> dict[str, Any]:
    """The ranked windows of a season from a civil day on, what each seat came to, and the cautions
    that belong to them.
    """

_File: TypeAlias = str | PathLike[str] | tuple[str, str]
_Duration: TypeAlias = str | timedelta
_Cuts: TypeAlias = Part | tuple[int, int, tuple[int, int], tuple[int, int]]

@final
class VisibilityTable:
    """A table of light, moon and tide, one row for each place at each instant, before any of it is
    computed.

    Places come from a file (CSV, or GeoJSON by its ending), with the constants of their ports, or
    are the seats of a scenario; a file is a path, or its name and its text. Instants are equal
    steps from start to end, itself left out, or a list. Pickled as the content of its files.
    """

    def __new__(
        cls,
        *,
        places: _File | None = None,
        ports: _File | None = None,
        port: str | None = None,
        scenario: Scenario | str | PathLike[str] | None = None,
        place: str | None = None,
        subject: str | None = None,
        light: str | None = None,
        sun_altitude_deg: Sequence[float] | None = None,
        light_angle_deg: Sequence[float] | None = None,
        start: _Instant | None = None,
        end: _Instant | None = None,
        step: _Duration | None = None,
        instants: _Instants | None = None,
        zone: str | None = None,
        near_turn: _Duration | None = None,
        group_rows: int | None = None,
    ) -> Self: ...
    @property
    def num_rows(self) -> int: ...
    @property
    def fingerprint(self) -> str:
        """Of the request: of all that bears on the rows, and of the version that makes them."""
    @property
    def schema(self) -> TableSchema: ...
    @property
    def columns(self) -> list[Column]: ...
    @property
    def cautions(self) -> list[str]:
        """What belongs beside the table wherever people see it."""
    def parts(self, rows: int = 1_000_000) -> list[Part]:
        """Parts of about so many rows. Their boundaries depend on the request alone; joined they
        are the table.
        """
    def part(self, part: _Cuts) -> PartOfTable:
        """The rows of a part, computed."""
    def encode_part(
        self,
        part: _Cuts,
        format: Literal["parquet", "arrow", "arrow-stream", "csv", "jsonl"] = "parquet",
    ) -> bytes:
        """A part as the bytes of a file; the same part gives the same bytes."""
    def write_part(self, path: str | PathLike[str], part: _Cuts, *, restart: bool = False) -> int:
        """Writes a part to a file, which appears when it is whole, in the format of its ending;
        gives the number of rows.
        """
    def __reduce__(self) -> tuple[Any, ...]: ...
    def __eq__(self, other: object, /) -> bool: ...
    __hash__: None  # type: ignore[assignment]

@final
class PartOfTable:
    """The rows of a part, for any library that takes a stream of Arrow (PyCapsule interface)."""

    @property
    def num_rows(self) -> int: ...
    def __arrow_c_stream__(self, requested_schema: object | None = None) -> object: ...
    def __arrow_c_schema__(self) -> object: ...

@final
class TableSchema:
    """The columns of a table, for any library that takes a schema of Arrow by its PyCapsule
    interface.
    """

    def __arrow_c_schema__(self) -> object: ...
