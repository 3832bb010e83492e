"""What visitors are told in whole sentences: the page in large print, the sign, and the sheet of the demonstrator."""

import random
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.models import Build, Exhibit
from builds.queries.visitors.facts import facts_of
from builds.queries.visitors.in_words import ended, in_words
from builds.queries.visitors.placard import (
    BELOW_THE_CODE,
    LETTERS,
    MOST_WORDS,
    Paper,
    Placard,
    letters_for,
    placard_of,
    sentences_of,
)
from builds.queries.visitors.talk import BIGGEST, PARTS_ASKED, SUMS, talk_sheet
from builds.services.plan.visitors import keep_exhibit
from builds.views.visitors.placard import PAPERS
from tests.factories import TODAY, make_build, make_entry, make_material, make_part

pytestmark = pytest.mark.django_db


def exhibit_of(build: Build, *, date_on_board: bool = True, **fields: Any) -> Exhibit:
    return keep_exhibit(
        exhibit=Exhibit(build=build, **fields),
        for_visitors=build.for_visitors,
        on_board=True,
        date_on_board=date_on_board,
        by=None,
    )


def engine(**fields: Any) -> Build:
    """Six turned parts, of which the first took longest, and one jig that took longer than any."""
    build = make_build(subject="a mill engine", scale="1:12", for_visitors="It drove looms.", **fields)
    brass = make_material("Brass, bar")
    for n in range(6):
        part = make_part(
            build, str(n + 1), f"Ring {n + 1}", quantity=4, material=brass, finished_mass_grams=10.0,
            operations=({"kind": "turning", "minutes_per_unit": 20.0},),
        )  # fmt: skip
        done = {"good": 2, "scrap": 3 * (n == 2), "scrap_reason": "bored too wide" if n == 2 else ""}
        make_entry(build, date(2026, 3, 2 + n), 200 - 10 * n, part=part, operation=part.operations.get(), **done)
    jig = make_part(build, "J1", "Turning fixture", role="jig")
    make_entry(build, date(2026, 3, 20), 900, part=jig)
    return build


def words_of(sign: Placard) -> int:
    return BELOW_THE_CODE + sum(len(text.split()) for text in (sign.title, *sign.lead, *sign.more, sign.foot))


# ---- in words -------------------------------------------------------------------------------------------------------
def test_every_panel_of_the_board_is_told_in_words() -> None:
    facts = facts_of(engine(), TODAY)
    told = {one.key: one for one in in_words(facts)}
    assert tuple(told) == facts.panels
    assert {"size", "hours", "counts", "bench", "hardest", "masses", "way"} <= set(told)
    assert all(one.sentences for one in told.values())
    assert told["size"].sentences[:2] == ("A mill engine.", "It drove looms.")
    assert told["hours"].sentences[0] == "32 hours so far."
    assert told["hardest"].sentences[0] == "Ring 3. Of 5 begun, 2 came out good."


def test_what_is_hidden_is_in_no_sentence() -> None:
    build = engine()
    exhibit_of(build, hours_shown=False, scrap_shown=False, date_on_board=False)
    text = repr(in_words(facts_of(build, TODAY)))
    assert "It drove looms." in text
    for hidden in ("hours", "evening", "scrap", "lost", "bored too wide", "20", "chances"):
        assert hidden not in text, hidden


@pytest.mark.parametrize(
    ("typed", "told"),
    [("a mill engine", "A mill engine."), ("Does it run?", "Does it run?"), (" so… ", "So…"), ("", "")],
)
def test_what_is_typed_ends_as_a_sentence(typed: str, told: str) -> None:
    assert ended(typed) == told


# ---- the sign -------------------------------------------------------------------------------------------------------
def test_a_sign_says_what_is_asked_most_first() -> None:
    sign = placard_of(facts_of(engine(), TODAY))
    assert sign.title == "Beam engine, 1:12"
    assert sign.lead == ("A mill engine.", "32 hours so far · 0 of 6 parts made")
    assert sign.more[:2] == ("It drove looms.", "Made of brass.")
    assert sign.left_out == ()


def test_a_sign_has_at_most_a_hundred_words_and_says_what_it_leaves_out() -> None:
    build = engine()
    build.for_visitors = "It drove forty looms in a shed. " * 18
    exhibit_of(build, what_it_did="Its wheel turned all day long. " * 12)
    sign = placard_of(facts_of(build, TODAY))
    assert 80 < words_of(sign) <= MOST_WORDS
    assert "It drove forty looms in a shed." in sign.left_out
    assert all(text.endswith(".") for text in sign.more)


def test_text_is_taken_apart_where_sentences_end() -> None:
    text = "It has a 6 in. bore. Über 100 Jahre alt! Does it run?\nYes. A wheel, e.g. this one, turns."
    assert sentences_of(text) == (
        "It has a 6 in. bore.", "Über 100 Jahre alt!", "Does it run?", "Yes.", "A wheel, e.g. this one, turns.",
    )  # fmt: skip


def test_a_sign_with_less_to_say_has_larger_letters_and_a_larger_paper_too() -> None:
    short, long = Placard("Engine", (), ("It runs.",), ""), Placard("Engine", (), ("It runs all day long. " * 20,), "")
    small, large = Paper(190, 128, 40), Paper(277, 190, 52)
    for code in (True, False):
        assert letters_for(short, small, code=code) < letters_for(long, small, code=code)
        assert letters_for(long, large, code=code) < letters_for(long, small, code=code)
    assert letters_for(long, small, code=False) <= letters_for(long, small, code=True)


def test_no_sign_of_a_hundred_words_needs_less_than_the_smallest_letters() -> None:
    chance = random.Random(16)
    for _ in range(200):
        words = [chance.choice(["engine", "Dampfmaschine", "six", "of", "Zylinderkopfdichtung"]) for _ in range(70)]
        title = " ".join(words[:8])[:120]
        sign = Placard(title, (" ".join(words[8:20]),), (" ".join(words[20:55])[:300],), "Figures of 28 November 2026")
        for _label, paper in PAPERS.values():
            assert letters_for(sign, paper, code=True) < len(LETTERS) - 1


# ---- the talk sheet -------------------------------------------------------------------------------------------------
def test_the_talk_sheet_names_the_biggest_parts_and_no_jig() -> None:
    sheet = talk_sheet(engine(), TODAY)
    assert [row.part.name for row in sheet.biggest] == [f"Ring {n}" for n in range(1, BIGGEST + 1)]
    assert [row.bench_minutes for row in sheet.biggest] == [200, 190, 180, 170, 160]


def test_the_talk_sheet_tells_what_visitors_are_not_told() -> None:
    build = engine()
    exhibit_of(build, hours_shown=False, scrap_shown=False, date_on_board=False)
    sheet = talk_sheet(build, TODAY)
    assert sheet.hours is not None
    assert sheet.hours.words == "32 hours"
    assert sheet.hardest is not None
    assert sheet.hardest.lost is not None
    assert sheet.hardest.lost.headline == "Of 5 begun, 2 came out good"
    assert sheet.hours_left.startswith("about ")
    assert len(sheet.when) >= 2
    assert "even chance" in sheet.when[0]


def test_the_sums_to_try_are_three_kinds_each_with_its_answer() -> None:
    sums = talk_sheet(engine(), TODAY).sums
    assert len({one.title for one in sums}) == len(sums) == SUMS
    assert all(one.question and one.answer for one in sums)


def test_how_it_works_is_a_line_a_sentence() -> None:
    build = engine()
    exhibit_of(build, how_it_works="A fire heats water.\n\n  Steam pushes a piston.  \n")
    assert talk_sheet(build, TODAY).how_it_works == ("A fire heats water.", "Steam pushes a piston.")


@pytest.mark.parametrize("state", ["active", "resting", "finished"])
def test_an_empty_build_has_a_sheet_and_a_sign_too(state: str) -> None:
    build = make_build(state=state)
    sheet, sign = talk_sheet(build, TODAY), placard_of(facts_of(build, TODAY))
    assert (sheet.hours, sheet.biggest, sheet.counts, sheet.hardest, sheet.sums) == (None, (), None, None, ())
    assert sheet.when
    assert sign.title == "Beam engine"


def test_the_sheet_asks_the_same_number_of_questions_of_any_build() -> None:
    build, counted = engine(), []
    for parts in (4, 20):
        for n in range(parts):
            make_part(build, f"{parts}-{n}", f"Bolt {n}")
        talk_sheet(build, TODAY)
        with CaptureQueriesContext(connection) as asked:
            talk_sheet(build, TODAY)
        counted.append(len(asked))
    # The build with its exhibit, and what the sums of a few parts ask.
    assert counted[0] == counted[1] <= 11 + 5 * PARTS_ASKED
