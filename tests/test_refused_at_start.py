"""What no command and no server can work with is told in one sentence, by each of them."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
COMMANDS = [
    ("serve", "--port", "0"),
    ("migrate",),
    ("forecast",),
    ("check_totals",),
    ("import_record", "none.json"),
    ("createsuperuser", "--noinput", "--username", "ada", "--email", "a@b.example"),
    ("axes_reset",),
]
SERVER = [sys.executable, "-W", "ignore", "-c", "import builds.wsgi"]


def ended(command: list[str], **environment: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        command, cwd=ROOT, env={"PATH": os.environ["PATH"], **environment}, capture_output=True, text=True, check=False
    )


def managed(*args: str, **environment: str) -> "subprocess.CompletedProcess[str]":
    return ended([sys.executable, "manage.py", *args], **environment)


def one_sentence(done: "subprocess.CompletedProcess[str]", *, code: int) -> str:
    """What was said, by a process that ended with this code: one line, and no traceback."""
    assert (done.returncode, done.stdout) == (code, ""), done.stderr
    (said,) = done.stderr.splitlines()
    return said


# ---- a database of a newer version ----------------------------------------------------------------------------------
@pytest.fixture(scope="module")
def newer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder whose database a program of some later year has been at."""
    folder = tmp_path_factory.mktemp("newer")
    managed("migrate", "-v", "0", DATA_DIR=str(folder)).check_returncode()
    with closing(sqlite3.connect(folder / "swarfbook.sqlite3")) as opened:
        opened.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('builds', '0999_later', '2031-01-01')"
        )
        opened.commit()
    return folder


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command[0])
def test_every_command_refuses_a_database_of_a_newer_version(newer: Path, command: tuple[str, ...]) -> None:
    said = one_sentence(managed(*command, DATA_DIR=str(newer)), code=1)
    assert "newer version of this program" in said
    assert "0999_later" in said


def test_a_server_does_not_begin_on_a_database_of_a_newer_version(newer: Path) -> None:
    assert "newer version of this program" in one_sentence(ended(SERVER, DATA_DIR=str(newer)), code=3)
