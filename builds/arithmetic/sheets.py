"""The pages of sums there are: address, title, a sentence, and the question each asks."""

from __future__ import annotations

from dataclasses import dataclass

from builds.arithmetic.circle import CircleForm
from builds.arithmetic.dividing import DividingForm
from builds.arithmetic.forms import SumForm
from builds.arithmetic.scale import ScaleForm
from builds.arithmetic.speeds_form import SpeedsForm
from builds.arithmetic.stock import StockForm
from builds.arithmetic.threads import ThreadsForm
from builds.arithmetic.triangles import TrianglesForm


@dataclass(frozen=True)
class Sheet:
    """One page of sums."""

    name: str
    title: str
    words: str
    form: type[SumForm]


_ALL = (
    Sheet(
        "speeds",
        "Speeds and times",
        "How fast the spindle turns, how long the cut takes, what it removes and what power that asks for.",
        SpeedsForm,
    ),
    Sheet(
        "stock",
        "Stock and swarf",
        "What a blank weighs, how much of it is cut away, and how much bar a batch takes.",
        StockForm,
    ),
    Sheet(
        "scale",
        "Full size and model",
        "A length, an area, a volume or a mass through the scale, and the stock that lies nearest.",
        ScaleForm,
    ),
    Sheet(
        "threads",
        "Threads, drills and fits",
        "The sizes of a thread and its tapping drill, what a drill leaves of it, the nearest drill, a fit's limits.",
        ThreadsForm,
    ),
    Sheet(
        "bolt-circle",
        "Bolt circle",
        "The coordinates of holes spaced evenly on a circle, as a table and as a drawing.",
        CircleForm,
    ),
    Sheet(
        "dividing",
        "Dividing",
        "Turns of the crank and holes on the plate for a division, with the plates you have.",
        DividingForm,
    ),
    Sheet(
        "triangles",
        "Triangles and tapers",
        "A right triangle from two of its parts, and a taper in every way that it is spoken of.",
        TrianglesForm,
    ),
)
SHEETS = {sheet.name: sheet for sheet in _ALL}
