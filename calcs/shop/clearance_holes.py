"""Holes that a screw passes through: close, medium and free.

Metric screws after ISO 273, unified ones after ASME B18.2.8. For the others no standard is known here: the hole is
the next drill that is 2, 5 or 10 per cent over the diameter (common practice, as a rule of our own).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from calcs.messages import _, gettext_noop
from calcs.shop.drills import drills
from calcs.shop.reference_tables import ThreadRow, read_table
from calcs.units.kinds import INCH

_OVER = (1.02, 1.05, 1.10)
_OWN_RULE = gettext_noop("common practice: the next drill over the diameter by 2, 5 and 10 per cent")


@dataclass(frozen=True)
class ClearanceRow:
    """Holes that a screw of a diameter passes through, close, medium and free, in mm."""

    major: Fraction
    inch: bool
    holes: tuple[float, float, float]
    source: str
    status: str


@dataclass(frozen=True)
class ClearanceHoles:
    """Three holes in mm, where they come from, and whether that was seen."""

    close: float
    medium: float
    free: float
    source: str
    status: str


@cache
def clearance_rows() -> tuple[ClearanceRow, ...]:
    """Return the rows of clearance_holes.csv."""
    return tuple(_clearance(row) for row in read_table("clearance_holes.csv"))


def _clearance(row: dict[str, str]) -> ClearanceRow:
    unit = INCH if row["unit"] == "in" else Fraction(1)
    close, medium, free = (float(Fraction(row[name]) * unit) for name in ("close", "medium", "free"))
    return ClearanceRow(
        Fraction(row["major"]) * unit, row["unit"] == "in", (close, medium, free), row["source"], row["status"]
    )


def clearance_holes(row: ThreadRow) -> ClearanceHoles:
    """Return the holes for a screw of that thread. ValueError where no drill of the table is as large.

    >>> from calcs.shop.threads import find_thread
    >>> holes = clearance_holes(find_thread("M6"))
    >>> holes.close, holes.medium, holes.free
    (6.4, 6.6, 7.0)
    """
    for found in clearance_rows():
        if row.angle == 60 and found.major == row.major and found.inch == row.inch:
            return ClearanceHoles(*found.holes, found.source, found.status)
    sizes = [float(drill.mm) for drill in drills() if drill.set == "metric" or row.inch]
    across = float(row.major)
    if across * max(_OVER) > max(sizes):
        raise ValueError(_("No drill of the table is large enough for a clearance hole of {name}.", name=row.name))
    close, medium, free = (min(size for size in sizes if size >= across * over - 1e-9) for over in _OVER)
    return ClearanceHoles(close, medium, free, _(_OWN_RULE), "own")
