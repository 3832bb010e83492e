"""Scanned sheets in the build book: bought drawings are somebody's property, so only those that are ticked."""

from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from builds.book.make import make_book
from builds.models import Build
from builds.services.plan.drawings import folder_for, make_pictures
from tests.factories import TODAY, make_build, make_drawing, make_sheet

pytestmark = pytest.mark.django_db


def told(build: Build, folder: Path) -> str:
    file = folder / "book.pdf"
    for _step in make_book(build, TODAY, "a4", file):
        pass
    return "\n".join(page.extract_text() for page in PdfReader(file).pages)


def test_a_ticked_scan_stands_in_the_book_page_by_page_and_no_other(data_dir: Any, tmp_path: Path) -> None:
    build = make_build()
    ticked, kept_back = make_sheet(build, "L-01"), make_sheet(build, "L-02")
    for sheet, in_book in ((ticked, True), (kept_back, False)):
        list(make_pictures(make_drawing(sheet, 2, in_book=in_book).pk))
    book = told(build, tmp_path)
    assert "Sheet L-01, page 1" in book
    assert "Sheet L-01, page 2" in book
    assert "Sheet L-02, page" not in book


def test_a_newer_scan_that_is_not_ticked_keeps_the_older_one_out(data_dir: Any, tmp_path: Path) -> None:
    build = make_build()
    sheet = make_sheet(build, "L-01")
    for in_book in (True, False):
        list(make_pictures(make_drawing(sheet, 1, in_book=in_book).pk))
    assert "Sheet L-01, page" not in told(build, tmp_path)


def test_a_page_whose_picture_is_gone_is_told_of_and_the_book_goes_on(data_dir: Any, tmp_path: Path) -> None:
    build = make_build()
    drawing = make_drawing(make_sheet(build, "L-01"), 1, in_book=True)
    list(make_pictures(drawing.pk))
    for picture in folder_for(str(drawing.file.name)).iterdir():
        picture.unlink()
    assert "The picture of this page is not made yet." in told(build, tmp_path)
