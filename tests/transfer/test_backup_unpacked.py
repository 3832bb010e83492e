"""A backup is read with suspicion: whatever is not as a backup is, is refused before anything is touched."""

import io
import json
import shutil
import sqlite3
import zipfile
from contextlib import closing
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from builds.transfer.backup.database import check_database
from builds.transfer.backup.layout import DATABASE, MANIFEST, BackupError, copied
from builds.transfer.backup.unpack import unpack
from tests.commands.test_demo_and_serve import WAIT, manage
from tests.transfer.test_record_in import picture, with_photo

Files = dict[str, bytes]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A backup as the program writes it."""
    data = tmp_path_factory.mktemp("shop")
    record = data / "beam.json"
    record.write_text(json.dumps(with_photo(picture())))
    for command in (["migrate", "--verbosity", "0"], ["import_record", str(record)], ["backup", str(data / "kept")]):
        process = manage(data, *command)
        process.communicate(timeout=WAIT)
        assert process.returncode == 0
    (zipped,) = (data / "kept").iterdir()
    return zipped


@pytest.fixture
def good(written: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(written, tmp_path / "good.zip"))


def files_of(packed: Path) -> Files:
    with zipfile.ZipFile(packed) as opened:
        return {name: opened.read(name) for name in opened.namelist()}


def packed(tmp_path: Path, files: Files, *, manifest: bool = True) -> Path:
    """A zip of these files, by default with a list of contents that is right for them."""
    target = tmp_path / "changed.zip"
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as out:
        for name, content in files.items():
            if name != MANIFEST:
                out.writestr(name, content)
        if manifest:
            said = {name: asdict(copied([content], None)) for name, content in files.items() if name != MANIFEST}
            out.writestr(MANIFEST, json.dumps({"format": "swarfbook-backup", "version": 1, "files": said}))
    return target


def refusal(file: Path, tmp_path: Path) -> str:
    work = tmp_path / "work"
    shutil.rmtree(work, ignore_errors=True)
    work.mkdir()
    try:
        unpack(file, work)
        check_database(file, work / DATABASE)
    except BackupError as error:
        return str(error)
    return "taken"


def test_a_backup_as_it_was_written_is_taken(good: Path, tmp_path: Path) -> None:
    (tmp_path / "work").mkdir()
    unpack(good, tmp_path / "work")
    check_database(good, tmp_path / "work" / DATABASE)
    assert [path.read_bytes()[:3] for path in (tmp_path / "work" / "photos").rglob("*.jpg")] == [b"\xff\xd8\xff"]


def test_a_backup_of_the_version_before_is_taken(good: Path, tmp_path: Path) -> None:
    before = {name: content for name, content in files_of(good).items() if name == DATABASE or name[:7] == "photos/"}
    old = packed(tmp_path, before, manifest=False)
    (tmp_path / "work").mkdir()
    unpack(old, tmp_path / "work")
    check_database(old, tmp_path / "work" / DATABASE)
    assert len([path for path in (tmp_path / "work").rglob("*") if path.is_file()]) == 2


@pytest.mark.parametrize(
    "name",
    ["../evil", "photos/../../evil.jpg", "/evil", "other.txt", "photos\\evil.jpg", "photos/c:evil.jpg", "photos"],
)
def test_a_file_that_has_no_place_in_a_backup_is_refused(name: str, good: Path, tmp_path: Path) -> None:
    assert "not a backup of this program" in refusal(packed(tmp_path, files_of(good) | {name: b"x"}), tmp_path)
    assert not list(tmp_path.rglob("evil*"))


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("photos/2026/01/page.html", b"<script>alert(1)</script>"),
        ("photos/2026/01/drawing.svg", b"<svg onload='alert(1)'/>"),
        ("photos/2026/01/page.jpg", b"<script>alert(1)</script>"),
        ("photos/2026/01/photo.JPG.html", b"\xff\xd8\xff"),
    ],
)
def test_what_is_no_photo_is_refused_among_photos(name: str, content: bytes, good: Path, tmp_path: Path) -> None:
    said = refusal(packed(tmp_path, files_of(good) | {name: content}), tmp_path)
    assert f'"{name}" stands among its photos and is none' in said
    del (old := files_of(good) | {name: content})[MANIFEST]
    only = {name: content for name, content in old.items() if name == DATABASE or name[:7] == "photos/"}
    assert "stands among its photos and is none" in refusal(packed(tmp_path, only, manifest=False), tmp_path)


def test_a_link_is_refused(good: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(good, "a") as out:
        link = zipfile.ZipInfo("photos/link.jpg")
        link.external_attr = 0o120777 << 16
        out.writestr(link, "/etc/passwd")
    assert "not a backup of this program" in refusal(good, tmp_path)


def test_a_zip_that_unfolds_without_end_is_refused_unread(good: Path, tmp_path: Path) -> None:
    for name in (DATABASE, "logs/beam-engine.csv"):
        bomb = packed(tmp_path, files_of(good) | {name: b"\0" * 300_000_000})
        assert bomb.stat().st_size < 1_500_000
        assert "would unfold to 300 MB" in refusal(bomb, tmp_path)
        assert not list((tmp_path / "work").iterdir())


def test_a_size_that_is_not_the_real_one_is_refused(good: Path, tmp_path: Path) -> None:
    bomb = packed(tmp_path, files_of(good) | {"logs/beam-engine.csv": b"\0" * 30_000_000})
    content = bomb.read_bytes()
    true, told = (30_000_000).to_bytes(4, "little"), (1000).to_bytes(4, "little")
    assert content.count(true) == 2
    bomb.write_bytes(content.replace(true, told))
    assert "damaged" in refusal(bomb, tmp_path)
    assert sum(path.stat().st_size for path in (tmp_path / "work").rglob("*") if path.is_file()) < 5_000_000


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"photos/2026/01/more.jpg": b"\xff\xd8\xff"}, "missing or too many"),
        ({DATABASE: b"SQLite format 3\0"}, "not what was packed"),
        ({"logs/beam-engine.csv": b"date,minutes"}, "not what was packed"),
        ({MANIFEST: b"{}"}, "list of contents cannot be read"),
        ({MANIFEST: b"[" * 100_000}, "list of contents cannot be read"),
        ({MANIFEST: b'{"format": "swarfbook-backup", "version": 2, "files": {}}'}, "newer version"),
    ],
)
def test_what_differs_from_the_list_of_contents_is_refused(
    changed: Files, said: str, good: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other.zip"
    with zipfile.ZipFile(other, "w", zipfile.ZIP_DEFLATED) as out:
        for name, content in (files_of(good) | changed).items():
            out.writestr(name, content)
    assert said in refusal(other, tmp_path)


def test_a_missing_list_of_contents_is_noticed(good: Path, tmp_path: Path) -> None:
    assert "list of contents is missing" in refusal(packed(tmp_path, files_of(good), manifest=False), tmp_path)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("DROP TABLE builds_entry", 'without "builds_entry"'),
        ("ALTER TABLE builds_entry DROP COLUMN note", 'without "builds_entry.note"'),
        ("CREATE TRIGGER evil AFTER INSERT ON builds_entry BEGIN DELETE FROM builds_part; END", 'holds "evil"'),
        ("CREATE VIEW evil AS SELECT 1", 'holds "evil"'),
        ("CREATE VIRTUAL TABLE evil USING fts5(words)", 'holds "evil"'),
        ("DELETE FROM django_migrations", "not whole"),
        ("INSERT INTO django_migrations (app, name, applied) VALUES ('builds', '9999_later', '')", "newer version"),
        ("PRAGMA foreign_keys = OFF; DELETE FROM builds_part", "point at others that are missing"),
    ],
)
def test_a_database_of_another_shape_is_refused(change: str, said: str, good: Path, tmp_path: Path) -> None:
    files = files_of(good)
    database = tmp_path / "x.sqlite3"
    database.write_bytes(files[DATABASE])
    with closing(sqlite3.connect(database)) as opened:
        opened.executescript(f"PRAGMA journal_mode = DELETE; {change}")
        opened.commit()
    assert said in refusal(packed(tmp_path, files | {DATABASE: database.read_bytes()}), tmp_path)


def test_two_hundred_flipped_bits_are_all_noticed(good: Path, tmp_path: Path) -> None:
    import random

    content, chance = good.read_bytes(), random.Random(12)
    flipped = tmp_path / "flipped.zip"
    passed: list[Any] = []
    for _time in range(200):
        place = chance.randrange(len(content))
        changed = bytearray(content)
        changed[place] ^= 1 << chance.randrange(8)
        flipped.write_bytes(changed)
        try:
            unpack(flipped, None)
        except BackupError:
            continue
        # A bit that nothing reads, such as one of a time: what comes out must be the same.
        with zipfile.ZipFile(io.BytesIO(content)) as whole, zipfile.ZipFile(flipped) as other:
            if [whole.read(name) for name in whole.namelist()] != [other.read(name) for name in other.namelist()]:
                passed.append(place)
    assert passed == []
