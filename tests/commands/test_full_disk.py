"""A disk that is full: every page that reads still works, whatever writes says why it did not, and nothing is lost."""

import html
import re
import sqlite3
import subprocess
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from urllib.parse import urlencode

import pytest

from tests.commands.test_demo_and_serve import WAIT, manage, served

FULL = "The disk is full."
SIGNED_IN = """
from django.contrib.auth.models import User
from django.test import Client
browser = Client()
browser.force_login(User.objects.get(), backend="django.contrib.auth.backends.ModelBackend")
print("key", browser.cookies["sessionid"].value)
"""


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A data folder on a disk of its own, where the machine lets one be made."""
    folder = tmp_path / "small"
    folder.mkdir()
    mounting = ["mount", "-t", "tmpfs", "-o", "size=32m", "tmpfs", str(folder)]
    try:
        subprocess.run(mounting, check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("this machine lets no small disk be made")
    yield folder
    subprocess.run(["umount", "--lazy", str(folder)], check=True)


def fill(disk: Path) -> None:
    with suppress(OSError), (disk / "filling").open("wb", buffering=0) as filling:
        while True:
            filling.write(b"x" * 4096)


def said_by(data: Path, *command: str) -> tuple[int, str]:
    process = manage(data, *command)
    out, trouble = process.communicate(timeout=WAIT)
    assert "Traceback" not in out + trouble
    return process.returncode, out + trouble


class Browser:
    def __init__(self, address: str, session: str) -> None:
        self.address, self.session = address, session

    def ask(self, path: str, data: dict[str, str] | None = None) -> tuple[int, str]:
        cookie = f"sessionid={self.session}; csrftoken={'a' * 32}"
        sent = None if data is None else urlencode({**data, "csrfmiddlewaretoken": "a" * 32}).encode()
        asked = urllib.request.Request(self.address + path, sent, {"Cookie": cookie})  # noqa: S310
        try:
            with urllib.request.urlopen(asked, timeout=WAIT) as answer:  # noqa: S310
                return answer.status, answer.read().decode()
        except urllib.error.HTTPError as refused:
            return refused.code, refused.read().decode()


def entries(data: Path) -> int:
    with closing(sqlite3.connect(data / "swarfbook.sqlite3")) as opened:
        found: int = opened.execute("SELECT count(*) FROM builds_entry").fetchone()[0]
    return found


def test_while_it_serves(small_disk: Path) -> None:
    assert said_by(small_disk, "demo", "--no-serve")[0] == 0
    assert said_by(small_disk, "backup")[0] == 0
    (kept,) = (small_disk / "backups").iterdir()
    whole = kept.read_bytes()
    session = re.findall(r"key (\w+)", said_by(small_disk, "shell", "-c", SIGNED_IN)[1])[0]
    with served(small_disk, "serve", "--port", "0") as (_process, said):
        browser = Browser(re.findall(r"Serving (http://[^/]+)/", said)[0], session)
        assert browser.ask("/")[0] == 200
        slug = re.findall(r"/builds/([\w-]+)/bench/", browser.ask("/")[1])[0]
        before = entries(small_disk)
        fill(small_disk)
        for page in ("", "forecast/", "replay/", "rates/", "log/", "bench/", "repeats/", "events/", "photos/"):
            assert browser.ask(f"/builds/{slug}/{page}")[0] == 200, page
        page = browser.ask(f"/builds/{slug}/bench/")[1]
        work = re.findall(r'name="form-0-work"\s+value="(o\d+)"', page)[0]
        line = {"form-0-work": work, "form-0-time": "1h15", "form-0-note": "kept " * 700}
        evening = {"worked_on": "2026-01-02", "form-TOTAL_FORMS": "1", "form-INITIAL_FORMS": "0", "form-0-token": "t"}
        status, page = browser.ask(f"/builds/{slug}/bench/evening/", {**evening, **line})
        assert status == 422
        assert f"{FULL} Nothing was recorded. What you typed is still here" in html.unescape(page)
        assert "1h15" in page
        assert "kept kept" in page
        assert said_by(small_disk, "backup") == (
            1, f"CommandError: No backup was made in {small_disk / 'backups'}: {FULL}\n"
        )  # fmt: skip
        assert [path.name for path in (small_disk / "backups").iterdir()] == [kept.name]
        assert kept.read_bytes() == whole
        (small_disk / "filling").unlink()
        assert entries(small_disk) == before
        assert browser.ask(f"/builds/{slug}/bench/evening/", {**evening, **line})[0] == 200
        assert entries(small_disk) == before + 1


@pytest.mark.parametrize("command", [("serve", "--port", "0"), ("demo", "--port", "0")])
def test_before_it_serves(command: tuple[str, ...], small_disk: Path) -> None:
    said_by(small_disk, "check")
    fill(small_disk)
    code, said = said_by(small_disk, *command)
    assert code == 1
    assert said.splitlines()[-1] == f"CommandError: {FULL}"
