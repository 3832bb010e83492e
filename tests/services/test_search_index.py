"""The words of the records are kept by the database: whatever writes a record, its words are found as they stand."""

from datetime import date
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection, transaction

from builds.models import Assembly, Build, Entry
from builds.models.searched import SEARCHED
from builds.queries.search import find
from builds.services.log.entries import remove_entry
from builds.services.plan import records as plan
from builds.services.search_index import drop_index, make_index
from builds.services.undo import undo
from builds.transfer.record.reader import import_record
from builds.transfer.record.writer import export_record
from tests import factories


def found(typed: str) -> list[str]:
    return [str(hit.record) for group in find(typed, None).groups for hit in group.hits]


def check_index() -> None:
    """SQLite itself says whether the words kept are those of the rows."""
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            for one in SEARCHED:
                cursor.execute(f"INSERT INTO {one.index}({one.index}, rank) VALUES ('integrity-check', 1)")  # noqa: S608


@pytest.fixture
def build(make_build: Any) -> Build:
    return make_build()


def test_what_is_changed_is_found_by_its_new_words_alone(build: Build) -> None:
    part = factories.make_part(build, "1", "Strap")
    part.name = "Bridle"
    plan.save(record=part, by=None)
    assert (found("strap"), found("bridle")) == ([], ["1 Bridle"])
    check_index()


def test_what_is_removed_is_not_found_and_what_comes_back_is(build: Build) -> None:
    part = factories.make_part(build, "1", "Strap", operations=[])
    event = plan.remove(record=part, by=None)
    assert found("strap") == []
    undo(event=event, by=None)
    assert found("strap") == ["1 Strap"]
    check_index()


def test_a_removed_entry_is_not_found(build: Build) -> None:
    entry = factories.make_entry(build, part=factories.make_part(build), note="chatter")
    assert len(found("chatter")) == 1
    event = remove_entry(entry=entry, by=None)
    assert found("chatter") == []
    undo(event=event, by=None)
    assert len(found("chatter")) == 1
    check_index()


def test_what_is_written_in_numbers_past_the_services_is_found_too(build: Build) -> None:
    Assembly.objects.bulk_create(Assembly(build=build, name=f"Strap {n}") for n in range(3))
    assert len(found("strap")) == 3
    Assembly.objects.filter(name="Strap 1").update(name="Bridle")
    assert (len(found("strap")), found("bridle")) == (2, ["Bridle"])
    check_index()


def test_what_was_never_written_is_not_found(build: Build) -> None:
    point = transaction.savepoint()
    factories.make_part(build, "1", "Strap")
    assert found("strap") != []
    transaction.savepoint_rollback(point)
    assert found("strap") == []


def test_a_record_that_is_taken_in_is_found_whole(build: Build, today: date) -> None:
    part = factories.make_part(build, "1", "Strap", note="of bronze")
    factories.make_entry(build, part=part, note="strap split")
    assert len(found("strap")) == 2
    record = export_record(build)
    record["build"]["name"] = "Another engine"
    import_record(record, today=today)
    assert len(found("strap")) == 4
    check_index()


def test_a_database_without_the_words_gets_them_with_the_next_migration(build: Build) -> None:
    factories.make_part(build, "1", "Strap")
    # No index is made or dropped while a constraint waits to be looked at.
    connection.check_constraints()
    with connection.cursor() as cursor:
        drop_index(cursor.execute, connection.vendor)
    factories.make_part(build, "2", "Strap bolt")
    connection.check_constraints()
    call_command("migrate", verbosity=0)
    assert sorted(found("strap")) == ["1 Strap", "2 Strap bolt"]
    check_index()


def test_words_that_are_as_they_should_be_are_left_alone(build: Build, django_assert_num_queries: Any) -> None:
    with django_assert_num_queries(1):
        make_index()


def test_a_change_asks_nothing_more_of_the_database(build: Build, django_assert_num_queries: Any) -> None:
    entry = factories.make_entry(build, part=factories.make_part(build), note="chatter")
    with django_assert_num_queries(1):
        Entry.objects.filter(pk=entry.pk).update(note="no more")
    assert found("chatter") == []
