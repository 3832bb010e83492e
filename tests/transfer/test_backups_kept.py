"""Backups that are kept: by days, weeks and months, in both folders, and what they hold for a reader."""

import csv
import io
import json
import os
import sqlite3
import zipfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection, connections
from django.test import Client
from django.utils import timezone

from builds.management.daily import keep_backups
from builds.models import Build, Entry
from builds.queries.background import background
from builds.services.plan.photos import add_photo
from builds.transfer.backup import kept
from builds.transfer.backup.layout import BackupError
from builds.transfer.backup.write import back_up
from builds.transfer.record.reader import import_record
from tests import factories
from tests.services.test_photos import jpeg, upload

# A PostgreSQL database is backed up by its own tools, and the program says so.
pytestmark = pytest.mark.skipif(connection.vendor != "sqlite", reason="copies the file of an SQLite database")


@pytest.fixture
def shop(transactional_db: None, data_dir: Path) -> Iterator[Build]:
    build = factories.make_build()
    part = factories.make_part(build, operations=[{"kind": "turning"}])
    add_photo(build=build, upload=upload(jpeg()), by=None, part=part, caption="=HYPERLINK(1)")
    factories.make_entry(build, date(2026, 3, 2), 95, part=part, bench_is="rough", note="-1 mm, “so”")
    factories.make_entry(build, date(2026, 3, 1), None, activity="tidying")
    yield build
    connections.close_all()


def placed(folder: Path, made_at: datetime) -> Path:
    folder.mkdir(exist_ok=True)
    file = folder / f"swarfbook-{made_at:%Y%m%d-%H%M%S-%f}.zip"
    file.write_bytes(b"one")
    return file


def rows(packed: zipfile.ZipFile, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(packed.read(name).decode("utf-8-sig"), newline="")))


def test_a_backup_is_read_without_the_program(shop: Build, tmp_path: Path) -> None:
    with zipfile.ZipFile(back_up(tmp_path / "kept")) as packed:
        assert "READ-ME.txt" in packed.namelist()
        assert b"photos.csv" in packed.read("READ-ME.txt")
        first, second = rows(packed, "logs/beam-engine.csv")
        assert (first["date"], first["minutes"], first["activity"]) == ("2026-03-01", "?", "tidying")
        assert (second["part"], second["part name"], second["minutes"]) == ("14", "Piston ring", "~95")
        # A spreadsheet reckons with nothing that somebody wrote into the log.
        assert second["note"] == "'-1 mm, “so”"
        (photo,) = rows(packed, "photos.csv")
        assert (photo["build"], photo["part"], photo["caption"]) == ("Beam engine", "14", "'=HYPERLINK(1)")
        assert packed.read(photo["file"]).startswith(b"\xff\xd8\xff")
        record = json.loads(packed.read("records/beam-engine.json"))
    import_record(record, name="Second engine", today=factories.TODAY)
    assert Entry.objects.filter(build__name="Second engine").count() == 2


def test_a_backup_made_while_somebody_writes_is_of_one_moment(shop: Build, tmp_path: Path) -> None:
    done = Event()

    def write() -> None:
        while not done.is_set():
            factories.make_entry(Build.objects.get(), activity="tidying")
        connections.close_all()

    writer = Thread(target=write)
    writer.start()
    try:
        made = [back_up(tmp_path / "kept") for _time in range(4)]
    finally:
        done.set()
        writer.join()
    counted = []
    for number, file in enumerate(made):
        with zipfile.ZipFile(file) as packed:
            copy = tmp_path / f"{number}.sqlite3"
            copy.write_bytes(packed.read("swarfbook.sqlite3"))
            with closing(sqlite3.connect(copy)) as opened:
                ((entries,),) = opened.execute("SELECT count(*) FROM builds_entry")
                ((revision,),) = opened.execute("SELECT revision FROM builds_build")
            record = json.loads(packed.read("records/beam-engine.json"))
            assert entries == len(rows(packed, "logs/beam-engine.csv")) == len(record["entries"])
            # Each entry after the first two was one revision.
            assert revision - entries == shop.revision - 2
            counted.append(entries)
    assert counted[-1] > counted[0]


def test_what_stays_is_by_days_weeks_and_months() -> None:
    newest = datetime(2026, 11, 28, 22, tzinfo=UTC)
    nights = [newest - timedelta(days=days) for days in range(800)]
    stay = sorted(kept.to_keep([*nights, newest - timedelta(hours=1)]), reverse=True)
    assert stay[:2] == [newest, newest - timedelta(hours=1)]
    days = [(newest - moment).days for moment in stay]
    assert days[:9] == [0, 0, 1, 2, 3, 4, 5, 6, 13]
    assert len({f"{moment:%G-%V}" for moment in stay if newest - moment < timedelta(weeks=5)}) == 5
    assert len({f"{moment:%Y-%m}" for moment in stay}) == 12
    assert len(stay) <= 3 + 7 + 5 + 12
    # Nothing goes because the machine stood still for years.
    assert kept.to_keep(stay) == set(stay)
    assert kept.to_keep([]) == set()


def test_old_backups_make_room_and_nothing_else_does(shop: Build, data_dir: Path) -> None:
    folder, now = data_dir / "backups", timezone.now().astimezone()
    month = [placed(folder, now - timedelta(days=days)) for days in range(3, 60)]
    others = [folder / "swarfbook-20200101-000000-000000.sqlite3", folder / "mine.zip", folder / "swarfbook-mine.zip"]
    cut_off, under_way = folder / "swarfbook-1.part", folder / "swarfbook-2.part"
    for file in (*others, cut_off, under_way):
        file.write_bytes(b"other")
    os.utime(cut_off, (0, 0))
    made = kept.back_up_everywhere()
    left = set(folder.iterdir())
    assert {made, *others, under_way} <= left
    assert cut_off not in left
    assert 5 < len(left & set(month)) < 15


def test_a_second_folder_has_a_copy_of_each(shop: Build, data_dir: Path, settings: Any, tmp_path: Path) -> None:
    settings.BACKUP_FOLDER = str(tmp_path / "stick")
    with pytest.raises(BackupError, match="second folder for backups"):
        kept.back_up_everywhere()
    (first,) = (data_dir / "backups").iterdir()
    assert not (tmp_path / "stick").exists()
    (tmp_path / "stick").mkdir()
    assert kept.is_due(timezone.now())
    kept.back_up_where_due(timezone.now())
    assert list((data_dir / "backups").iterdir()) == [first]
    (copy,) = (tmp_path / "stick").iterdir()
    assert (copy.name, copy.read_bytes()) == (first.name, first.read_bytes())
    assert not kept.is_due(timezone.now())
    call_command("backup")
    assert len(list((tmp_path / "stick").iterdir())) == len(list((data_dir / "backups").iterdir())) == 2


def test_one_is_made_every_day_while_the_pages_are_served(shop: Build, data_dir: Path) -> None:
    yesterday = placed(data_dir / "backups", timezone.now().astimezone() - timedelta(days=1))
    ending, looked = Event(), 0
    keep_backups(ending, 0.01, 0.05)
    while len(list((data_dir / "backups").glob("*.zip"))) < 2 and looked < 600:
        ending.wait(0.05) or (looked := looked + 1)
    # Some looks more, at which there is nothing to do.
    ending.wait(0.3)
    background.wait(10)
    ending.set()
    made = set((data_dir / "backups").glob("*.zip")) - {yesterday}
    assert [f"{timezone.now().astimezone():%Y%m%d}" in file.name for file in made] == [True]


# ---- the owner's page ------------------------------------------------------------------------------------------------
def test_the_owner_makes_one_with_a_button(shop: Build, data_dir: Path, signed_in_owner: Client) -> None:
    assert "There is no backup yet" in signed_in_owner.get("/").content.decode()
    assert list(data_dir.glob("backups/*")) == []
    page = signed_in_owner.post("/shop/backups/", follow=True).content.decode()
    (made,) = (data_dir / "backups").iterdir()
    assert f"The backup {made.name} is made and was read again" in page
    assert f'<td class="small">{made.name}</td>' in page
    assert "message--warning" not in page


@pytest.mark.parametrize(("days", "red"), [(6, False), (8, True)])
def test_the_owner_sees_how_old_the_last_one_is(
    days: int, red: bool, db: None, data_dir: Path, signed_in_owner: Client, signed_in: Client
) -> None:
    placed(data_dir / "backups", timezone.now().astimezone() - timedelta(days=days))
    for address in ("/", "/shop/backups/"):
        page = signed_in_owner.get(address).content.decode()
        assert "The last backup was made" in page
        assert ("message--warning" in page) is red
    assert "backup" not in signed_in.get("/").content.decode()
    assert signed_in.get("/shop/backups/").status_code == 403
    assert signed_in.post("/shop/backups/").status_code == 403


def test_a_backup_that_fails_says_why(
    shop: Build, data_dir: Path, signed_in_owner: Client, settings: Any, tmp_path: Path
) -> None:
    (data_dir / "backups").write_text("a file where the folder should be")
    page = signed_in_owner.post("/shop/backups/", follow=True).content.decode()
    assert "No backup was made in" in page
    assert "File exists" in page
