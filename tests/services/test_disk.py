"""Whatever is not stored because of the disk says so, and leaves everything as it was."""

import errno
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.cache import cache
from django.db import OperationalError, connection
from django.test import Client

from builds.models import Build, Clock, Entry, Machine
from builds.models.choices import EventType
from builds.services.changes import change
from builds.services.disk import NotStored, why_not_stored
from tests import factories
from tests.pages.test_bench_page import evening

Hamper = Callable[[], None]
on_sqlite = pytest.mark.skipif(connection.vendor != "sqlite", reason="hampers the database as only SQLite lets one")


@pytest.fixture(params=["full", "read only"])
def hampered(request: pytest.FixtureRequest, transactional_db: None) -> Iterator[tuple[Hamper, str]]:
    """A way to make the database refuse, and what it is to say of it."""

    def pragma(statement: str) -> None:
        with connection.cursor() as cursor:
            cursor.execute(f"PRAGMA {statement}")

    def vacuum() -> None:
        with connection.cursor() as cursor:
            cursor.execute("VACUUM")

    if request.param == "full":
        # As large as it is, without a page to spare.
        pragma("max_page_count = 1073741823")
        yield lambda: (vacuum(), pragma("max_page_count = 1")), "The disk is full."
        pragma("max_page_count = 1073741823")
    else:
        yield lambda: pragma("query_only = ON"), "can only be read, not written to"
        pragma("query_only = OFF")


@on_sqlite
def test_the_bench_says_why_an_evening_is_not_recorded_and_keeps_what_was_typed(
    hampered: tuple[Hamper, str], client: Client
) -> None:
    hamper, why = hampered
    build = factories.make_build()
    factories.make_part(build, operations=[{"kind": "turning"}])
    client.force_login(factories.make_user(), backend="django.contrib.auth.backends.ModelBackend")
    revision = Build.objects.get().revision
    hamper()
    line = {"work": f"o{build.parts.get().operations.get().pk}", "time": "2h30", "note": "long " * 700, "token": "t"}
    response = client.post(f"/builds/{build.slug}/bench/evening/", evening(line, {**line, "token": "u"}))
    page = response.content.decode()
    assert response.status_code == 422
    assert why in page
    assert "Nothing was recorded. What you typed is still here" in page
    assert 'value="2h30"' in page
    assert not Entry.objects.exists()
    assert Build.objects.get().revision == revision


@on_sqlite
def test_a_clock_that_cannot_be_started_says_why(transactional_db: None, client: Client) -> None:
    build = factories.make_build()
    part = factories.make_part(build, operations=[{"kind": "turning"}])
    client.force_login(factories.make_user(), backend="django.contrib.auth.backends.ModelBackend")
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA query_only = ON")
        work = {"form-0-work": f"o{part.operations.get().pk}"}
        response = client.post(f"/builds/{build.slug}/bench/clock/on/", work, follow=True)
        cursor.execute("PRAGMA query_only = OFF")
    assert "can only be read, not written to" in response.content.decode()
    assert not Clock.objects.exists()


@on_sqlite
def test_a_page_that_cannot_be_made_says_what_the_disk_said(transactional_db: None) -> None:
    client = Client(raise_request_exception=False)
    client.force_login(factories.make_user(), backend="django.contrib.auth.backends.ModelBackend")
    part = factories.make_part(factories.make_build(), operations=[{"kind": "turning"}, {"kind": "milling"}])
    first = part.operations.get(number=10)
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA query_only = ON")
        record = client.get(f"/builds/{part.build.slug}/record.json")
        button = client.post(f"/builds/{part.build.slug}/operations/{first.pk}/move/", {"way": "later"}, follow=True)
        form = client.post("/shop/machines/", {"name": "Lathe"})
        cursor.execute("PRAGMA query_only = OFF")
    for response, status in ((record, 503), (button, 200), (form, 422)):
        assert response.status_code == status
        assert "can only be read, not written to" in response.content.decode()
    assert 'value="Lathe"' in form.content.decode()
    assert (part.operations.first(), Machine.objects.count()) == (first, 0)


def test_another_trouble_of_the_database_is_not_taken_for_the_disks() -> None:
    assert why_not_stored(OperationalError("no such table")) == ""
    assert why_not_stored(OSError(errno.ENOENT, "none")) == ""
    assert why_not_stored(OSError(errno.ENOSPC, "full")) == "The disk is full."
    assert why_not_stored(None) == ""


def test_a_file_that_finds_no_room_takes_the_change_back_with_it(db: None) -> None:
    build = factories.make_build()
    revision = build.revision
    with pytest.raises(NotStored, match="The disk is full"), change(build=build, by=None, type=EventType.ADD_PHOTO):
        raise OSError(errno.ENOSPC, "No space left on device")
    assert (build.revision, Build.objects.get().revision) == (revision, revision)


def test_a_result_that_cannot_be_kept_is_made_again(settings: Any, tmp_path: Path) -> None:
    blocked = tmp_path / "kept"
    blocked.write_text("a file where the folder should be")
    settings.CACHES = {"default": {"BACKEND": "builds.queries.kept_files.KeptFiles", "LOCATION": blocked}}
    cache.set("key", 1)
    assert cache.get("key", "made") == "made"
    assert not cache.delete("key")
    assert not cache.touch("key")
    cache.clear()


def test_results_are_kept_where_there_is_room(settings: Any, tmp_path: Path) -> None:
    settings.CACHES = {"default": {"BACKEND": "builds.queries.kept_files.KeptFiles", "LOCATION": tmp_path / "kept"}}
    cache.set("key", 1)
    assert cache.get("key") == 1
    cache.clear()
    assert cache.get("key") is None
