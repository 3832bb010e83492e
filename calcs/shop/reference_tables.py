"""Published figures of the trade, each with its source: cutting speeds, energies, densities, stock, threads, limits.

They are where to start from, never the last word: published cutting speeds differ by up to two times. Every choice
takes a figure of the user's own, which stands above the tables. `status` is "seen" where the source was read and
"from memory" where it was not.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from statistics import median

from calcs.units.argument_checks import Quantity, amount
from calcs.units.figures import format_significant
from calcs.units.kinds import DENSITY, ENERGY, SPEED
from calcs.units.registry import registry

TOOLS = ("high-speed steel", "carbide")


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


def _read(name: str) -> list[dict[str, str]]:
    text = files("calcs.shop").joinpath("tables", name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@cache
def speed_rows() -> tuple[SpeedRow, ...]:
    """Return the rows of cutting_speeds.csv."""
    return tuple(
        SpeedRow(**{**row, "low": float(row["low"]), "high": float(row["high"])})  # type: ignore[arg-type]
        for row in _read("cutting_speeds.csv")
    )


@cache
def speed_shares() -> dict[str, tuple[float, str, str]]:
    """Return for an operation the share of the turning (or drilling) speed it runs at: share, source, status."""
    return {row["operation"]: (float(row["share"]), row["source"], row["status"]) for row in _read("speed_shares.csv")}


@cache
def densities() -> dict[str, FigureRow]:
    """Return densities by material, kg/m³."""
    rows = _read("densities.csv")
    return {
        row["material"]: FigureRow(
            row["material"],
            float(row["low"]),
            float(row["high"]),
            float(row["usual"]),
            "kg/m³",
            row["source"],
            row["status"],
        )
        for row in rows
    }


@cache
def specific_energies() -> dict[str, FigureRow]:
    """Return specific cutting energies by material, W·s/mm³."""
    return {row["material"]: _energy(row) for row in _read("specific_energies.csv")}


def _energy(row: dict[str, str]) -> FigureRow:
    energy = float(row["energy"])
    return FigureRow(row["material"], energy, energy, energy, row["unit"], row["source"], row["status"])


@cache
def specific_forces() -> dict[str, dict[float, float]]:
    """Return specific cutting forces in MPa by material and feed in mm for each turn."""
    found: dict[str, dict[float, float]] = {}
    for row in _read("specific_forces.csv"):
        found.setdefault(row["material"], {})[float(row["feed_mm"])] = float(row["pressure_mpa"])
    return found


@cache
def stock_sizes() -> dict[str, tuple[Fraction, ...]]:
    """Return the common sizes of bar in mm, exact, by the unit they are sold in: "mm" or "in"."""
    found: dict[str, list[Fraction]] = {"mm": [], "in": []}
    for row in _read("stock_sizes.csv"):
        size = sum((Fraction(part) for part in row["size"].split()), Fraction(0))
        found[row["unit"]].append(size * Fraction(254, 10) if row["unit"] == "in" else size)
    return {unit: tuple(sorted(sizes)) for unit, sizes in found.items()}


@cache
def thread_rows() -> dict[str, ThreadRow]:
    """Return the threads by name in small letters: "m6", "1/4-20", "2ba", "5/16-32"."""
    return {row["name"].lower(): _thread(row) for row in _read("threads.csv")}


def _thread(row: dict[str, str]) -> ThreadRow:
    inch = row["major_unit"] == "in"
    unit = Fraction(254, 10) if inch else Fraction(1)
    pitch = unit / Fraction(row["pitch"]) if row["pitch_unit"] == "TPI" else Fraction(row["pitch"])
    # BA drills are number drills, in inches, although the threads are metric.
    drill_unit = 25.4 if inch or row["series"] == "BA" else 1.0
    drill = float(row["drill"]) * drill_unit if row["drill"] else None
    return ThreadRow(
        row["series"],
        row["name"],
        Fraction(row["major"]) * unit,
        pitch,
        float(row["angle"]),
        drill,
        row["drill_name"],
        inch,
        row["source"],
        row["status"],
    )


@cache
def tolerance_rows() -> tuple[LimitRow, ...]:
    """Return the widths of tolerance grades 5 to 11; the name is the grade's number."""
    return tuple(_limit(row, row["grade"]) for row in _read("tolerance_grades.csv"))


@cache
def deviation_rows() -> tuple[LimitRow, ...]:
    """Return the fundamental deviations of shafts by letter."""
    return tuple(_limit(row, row["letter"]) for row in _read("shaft_deviations.csv"))


def _limit(row: dict[str, str], name: str) -> LimitRow:
    return LimitRow(
        name, float(row["over"]), float(row["up_to"]), float(row["micrometres"]), row["source"], row["status"]
    )


def cutting_speed_for(
    material: str, tool: str = "high-speed steel", operation: str = "turning", own: Quantity | None = None
) -> Chosen:
    """Return a cutting speed to start from, with the whole range that the tables give.

    The default is the middle one (median) of the middles of the tables' ranges; for boring, parting, reaming, tapping
    and threading a share of it by common practice. `own`: the user's figure, which stands above all. ValueError for
    a material or tool that no table has.

    >>> chosen = cutting_speed_for("mild steel")
    >>> round(chosen.value.to("m/min").magnitude, 1), chosen.words
    (27.4, 'the middle one of 3 tables, which go from 20 to 35 m/min')
    """
    if own is not None:
        amount(own, SPEED, "cutting speed")
        return Chosen(own, own, own, "your own figure", "your own figure", "own")
    if tool not in TOOLS:
        raise ValueError(f"The tool is {TOOLS[0]} or {TOOLS[1]}.")
    share, share_source, _ = speed_shares().get(operation, (1.0, "", ""))
    base = "drilling" if operation in ("drilling", "reaming", "tapping") else "turning"
    rows = [row for row in speed_rows() if row.material == material and row.tool == tool]
    rows = [row for row in rows if row.operation in ("any", base)]
    if not rows:
        raise ValueError(f"No cutting speed of {material} is in the tables. Write your own figure, like 25 m/min.")
    metric = [(_metres(row.low, row.unit), _metres(row.high, row.unit)) for row in rows]
    middle = median((low + high) / 2 for low, high in metric) * share
    low, high = min(low for low, _ in metric) * share, max(high for _, high in metric) * share
    words = (
        f"the middle one of {len(rows)} tables, which go" if len(rows) > 1 else "the middle of one table, which goes"
    )
    words += f" from {format_significant(low)} to {format_significant(high)} m/min"
    if share != 1:
        words += f", {format_significant(share)} of the speed for {base} ({share_source})"
    quantity = registry().Quantity
    sources = "; ".join(dict.fromkeys(row.source for row in rows))
    status = "seen" if share == 1 else "seen; share from memory"
    return Chosen(quantity(middle, "m/min"), quantity(low, "m/min"), quantity(high, "m/min"), words, sources, status)


def _metres(value: float, unit: str) -> float:
    return value * 0.3048 if unit == "ft/min" else value


def density_of(material: str, own: Quantity | None = None) -> Chosen:
    """Return a material's density, the user's own figure before the table's. ValueError for an unknown material.

    >>> density_of("free-cutting brass").value.magnitude
    8470.0
    """
    if own is not None:
        amount(own, DENSITY, "density")
        return Chosen(own, own, own, "your own figure", "your own figure", "own")
    return _chosen(densities(), material, "kilogram / meter ** 3", "density", "7850 kg/m³")


def specific_energy_of(material: str, own: Quantity | None = None) -> Chosen:
    """Return a material's specific cutting energy, the user's own figure before the table's.

    >>> specific_energy_of("mild steel").value.magnitude
    4.5
    """
    if own is not None:
        amount(own, ENERGY, "specific cutting energy")
        return Chosen(own, own, own, "your own figure", "your own figure", "own")
    family = _FAMILIES.get(material, material)
    return _chosen(specific_energies(), family, "joule / millimeter ** 3", "specific cutting energy", "3 W·s/mm³")


_FAMILIES = {
    **dict.fromkeys(("mild steel", "medium carbon steel", "carbon steel", "alloy steel", "tool steel"), "steel"),
    **dict.fromkeys(("brass", "free-cutting brass", "bronze", "phosphor bronze", "copper"), "copper alloy"),
    "grey cast iron": "cast iron",
}


def _chosen(table: dict[str, FigureRow], material: str, unit: str, what: str, example: str) -> Chosen:
    row = table.get(material)
    if row is None:
        raise ValueError(f"No {what} of {material} is in the table. Write your own figure, like {example}.")
    quantity = registry().Quantity
    words = f"the usual figure for {row.material}"
    if row.low != row.high:
        words += f", published from {row.low:g} to {row.high:g} {row.unit}"
    return Chosen(
        quantity(row.usual, unit), quantity(row.low, unit), quantity(row.high, unit), words, row.source, row.status
    )
