"""Our own table of spellings, each with what it is meant to say, and a second reading of generated ones.

Columns: kind, inputs (spellings of one thing, with bars between), default unit, status ("any": value only), value (mm
or minutes), said (words the sentence must hold), source (where such a spelling is seen).
"""

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.typed.durations import read_duration
from calcs.typed.lengths import read_length

_TABLE = Path(__file__).parents[1] / "data" / "typed_notations.tsv"
with _TABLE.open(encoding="utf-8", newline="") as _lines:
    ROWS = list(csv.DictReader(_lines, delimiter="\t", quoting=csv.QUOTE_NONE))
SPELLINGS = [
    pytest.param(row, text, id=f"{text}|{row['default']}") for row in ROWS for text in row["inputs"].split("|")
]


def _read(row, text):
    if row["kind"] == "time":
        return [(reading := read_duration(text)).value], [reading]
    units = {"any": ("mm", "in", None), "none": (None, "mm", "in")}.get(row["default"], (row["default"],))
    readings = [read_length(text, unit) for unit in units]
    return [reading.value and reading.value.to("mm").magnitude for reading in readings], readings


@pytest.mark.parametrize(("row", "text"), SPELLINGS)
def test_a_spelling_is_read_as_it_is_meant(row, text):
    values, readings = _read(row, text)
    for value, reading in zip(values, readings, strict=True):
        assert value == (pytest.approx(float(row["value"])) if row["value"] else None)
        assert row["status"] in ("any", reading.status)
        assert row["said"] in reading.message


def test_the_table_is_not_thinned_out():
    assert len(SPELLINGS) >= 250
    assert all(row["source"].strip() for row in ROWS)


@st.composite
def _two_figures(draw):
    """A text of two whole figures with a joint and a unit, and every value that somebody may mean by it in minutes."""
    one, other = draw(st.integers(0, 24)), draw(st.integers(1, 64))
    unit, size = draw(st.sampled_from([("h", 60), (" hours", 60), (" min", 1)]))
    joint = draw(st.sampled_from(["/", "-", ":", "h"]))
    if joint == "/":
        usual = other in (1, 2, 3, 4, 8, 16, 32, 64)
        meant = {one / other * size} | (set() if usual or 2 * one < other else {one * size, other * size})
    elif joint == "-":
        clock = {(other - one) % 24 * 60.0} if unit == "h" and one > 12 and other <= 24 else set()
        meant = {(one + other) / 2 * size} | clock
    else:
        unit = ""
        digits = {other, 10 * other} if other < 6 else {other}
        meant = {60.0 * one + minutes for minutes in digits if minutes < 60}
    return f"{one}{joint}{other}{unit}", meant


@settings(deadline=None)  # a busy machine is no failure
@given(_two_figures())
def test_no_text_with_two_readings_of_different_value_passes_without_being_asked(text_and_meant):
    text, meant = text_and_meant
    reading = read_duration(text)
    if reading.status in ("ok", "rough", "range"):
        assert len(meant) == 1
        assert reading.value == pytest.approx(meant.pop())


@settings(deadline=None)  # a busy machine is no failure
@given(
    st.integers(1, 12),
    st.sampled_from(["turning", "each", "12 rings", "less breaks", "30 min", "milling 2h", "a day", "mostly cleaning"]),
    st.sampled_from([" ", ", ", " (", " - "]),
)
def test_words_beside_a_time_are_kept_whole_or_nothing_is_read(hours, words, joint):
    reading = read_duration(f"{hours}h{joint}{words}{')' if '(' in joint else ''}")
    if words in ("turning", "12 rings", "mostly cleaning"):
        assert (reading.value, reading.note) == (hours * 60, words)
    elif reading.has_value:
        assert (reading.value, reading.note) == (hours * 60 + 30, "")
