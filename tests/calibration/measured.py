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

MODULE = '''"""How the forecast's ranges held on simulated builds. Written by tests.calibration --keep, not by hand.

Columns as in calcs.forecast.trust.Measured. `ARITHMETIC` is the one that was measured.
"""

ARITHMETIC = {arithmetic}
ROWS = (
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
        f'    ("{name}", {one.cases}, {one.held:.0f}, {one.under_p80:.0f}, {one.even:.2f}, {one.dates_held:.0f}),'
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
