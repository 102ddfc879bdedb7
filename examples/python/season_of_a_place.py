"""A season of one seat as a picture: light by day and hour, water over the push level, windows.

Written in cells (# %%), for an editor that runs them one by one; from the command line:
python season_of_a_place.py [PICTURE.png]
"""

# %% The seat of the invented demo, every ten minutes of a winter.
import sys

import matplotlib

matplotlib.use("Agg")
import matplotlib.dates as mdates
import matplotlib.pyplot as plt
import numpy as np
import pyarrow as pa
import wrackline
from matplotlib.colors import BoundaryNorm, ListedColormap
from matplotlib.patches import Patch

DAYS, STEPS = 90, 144
scenario = wrackline.Scenario.demo()
table = wrackline.VisibilityTable(
    scenario=scenario, start="2026-11-25", end="2027-02-23", step="10m"
)
(whole,) = table.parts(rows=10**9)
rows = pa.table(table.part(whole))

# %% Of the seats by the tide, the one with the most usable instants. The zone keeps one offset all
# winter, so that each day is a column of 144.
usable = rows["usable"].to_numpy()
seats = np.array(
    [
        f"{place} / {seat}"
        for place, seat in zip(rows["place"].to_pylist(), rows["seat"].to_pylist())
    ]
)
by_the_tide = rows["level_exceeded"].is_valid().to_numpy()
names, counts = np.unique(seats[usable & by_the_tide], return_counts=True)
assert len(names), "no seat by the tide has a window this winter"
seat = names[counts.argmax()]
here = seats == seat
assert here.sum() == DAYS * STEPS and len(set(rows["utc_offset_s"].to_pylist())) == 1


def by_day(column):
    """Hours down, days across."""
    return rows[column].to_numpy()[here].reshape(DAYS, STEPS).T


sun = by_day("sun_altitude_deg")
pushed = (
    np.isin(rows["level_exceeded"].to_pylist(), ["push level", "overtop level"])[here]
    .reshape(DAYS, STEPS)
    .T
)
window = by_day("usable")
height = by_day("tide_height_m")
days = np.datetime64("2026-11-25") + np.arange(DAYS)

# %% The same answer by another way: each window of the season lies where the table is usable.
season = wrackline.season(scenario, "2026-11-25", days=DAYS, count=1000)
for found in season["windows"]:
    if f"{found['place']} / {found['seat']}" == seat:
        start = np.datetime64(found["start_utc"][:19])
        end = np.datetime64(found["end_utc"][:19])
        at = rows["instant_utc"].to_numpy()[here]
        # Both look for the project's subject; ends are given to the second.
        inside = (at > start) & (at < end - np.timedelta64(1, "s"))
        assert usable[here][inside].all(), found

# %% The picture.
bands = [-90, -6, 0, 6, 12, 90]
words = ["dark", "twilight", "sun up to 6°", "6° to 12°", "above 12°"]
colours = ["#16203a", "#5b6a94", "#f2b872", "#f7dca6", "#fbf3df"]
figure, (above, below) = plt.subplots(
    2, 1, figsize=(11, 7.5), sharex=True, height_ratios=[3, 1], layout="constrained"
)
extent = (mdates.date2num(days[0]), mdates.date2num(days[-1]) + 1, 24, 0)
above.imshow(
    sun,
    aspect="auto",
    extent=extent,
    cmap=ListedColormap(colours),
    norm=BoundaryNorm(bands, 5),
    interpolation="nearest",
)
centres = mdates.date2num(days) + 0.5
hours = (np.arange(STEPS) + 0.5) / 6
above.contourf(centres, hours, pushed, levels=[0.5, 1.5], colors=["#2b7bba"], alpha=0.45)
above.contour(centres, hours, pushed, levels=[0.5], colors=["#1d5f94"], linewidths=0.6)
window_rgba = np.zeros((*window.shape, 4))
window_rgba[window.astype(bool)] = matplotlib.colors.to_rgba("#c1121f")
# Over the water, so that a window has the colour of the legend.
above.imshow(window_rgba, aspect="auto", extent=extent, interpolation="nearest", zorder=3)
above.set_ylabel(f"hour ({scenario.zone})")
above.set_yticks(range(0, 25, 3))
above.set_title(f"{scenario.title}: {seat}, {days[0]} to {days[-1]}")
entries = [Patch(color=colour, label=word) for colour, word in zip(colours, words)]
entries += [
    Patch(color="#2b7bba", alpha=0.6, label="water over the push level"),
    Patch(color="#c1121f", label="window"),
]
above.legend(
    handles=entries,
    loc="upper center",
    bbox_to_anchor=(0.5, -0.02),
    ncols=7,
    fontsize=8,
    frameon=False,
)

below.fill_between(
    centres, height.min(axis=0), height.max(axis=0), color="#2b7bba", alpha=0.35, linewidth=0
)
below.plot(centres, height.max(axis=0), color="#1d5f94", linewidth=1)
below.set_ylabel("lowest and highest\nwater of the day (m)")
below.xaxis.set_major_locator(mdates.WeekdayLocator(byweekday=0, interval=2))
below.xaxis.set_major_formatter(mdates.DateFormatter("%d %b"))
below.grid(axis="y", linewidth=0.3)
figure.supxlabel(
    "Estimated water, not for navigation: weather is not in it. "
    "Check official tables and local advice.",
    fontsize=8,
)

picture = sys.argv[1] if len(sys.argv) > 1 else "season_of_a_place.png"
figure.savefig(picture, dpi=110)
print(f"{picture}: {int(window.sum()) * 10} minutes of windows at {seat}")
