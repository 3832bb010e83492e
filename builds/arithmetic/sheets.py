"""The pages of sums there are: address, title, a sentence, and the question each asks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy

from builds.arithmetic.bars import BarsForm
from builds.arithmetic.captive import CaptiveForm
from builds.arithmetic.circle import CircleForm
from builds.arithmetic.dividing import DividingForm
from builds.arithmetic.engine_crank import CrankForm
from builds.arithmetic.engine_valves import ValvesForm
from builds.arithmetic.flats import FlatsForm
from builds.arithmetic.flywheel import FlywheelForm
from builds.arithmetic.forms import SumForm
from builds.arithmetic.gears import GearsForm
from builds.arithmetic.hot_air_engine import HotAirForm
from builds.arithmetic.scale import ScaleForm
from builds.arithmetic.shells import ShellsForm
from builds.arithmetic.shrinking import ShrinkingForm
from builds.arithmetic.speeds_form import SpeedsForm
from builds.arithmetic.springs import SpringsForm
from builds.arithmetic.star_engine import StarForm
from builds.arithmetic.stock import StockForm
from builds.arithmetic.threads import ThreadsForm
from builds.arithmetic.three_guesses import ThreeGuessesForm
from builds.arithmetic.tool_life import ToolLifeForm
from builds.arithmetic.triangles import TrianglesForm


@dataclass(frozen=True)
class Sheet:
    """One page of sums."""

    name: str
    title: Any
    words: Any
    form: type[SumForm]
    # Words of the glossary, their keys with spaces between.
    speaks_of: str = ""


_CUTTING = (
    Sheet(
        "speeds",
        gettext_lazy("Speeds and times"),
        gettext_lazy(
            "How fast the spindle turns, how long the cut takes, what it removes and what power that asks for."
        ),
        SpeedsForm,
        speaks_of="cutting-speed feed chip-load spring-pass",
    ),
    Sheet(
        "tool-life",
        gettext_lazy("Tool life"),
        gettext_lazy("How long an edge lasts at another speed, and the speed at which it lasts as long as you want."),
        ToolLifeForm,
    ),
    Sheet(
        "three-guesses",
        gettext_lazy("A time from three guesses"),
        gettext_lazy("What to plan with where nobody knows yet: the mean of a short, a likely and a long time."),
        ThreeGuessesForm,
    ),
)
_STOCK = (
    Sheet(
        "stock",
        gettext_lazy("Stock and swarf"),
        gettext_lazy("What a blank weighs, how much of it is cut away, and how much bar a batch takes."),
        StockForm,
        speaks_of="blank stock swarf allowance",
    ),
    Sheet(
        "bars",
        gettext_lazy("Cutting up bars"),
        gettext_lazy("Which pieces to saw from which bar, so that the rack is used first and the least is bought."),
        BarsForm,
        speaks_of="kerf stock",
    ),
    Sheet(
        "scale",
        gettext_lazy("Full size and model"),
        gettext_lazy("A length, an area, a volume or a mass through the scale, and the stock that lies nearest."),
        ScaleForm,
        speaks_of="scale full-size",
    ),
)
_SETTING_OUT = (
    Sheet(
        "bolt-circle",
        gettext_lazy("Bolt circle"),
        gettext_lazy("The coordinates of holes spaced evenly on a circle, as a table and as a drawing."),
        CircleForm,
        speaks_of="bolt-circle datum",
    ),
    Sheet(
        "dividing",
        gettext_lazy("Dividing"),
        gettext_lazy("Turns of the crank and holes on your plates for a division, or steps of the dividers."),
        DividingForm,
        speaks_of="dividing",
    ),
    Sheet(
        "triangles",
        gettext_lazy("Triangles and tapers"),
        gettext_lazy("A right triangle from two of its parts, and a taper in every way that it is spoken of."),
        TrianglesForm,
    ),
    Sheet(
        "flats",
        gettext_lazy("Flats and sine bar"),
        gettext_lazy("A square or a hexagon from round bar, and the blocks that set a sine bar to an angle."),
        FlatsForm,
    ),
)
_PARTS = (
    Sheet(
        "threads",
        gettext_lazy("Threads, drills and fits"),
        gettext_lazy(
            "The sizes of a thread and its tapping drill, what a drill leaves of it, the nearest drill, a fit's limits."
        ),
        ThreadsForm,
        speaks_of="tapping-drill per-cent-of-thread fit limits",
    ),
    Sheet(
        "gears",
        gettext_lazy("Gears"),
        gettext_lazy("Blank and teeth of a spur gear, two gears in mesh, and the change wheels that cut a thread."),
        GearsForm,
    ),
    Sheet(
        "springs",
        gettext_lazy("Coil springs"),
        gettext_lazy("How stiff a small spring is, the force at its travel, and what its wire bears."),
        SpringsForm,
    ),
    Sheet(
        "shrinking",
        gettext_lazy("Shrinking on"),
        gettext_lazy("How hot a ring is made so that it drops over a shaft that is too large for it cold."),
        ShrinkingForm,
    ),
)
_BODIES = (
    Sheet(
        "core-in-its-frame",
        gettext_lazy("A piece held in its frame"),
        gettext_lazy(
            "A ball, cube or star turned loose inside a block: whether it turns and stays in, and how to cut it."
        ),
        CaptiveForm,
    ),
    Sheet(
        "wall-under-pressure",
        gettext_lazy("A wall under pressure"),
        gettext_lazy("What pulls on a plain tube, to learn from. The boiler code, its inspector and a test decide."),
        ShellsForm,
    ),
)
_ENGINES = (
    Sheet(
        "cylinder-and-crank",
        gettext_lazy("Cylinder and crank"),
        gettext_lazy(
            "Where a piston stands as the crank turns, what it sweeps and squeezes, its speed, and its power."
        ),
        CrankForm,
    ),
    Sheet(
        "valves-and-firing",
        gettext_lazy("Valves and firing order"),
        gettext_lazy("How long valves stand open, lap and lead of a slide valve, the order in which cylinders fire."),
        ValvesForm,
    ),
    Sheet(
        "star-engine",
        gettext_lazy("Star engine"),
        gettext_lazy("Pistons round one crank pin: their rods as the crank turns, their firing order, their cam ring."),
        StarForm,
    ),
    Sheet(
        "hot-air-engine",
        gettext_lazy("Hot-air engine"),
        gettext_lazy("Where the air is as the crank turns, and how much a displacer engine squeezes it."),
        HotAirForm,
    ),
    Sheet(
        "flywheel",
        gettext_lazy("Flywheel"),
        gettext_lazy("What a wheel holds and gives as its speed swings, and what pulls at its rim."),
        FlywheelForm,
    ),
)
GROUPS = (
    (gettext_lazy("Cutting and its time"), _CUTTING),
    (gettext_lazy("Stock and scale"), _STOCK),
    (gettext_lazy("Setting out"), _SETTING_OUT),
    (gettext_lazy("Threads, gears, springs and fits"), _PARTS),
    (gettext_lazy("Frames and walls"), _BODIES),
    (gettext_lazy("Engines"), _ENGINES),
)
"""The sheets under the headings of their list."""
SHEETS = {sheet.name: sheet for _heading, sheets in GROUPS for sheet in sheets}
