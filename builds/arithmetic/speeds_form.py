"""The question of speeds and times: the process decides which sizes are asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any, ClassVar

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
from builds.arithmetic.speeds import OTHER, cutting_time, plain_time
from calcs import cutting
from calcs.cutting import Cut
from calcs.shop.reference_tables import TOOLS, speed_rows
from calcs.units.kinds import AREA, AREA_RATE, POWER, VOLUME

SETTING = ("material", "tool", "speed", "spindle")
ROOM = ("approach", "overtravel")
AFTERWARDS = ("power", "handling", "handling_time")
_TURNED = {"total_depth": "Depth in all, on the radius", "depth_per_pass": "Depth of one pass"}


def _facing(diameter: Any, **more: Any) -> Cut:
    return cutting.facing(diameter, **more)


def _kind(
    label: str,
    process: str,
    work: Callable[..., Cut],
    fields: tuple[str, ...],
    more: tuple[str, ...],
    needed: tuple[str, ...],
    labels: Mapping[str, str] | None = None,
    examples: Mapping[str, tuple[str, str]] | None = None,
    *,
    turns: bool = True,
) -> Kind:
    # The tool's nose is no part of the time; it only says what finish the feed leaves.
    names = tuple(name for name in (*fields, *more) if name != "nose")
    reckon = partial(cutting_time if turns else plain_time, process=process, work=work, names=names)
    after = AFTERWARDS if turns else ("material", "handling", "handling_time")
    return Kind(
        label,
        reckon,
        (*(SETTING if turns else ()), *fields),
        (*more, *after),
        needed,
        labels or {},
        examples or {},
    )


def _materials() -> list[tuple[str, str]]:
    names = sorted({row.material for row in speed_rows()})
    return [*((name, name) for name in names), (OTHER, f"{OTHER}, at a speed of my own")]


class SpeedsForm(SumForm):
    """The process decides which sizes are asked; the material and the tool fill in a cutting speed."""

    asks = "Process"

    material = PickField("Material", _materials, initial="mild steel")
    tool = PickField("Tool", [(tool, tool) for tool in TOOLS], initial=TOOLS[0])
    speed = SpeedField("Cutting speed", help_text="Left empty, it comes from the tables for material and tool.")
    spindle = SpindleField(
        "Spindle speeds of the machine",
        most=100_000,
        help_text="Steps like 60, 110, 200, or a range like 100 to 2500. Left empty, nothing is held.",
    )
    diameter = LengthField("Diameter", ("25 mm", "1 in"))
    bore = LengthField("Finished bore", ("20 mm", "3/4 in"))
    cutter = LengthField("Diameter of the cutter", ("10 mm", "3/8 in"))
    teeth = CountField("Teeth", "4", most=1000)
    length = LengthField("Length of cut", ("60 mm", "2-1/2 in"))
    width = LengthField("Width", ("20 mm", "3/4 in"))
    inner = LengthField("Inner diameter, where it is hollow")
    depth = LengthField("Depth", ("20 mm", "3/4 in"))
    feed = FeedField("Feed for each turn", ("0.1 mm", "4 thou"))
    feed_per_tooth = FeedField("Feed for each tooth", ("0.04 mm", "1.5 thou"))
    pitch = PitchField("Pitch", ("1 mm", "20 tpi"), help_text="A length, or threads to the inch like 40 tpi.")
    total_depth = LengthField("Depth in all", ("1 mm", "40 thou"))
    depth_per_pass = LengthField("Depth of one pass", ("0.5 mm", "20 thou"))
    passes = CountField("Passes", most=1000)
    spring_passes = CountField("Passes without more depth", least=0, most=100)
    spark_out = CountField("Passes without more depth", "2", least=0, most=100)
    starts = CountField("Starts", most=50)
    nose = LengthField("Nose radius of the tool", help_text="With it, the finish that the feed leaves by geometry.")
    blade = LengthField("Width of the blade")
    constant = PickField("What stays constant", [(one, one) for one in ("spindle speed", "surface speed")])
    holes = CountField("Holes", "1")
    peck = LengthField("Depth of one peck")
    peck_time = TimeField("Time out and in again", help_text="3 s where left empty.")
    between_holes = TimeField("Moving from hole to hole")
    point_angle = AngleField("Point angle of the drill", "118")
    drilled = LengthField("Drilled beforehand to")
    out_at_feed = TickField("Comes out at the same feed")
    lead = LengthField("Taper of the tap beyond the depth")
    return_ratio = NumberField("Speed out ÷ speed in", least=0.05, most=20)
    stroke = LengthField("Length of cut", ("150 mm", "6 in"))
    stepover = LengthField("Stepover", ("5 mm", "3/16 in"))
    offset = LengthField("Cutter's axis beside the middle by")
    closed = TickField("Closed at both ends, as a keyway")
    volume = MeasureField("Volume of the pocket", VOLUME, ("cm^3", "in^3"), ("10 cm³", "0.6 in³"))
    section = MeasureField("Section sawn through", AREA, ("mm^2", "in^2"), ("490 mm²", "0.79 in²"))
    rate = MeasureField(
        "Area sawn in a time",
        AREA_RATE,
        ("cm^2/min", "in^2/min"),
        ("8 cm²/min", "1.2 in²/min"),
        help_text="As the saw manages in that material: it depends on blade, pressure and patience.",
    )
    cuts = CountField("Cuts", "1")
    table_speed = SpeedField("Speed of the table", ("8 m/min", "25 ft/min"))
    cross_feed = FeedField("Cross feed for each stroke", ("2 mm", "1/16 in"))
    approach = LengthField("Approach")
    overtravel = LengthField("Over-travel")
    return_time = TimeField("Winding back after each pass")
    power = MeasureField("Power of the machine", POWER, ("w", "hp"))
    handling = NumberField(
        "Handling factor",
        least=1,
        most=100,
        help_text="What loading, gauging and deburring multiply the cutting time by; 1 is cutting alone.",
    )
    handling_time = TimeField("Handling for each piece")

    kinds: ClassVar[dict[str, Kind]] = {
        "turning": _kind(
            "Turning",
            "turning",
            cutting.turning,
            ("diameter", "length", "feed", "total_depth", "depth_per_pass"),
            ("passes", *ROOM, "return_time", "nose"),
            ("diameter", "length", "feed"),
            {"diameter": "Diameter before the cut", **_TURNED},
        ),
        "facing": _kind(
            "Facing",
            "facing",
            _facing,
            ("diameter", "inner", "feed", "total_depth", "depth_per_pass"),
            ("constant", "passes", *ROOM, "return_time", "nose"),
            ("diameter", "feed"),
            {"diameter": "Outer diameter", "total_depth": "Depth in all, along the axis"},
            {"total_depth": ("0.5 mm", "20 thou")},
        ),
        "boring": _kind(
            "Boring",
            "boring",
            cutting.boring,
            ("bore", "length", "feed", "total_depth", "depth_per_pass"),
            ("passes", *ROOM, "return_time", "nose"),
            ("bore", "length", "feed"),
            _TURNED,
            {"feed": ("0.05 mm", "2 thou"), "length": ("30 mm", "1-1/4 in")},
        ),
        "parting": _kind(
            "Parting off",
            "parting",
            cutting.parting,
            ("diameter", "inner", "feed", "blade"),
            ROOM,
            ("diameter", "feed"),
            {"diameter": "Outer diameter"},
            {"feed": ("0.05 mm", "2 thou"), "blade": ("2 mm", "1/16 in")},
        ),
        "drilling": _kind(
            "Drilling",
            "drilling",
            cutting.drilling,
            ("diameter", "depth", "feed", "holes"),
            ("point_angle", "peck", "peck_time", "between_holes", *ROOM),
            ("diameter", "depth", "feed"),
            {"diameter": "Drill", "depth": "Depth at full diameter"},
            {"diameter": ("8 mm", "5/16 in"), "feed": ("0.12 mm", "5 thou")},
        ),
        "reaming": _kind(
            "Reaming",
            "reaming",
            cutting.reaming,
            ("diameter", "depth", "feed", "drilled", "holes"),
            ("out_at_feed", "between_holes", *ROOM),
            ("diameter", "depth", "feed"),
            {"diameter": "Reamer"},
            {"diameter": ("8 mm", "5/16 in"), "feed": ("0.2 mm", "8 thou"), "drilled": ("7.8 mm", "0.302 in")},
        ),
        "tapping": _kind(
            "Tapping",
            "tapping",
            cutting.tapping,
            ("diameter", "pitch", "depth", "holes"),
            ("lead", "return_ratio", "between_holes"),
            ("diameter", "pitch", "depth"),
            {"diameter": "Diameter of the thread"},
            {"diameter": ("6 mm", "1/4 in"), "depth": ("12 mm", "1/2 in")},
        ),
        "threading": _kind(
            "Threading with a single point",
            "threading",
            cutting.threading,
            ("diameter", "pitch", "length", "depth_per_pass", "passes"),
            ("spring_passes", "starts", *ROOM, "return_time"),
            ("diameter", "pitch", "length"),
            {"diameter": "Diameter of the thread", "length": "Length of thread"},
            {"diameter": ("12 mm", "1/2 in"), "depth_per_pass": ("0.05 mm", "2 thou"), "length": ("25 mm", "1 in")},
        ),
        "edge-milling": _kind(
            "Milling with the circumference",
            "peripheral milling",
            cutting.peripheral_milling,
            ("cutter", "teeth", "feed_per_tooth", "length", "width", "total_depth", "depth_per_pass"),
            ("passes", *ROOM, "return_time"),
            ("cutter", "teeth", "feed_per_tooth", "length", "total_depth"),
            {"width": "Width of cut, along the axis", "total_depth": "Depth in all, square to the axis"},
            {"width": ("8 mm", "5/16 in")},
        ),
        "face-milling": _kind(
            "Milling with the face",
            "face milling",
            cutting.face_milling,
            ("cutter", "teeth", "feed_per_tooth", "length", "width", "total_depth", "depth_per_pass"),
            ("stepover", "offset", "passes", *ROOM, "return_time"),
            ("cutter", "teeth", "feed_per_tooth", "length", "width"),
            {},
            {"cutter": ("50 mm", "2 in"), "width": ("40 mm", "1-1/2 in"), "stepover": ("", "")},
        ),
        "slot-milling": _kind(
            "Milling a slot",
            "slot milling",
            cutting.slot_milling,
            ("cutter", "teeth", "feed_per_tooth", "length", "depth", "depth_per_pass", "closed"),
            ("passes", *ROOM, "return_time"),
            ("cutter", "teeth", "feed_per_tooth", "length", "depth"),
            {"length": "Length of the slot", "depth": "Depth of the slot"},
            {
                "cutter": ("6 mm", "1/4 in"),
                "teeth": ("2", "2"),
                "depth": ("3 mm", "1/8 in"),
                "depth_per_pass": ("1 mm", "40 thou"),
            },
        ),
        "pocket-milling": _kind(
            "Milling a pocket",
            "pocket milling",
            cutting.pocket_milling,
            ("cutter", "teeth", "feed_per_tooth", "volume", "stepover", "depth_per_pass"),
            (),
            ("cutter", "teeth", "feed_per_tooth", "volume", "stepover", "depth_per_pass"),
            {},
            {"depth_per_pass": ("2 mm", "80 thou")},
        ),
        "sawing": _kind(
            "Sawing", "sawing", cutting.sawing, ("section", "rate", "cuts"), (), ("section", "rate"), turns=False
        ),
        "shaping": _kind(
            "Shaping",
            "shaping",
            cutting.shaping,
            ("stroke", "width", "feed", "total_depth", "depth_per_pass"),
            ("return_ratio", "passes", *ROOM),
            ("stroke", "width", "feed"),
            {
                "feed": "Feed for each stroke",
                "return_ratio": "Time back ÷ time forward",
                "spindle": "Strokes a minute of the machine",
            },
            {
                "feed": ("0.3 mm", "12 thou"),
                "width": ("60 mm", "2-1/2 in"),
                "return_ratio": ("0.67", "0.67"),
            },
        ),
        "surface-grinding": _kind(
            "Grinding a flat",
            "surface grinding",
            cutting.surface_grinding,
            ("length", "width", "table_speed", "cross_feed", "total_depth", "depth_per_pass", "spark_out"),
            ROOM,
            ("length", "width", "table_speed", "cross_feed", "total_depth", "depth_per_pass"),
            {"length": "Length of the face", "width": "Width of the face", "depth_per_pass": "Downfeed of one pass"},
            {"total_depth": ("0.1 mm", "4 thou"), "depth_per_pass": ("0.01 mm", "0.4 thou")},
            turns=False,
        ),
    }
