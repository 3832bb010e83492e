"""Published figures of the trade, each with its source: cutting speeds, energies, densities, stock, threads, limits.

They are where to start from, never the last word: published cutting speeds differ by up to two times. Every choice
takes a figure of the user's own, which stands above the tables. `status` is "seen" where the source was read and
"from memory" where it was not; `source` names it by title and number, and the column `read_at` says where it was read.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass, fields
from fractions import Fraction
from functools import cache
from importlib.resources import files
from statistics import median
from typing import Literal

from calcs.messages import _, gettext_noop, ngettext
from calcs.units.argument_checks import Quantity, amount
from calcs.units.figures import format_significant
from calcs.units.kinds import DENSITY, ENERGY, INCH, SPEED, QuantityKind
from calcs.units.registry import registry

TOOLS = (gettext_noop("high-speed steel"), gettext_noop("carbide"))
STATUSES = (
    gettext_noop("seen"),
    gettext_noop("from memory"),
    gettext_noop("own"),
)


@dataclass(frozen=True)
class SpeedRow:
    """Cutting speeds from one table, in its own unit ("m/min" or "ft/min"); operation "any" holds for all."""

    table: str
    material: str
    tool: str
    operation: str
    low: float
    high: float
    unit: str
    source: str
    status: str


@dataclass(frozen=True)
class FigureRow:
    """A figure for a material, with the least and the most that is published for it."""

    material: str
    low: float
    high: float
    usual: float
    unit: str
    source: str
    status: str


@dataclass(frozen=True)
class ThreadRow:
    """A thread's nominal sizes in mm, exact; the tapping drill is None where no sound one is known."""

    series: str
    name: str
    major: Fraction
    pitch: Fraction
    angle: float
    drill: float | None
    drill_name: str
    inch: bool
    source: str
    status: str


@dataclass(frozen=True)
class LimitRow:
    """Micrometres for sizes over `over` and up to `up_to` mm: a tolerance grade or a shaft's deviation."""

    name: str
    over: float
    up_to: float
    micrometres: float
    source: str
    status: str


@dataclass(frozen=True)
class Chosen:
    """A figure chosen from the tables or given by the user: with its range, and how it came about in words."""

    value: Quantity
    low: Quantity
    high: Quantity
    words: str
    source: str
    status: str


def read_table(name: str) -> list[dict[str, str]]:
    """Return the rows of a table by the names of its columns."""
    text = files("calcs.shop").joinpath("tables", name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def cited(source: str, status: str) -> str:
    """Return a source for the reader, to stand beside its figure: one that was not read there says so.

    >>> cited("ISO 261", "seen"), cited("BS 84", "from memory")
    ('ISO 261', 'BS 84 (from memory)')
    """
    return source if status in ("seen", "own") else f"{source} ({_(status)})"


@cache
def speed_rows() -> tuple[SpeedRow, ...]:
    """Return the rows of cutting_speeds.csv."""
    names = [field.name for field in fields(SpeedRow)]
    return tuple(
        SpeedRow(**{name: float(row[name]) if name in ("low", "high") else row[name] for name in names})  # type: ignore[arg-type]
        for row in read_table("cutting_speeds.csv")
    )


def _figures(name: str, unit: str) -> dict[str, FigureRow]:
    found = {}
    for row in read_table(name):
        low, high, usual = (float(row[column]) for column in ("low", "high", "usual"))
        found[row["material"]] = FigureRow(row["material"], low, high, usual, unit, row["source"], row["status"])
    return found


@cache
def densities() -> dict[str, FigureRow]:
    """Return densities by material, kg/m³."""
    return _figures("densities.csv", "kg/m³")


@cache
def specific_energies() -> dict[str, FigureRow]:
    """Return specific cutting energies by material, W·s/mm³."""
    return _figures("specific_energies.csv", "W·s/mm³")


@cache
def stock_sizes() -> dict[str, tuple[Fraction, ...]]:
    """Return the common sizes of bar in mm, exact, by the unit they are sold in: "mm" or "in"."""
    found: dict[str, list[Fraction]] = {"mm": [], "in": []}
    for row in read_table("stock_sizes.csv"):
        size = sum((Fraction(part) for part in row["size"].split()), Fraction(0))
        found[row["unit"]].append(size * INCH if row["unit"] == "in" else size)
    return {unit: tuple(sorted(sizes)) for unit, sizes in found.items()}


@cache
def thread_rows() -> dict[str, ThreadRow]:
    """Return the threads by name in small letters: "m6", "1/4-20", "2ba", "5/16-32"."""
    return {row["name"].lower(): _thread(row) for row in read_table("threads.csv")}


def _thread(row: dict[str, str]) -> ThreadRow:
    inch = row["major_unit"] == "in"
    unit = INCH if inch else Fraction(1)
    pitch = INCH / Fraction(row["pitch"]) if row["pitch_unit"] == "TPI" else Fraction(row["pitch"])
    # BA drills are number drills, in inches, although the threads are metric.
    drill_unit = 25.4 if inch or row["series"] == "BA" else 1.0
    drill = float(row["drill"]) * drill_unit if row["drill"] else None
    major, angle, cites = Fraction(row["major"]) * unit, float(row["angle"]), (row["source"], row["status"])
    return ThreadRow(row["series"], row["name"], major, pitch, angle, drill, row["drill_name"], inch, *cites)


@cache
def tolerance_rows() -> tuple[LimitRow, ...]:
    """Return the widths of tolerance grades 5 to 12; the name is the grade's number."""
    return tuple(_limit(row, row["grade"]) for row in read_table("tolerance_grades.csv"))


@cache
def deviation_rows() -> tuple[LimitRow, ...]:
    """Return the fundamental deviations of shafts by letter."""
    return tuple(_limit(row, row["letter"]) for row in read_table("shaft_deviations.csv"))


def _limit(row: dict[str, str], name: str) -> LimitRow:
    return LimitRow(
        name, float(row["over"]), float(row["up_to"]), float(row["micrometres"]), row["source"], row["status"]
    )


def cutting_speed_for(
    material: str,
    tool: str = "high-speed steel",
    operation: Literal["turning", "drilling"] = "turning",
    own: Quantity | None = None,
    share: float = 1.0,
    why: str = "",
) -> Chosen:
    """Return a cutting speed to start from, with the whole range that the tables give.

    The default is the middle one (median) of the middles of the tables' ranges, or a share of it, and `why` says whose
    practice the share is. `own`: the user's figure, which stands above all. ValueError for a material or tool that no
    table has.

    >>> chosen = cutting_speed_for("mild steel")
    >>> round(chosen.value.to("m/min").magnitude, 1), chosen.words
    (27.4, 'the middle one of 3 tables, which go from 20 to 35 m/min')
    """
    if own is not None:
        return _own(own, SPEED, _("cutting speed"))
    if tool not in TOOLS:
        raise ValueError(_("The tool is {first} or {second}.", first=_(TOOLS[0]), second=_(TOOLS[1])))
    rows = _rows_for(material, tool, operation)
    lows, highs = ([getattr(row, end) * SPEED.signed[row.unit].factor for row in rows] for end in ("low", "high"))
    middle = median((low + high) / 2 for low, high in zip(lows, highs, strict=True)) * share
    low, high = min(lows) * share, max(highs) * share
    words = ngettext(
        "the middle of one table, which goes from {low} to {high} m/min",
        "the middle one of {n} tables, which go from {low} to {high} m/min",
        len(rows),
        low=format_significant(low),
        high=format_significant(high),
    )
    if share != 1:
        part = {"share": format_significant(share), "operation": _(operation), "source": why}
        words = _("{choice}, {share} of the speed for {operation} ({source})", choice=words, **part)
    value, least, most = (registry().Quantity(one, "m/min") for one in (middle, low, high))
    sources = "; ".join(dict.fromkeys(row.source for row in rows))
    seen = all(row.status == "seen" for row in rows)
    # A share of another operation's speed says in its words that it is common practice.
    status = "seen" if seen else "from memory"
    return Chosen(value, least, most, words, sources, status)


def _rows_for(material: str, tool: str, operation: str) -> list[SpeedRow]:
    rows = [row for row in speed_rows() if row.material == material and row.tool == tool]
    rows = [row for row in rows if row.operation in ("any", operation)]
    if not rows:
        unknown = _("No cutting speed of {material} is in the tables. Write your own figure, like 25 m/min.")
        raise ValueError(unknown.format(material=material))
    return rows


def density_of(material: str, own: Quantity | None = None) -> Chosen:
    """Return a material's density, the user's own figure before the table's. ValueError for an unknown material.

    >>> density_of("free-cutting brass").value.magnitude
    8470.0
    """
    if own is not None:
        return _own(own, DENSITY, _("density"))
    unknown = _("No density of {material} is in the table. Write your own figure, like 7850 kg/m³.", material=material)
    return _chosen(densities(), material, DENSITY, unknown)


def specific_energy_of(material: str, own: Quantity | None = None) -> Chosen:
    """Return a material's specific cutting energy, the user's own figure before the table's.

    >>> specific_energy_of("mild steel").value.magnitude
    4.5
    """
    if own is not None:
        return _own(own, ENERGY, _("specific cutting energy"))
    family = _FAMILIES.get(material, material)
    unknown = _("No specific cutting energy of {material} is in the table. Write your own figure, like 3 W·s/mm³.")
    return _chosen(specific_energies(), family, ENERGY, unknown.format(material=family))


_STEELS = "mild steel|medium carbon steel|carbon steel|alloy steel|tool steel|silver steel|free-cutting steel"
_COPPERS = "brass|free-cutting brass|bronze|phosphor bronze|aluminium bronze|gunmetal|copper"
_FAMILIES = {
    **dict.fromkeys(_STEELS.split("|"), "steel"),
    **dict.fromkeys(_COPPERS.split("|"), "copper alloy"),
    **dict.fromkeys(("grey cast iron", "spheroidal graphite iron", "malleable iron"), "cast iron"),
    **dict.fromkeys(("aluminium 6082", "aluminium 2011"), "aluminium alloy"),
    "stainless steel 303": "stainless steel",
}


def _own(value: Quantity, kind: QuantityKind, name: str) -> Chosen:
    amount(value, kind, name)
    return Chosen(value, value, value, _("your own figure"), _("your own figure"), "own")


def _chosen(table: dict[str, FigureRow], material: str, kind: QuantityKind, unknown: str) -> Chosen:
    row = table.get(material)
    if row is None:
        raise ValueError(unknown)
    words = _("the usual figure for {material}", material=row.material)
    if row.low != row.high:
        ends = f"{row.low:g}", f"{row.high:g} {row.unit}"
        words = _("{choice}, published from {low} to {high}", choice=words, low=ends[0], high=ends[1])
    usual, low, high = (registry().Quantity(figure, kind.base) for figure in (row.usual, row.low, row.high))
    return Chosen(usual, low, high, words, row.source, row.status)
