"""The sums for beginners of every part, at every level: right, alike for no two parts, and easy to read."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest

from builds.models import Part
from builds.queries.plan.worksheet import LEVELS, SumsSheet, sums_sheet
from builds.queries.plan.worksheet.lines import Sum
from tests import factories
from tests.readability import grade
from tests.truth.printed_sums import sums_of
from tests.truth.shown import three_builds

HARDEST = 6.0
FIGURE = re.compile(r"\d+/\d+|\d[\d,]*(?:\.\d+)?")
METRIC = re.compile(r"\d (?:mm|cm|m|g|kg|m/min|mm²|mm³|cm³|kg/m³|g/cm³)(?![\w/³²])")
QUOTED = re.compile("“[^”]*”")
CHANGED = re.compile(r"1 (?:in|lb|m|lb/in³) is ")


@dataclass(frozen=True)
class Made:
    """One sheet, and which build it is of."""

    build: str
    sheet: SumsSheet

    @property
    def name(self) -> str:
        return f"{self.build}: {self.sheet.part}, level {self.sheet.level}"

    @property
    def questions(self) -> str:
        return " ".join(one.question for one in self.sheet.sums)

    @property
    def reasons(self) -> str:
        return " ".join(line.because for one in self.sheet.sums for line in one.lines)


@pytest.fixture(scope="module")
def sheets(django_db_setup: None, django_db_blocker: Any) -> Iterator[list[Made]]:
    with three_builds(django_db_blocker) as builds:
        parts = [(name, part) for name in ("demonstration", "young") for part in builds[name].parts]
        made = [Made(name, sums_sheet(part, factories.TODAY, level)) for name, part in parts for level in LEVELS]
        yield [one for one in made if one.sheet.sums]


def every_sum(sheets: list[Made]) -> Iterator[tuple[str, Sum]]:
    return ((made.name, one) for made in sheets for one in made.sheet.sums)


def test_nearly_every_part_has_three_sheets_and_most_have_six_sums(sheets: list[Made]) -> None:
    known = Counter(made.sheet.part for made in sheets if made.build == "demonstration")
    assert len(known) >= 78
    assert sum(number == 3 for number in known.values()) >= 78
    assert sum(len(made.sheet.sums) == 6 for made in sheets) >= 170


def test_no_two_sheets_ask_the_same(sheets: list[Made]) -> None:
    """The questions leave the name of the part out, so that they differ by what they ask."""
    asked = Counter((made.build, made.questions) for made in sheets)
    assert [one for one, number in asked.items() if number > 1] == []


def test_every_sheet_can_be_read_at_the_sixth_grade(sheets: list[Made]) -> None:
    hard = [(made.name, text) for made in sheets for text in (made.questions, made.reasons) if grade(text) > HARDEST]
    assert hard == []


def test_every_line_comes_out(sheets: list[Made]) -> None:
    found = [
        (name, one) for name, made in every_sum(sheets) for line in made.lines for one in sums_of(line.step.as_text())
    ]
    assert [(name, one.text, one.worked_out) for name, one in found if not one.right] == []
    assert len(found) >= 2000


def test_every_figure_of_a_line_stands_in_the_question_or_in_a_line_above(sheets: list[Made]) -> None:
    nowhere = []
    for name, one in every_sum(sheets):
        known = set(figures_in(one.question))
        for line in one.lines:
            nowhere += [(name, line.step.as_text(), it) for it in figures_in(line.step.numbers) if it not in known]
            known |= set(figures_in(line.step.answer))
    assert nowhere == []


def figures_in(text: str) -> list[str]:
    """The figures of a text, without commas."""
    return [figure.replace(",", "").rstrip(".") for figure in FIGURE.findall(text)]


def test_every_line_says_why_in_one_sentence(sheets: list[Made]) -> None:
    reasons = {line.because for _name, one in every_sum(sheets) for line in one.lines}
    assert [one for one in reasons if not re.fullmatch(r"[A-Z“][^.?!]+\.", one)] == []
    assert len(reasons) >= 35


def test_a_sheet_in_inches_changes_what_comes_in_metric_units_on_a_line_of_its_own(sheets: list[Made]) -> None:
    """What somebody wrote, between quotation marks, stays as it was written."""
    inches = [(name, one) for name, one in every_sum(sheets) if name.startswith("demonstration")]
    asked = [(name, QUOTED.sub("", one.question)) for name, one in inches]
    assert [text for _name, text in asked if METRIC.search(text) and not CHANGED.search(text)] == []
    lines = [
        (name, line.step.as_text()) for name, one in inches for line in one.lines if METRIC.search(line.step.answer)
    ]
    assert lines == []


def test_one_of_a_thing_is_never_many(sheets: list[Made]) -> None:
    wrong = re.compile(r"(?<![\d/.] )(?<![\d/.])\b1 (?:pieces|holes|teeth|spares|blanks|times|ones)\b|\b1 are\b")
    texts = [(name, f"{one.question} {line.step.as_text()}") for name, one in every_sum(sheets) for line in one.lines]
    assert [text for text in texts if wrong.search(text[1])] == []


def test_every_kind_of_sum_stands_on_some_sheet(sheets: list[Made]) -> None:
    titles = {one.title for _name, one in every_sum(sheets)}
    assert len(titles) >= 34, sorted(titles)


def test_every_scaled_part_begins_with_full_size_and_model(sheets: list[Made]) -> None:
    """All but jigs and work on an assembly, which have no full size, and a part that says nothing else."""
    scaled = [
        made
        for made in sheets
        if made.build == "demonstration" and made.sheet.part.role not in ("jig", "work on an assembly")
    ]
    without = [made.name for made in scaled if made.sheet.sums[0].title != "Full size and model"]
    assert without == []
    assert len(scaled) >= 200


def test_parts_that_say_the_same_still_get_sheets_of_their_own(db: None) -> None:
    build = factories.make_build(scale="1:8", units="mm")
    steel = factories.make_material("Steel", density=7850.0, cutting_speed=25.0)
    lathe = factories.make_machine(speeds=[100, 200, 400, 800], power_watts=750)
    route = [
        {"kind": kind, "machine": lathe, "minutes_per_unit": 10.0 + place, "setup_minutes": 20.0 + place}
        for place, kind in enumerate(("turning", "facing", "parting", "drilling", "threading"))
    ]
    parts = [
        factories.make_part(
            build, str(number), f"Pin {number}", operations=route, quantity=6, spares=2, material=steel,
            blank="20 dia x 60", finished_mass_grams=90.0,
        )
        for number in range(6)
    ]  # fmt: skip
    for level in LEVELS:
        made = {asked_of(part, level) for part in parts}
        assert len(made) == len(parts), level


def asked_of(part: Part, level: int) -> str:
    return " ".join(one.question for one in sums_sheet(part, factories.TODAY, level).sums)
