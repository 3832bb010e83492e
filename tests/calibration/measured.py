"""What the calibration measured, kept where the program and the README quote it."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from calcs.forecast import ARITHMETIC
from calcs.forecast.trust import trust_lines
from tests.calibration.report import Figures

ROOT = Path(__file__).resolve().parents[2]
KEPT_IN = ROOT / "calcs" / "forecast" / "measured.py"
README = ROOT / "README.md"

MODULE = '''"""How the forecast's ranges held on simulated builds. Written by tests.calibration --keep, not by hand."""

from __future__ import annotations

from dataclasses import dataclass

ARITHMETIC = {arithmetic}
"""The arithmetic that was measured."""


@dataclass(frozen=True)
class Measured:
    """Builds of one sort: how many looks at them, how many in a hundred kept the range of hours (80 are meant), stayed
    under the fairly safe figure (80) and kept the range of dates (80), and even chance ÷ truth (median)."""

    name: str
    looks: int
    held: int
    under_safe: int
    even: float
    dates_held: int


MEASURED = (
{rows}
)
'''

HEADING = (
    "| Simulated builds | Looks | Hours in the range | Under the fairly safe figure | Even chance ÷ truth "
    "| Date in the range |\n|---|---:|---:|---:|---:|---:|"
)


def keep(figures: Iterable[tuple[str, Figures]]) -> None:
    """Write the figures down for the program."""
    rows = "\n".join(
        f'    Measured("{name}", {one.cases}, {one.held:.0f}, {one.under_p80:.0f}, '
        f"{one.even:.2f}, {one.dates_held:.0f}),"
        for name, one in figures
    )
    KEPT_IN.write_text(MODULE.format(arithmetic=ARITHMETIC, rows=rows), encoding="utf-8")


def table_of_readme() -> str:
    """Return the table as the README quotes it."""
    lines = [HEADING]
    for line in trust_lines():
        one = line.measured
        shares = f"{one.held} % | {one.under_safe} % | {one.even:.2f} | {one.dates_held} %"
        lines.append(f"| {line.title} | {one.looks:,} | {shares} |")
    return "\n".join(lines)
