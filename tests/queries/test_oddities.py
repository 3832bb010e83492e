"""What is odd about a line of the log, and what is ordinary work."""

from collections.abc import Sequence
from datetime import date
from typing import Any

import pytest

from builds.management.demonstration import load_demonstration
from builds.models import Build, Entry, Operation, Part
from builds.models.oddity import HINTS, WORDS, Oddity, oddity_of
from builds.queries.log.oddities import oddities_of
from builds.queries.snapshot import PartsAtHand
from builds.services.log.entries import LogLine, entry_for, record_entry
from tests import factories

TODAY = factories.TODAY
DAY = date(2026, 3, 2)


@pytest.fixture
def build(db: None) -> Build:
    return factories.make_build()


@pytest.fixture
def ring(build: Build) -> Part:
    """Four wanted, in two operations."""
    return factories.make_part(build, quantity=4, operations=[{"kind": "turning"}, {"kind": "lapping"}])


def at(part: Part, kind: str, **fields: Any) -> LogLine:
    operation = Operation.objects.get(part=part, kind=kind)
    return LogLine(**{"worked_on": DAY, "bench_minutes": 60, "part": part, "operation": operation, **fields})


def tidying(minutes: int | None, on: date = DAY, **fields: Any) -> LogLine:
    sure = "unknown" if minutes is None else "exact"
    return LogLine(worked_on=on, activity="tidying", bench_minutes=minutes, bench_is=sure, **fields)


def odd(build: Build, *lines: LogLine, today: date = TODAY, **more: Any) -> list[list[str]]:
    found = oddities_of(PartsAtHand(build, today), [entry_for(build, line) for line in lines], **more)
    return [[one.words for one in some] for some in found]


def log(build: Build, line: LogLine) -> Entry:
    return record_entry(build=build, line=line, by=None, today=TODAY)


# ---- ordinary work is silent ----------------------------------------------------------------------------------------


def test_the_evenings_of_the_demonstration_are_ordinary_work(db: None) -> None:
    """Each entry is held against the log as it stood when it was logged. The one that is asked about is a real hole:
    six are drilled where four were counted as milled, and the page of that batch says so too."""
    build = load_demonstration(TODAY)
    assert build is not None
    entries = list(build.entries.select_related("batch", "builder", "part").order_by("worked_on", "pk"))
    Entry.objects.all().delete()
    odd, at_hand = [], PartsAtHand(build, TODAY)
    for entry in entries:
        (found,) = oddities_of(at_hand, [entry])
        odd.extend((entry.part and entry.part.number, one.words) for one in found)
        Entry.objects.bulk_create([entry])
    assert len(entries) == 516
    assert odd == [("103", "6 pieces are counted at this operation, and 4 could have got there.")]


def test_an_evening_in_any_order_is_silent(build: Build, ring: Part) -> None:
    lapped, turned = at(ring, "lapping", good=4), at(ring, "turning", good=5, scrap=1)

    assert odd(build, lapped, turned) == [[], []]


def test_pieces_seen_further_on_without_a_count_before_are_silent(build: Build, ring: Part) -> None:
    assert odd(build, at(ring, "lapping", good=4)) == [[]]


def test_some_more_than_are_wanted_are_made_for_losses_to_come(build: Build, ring: Part) -> None:
    assert odd(build, at(ring, "turning", good=6)) == [[]]
    factories.make_batch(ring, blanks=12)
    assert odd(build, at(ring, "turning", good=12)) == [[]]


def test_what_was_counted_without_naming_a_batch_may_have_been_of_it(build: Build, ring: Part) -> None:
    batch = factories.make_batch(ring, blanks=6)
    log(build, at(ring, "turning", good=2, batch=batch))
    log(build, at(ring, "turning", good=3))

    assert odd(build, at(ring, "lapping", good=5, batch=batch)) == [[]]


# ---- pieces ---------------------------------------------------------------------------------------------------------


def test_more_than_could_have_got_there(build: Build, ring: Part) -> None:
    log(build, at(ring, "turning", good=3))
    log(build, at(ring, "lapping", good=2))

    assert odd(build, at(ring, "lapping", good=1, scrap=1)) == [
        ["4 pieces are counted at this operation, and 3 could have got there."]
    ]


def test_five_hundred_of_one(build: Build) -> None:
    valve = factories.make_part(build, "15", "Valve", quantity=1)

    assert odd(build, at(valve, "making", good=2)) == [[]]
    assert odd(build, at(valve, "making", good=500)) == [["500 good of 1 wanted."]]
    assert odd(build, at(valve, "making", scrap=3)) == [[]]


@pytest.mark.parametrize("counts", [{"good": 7}, {"scrap": 7}, {"good": 4, "scrap": 3}])
def test_more_than_the_batch_has_blanks(build: Build, ring: Part, counts: dict[str, int]) -> None:
    batch = factories.make_batch(ring, blanks=6)

    assert odd(build, at(ring, "lapping", batch=batch, **counts))[0][0] == "That makes 7 pieces of a batch of 6 blanks."


def test_each_batch_has_its_own_pieces(build: Build, ring: Part) -> None:
    first, second = factories.make_batch(ring, blanks=6), factories.make_batch(ring, blanks=6, number=2)
    log(build, at(ring, "turning", good=6, batch=first))

    assert odd(build, at(ring, "turning", good=6, batch=second)) == [[]]
    log(build, at(ring, "turning", good=1, batch=second))
    assert odd(build, at(ring, "lapping", good=2, batch=second)) == [
        ["2 pieces are counted at this operation, and 1 could have got there."]
    ]


# ---- days and hours -------------------------------------------------------------------------------------------------


def test_a_day_before_the_build_began(build: Build) -> None:
    assert odd(build, tidying(60, on=date(2025, 12, 31))) == [["That is 1 day before the build began."]]
    assert odd(build, tidying(60, since_on=date(2025, 12, 1))) == [["That is 31 days before the build began."]]
    assert odd(build, tidying(60, on=date(2026, 1, 1))) == [[]]
    build.started_on = None
    assert odd(build, tidying(60, on=date(1905, 1, 1))) == [[]]


def test_a_builders_lines_of_a_day_are_summed_over_all_builds(build: Build) -> None:
    ada, ben = factories.make_builder("Ada"), factories.make_builder("Ben")
    log(factories.make_build("Launch engine"), tidying(480, builder=ada))
    log(build, tidying(600, builder=ben))
    log(build, tidying(600, on=date(2026, 3, 1), builder=ada))

    assert odd(build, tidying(240, builder=ada)) == [[]]
    assert odd(build, tidying(241, builder=ada)) == [["That makes 12 h 1 min at the bench on one day."]]
    both = odd(build, tidying(200, builder=ada), tidying(60, builder=ada), tidying(None, builder=ada))
    assert both == [[], ["That makes 12 h 20 min at the bench on one day."], []]


def test_a_lump_may_be_long_but_not_longer_than_its_days(build: Build) -> None:
    assert odd(build, tidying(3 * 720, since_on=date(2026, 2, 28))) == [[]]
    assert odd(build, tidying(3 * 720 + 1, since_on=date(2026, 2, 28))) == [["That is 36 h 1 min in 3 days."]]


def test_a_first_reading_of_a_meter_as_one_evening(build: Build) -> None:
    assert odd(build, tidying(72 * 60)) == [["That is 72 h in one evening."]]


def test_a_clock_over_night(build: Build) -> None:
    assert odd(build, tidying(600), clock_overnight=True) == [["The clock ran on over night: 10 h."]]


def test_the_date_of_the_machine_before_the_last_entry(build: Build) -> None:
    log(build, tidying(60, on=TODAY))

    lines = tidying(60, on=date(2026, 1, 5)), tidying(30, on=date(2026, 1, 5))
    assert odd(build, *lines, today=date(2026, 1, 6)) == [
        ["The date of the machine is 323 days before the last entry."],
        [],
    ]
    assert odd(build, tidying(60, on=TODAY)) == [[]]


# ---- what is not asked, and what it takes ---------------------------------------------------------------------------


def test_a_form_sent_twice_is_not_odd_and_a_removed_entry_counts_for_nothing(build: Build, ring: Part) -> None:
    line = tidying(13 * 60, token="same")
    entry = log(build, line)

    assert odd(build, line) == [[]]
    assert odd(build, tidying(60)) == [["That makes 14 h at the bench on one day."]]
    assert odd(build, tidying(60), instead_of=entry) == [[]]
    Entry.objects.update(removed_at="2026-11-25T20:00Z")
    assert odd(build, tidying(60)) == [[]]


def test_it_takes_two_queries_and_one_more_where_pieces_are_counted(
    build: Build, ring: Part, django_assert_num_queries: Any
) -> None:
    other = factories.make_part(build, "15", "Valve")
    plain = [entry_for(build, tidying(60)), entry_for(build, at(ring, "turning"))]
    counting = [entry_for(build, at(ring, "turning", good=1)), entry_for(build, at(other, "making", good=1))]
    at_hand = PartsAtHand(build, TODAY)
    at_hand.rows([ring.pk, other.pk])
    with django_assert_num_queries(2):
        oddities_of(at_hand, plain)
    with django_assert_num_queries(3):
        oddities_of(at_hand, [*plain, *counting])
    assert oddities_of(at_hand, []) == ()


# ---- how it is kept -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", list(WORDS))
def test_every_oddity_is_kept_as_figures_and_says_the_same_again(kind: str) -> None:
    names: Sequence[str] = WORDS[kind][0].split()
    oddity = Oddity(kind, {name: place for place, name in enumerate(names, start=7)})

    assert oddity_of(oddity.kept()) == oddity
    assert "7" in oddity_of(oddity.kept()).words
    assert not set(HINTS) - set(WORDS)


@pytest.mark.parametrize(
    "kept",
    [{}, {"oddity": "?"}, {"oddity": "long day"}, {"oddity": "long day", "minutes": "x"}, {"oddity": ["long day"]}],
)
def test_what_is_no_oddity_is_refused(kept: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="is not an oddity"):
        oddity_of(kept)
