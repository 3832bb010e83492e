"""Limits as they are typed against ISO 286, and general tolerances against the rows of ISO 2768-1."""

from fractions import Fraction

import pytest

from calcs.shop.general_tolerances import read_general_tolerance
from calcs.shop.limit_texts import read_limits
from calcs.shop.reference_tables import general_rows
from calcs.units.kinds import INCH

# ISO 286-2, limit deviations in micrometres, as tests/outside/test_fit_tables.py has them (from memory).
ISO_286 = {
    "12 h6": (-11, 0), "12 g6": (-17, -6), "12 H7": (0, 18), "25 H7": (0, 21), "25 f7": (-41, -20), "3 H8": (0, 14),
    "6 h9": (-30, 0), "8 js6": (-4.5, 4.5), "10 H6": (0, 9), "16 e8": (-59, -32), "18 k6": (1, 12), "20 p6": (22, 35),
    "30 d9": (-117, -65), "40 N7": (-33, -8), "50 p6": (26, 42), "63 r6": (41, 60), "100 s6": (71, 93),
    "120 H11": (0, 220), "200 K7": (-33, 13), "250 H12": (0, 460), "65 s6": (53, 72), "66 s6": (59, 78),
}  # fmt: skip


@pytest.mark.parametrize("text", ISO_286)
def test_a_class_is_read_as_the_tables_have_it(text: str) -> None:
    nominal = Fraction(text.split()[0])
    lower, upper = (nominal + Fraction(away) / 1000 for away in ISO_286[text])
    for typed in (text, f"Ø{text}", text.replace(" ", " mm "), f"{text} dia"):
        reading = read_limits(typed, "mm")
        assert (reading.nominal, reading.lower, reading.upper) == (nominal, lower, upper), typed


def test_a_class_holds_for_a_size_in_inches() -> None:
    # Half an inch is 12.7 mm, in the range over 10 to 18 mm: H7 is 18 µm wide (ISO 286-2).
    reading = read_limits("1/2 H7", "in")
    assert (reading.lower, reading.upper) == (INCH / 2, INCH / 2 + Fraction("0.018"))


# ISO 2768-1:1989 table 1, permissible deviations for linear dimensions but for broken edges, mm; from memory. The
# ranges of nominal sizes are 0.5 up to 3, over 3 up to 6, then up to 30, 120, 400, 1000, 2000 and 4000 mm. A stroke is
# printed where the standard gives none.
ENDS = ("0.5", "3", "6", "30", "120", "400", "1000", "2000", "4000")
TABLE_1 = {
    "f": "0.05 0.05 0.1 0.15 0.2 0.3 0.5 -",
    "m": "0.1 0.1 0.2 0.3 0.5 0.8 1.2 2",
    "c": "0.2 0.3 0.5 0.8 1.2 2 3 4",
    "v": "- 0.5 1 1.5 2.5 4 6 8",
}
# Table 2, external radii and chamfer heights: 0.5 up to 3, over 3 up to 6, over 6 mm; from memory.
TABLE_2 = {"f": "0.2 0.5 1", "m": "0.2 0.5 1", "c": "0.4 1 2", "v": "0.4 1 2"}


def rows(table: dict[str, str]) -> list[tuple[str, str, str, str]]:
    return [
        (grade, over, up_to, width)
        for grade, widths in table.items()
        for over, up_to, width in zip(ENDS, ENDS[1:], widths.split(), strict=False)
    ]


@pytest.mark.parametrize(("grade", "over", "up_to", "width"), rows(TABLE_1))
def test_every_row_for_linear_sizes(grade: str, over: str, up_to: str, width: str) -> None:
    low, high = Fraction(over), Fraction(up_to)
    tolerance = read_general_tolerance(f"ISO 2768-{grade}", "mm")
    printed = None if width == "-" else Fraction(width)
    within = (low + Fraction(1, 1000), (low + high) / 2, high)
    assert {tolerance.around(size) for size in within} == {printed}


@pytest.mark.parametrize(("grade", "over", "up_to", "width"), rows(TABLE_2))
@pytest.mark.parametrize("edge", ["chamfer", "radius"])
def test_every_row_for_broken_edges(grade: str, over: str, up_to: str, width: str, edge: str) -> None:
    tolerance = read_general_tolerance(f"ISO 2768-{grade}", "mm")
    # The last range has no upper end.
    within = (Fraction(over) + Fraction(1, 1000), Fraction(up_to), *([Fraction(400)] if over == "6" else []))
    assert {tolerance.around(size, edge) for size in within} == {Fraction(width)}


def test_the_smallest_range_begins_with_half_a_millimetre() -> None:
    # ISO 2768-1 table 1, note: below 0.5 mm the deviations stand beside the nominal size.
    medium = read_general_tolerance("ISO 2768-m", "mm")
    assert medium.around(Fraction("0.5")) == Fraction("0.1")
    assert medium.around(Fraction("0.499")) is None
    assert medium.around(Fraction("0.5"), "chamfer") == Fraction("0.2")
    assert medium.around(Fraction(4001)) is None


def test_no_row_is_in_the_table_that_is_not_printed() -> None:
    printed = sum(width != "-" for _, _, _, width in rows(TABLE_1)) + len(rows(TABLE_2))
    assert len(general_rows()) == printed == 42
