"""The demonstration and the server: what is made ready, what is told, and that both end cleanly."""

import io
import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command, load_command_class
from django.core.management.base import CommandError
from django.templatetags.static import static

from builds.management import demonstration, readiness, serving
from builds.models import Build, Drawing, Entry
from tests.factories import TODAY, make_build
from tests.transfer.test_record_in import record

ROOT = Path(__file__).parent.parent.parent
WAIT = 60


def run(*args: str) -> str:
    out = io.StringIO()
    call_command(*args, stdout=out)
    return out.getvalue()


@pytest.mark.parametrize("name", ["serve", "demo", "backup", "restore", "forecast", "export_record", "import_log"])
def test_every_command_says_what_it_does_when_it_is_asked(name: str) -> None:
    command = load_command_class("builds", name)
    told = " ".join(command.create_parser("manage.py", name).format_help().split())
    assert str(type(command).help)[:40] in told


# ---- the demonstration ----------------------------------------------------------------------------------------------
def test_the_demonstration_ends_within_the_past_week_and_never_later(db: None) -> None:
    for days in (0, 1, 6, 7, 300, -400):
        data = record()
        shift = demonstration.whole_weeks_to(date(2026, 2, 5) + timedelta(days=days), data)
        assert shift % 7 == 0
        assert 0 <= days - shift < 7


def test_the_demonstration_is_loaded_once_with_its_builder(db: None, data_dir: Path) -> None:
    first = run("demo", "--no-serve", "--port", "8123")
    build = Build.objects.get()
    assert build.photos.filter(for_visitors=True).exists()
    assert [drawing.sheet.number for drawing in Drawing.objects.order_by("sheet")] == ["L-03", "L-04", "L-05"]
    assert all(kept.storage.exists(kept.name) for kept in (build.photos.last().image, Drawing.objects.last().file))
    last = Entry.objects.order_by("-worked_on").values_list("worked_on", flat=True)[0]
    assert timedelta(0) <= date.today() - last < timedelta(days=7)
    assert f"http://127.0.0.1:8123/builds/{build.slug}/" in first
    assert f"http://127.0.0.1:8123/board/{build.slug}/" in first
    assert re.search(r"Left: about [\d,]+ h, between [\d,]+ and [\d,]+ hours", first)
    assert "Finish: " in first
    again = run("demo", "--no-serve")
    password = (data_dir / "demo-password").read_text()
    assert f"Sign in:  bench, password {password}" in first
    assert f"Sign in:  bench, password {password}" in again
    assert Build.objects.count() == 1


def test_a_password_that_was_changed_is_not_told_wrongly(db: None, data_dir: Path) -> None:
    first = demonstration.demonstration_builder()
    assert oct((data_dir / "demo-password").stat().st_mode & 0o777) == "0o600"
    user = demonstration.User.objects.get(username="bench")
    assert user.check_password(first.password)
    assert not user.is_superuser
    user.set_password("something of my own")
    user.save()
    assert demonstration.demonstration_builder().password == ""


def test_builds_of_ones_own_keep_the_demonstration_away(db: None, data_dir: Path) -> None:
    make_build()
    assert demonstration.load_demonstration(TODAY) is None
    assert "the demonstration was not loaded" in run("demo", "--no-serve")
    assert Build.objects.get().name == "Beam engine"


# ---- the port -------------------------------------------------------------------------------------------------------
def test_a_busy_port_is_one_sentence_naming_the_option() -> None:
    with closing(serving.take_port("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(CommandError, match=f"Port {port} is in use .* --port {port + 1}"):
            serving.take_port("127.0.0.1", port)


@pytest.mark.parametrize(
    ("host", "port", "said"), [("127.0.0.1", 70000, "--port 70000"), ("no such host", 8000, "--host no such host")]
)
def test_an_address_that_is_none_is_refused(host: str, port: int, said: str) -> None:
    with pytest.raises(CommandError, match=said):
        serving.take_port(host, port)


def test_the_address_is_one_that_a_browser_takes() -> None:
    with closing(serving.take_port("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert serving.address_of(taken, "127.0.0.1") == f"http://127.0.0.1:{port}"
        assert serving.address_of(taken, "0.0.0.0") == f"http://localhost:{port}"  # noqa: S104
        assert serving.address_of(taken, "::1") == f"http://[::1]:{port}"


# ---- backups --------------------------------------------------------------------------------------------------------
def test_a_copy_of_a_database_in_use_has_what_stands_in_its_log(tmp_path: Path) -> None:
    source = tmp_path / "live.sqlite3"
    with closing(sqlite3.connect(source)) as live:
        live.execute("PRAGMA journal_mode=WAL")
        live.execute("CREATE TABLE evening (hours)")
        live.execute("INSERT INTO evening VALUES (2.5)")
        live.commit()
        readiness.copy_sqlite(source, tmp_path / "copy.sqlite3")
    with closing(sqlite3.connect(tmp_path / "copy.sqlite3")) as copy:
        assert copy.execute("SELECT hours FROM evening").fetchall() == [(2.5,)]
    assert not list(tmp_path.glob("*.part"))


def test_a_copy_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="could not be written"):
        readiness.copy_sqlite(tmp_path / "live.sqlite3", tmp_path / "none" / "copy.sqlite3")


# ---- as users run them ----------------------------------------------------------------------------------------------
def manage(data: Path, *args: str) -> "subprocess.Popen[str]":
    environment = {"PATH": os.environ["PATH"], "DATA_DIR": str(data), "PYTHONUNBUFFERED": "1"}
    return subprocess.Popen(
        [sys.executable, "manage.py", *args],
        cwd=ROOT, env=environment, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        # Where the tests run in the background, Ctrl-C is switched off for them and all that they start.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )  # fmt: skip


@contextmanager
def served(data: Path, *args: str) -> Iterator[tuple["subprocess.Popen[str]", str]]:
    """A running server, with what it printed before it began."""
    process = manage(data, *args)
    assert process.stdout is not None
    said = ""
    try:
        for line in process.stdout:
            said += line
            if line.startswith("Ctrl-C"):
                break
        yield process, said
    finally:
        process.kill()
        process.communicate()


def applied(database: Path) -> int:
    with closing(sqlite3.connect(database)) as opened:
        found: int = opened.execute("SELECT count(*) FROM django_migrations WHERE app = 'builds'").fetchone()[0]
    return found


def test_serve_makes_everything_ready_and_ends_cleanly(tmp_path: Path) -> None:
    with served(tmp_path, "serve", "--port", "0") as (process, said):
        address = re.findall(r"Serving (http://127\.0\.0\.1:\d+)/", said)[0]
        code = re.findall(rf"Go to {address}/welcome/ with the code (\S+)", said)[0]
        assert (tmp_path / "first-owner-code").read_text() == code
        with urllib.request.urlopen(f"{address}/sign-in/", timeout=WAIT) as answer:  # noqa: S310
            page = answer.read().decode()
        links = re.findall(r'"(/static/[^"]+)"', page)
        assert sorted({Path(link).suffix for link in links}) == [".css", ".js", ".png", ".svg"]
        for link in links:
            with urllib.request.urlopen(f"{address}{link}", timeout=WAIT) as answer:  # noqa: S310
                assert answer.status == 200
                # Its name has its content's digest, so no browser asks for it twice.
                assert answer.headers["Cache-Control"] == "max-age=315360000, public, immutable"
        process.send_signal(signal.SIGINT)
        rest, trouble = process.communicate(timeout=WAIT)
    assert (process.returncode, rest, trouble) == (0, "Ended.\n", "")


def test_serve_backs_the_database_up_only_before_it_is_changed(tmp_path: Path) -> None:
    database, backups = tmp_path / "swarfbook.sqlite3", tmp_path / "backups"
    with served(tmp_path, "serve", "--port", "0"):
        pass
    assert not backups.exists()
    whole = applied(database)
    with closing(sqlite3.connect(database)) as opened:
        # As an older program left it: a migration that is still to come, and makes no table anew.
        opened.execute("DELETE FROM django_migrations WHERE app = 'sessions'")
        opened.execute("DROP TABLE django_session")
        opened.commit()
    with served(tmp_path, "serve", "--port", "0") as (_, said):
        assert "as it was before, it is kept in" in said
    (kept,) = backups.iterdir()
    assert applied(kept) == whole
    with closing(sqlite3.connect(kept)) as opened:
        assert opened.execute("SELECT count(*) FROM django_migrations WHERE app = 'sessions'").fetchone() == (0,)


def test_wrong_commands_end_with_a_code_and_without_a_traceback(tmp_path: Path) -> None:
    with closing(socket.socket()) as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = str(busy.getsockname()[1])
        commands = [("forecast",), ("import_record", "none.json"), ("demo", "--port", port)]
        for command in commands:
            process = manage(tmp_path, *command)
            out, trouble = process.communicate(timeout=WAIT)
            assert process.returncode == 1
            assert trouble.startswith("CommandError: ")
            assert "Traceback" not in out + trouble
    # The port was asked for first, so the demonstration was not begun.
    assert not (tmp_path / "demo-password").exists()


def test_files_of_a_newer_program_are_taken_however_old_they_are(settings: Any, tmp_path: Path) -> None:
    sheets = tmp_path / "sheets"
    sheets.mkdir()
    settings.STATICFILES_DIRS = [sheets]
    settings.STATIC_ROOT = tmp_path / "served"
    settings.STATIC_ROOT.mkdir()
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
    }
    (sheets / "one.css").write_text("a { color: red }")
    readiness.collect_static()
    before = static("one.css")
    (sheets / "one.css").write_text("a { color: tan }")
    (sheets / "two.css").write_text("b { color: tan }")
    for sheet in sheets.iterdir():
        os.utime(sheet, (0, 0))
    readiness.collect_static()
    assert static("one.css") != before
    assert (settings.STATIC_ROOT / static("two.css").removeprefix("/static/")).read_text() == "b { color: tan }"
