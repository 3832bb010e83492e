"""The question of speeds and times: the process decides which sizes are asked."""

from __future__ import annotations

from functools import partial
from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.fields import (
    AngleField,
    CountField,
    FeedField,
    LengthField,
    MeasureField,
    NumberField,
    PickField,
    PitchField,
    SpeedField,
    SpindleField,
    TickField,
    TimeField,
)
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.speeds import OTHER, cutting_time
from calcs.cutting.processes import PROCESSES
from calcs.messages import _
from calcs.shop.reference_tables import TOOLS, speed_rows
from calcs.units.kinds import AREA, AREA_RATE, POWER, VOLUME

SETTING = ("material", "tool", "speed", "spindle")
ROOM = ("approach", "overtravel")
_TURNED = {
    "total_depth": gettext_lazy("Total depth, on the radius"),
    "depth_per_pass": gettext_lazy("Depth of one pass"),
}


def _question(
    key: str, label: Any, fields: tuple[str, ...], more: tuple[str, ...], *, turns: bool = True, **words: Any
) -> tuple[str, Kind]:
    """What is asked for the process of that key; `turns`: whether there is a cutting speed to choose.

    It needs what the process needs, and what is named in `needed`. labels, examples: as of a `Kind`.
    """
    # The tool's nose is no part of the time; it only says what finish the feed leaves.
    names = tuple(name for name in (*fields, *more) if name != "nose")
    process = PROCESSES[key]
    work_out = partial(cutting_time, process=process, names=names)
    after = ("power" if turns else "material", "handling", "handling_time")
    needed = (*process.needs, *words.pop("needed", ()))
    return key, Kind(label, work_out, (*(SETTING if turns else ()), *fields), (*more, *after), needed, **words)


def _materials() -> list[tuple[str, Any]]:
    names = sorted({row.material for row in speed_rows()})
    return [*((name, _(name)) for name in names), (OTHER, gettext_lazy("something else, at a speed of my own"))]


_QUESTIONS = (
    _question(
        "turning",
        gettext_lazy("Turning"),
        ("diameter", "length", "feed", "total_depth", "depth_per_pass"),
        ("passes", *ROOM, "return_time", "nose"),
        labels={"diameter": gettext_lazy("Diameter before the cut"), **_TURNED},
    ),
    _question(
        "facing",
        gettext_lazy("Facing"),
        ("diameter", "inner", "feed", "total_depth", "depth_per_pass"),
        ("constant", "passes", *ROOM, "return_time", "nose"),
        labels={
            "diameter": gettext_lazy("Outer diameter"),
            "total_depth": gettext_lazy("Total depth, along the axis"),
        },
        examples={"total_depth": ("0.5 mm", "20 thou")},
    ),
    _question(
        "boring",
        gettext_lazy("Boring"),
        ("bore", "length", "feed", "total_depth", "depth_per_pass"),
        ("passes", *ROOM, "return_time", "nose"),
        labels=_TURNED,
        examples={"feed": ("0.05 mm", "2 thou"), "length": ("30 mm", "1-1/4 in")},
    ),
    _question(
        "parting",
        gettext_lazy("Parting off"),
        ("diameter", "inner", "feed", "blade"),
        ROOM,
        labels={"diameter": gettext_lazy("Outer diameter")},
        examples={"feed": ("0.05 mm", "2 thou"), "blade": ("2 mm", "1/16 in")},
    ),
    _question(
        "drilling",
        gettext_lazy("Drilling"),
        ("diameter", "depth", "feed", "holes"),
        ("point_angle", "peck", "peck_time", "between_holes", *ROOM),
        labels={"diameter": gettext_lazy("Drill"), "depth": gettext_lazy("Depth at full diameter")},
        examples={"diameter": ("8 mm", "5/16 in"), "feed": ("0.12 mm", "5 thou")},
    ),
    _question(
        "reaming",
        gettext_lazy("Reaming"),
        ("diameter", "depth", "feed", "drilled", "holes"),
        ("out_at_feed", "between_holes", *ROOM),
        labels={"diameter": gettext_lazy("Reamer")},
        examples={"diameter": ("8 mm", "5/16 in"), "feed": ("0.2 mm", "8 thou"), "drilled": ("7.8 mm", "0.302 in")},
    ),
    _question(
        "tapping",
        gettext_lazy("Tapping"),
        ("diameter", "pitch", "depth", "holes"),
        ("lead", "return_ratio", "between_holes"),
        labels={"diameter": gettext_lazy("Diameter of the thread")},
        examples={"diameter": ("6 mm", "1/4 in"), "depth": ("12 mm", "1/2 in")},
    ),
    _question(
        "threading",
        gettext_lazy("Threading with a single point"),
        ("diameter", "pitch", "length", "depth_per_pass", "passes"),
        ("spring_passes", "starts", *ROOM, "return_time"),
        labels={"diameter": gettext_lazy("Diameter of the thread"), "length": gettext_lazy("Length of thread")},
        examples={
            "diameter": ("12 mm", "1/2 in"),
            "depth_per_pass": ("0.05 mm", "2 thou"),
            "length": ("25 mm", "1 in"),
        },
    ),
    _question(
        "edge-milling",
        gettext_lazy("Peripheral milling"),
        ("cutter", "teeth", "feed_per_tooth", "length", "width", "total_depth", "depth_per_pass"),
        ("passes", *ROOM, "return_time"),
        labels={
            "width": gettext_lazy("Width of cut, along the axis"),
            "total_depth": gettext_lazy("Total depth, square to the axis"),
        },
        examples={"width": ("8 mm", "5/16 in")},
        needed=("total_depth",),
    ),
    _question(
        "face-milling",
        gettext_lazy("Face milling"),
        ("cutter", "teeth", "feed_per_tooth", "length", "width", "total_depth", "depth_per_pass"),
        ("stepover", "offset", "passes", *ROOM, "return_time"),
        examples={"cutter": ("50 mm", "2 in"), "width": ("40 mm", "1-1/2 in"), "stepover": ("", "")},
    ),
    _question(
        "slot-milling",
        gettext_lazy("Milling a slot"),
        ("cutter", "teeth", "feed_per_tooth", "length", "depth", "depth_per_pass", "closed"),
        ("passes", *ROOM, "return_time"),
        labels={"length": gettext_lazy("Length of the slot"), "depth": gettext_lazy("Depth of the slot")},
        examples={
            "cutter": ("6 mm", "1/4 in"),
            "teeth": ("2", "2"),
            "depth": ("3 mm", "1/8 in"),
            "depth_per_pass": ("1 mm", "40 thou"),
        },
    ),
    _question(
        "pocket-milling",
        gettext_lazy("Milling a pocket"),
        ("cutter", "teeth", "feed_per_tooth", "volume", "stepover", "depth_per_pass"),
        (),
        examples={"depth_per_pass": ("2 mm", "80 thou")},
    ),
    _question(
        "sawing",
        gettext_lazy("Sawing"),
        ("section", "rate", "cuts"),
        (),
        turns=False,
    ),
    _question(
        "shaping",
        gettext_lazy("Shaping"),
        ("stroke", "width", "feed", "total_depth", "depth_per_pass"),
        ("return_ratio", "passes", *ROOM),
        labels={
            "feed": gettext_lazy("Feed for each stroke"),
            "return_ratio": gettext_lazy("Time back ÷ time forward"),
            "spindle": gettext_lazy("Strokes a minute of the machine"),
        },
        examples={
            "feed": ("0.3 mm", "12 thou"),
            "width": ("60 mm", "2-1/2 in"),
            "return_ratio": ("0.67", "0.67"),
        },
    ),
    _question(
        "surface-grinding",
        gettext_lazy("Grinding a flat"),
        ("length", "width", "table_speed", "cross_feed", "total_depth", "depth_per_pass", "spark_out"),
        ROOM,
        labels={
            "length": gettext_lazy("Length of the face"),
            "width": gettext_lazy("Width of the face"),
            "depth_per_pass": gettext_lazy("Downfeed of one pass"),
        },
        examples={"total_depth": ("0.1 mm", "4 thou"), "depth_per_pass": ("0.01 mm", "0.4 thou")},
        turns=False,
        needed=("total_depth", "depth_per_pass"),
    ),
)


class SpeedsForm(SumForm):
    """The process decides which sizes are asked; the material and the tool fill in a cutting speed."""

    asks = gettext_lazy("Process")

    material = PickField(gettext_lazy("Material"), _materials, initial="mild steel")
    tool = PickField(gettext_lazy("Tool"), [(tool, gettext_lazy(tool)) for tool in TOOLS], initial=TOOLS[0])
    speed = SpeedField(
        gettext_lazy("Cutting speed"),
        help_text=gettext_lazy("Left empty, it comes from the tables for material and tool."),
    )
    spindle = SpindleField(
        gettext_lazy("Spindle speeds of the machine"),
        most=100_000,
        help_text=gettext_lazy("Steps like 60, 110, 200, or a range like 100 to 2500. Left empty, nothing is held."),
    )
    diameter = LengthField(gettext_lazy("Diameter"), ("25 mm", "1 in"))
    bore = LengthField(gettext_lazy("Finished bore"), ("20 mm", "3/4 in"))
    cutter = LengthField(gettext_lazy("Diameter of the cutter"), ("10 mm", "3/8 in"))
    teeth = CountField(gettext_lazy("Teeth"), "4", most=1000)
    length = LengthField(gettext_lazy("Length of cut"), ("60 mm", "2-1/2 in"))
    width = LengthField(gettext_lazy("Width"), ("20 mm", "3/4 in"))
    inner = LengthField(gettext_lazy("Inner diameter, where it is hollow"))
    depth = LengthField(gettext_lazy("Depth"), ("20 mm", "3/4 in"))
    feed = FeedField(gettext_lazy("Feed for each turn"), ("0.1 mm", "4 thou"))
    feed_per_tooth = FeedField(gettext_lazy("Feed for each tooth"), ("0.04 mm", "1.5 thou"))
    pitch = PitchField(
        gettext_lazy("Pitch"),
        ("1 mm", "20 tpi"),
        help_text=gettext_lazy("A length, or threads to the inch like 40 tpi."),
    )
    total_depth = LengthField(gettext_lazy("Total depth"), ("1 mm", "40 thou"))
    depth_per_pass = LengthField(gettext_lazy("Depth of one pass"), ("0.5 mm", "20 thou"))
    passes = CountField(gettext_lazy("Passes"), most=1000)
    spring_passes = CountField(gettext_lazy("Spring passes"), least=0, most=100)
    spark_out = CountField(gettext_lazy("Spark-out passes"), "2", least=0, most=100)
    starts = CountField(gettext_lazy("Starts"), most=50)
    nose = LengthField(
        gettext_lazy("Nose radius of the tool"),
        help_text=gettext_lazy("With it, the finish that the feed leaves by geometry."),
    )
    blade = LengthField(gettext_lazy("Width of the blade"))
    constant = PickField(
        gettext_lazy("What stays constant"),
        [("spindle speed", gettext_lazy("spindle speed")), ("surface speed", gettext_lazy("surface speed"))],
    )
    holes = CountField(gettext_lazy("Holes"), "1")
    peck = LengthField(gettext_lazy("Depth of one peck"))
    peck_time = TimeField(gettext_lazy("Time out and in again"), help_text=gettext_lazy("3 s where left empty."))
    between_holes = TimeField(gettext_lazy("Moving from hole to hole"))
    point_angle = AngleField(gettext_lazy("Point angle of the drill"), "118")
    drilled = LengthField(gettext_lazy("Drilled beforehand to"))
    out_at_feed = TickField(gettext_lazy("Comes out at the same feed"))
    lead = LengthField(gettext_lazy("Taper of the tap beyond the depth"))
    return_ratio = NumberField(gettext_lazy("Speed out ÷ speed in"), least=0.05, most=20)
    stroke = LengthField(gettext_lazy("Length of cut"), ("150 mm", "6 in"))
    stepover = LengthField(gettext_lazy("Stepover"), ("5 mm", "3/16 in"))
    offset = LengthField(gettext_lazy("Cutter's axis beside the middle by"))
    closed = TickField(gettext_lazy("Closed at both ends, as a keyway"))
    volume = MeasureField(gettext_lazy("Volume of the pocket"), VOLUME, ("cm^3", "in^3"), ("10 cm³", "0.6 in³"))
    section = MeasureField(gettext_lazy("Section sawn through"), AREA, ("mm^2", "in^2"), ("490 mm²", "0.79 in²"))
    rate = MeasureField(
        gettext_lazy("Area sawn in a time"),
        AREA_RATE,
        ("cm^2/min", "in^2/min"),
        ("8 cm²/min", "1.2 in²/min"),
        help_text=gettext_lazy("As the saw manages in that material: it depends on blade, pressure and patience."),
    )
    cuts = CountField(gettext_lazy("Cuts"), "1")
    table_speed = SpeedField(gettext_lazy("Speed of the table"), ("8 m/min", "25 ft/min"))
    cross_feed = FeedField(gettext_lazy("Cross feed for each stroke"), ("2 mm", "1/16 in"))
    approach = LengthField(gettext_lazy("Approach"))
    overtravel = LengthField(gettext_lazy("Over-travel"))
    return_time = TimeField(gettext_lazy("Winding back after each pass"))
    power = MeasureField(gettext_lazy("Power of the machine"), POWER, ("w", "hp"))
    handling = NumberField(
        gettext_lazy("Handling factor"),
        least=1,
        most=100,
        help_text=gettext_lazy("What loading, gauging and deburring multiply the cutting time by; 1 is cutting alone."),
    )
    handling_time = TimeField(gettext_lazy("Handling for each piece"))

    kinds: ClassVar[dict[str, Kind]] = dict(_QUESTIONS)
