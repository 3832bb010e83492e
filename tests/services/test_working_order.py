"""The working order: parts keep their places as far as they can, and what is taken back meddles with no other move."""

import random

import pytest

from builds.models import Build, Event, Part
from builds.services.plan.working_order import set_working_order
from builds.services.undo import undo
from tests import factories


@pytest.fixture
def build(db: None) -> Build:
    build = factories.make_build()
    for number in range(1, 7):
        factories.make_part(build, str(number), "Stud", operations=())
    return build


def keys_of(build: Build, numbers: str) -> list[int]:
    by_number = dict(build.parts.values_list("number", "pk"))
    return [by_number[number] for number in numbers]


def in_order(build: Build) -> str:
    placed = build.parts.filter(place__isnull=False)
    return "".join(part.number for part in sorted(placed, key=lambda part: part.working_rank))


def put(build: Build, numbers: str) -> Event | None:
    return set_working_order(build=build, keys=keys_of(build, numbers), by=None)


def written_by(event: Event | None) -> int:
    assert event is not None
    return int(Part.history.filter(event_id=event.pk).count())  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("after", "writes"),
    [("1234", 4), ("2134", 1), ("2341", 1), ("4123", 1), ("124", 1), ("12534", 1), ("4321", 3), ("", 4), ("56", 6)],
)
def test_only_what_changes_its_place_among_the_others_is_written(build: Build, after: str, writes: int) -> None:
    first = put(build, "1234")
    event = first if after == "1234" else put(build, after)
    assert in_order(build) == after
    assert written_by(event) == writes


def test_any_order_follows_any_other(build: Build) -> None:
    chance = random.Random(4)
    for _round in range(25):
        wanted = "".join(chance.sample("123456", chance.randint(0, 6)))
        put(build, wanted)
        assert in_order(build) == wanted


def test_parts_without_a_place_follow_in_the_order_of_the_plan(build: Build) -> None:
    put(build, "42")
    assert "".join(part.number for part in sorted(build.parts.all(), key=lambda part: part.working_rank)) == "421356"


def test_the_same_order_again_is_no_event(build: Build) -> None:
    put(build, "31")
    revision = build.revision
    assert put(build, "31") is None
    assert build.revision == revision


def test_sixty_moves_into_one_gap_end_in_the_order_that_was_asked_for(build: Build) -> None:
    put(build, "123")
    for turn in range(60):
        wanted = "1324" if turn % 2 else "1234"
        put(build, wanted)
        assert in_order(build) == wanted


def test_a_move_is_taken_back_whatever_moved_since(build: Build) -> None:
    put(build, "1234")
    event = put(build, "4123")
    put(build, "42136")
    assert event is not None
    undo(event=event, by=None)
    assert in_order(build).replace("4", "") == "2136"
    assert str(event) == "changed the working order"


def test_parts_of_another_build_and_of_none_have_no_place_in_it(build: Build) -> None:
    stranger = factories.make_part(factories.make_build("Other"), "1", "Cock")
    set_working_order(build=build, keys=[*keys_of(build, "3"), stranger.pk, 10**9], by=None)
    stranger.refresh_from_db()
    assert stranger.place is None
    assert in_order(build) == "3"
