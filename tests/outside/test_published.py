"""Figures that others have printed, one a row, each with where it was read; nothing here is from memory.

Columns of the table: which figure, what of, what is printed, how far the print may be from the sum, and the source.
"""

import csv
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from calcs.cutting import Depths, SetUp, drilling, face_milling, facing, spindle_speed, turning
from calcs.parts.learning_curve import rate_of, slope_of, unit_time, units_total
from calcs.parts.yields import exact_interval, wilson_interval
from calcs.shop.fits import limits
from calcs.shop.reference_tables import density_of
from calcs.shop.stock import mass, round_bar
from calcs.shop.threads import find_thread, percent_of_thread, sizes_of
from calcs.shop.three_guesses import three_guesses
from calcs.units.kinds import KINDS
from calcs.units.registry import registry

Q = registry().Quantity
_TABLE = Path(__file__).with_name("published.tsv")
with _TABLE.open(encoding="utf-8", newline="") as _lines:
    ROWS = list(csv.DictReader(_lines, delimiter="\t", quoting=csv.QUOTE_NONE))
BY_FIGURE: dict[str, list[dict[str, str]]] = defaultdict(list)
for _row in ROWS:
    BY_FIGURE[_row["figure"]].append(_row)


def _mm(size: str) -> Any:
    return Q(float(size), "mm")


def _limit(symbol: str, end: str, size: str) -> float:
    return float(getattr(limits(_mm(size), symbol), f"{end}_um"))


def _thread(unit: str) -> Callable[[str, str], float]:
    def of(what: str, name: str) -> float:
        row = find_thread(name)
        if what == "drill":
            return float(row.drill) if unit == "mm" else float(row.drill) / 25.4
        called = {"middle": "pitch_diameter"}.get(what, what)
        if name.endswith("BA") or what in ("major", "pitch"):
            return float(getattr(row, called)) / (1 if unit == "mm" else 25.4)
        return float(getattr(sizes_of(row), called).to("mm" if unit == "mm" else "inch").magnitude)

    return of


def _percent(name: str) -> float:
    row = find_thread(name)
    return float(percent_of_thread(Q(float(row.major), "mm"), Q(float(row.pitch), "mm"), Q(row.drill, "mm")).value.m)


def _speed_round(across: str, turns: str) -> float:
    cut = turning(_mm(across), _mm("10"), _mm("0.1"), SetUp(spindle_speed=float(turns)))
    return float(cut.cutting_speed.to("m/min").magnitude)


def _turns(speed_unit: str, size_unit: str) -> Callable[[str, str], float]:
    return lambda speed, across: float(
        spindle_speed(Q(float(speed), speed_unit), Q(float(across), size_unit)).value.to("rpm").magnitude
    )


def _table_speed(teeth: str, feed: str, turns: str) -> float:
    cut = face_milling(_mm("20"), int(teeth), _mm(feed), _mm("10"), _mm("10"), SetUp(spindle_speed=float(turns)))
    return float(cut.feed_rate.to("mm/min").magnitude)


def _removal(speed: str, feed: str, depth: str) -> float:
    """Of a bar so thick that the speed in the middle of the cut is the one given."""
    middle = 10 * _mm(depth)
    turns = (Q(float(speed), "m/s") / (3.141592653589793 * middle)).to("1/min").magnitude
    cut = turning(middle + _mm(depth), middle, _mm(feed), SetUp(spindle_speed=turns), Depths(_mm(depth)))
    return float(cut.removal_rate.to("mm**3/s").magnitude)


def _drilled(across: str, deep: str, feed: str, speed: str) -> float:
    cut = drilling(_mm(across), _mm(deep), _mm(feed), SetUp(Q(float(speed), "m/min")), point_angle=None)
    return float(cut.time.to("second").magnitude)


def _faced(outer: str, inner: str, feed: str, turns: str) -> float:
    cut = facing(_mm(outer), _mm(feed), SetUp(spindle_speed=float(turns)), inner=_mm(inner))
    return float(cut.time.to("second").magnitude)


def _energy(inches: str) -> float:
    return float(Q(float(inches), "hp*min/inch**3").to("kW*s/cm**3").magnitude)


def _guesses(what: Callable[[Any], float]) -> Callable[..., float]:
    return lambda *guesses: what(three_guesses(*(Q(float(guess), "h") for guess in guesses)))


def _density(unit: str) -> Callable[..., float]:
    return lambda *words: float(density_of(" ".join(words)).value.to(unit).magnitude)


def _end(interval: Callable[..., tuple[float, float]]) -> Callable[..., float]:
    return lambda end, good, tried, sure: interval(int(good), int(tried), float(sure))[end == "high"]


SUMS: dict[str, Callable[..., Any]] = {
    "limit, µm": _limit,
    "thread, mm": _thread("mm"),
    "thread, in": _thread("in"),
    "thread, %": _percent,
    "drill named": lambda name: find_thread(name).drill_name,
    "steel bar, kg/m": lambda across: mass(round_bar(_mm(across)), Q(1, "m"), Q(7850, "kg/m**3")).value.to("kg").m,
    "learning, slope": lambda rate: slope_of(float(rate)),
    "learning, rate": lambda slope: rate_of(float(slope)),
    "learning, unit": lambda first, rate, unit: unit_time(float(first), float(rate), int(unit)),
    "learning, total": lambda first, rate, units: units_total(float(first), float(rate), int(units)),
    "learning, mean": lambda first, rate, units: units_total(float(first), float(rate), int(units)) / int(units),
    "density, g/cm³": _density("g/cm**3"),
    "density, lb/in³": _density("lb/inch**3"),
    "cutting speed, m/min": _speed_round,
    "turning, min": lambda across, long, feed, turns: (
        turning(_mm(across), _mm(long), _mm(feed), SetUp(spindle_speed=float(turns))).minutes
    ),
    "spindle speed, m/min": _turns("m/min", "mm"),
    "spindle speed, ft/min": _turns("ft/min", "inch"),
    "table speed, mm/min": _table_speed,
    "removal, mm³/s": _removal,
    "drilling, s": _drilled,
    "facing, s": _faced,
    "energy, kW·s/cm³": _energy,
    "unit": lambda kind, sign: KINDS[kind].signed[sign].factor,
    "exact interval": _end(exact_interval),
    "wilson interval": _end(wilson_interval),
    "three guesses, mean": _guesses(lambda found: found.mean / 60),
    "three guesses, variance": _guesses(lambda found: (found.spread / 60) ** 2),
    "three guesses, spread": _guesses(lambda found: found.spread / 60),
}


@pytest.mark.parametrize("figure", SUMS)
def test_every_figure_is_as_printed(figure: str) -> None:
    for row in BY_FIGURE[figure]:
        found = SUMS[figure](*row["of"].split(" "))
        if isinstance(found, str):
            assert found == row["expected"], row
        else:
            assert found == pytest.approx(float(row["expected"]), rel=1e-12, abs=float(row["within"])), row


def test_at_least_two_hundred_and_fifty_rows_are_published_each_with_its_source() -> None:
    assert len({(row["figure"], row["of"], row["expected"]) for row in ROWS}) >= 250
    assert all(len(row["source"]) > 5 and "memory" not in row["source"] for row in ROWS)
    assert set(BY_FIGURE) == set(SUMS)
