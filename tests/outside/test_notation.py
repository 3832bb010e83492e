"""What people really type, held against readings settled beforehand.

The source stands beside each case. The notations were collected from builders' own published logs and drawings and
from drawing-office usage; the values follow from 1 in = 25.4 mm and 1 h = 60 min. The table also holds texts that must
not be given a value.

Columns: kind, input (\\n is a line end), default ("any": the reading is the same with mm, in and none), status,
value, low, high (mm or minutes), says (words the sentence must hold), source.
"""

import csv
from pathlib import Path

import pytest

from calcs.typed.durations import read_duration
from calcs.typed.lengths import read_length
from calcs.typed.reading import Reading

_TABLE = Path(__file__).with_name("notation_cases.tsv")
_DEFAULTS = {"any": ("mm", "in", None), "mm": ("mm",), "in": ("in",), "none": (None,)}
# One unit in the last of ten figures: the readers are exact up to the nearest float.
_EXACT = 1e-10


def _cases(kind):
    with _TABLE.open(encoding="utf-8", newline="") as lines:
        rows = [row for row in csv.DictReader(lines, delimiter="\t") if row["kind"] == kind]
    return [pytest.param(row, id=f"{row['input'] or 'blank'}|{row['default']}") for row in rows]


def _number(cell):
    return pytest.approx(float(cell), rel=_EXACT) if cell else None


def _in_mm(quantity):
    return None if quantity is None else quantity.to("mm").magnitude


def _typed(row):
    return row["input"].replace("\\n", "\n")


def test_the_table_is_not_thinned_out():
    assert len(_cases("length")) > 130
    assert len(_cases("duration")) > 120
    assert all(case.values[0]["source"].strip() for kind in ("length", "duration") for case in _cases(kind))


@pytest.mark.parametrize("row", _cases("length"))
def test_a_length_is_read_as_settled(row):
    for default in _DEFAULTS[row["default"]]:
        reading = read_length(_typed(row), default)
        assert isinstance(reading, Reading)
        assert (reading.status, reading.text) == (row["status"], _typed(row))
        assert _in_mm(reading.value) == _number(row["value"])
        assert (_in_mm(reading.low), _in_mm(reading.high)) == (_number(row["low"]), _number(row["high"]))
        assert row["says"] in reading.message


@pytest.mark.parametrize("row", _cases("duration"))
def test_a_duration_is_read_as_settled(row):
    reading = read_duration(_typed(row))
    assert (reading.status, reading.text) == (row["status"], _typed(row))
    assert reading.value == _number(row["value"])
    assert (reading.low, reading.high) == (_number(row["low"]), _number(row["high"]))
    assert row["says"] in reading.message


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        # Tap drill tables: Machinery's Handbook, 31st ed., p. 2155 (#50); the thread tables of ibls.org (#36, J and Q);
        # common tap drill charts, from memory (the others).
        ("#50", 0.0700 * 25.4),
        ("#43", 0.0890 * 25.4),
        ("#36", 0.1065 * 25.4),
        ("#30", 0.1285 * 25.4),
        ("#29", 0.1360 * 25.4),
        ("#25", 0.1495 * 25.4),
        ("#21", 0.1590 * 25.4),
        ("#7", 0.2010 * 25.4),
        ("#3", 0.2130 * 25.4),
        ("F drill", 0.2570 * 25.4),
        ("J drill", 0.2770 * 25.4),
        ("Q drill", 0.3320 * 25.4),
    ],
)
def test_named_drills_agree_with_published_tap_drill_tables(text, mm):
    assert _in_mm(read_length(text, None).value) == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize("size", range(13))
def test_ba_diameters_follow_the_law_of_the_thread(size):
    # British Association thread: pitch p = 0.9^k mm, diameter 6·p^1.2 mm (the law is from memory; BS 93 rounds it to
    # a tenth of a millimetre and allows itself 0.05).
    assert _in_mm(read_length(f"{size}BA", None).value) == pytest.approx(6 * 0.9 ** (1.2 * size), abs=0.05)
