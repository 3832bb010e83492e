"""What events say: every sentence that was ever kept is worded again to the letter, by its type and its figures."""

import importlib
from collections.abc import Iterator
from typing import Any

import pytest
from django.db import connection
from django.db.migrations.exceptions import IrreversibleError
from django.db.migrations.executor import MigrationExecutor
from hypothesis import example, given
from hypothesis import strategies as st

from builds.models import Event
from builds.models.choices import EventType
from builds.models.event_words import MESSAGES
from builds.queries.log.events import EVENT_GROUPS
from builds.services.log.entries import LogLine, record_entries
from tests import factories

migration = importlib.import_module("builds.migrations.0003_typed_events")

BEFORE = [("builds", "0002_working_sizes_and_prices")]
AFTER = [("builds", "0003_typed_events")]

STEP = {"operation": "20 turn to size", "part": "14 Piston ring"}
# Each sentence that the program has written, with the type and the details that now stand for it.
SENTENCES: list[tuple[str, str, dict[str, Any]]] = [
    ("began the build Beam engine", "begin build", {"name": "Beam engine"}),
    ("edited the title block of the build", "edit build", {}),
    ("added part 14 Piston ring", "add", {"record": "part", "name": "14 Piston ring"}),
    ("added operation 10 making", "add", {"record": "operation", "name": "10 making"}),
    ("added batch batch 3 of 14 Piston ring", "add", {"record": "batch", "name": "batch 3 of 14 Piston ring"}),
    (
        "added closure 2026-08-01 to 2026-08-14 sea",
        "add",
        {"record": "closure", "name": "2026-08-01 to 2026-08-14 sea"},
    ),
    ("added sheet 1 General arrangement", "add", {"record": "sheet", "name": "1 General arrangement"}),
    ("edited assembly Cylinder", "edit", {"record": "assembly", "name": "Cylinder"}),
    ("edited remark 6 / 6.2", "edit", {"record": "remark", "name": "6 / 6.2"}),
    ("edited milestone First run", "edit", {"record": "milestone", "name": "First run"}),
    ("removed size bore of 14 Piston ring", "remove", {"record": "size", "name": "bore of 14 Piston ring"}),
    ("added operation 20 turn to size to 14 Piston ring", "add operation", STEP),
    ("moved operation 20 turn to size of 14 Piston ring", "move operation", STEP),
    ("worked out the time of 20 turn to size of 14 Piston ring", "work out", STEP),
    ("took own rates for 1 operation not begun", "apply rates", {"operations": 1}),
    ("took own rates for 1200 operations not begun", "apply rates", {"operations": 1200}),
    ("added a photo of 14 Piston ring", "add photo", {"name": "14 Piston ring"}),
    ("removed the photo photo 7", "remove photo", {"name": "photo 7"}),
    ("logged 2 h 30 min on 14 Piston ring", "log", {"minutes": 150, "work": "14 Piston ring"}),
    ("logged 45 min on tidying", "log", {"minutes": 45, "activity": "tidying"}),
    ("logged 0 min on drawings and sums", "log", {"minutes": 0, "activity": "drawings and sums"}),
    ("logged 12 h on 3 lines", "log", {"minutes": 720, "lines": 3}),
    ("amended the entry 2026-03-02: 10 making", "amend entry", {"day": "2026-03-02", "work": "10 making"}),
    ("removed the entry 2026-03-02: buying", "remove entry", {"day": "2026-03-02", "activity": "buying"}),
    (
        "took in the record of Beam engine: 214 parts, 1620 entries",
        "import record",
        {"name": "Beam engine", "parts": 214, "entries": 1620},
    ),
    ("added 1 part named in log.csv", "import parts", {"parts": 1, "file": "log.csv"}),
    ("added 12 parts named in log.csv", "import parts", {"parts": 12, "file": "log.csv"}),
    ("took in 1 entry from log.csv", "import log", {"entries": 1, "file": "log.csv"}),
    ("took in 1,283 entries from log.csv", "import log", {"entries": 1283, "file": "log.csv"}),
]
# What the program wrote once and words otherwise now, or never wrote: it stays as it is.
NOTES = [
    "took in 1283 entries from log.csv",
    "took in 1 entries from log.csv",
    "took in the record of Beam engine: 1 parts, 8 entries",
    "looked at it",
    "added boiler 3",
    "logged 75 min",
    "undid",
]


@pytest.fixture
def tables_of_today_afterwards(transactional_db: None) -> Iterator[None]:
    yield
    executor = MigrationExecutor(connection)
    executor.migrate(executor.loader.graph.leaf_nodes())


@pytest.fixture
def before_the_types(tables_of_today_afterwards: None) -> Any:
    """The tables as they stood when an event kept its sentence."""
    executor = MigrationExecutor(connection)
    executor.migrate(BEFORE)
    return executor.loader.project_state(BEFORE).apps


def test_every_kept_sentence_is_worded_again_to_the_letter(
    before_the_types: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(migration, "AT_ONCE", 7)
    build = before_the_types.get_model("builds", "Build").objects.create(name="Beam engine", slug="beam-engine")
    events = before_the_types.get_model("builds", "Event").objects

    def keep(said: str, undoes: Any = None) -> Any:
        return events.create(build=build, revision=events.count(), said=said[:300], undoes=undoes)

    kept = [keep(said) for said in [*(said for said, *_ in SENTENCES), *NOTES]]
    kept += [keep(f"undid: {one.said}", one) for one in kept]
    kept.append(keep(f"undid: {kept[-1].said}", kept[-1]))
    kept.append(keep("undid: what is gone"))
    MigrationExecutor(connection).migrate(AFTER)

    now = {event.pk: event for event in Event.objects.select_related("undoes")}
    assert {pk: str(event) for pk, event in now.items()} == {event.pk: event.said for event in kept}
    told = [(event.type, event.details) for event in now.values()]
    for _said, type_, details in SENTENCES:
        assert (type_, details) in told
    assert sum(event.type == "other" for event in now.values()) == len(NOTES)
    # Events had builds alone at that time, and nothing was copied, measured or put in working order.
    since = EVENT_GROUPS["doors"][1] | EVENT_GROUPS["people"][1] | {EventType.BACK_UP, EventType.RESTORE}
    since |= {
        EventType.HAND_OVER,
        EventType.MEASURE,
        EventType.COPY_PART,
        EventType.COPY_ROUTE,
        EventType.WORKING_ORDER,
    }
    assert {event.type for event in now.values()} == set(EventType.values) - since


def test_words_that_were_cut_when_they_were_kept_are_whole_in_what_undid_them(before_the_types: Any) -> None:
    build = before_the_types.get_model("builds", "Build").objects.create(name="Beam engine", slug="beam-engine")
    events = before_the_types.get_model("builds", "Event").objects
    long = f"worked out the time of 10 {'x' * 150} of 14 {'y' * 150}"[:300]
    first = events.create(build=build, revision=1, said=long)
    events.create(build=build, revision=2, said=f"undid: {long}"[:300], undoes=first)
    MigrationExecutor(connection).migrate(AFTER)

    assert [str(event) for event in Event.objects.all()] == [f"undid: {long}", long]


def test_there_is_no_way_back_from_types_to_sentences_once_something_happened(
    tables_of_today_afterwards: None,
) -> None:
    build = factories.make_build()

    with pytest.raises(IrreversibleError, match="go back by a backup"):
        MigrationExecutor(connection).migrate(BEFORE)

    assert str(build.events.get()) == "began the build Beam engine"


BITS = st.sampled_from(
    [word for said, *_ in SENTENCES for word in said.split()] + ["1", "01", "1,000", "1000", "0", "to", "of", "{name}"]
)


@given(
    st.lists(BITS | st.text(max_size=5), max_size=9).map(" ".join) | st.sampled_from([said for said, *_ in SENTENCES])
)
@example("logged ٣ h on 3 lines")
def test_whatever_was_kept_is_said_again(said: str) -> None:
    type_, details = migration.typed(said, None)

    assert str(Event(type=type_, details=details)) == said


def test_every_type_has_its_words() -> None:
    assert set(MESSAGES) == set(EventType.values)


def test_an_evening_at_one_part_names_it_and_one_at_several_counts_its_lines(db: None) -> None:
    build = factories.make_build()
    ring = factories.make_part(build, operations=[{"kind": "turning"}, {"kind": "lapping"}])
    turning, lapping = ring.operations.all()
    column = factories.make_part(build, number="15", name="Column")

    def log(*lines: dict[str, Any]) -> str:
        day = {"worked_on": factories.TODAY, "bench_minutes": 40}
        record_entries(build=build, lines=[LogLine(**day, **one) for one in lines], by=None, today=factories.TODAY)
        return str(build.events.first())

    assert log({"operation": turning}, {"operation": lapping}) == "logged 1 h 20 min on 14 Piston ring"
    assert log({"operation": turning}, {"part": column}) == "logged 1 h 20 min on 2 lines"
    assert log({"activity": "buying"}) == "logged 40 min on buying"
