"""Sun, moon, tide and optics for wildlife photographers, and tables of them.

Predictions of the tide are estimates and not for navigation; they leave out surge, wind, rain,
waves and shifting channels. Never look at or near the sun through a lens. A stand-off distance is
not consent: the animal comes before the picture.

Instants are ``datetime64`` of any unit that has no fraction of a nanosecond (taken as UTC), texts
with an offset such as ``2026-12-29T09:33:00Z``, or aware ``datetime`` objects; what comes back is
``datetime64[us]`` in UTC. Bad input raises ``ValueError`` with what was wrong, where, and what to
do; output that cannot be written raises ``OSError``. Everything can be pickled, and whatever
computes lets other threads run.
"""

from ._native import (
    Kit,
    Observer,
    PartOfTable,
    Port,
    Scenario,
    TableSchema,
    VisibilityTable,
    __version__,
    analyse,
    judge_reach,
    season,
)
from ._results import (
    Analysis,
    Column,
    Crossings,
    DepthOfField,
    Directions,
    FittedHarmonic,
    MoonDirections,
    Part,
    ResidualSummary,
    Stretches,
    Transits,
    Turns,
)

__all__ = [
    "Analysis",
    "Column",
    "Crossings",
    "DepthOfField",
    "Directions",
    "FittedHarmonic",
    "Kit",
    "MoonDirections",
    "Observer",
    "Part",
    "PartOfTable",
    "Port",
    "ResidualSummary",
    "Scenario",
    "Stretches",
    "TableSchema",
    "Transits",
    "Turns",
    "VisibilityTable",
    "__version__",
    "analyse",
    "judge_reach",
    "season",
]
