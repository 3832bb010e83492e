"""A backup holds everything; putting it back gives the same records, and a wrong file changes nothing."""

import base64
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from builds.management.holding import in_use_by_nobody_else
from tests import scanned
from tests.commands.test_demo_and_serve import ROOT, WAIT, manage, served
from tests.transfer.test_record_in import picture, record, with_photo

Shop = Callable[..., str]


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A data folder of its own: `shop("forecast")` runs a command there and returns what it said."""
    data = tmp_path / "shop"
    data.mkdir()

    def run(*args: str, code: int = 0) -> str:
        process = manage(data, *args)
        out, trouble = process.communicate(timeout=WAIT)
        assert process.returncode == code, trouble
        assert "Traceback" not in trouble
        return out + trouble

    run("migrate", "--verbosity", "0")
    return run


def test_a_backup_put_back_gives_the_same_record_photos_and_drawings_included(shop: Shop, tmp_path: Path) -> None:
    import json

    file = tmp_path / "beam.json"
    drawing = {"name": "roll 3.pdf", "content": base64.b64encode(scanned.pdf()).decode()}
    file.write_text(json.dumps(with_photo(picture()) | {"sheets": [{"number": "S1", "drawings": [drawing]}]}))
    shop("import_record", str(file))
    before = shop("export_record", "beam-engine")
    said = shop("backup", str(tmp_path / "kept"))
    (zipped,) = (tmp_path / "kept").iterdir()
    assert str(zipped) in said
    file.write_text(json.dumps({**record(), "build": {"name": "Second engine"}}))
    shop("import_record", str(file))
    kept = [path for path in (tmp_path / "shop" / "photos").rglob("*.*") if path.is_file()]
    assert {path.suffix for path in kept} == {".jpg", ".pdf"}
    for path in kept:
        path.unlink()
    said = shop("restore", str(zipped))
    assert shop("export_record", "beam-engine") == before
    assert "There are: beam-engine" in shop("forecast", "second-engine", code=1)
    (kept,) = (tmp_path / "shop" / "backups").iterdir()
    assert f"What was there before is kept in {kept}" in said
    shop("restore", str(kept))
    assert "Second engine" in shop("forecast", "second-engine")


def test_the_shops_revision_never_goes_back_with_a_backup(shop: Shop, tmp_path: Path) -> None:
    """Browsers hold pages by it; one that was used before would call another state of a build the same."""
    database = tmp_path / "shop" / "swarfbook.sqlite3"

    def revision(put: int | None = None) -> int:
        with closing(sqlite3.connect(database)) as opened, opened:
            if put is not None:
                row = {"revision": put, "arithmetic": False, "headings": "{}"}
                opened.execute("INSERT OR REPLACE INTO builds_shop VALUES (1, :revision, :arithmetic, :headings)", row)
            (found,) = opened.execute("SELECT revision FROM builds_shop").fetchone()
        return int(found)

    revision(3)
    shop("backup", str(tmp_path))
    (zipped,) = tmp_path.glob("*.zip")
    revision(7)
    shop("restore", str(zipped))
    assert revision() == 8
    revision(1)
    shop("restore", str(zipped))
    assert revision() == 4


def test_a_file_that_is_no_backup_changes_nothing(shop: Shop, tmp_path: Path) -> None:
    database = tmp_path / "shop" / "swarfbook.sqlite3"
    shop("backup", str(tmp_path))
    (good,) = tmp_path.glob("*.zip")
    before = database.read_bytes()
    damaged = tmp_path / "damaged.zip"
    damaged.write_bytes(good.read_bytes()[:5000])
    assert "not a backup" in shop("restore", str(damaged), code=1)
    assert "cannot be put back: No such file" in shop("restore", str(tmp_path / "none.zip"), code=1)
    assert database.read_bytes() == before


def test_a_backup_is_not_put_back_while_a_server_holds_the_folder_and_is_when_that_is_dead(
    shop: Shop, tmp_path: Path
) -> None:
    data = tmp_path / "shop"
    shop("backup", str(tmp_path))
    (zipped,) = tmp_path.glob("*.zip")
    with served(data, "serve", "--port", "0") as (process, _said):
        before = (data / "swarfbook.sqlite3").read_bytes()
        said = shop("restore", str(zipped), code=1)
        assert "A server or another command is using the records" in said
        assert (data / "swarfbook.sqlite3").read_bytes() == before
        assert not (data / "backups").exists()
        process.kill()
        process.wait(WAIT)
        assert "Put back" in shop("restore", str(zipped))


def test_any_server_of_the_pages_holds_the_folder(tmp_path: Path) -> None:
    script = (
        "import builds.wsgi; from builds.management.holding import in_use_by_nobody_else as alone\n"
        "with alone(): print('alone')"
    )
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", script],
        cwd=ROOT, env={"DATA_DIR": str(tmp_path)}, text=True, capture_output=True,
    )  # fmt: skip
    assert done.returncode == 1
    assert "A server or another command is using the records" in done.stderr


def test_nothing_begins_while_a_backup_is_being_put_back(shop: Shop, tmp_path: Path, settings: Any) -> None:
    settings.DATA_DIR = tmp_path / "shop"
    with in_use_by_nobody_else():
        for command in (("serve", "--port", "0"), ("forecast",)):
            assert "A backup is being put back" in shop(*command, code=1)
    assert "There is no build" in shop("forecast", "none", code=1)


def test_whoever_is_signed_in_stays_so_when_a_backup_is_put_back(shop: Shop, tmp_path: Path) -> None:
    database = tmp_path / "shop" / "swarfbook.sqlite3"
    columns = "INSERT INTO django_session (session_key, session_data, expire_date) VALUES (?, '', '2999-01-01')"

    def sessions(*, add: str = "", end: str = "") -> set[str]:
        with closing(sqlite3.connect(database)) as opened, opened:
            if add:
                opened.execute(columns, [add])
            opened.execute("DELETE FROM django_session WHERE session_key = ?", [end])
            return {key for (key,) in opened.execute("SELECT session_key FROM django_session")}

    sessions(add="stayed")
    sessions(add="signed-out")
    shop("backup", str(tmp_path))
    (zipped,) = tmp_path.glob("*.zip")
    sessions(add="came-since")
    sessions(end="signed-out")
    shop("restore", str(zipped))
    assert sessions() == {"stayed", "came-since"}
