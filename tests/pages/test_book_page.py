"""The page of the build book: asked for, on its way, to be fetched, and older than the record."""

import io
import re
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from builds.models import Build
from builds.queries.background import background
from tests.factories import TODAY, make_build, make_part

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch, data_dir: Path) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: TODAY)


def page(client: Client, build: Build, **how: Any) -> str:
    response = client.get(reverse("builds:book", args=[build.slug]), **how)
    assert response.status_code == 200
    return response.content.decode()


def ask(client: Client, build: Build, size: str = "a4") -> Any:
    return client.post(reverse("builds:book", args=[build.slug]), {"size": size})


def file(client: Client, build: Build, size: str = "a4") -> Any:
    return client.get(reverse("builds:book_file", args=[build.slug, size]))


def test_a_book_is_made_in_the_background_and_can_then_be_fetched(signed_in: Client) -> None:
    build = make_build()
    make_part(build, "12", "Flywheel")
    before = page(signed_in, build)
    assert "Make the book" in before
    assert "None has been made yet." in before
    assert file(signed_in, build).status_code == 404

    assert ask(signed_in, build).status_code == 302
    background.wait(60)

    html = page(signed_in, build)
    assert "Open the book on A4" in html
    assert "None has been made yet." not in html
    assert "The record has not been changed since." in html
    assert "aria-busy" not in html
    response = file(signed_in, build)
    assert response["Content-Type"] == "application/pdf"
    assert "private" in response["Cache-Control"]
    assert 'filename="beam-engine-a4.pdf"' in response["Content-Disposition"]
    reader = PdfReader(io.BytesIO(b"".join(response.streaming_content)))
    assert any("12 Flywheel" in one.extract_text() for one in reader.pages)
    assert file(signed_in, build, "letter").status_code == 404
    assert file(signed_in, build, "a3").status_code == 404


def test_a_book_of_before_a_change_says_that_it_is_older_and_goes_when_a_new_one_is_made(
    signed_in: Client, data_dir: Path
) -> None:
    build = make_build()
    ask(signed_in, build)
    background.wait(60)
    make_part(build, "12", "Flywheel")

    html = " ".join(page(signed_in, build).split())
    assert re.search(r"It is older than the record: it holds revision (\d+), and the record is at revision", html)

    ask(signed_in, build)
    background.wait(60)
    assert "The record has not been changed since." in page(signed_in, build)
    [one] = (data_dir / "kept" / "books").iterdir()
    assert one.stat().st_mode & 0o777 == 0o600


def test_the_page_says_how_far_it_is_and_looks_again(signed_in: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    build, asked = make_build(), dict[str, Any]()
    make_part(build, "12", "Flywheel")
    monkeypatch.setattr(background, "ask", lambda key, job: asked.setdefault(key, job))
    ask(signed_in, build)
    ask(signed_in, build)
    [job] = asked.values()
    steps = job()
    next(steps)
    next(steps)

    html = page(signed_in, build)
    assert re.search(r"The book on A4 is being made: 2 of \d+ steps are done\.", html)
    assert 'hx-trigger="load delay:2s"' in html
    part = page(signed_in, build, headers={"HX-Request": "true"})
    assert "<html" not in part
    assert "2 of" in part

    for _step in steps:
        pass
    assert "is being made" not in page(signed_in, build)


def test_a_disk_that_takes_nothing_is_told_and_leaves_no_half_of_a_book(
    signed_in: Client, monkeypatch: pytest.MonkeyPatch, data_dir: Path
) -> None:
    build = make_build()
    (data_dir / "kept").write_text("a file where a folder should be")

    ask(signed_in, build)
    background.wait(60)

    assert "The book on A4 could not be made." in page(signed_in, build)
    assert file(signed_in, build).status_code == 404


def test_nonsense_is_refused_beside_the_field(signed_in: Client) -> None:
    response = ask(signed_in, make_build(), "a3")
    assert response.status_code == 422
    assert "a3 is not in the list" in response.content.decode()


# ---- the command ----------------------------------------------------------------------------------------------------
def test_the_command_writes_the_same_book(tmp_path: Path) -> None:
    build = make_build()
    make_part(build, "12", "Flywheel")
    written, out = tmp_path / "book.pdf", io.StringIO()

    call_command("build_book", build.slug, str(written), "--paper", "letter", stdout=out)

    assert f"{written}: wrote the book of Beam engine." in out.getvalue()
    reader = PdfReader(written)
    assert round(reader.pages[0].mediabox.width) == 612
    assert any("12 Flywheel" in one.extract_text() for one in reader.pages)
    with pytest.raises(CommandError, match="is there already"):
        call_command("build_book", build.slug, str(written))
    with pytest.raises(CommandError, match='There is no build "nobody"'):
        call_command("build_book", "nobody", str(tmp_path / "other.pdf"))
    with pytest.raises(CommandError, match="cannot be written"):
        call_command("build_book", build.slug, str(tmp_path / "no folder" / "book.pdf"))
