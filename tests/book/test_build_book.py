"""The build book, read again from its file: every part is there, and the contents tell the truth about the pages."""

import io
import re
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import now
from django.utils.translation import override
from PIL import Image
from pypdf import PdfReader

from builds.book.make import make_book
from builds.models import Build, Exhibit, Milestone, Part, Photo, Remark, Size
from builds.models.choices import Activity
from builds.queries.book import read_book
from builds.services.log.entries import remove_entry
from builds.services.plan.photos import add_photo, remove_photo
from tests.factories import (
    TODAY,
    make_assembly,
    make_build,
    make_builder,
    make_entry,
    make_material,
    make_operation,
    make_part,
    make_sheet,
)
from tests.test_translation import NOWHERE, SAME_EVERYWHERE, bracketless, nowhere

__all__ = ["nowhere"]
pytestmark = pytest.mark.django_db
ROUTE = ({"kind": "turning", "title": "Turn the rim", "setup_minutes": 20, "minutes_per_unit": 15.0},)


def jpeg(colour: str = "grey", size: tuple[int, int] = (320, 240)) -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "JPEG")
    return SimpleUploadedFile("photo.jpg", out.getvalue())


class Book:
    """A book that was made, page by page as text; a line break in it is a space."""

    def __init__(self, file: Path) -> None:
        self.reader = PdfReader(file)
        self.lines = [page.extract_text() for page in self.reader.pages]
        self.pages = [" ".join(text.split()) for text in self.lines]
        self.text = " ".join(self.pages)

    def chapter(self, title: str) -> str:
        """The pages from this heading on, up to the next one in the bookmarks."""
        found = [one for one in self.bookmarks if one[0] == title]
        assert found, f"{title}: {self.bookmarks}"
        later = [page for _title, page in self.bookmarks if page > found[0][1]]
        return " ".join(self.pages[found[0][1] - 1 : min(later, default=len(self.pages) + 1) - 1 or None])

    @property
    def bookmarks(self) -> list[tuple[str, int]]:
        """Each heading with the number of its page."""
        return list(self._flat(self.reader.outline))

    def _flat(self, outline: Any) -> Any:
        for one in outline:
            if isinstance(one, list):
                yield from self._flat(one)
            else:
                yield one.title, self.reader.get_destination_page_number(one) + 1

    @property
    def contents(self) -> list[tuple[str, int]]:
        """The lines of the contents: what stands there, and the number of a page."""
        start = next(number for number, text in enumerate(self.lines) if "Contents" in text.splitlines()[:3])
        end = self.bookmarks[0][1] - 1
        lines = "\n".join(text.partition("\n")[2] for text in self.lines[start:end])
        return [(title, int(page)) for title, page in re.findall(r"^(.+?)\s+(\d+)$", lines, re.MULTILINE)]


@pytest.fixture
def book_of(tmp_path: Path) -> Callable[..., Book]:
    def made(build: Build, *, size: str = "a4", day: date = TODAY) -> Book:
        file = tmp_path / "book.pdf"
        for _step in make_book(build, day, size, file):
            pass
        return Book(file)

    return made


def flywheel(build: Build, **fields: Any) -> Part:
    return make_part(build, "12", "Flywheel", operations=ROUTE, **fields)


def test_every_part_is_in_the_book_on_the_page_that_the_contents_say(book_of: Callable[..., Book]) -> None:
    build = make_build()
    outer = make_assembly(build, "Engine")
    inner = make_assembly(build, "Crankshaft", parent=outer)
    for number in range(40):
        make_part(build, str(100 + number), f"Detail {number}", assembly=(outer, inner, None)[number % 3])

    book = book_of(build)

    told = dict(book.contents)
    assert len(told) == len(book.contents) > 45
    assert [(title, told[title]) for title, _page in book.bookmarks] == book.bookmarks
    for number in range(40):
        title = f"{100 + number} Detail {number}"
        assert title in book.pages[told[title] - 1]
        assert book.pages[told[title] - 1].endswith(f" {told[title]}")
    assert "Engine › Crankshaft" in told


def test_what_was_drawn_and_what_was_made_stand_beside_each_other_with_the_reason(book_of: Callable[..., Book]) -> None:
    build = make_build(scale="1:6", units="mm")
    sheet = make_sheet(build, "7", title="Flywheel", revision="C")
    part = flywheel(build, sheet=sheet, material=make_material("Cast iron"), note="Balanced on knife edges.")
    Size.objects.create(part=part, name="Rim", full_size="1200 mm", made="201 mm", reason="the casting was larger")
    Remark.objects.create(sheet=sheet, drawing_says="6 spokes", we_made="5 spokes", noted_on=date(2026, 4, 3))

    book = book_of(build)

    assert re.search(r"Rim 1200 mm 200 mm 201 mm \+1 mm the casting was larger", book.chapter("12 Flywheel"))
    assert "Cast iron" in book.chapter("12 Flywheel")
    assert "Balanced on knife edges." in book.chapter("12 Flywheel")
    drawings = book.chapter("The drawings")
    assert "7 Flywheel C 12" in drawings
    assert "6 spokes 5 spokes 3 Apr 2026" in drawings
    page = dict(book.bookmarks)["The drawings"]
    assert f"The drawing proved wrong in places: see sheet 7 on page {page}." in book.chapter("12 Flywheel")


def test_a_route_tells_planned_and_real_time_and_why_pieces_were_lost(book_of: Callable[..., Book]) -> None:
    build = make_build()
    part = flywheel(build, quantity=4)
    turning = part.operations.get()
    make_entry(build, minutes=90, part=part, operation=turning, good=3)
    make_entry(build, minutes=30, part=part, operation=turning, good=1, scrap=2, scrap_reason="blow-hole")
    make_entry(
        build, date(2026, 5, 4), 5, part=part, builder=make_builder("Ada"), note="Skimmed it.\nRang like a bell."
    )

    text = book_of(build).chapter("12 Flywheel")

    # 20 min + 6 × 15 min for the six pieces that were counted.
    assert "10 Turn the rim (turning) 20 min 15 min 1 h 50 min 2 h 5 min 4 2" in text
    assert "10 Turn the rim 6 4 0 2 67 %" in text
    assert "Why pieces were scrapped: blow-hole (2)." in text
    assert "Noted at the bench 4 May 2026, Ada: Skimmed it. Rang like a bell." in text


def test_it_says_who_worked_on_it_where_the_hours_went_and_what_was_reached(book_of: Callable[..., Book]) -> None:
    build = make_build(subject="A mill engine", scale="1:6")
    Exhibit.objects.create(build=build, what_it_did="It drove a spinning mill.", real_length="11 m")
    engine = make_assembly(build, "Engine")
    part = flywheel(build, assembly=engine)
    turning = part.operations.get()
    make_entry(build, date(2025, 5, 1), 600, part=part, operation=turning, builder=make_builder("Ada"), good=1)
    make_entry(build, date(2026, 5, 1), 120, activity=Activity.TIDYING, builder=make_builder("Tom"))
    Milestone.objects.create(build=build, name="First turn on air", reached_on=date(2026, 6, 7))

    book = book_of(build)

    assert "A mill engine" in book.pages[0]
    assert re.search(r"Ada 10 h 2025 Tom 2\.0 h 2026", book.pages[0])
    assert "It drove a spinning mill." in book.chapter("What it is")
    assert re.search(r"2025 10 h 1 0 2026 2\.0 h 1 0", book.chapter("How it went"))
    assert "First turn on air 7 Jun 2026" in book.text
    hours = book.chapter("Where the hours went")
    assert "Engine 1 of 1 10 h" in hours
    assert "turning 10 h" in hours
    assert "tidying 2.0 h" in hours
    assert "At the parts 10 h; with the shop time that counts 12 h in all." in hours


def test_a_finished_build_says_what_its_first_forecast_had_said(book_of: Callable[..., Book]) -> None:
    build = make_build(started_on=date(2026, 1, 1), state="finished", finished_on=date(2026, 9, 1))
    part = flywheel(build, quantity=6)
    turning = part.operations.get()
    for month in range(1, 7):
        make_entry(build, date(2026, month, 3), 60, part=part, operation=turning, good=1)

    text = book_of(build).text

    assert "Finished on 1 September 2026." in text
    assert "It took 6 hours at the bench over 8 months." in text
    assert "The first forecast, of 31 January 2026, had said with 4 chances in 5:" in text


def test_photos_have_their_captions_and_one_whose_file_is_gone_or_broken_is_told(
    data_dir: Path, book_of: Callable[..., Book]
) -> None:
    build = make_build()
    part = flywheel(build)
    kept, gone, broken, whole = (
        add_photo(build=build, part=where, upload=jpeg(), by=None, caption=caption, taken_on=date(2026, 3, day))
        for day, (caption, where) in enumerate(
            [("In the lathe", part), ("On the floor", part), ("On the scales", part), ("All of it", None)], start=1
        )
    )
    gone.image.storage.delete(gone.image.name)
    Path(broken.image.path).write_bytes(b"no picture")

    book = book_of(build)

    text = book.chapter("12 Flywheel")
    assert "In the lathe, 1 Mar 2026" in text
    assert "The file of this photo is missing:" in text
    assert "On the floor, 2 Mar 2026" in text
    assert "The file of this photo cannot be read:" in text
    assert "All of it, 4 Mar 2026" in book.chapter("1 photo of the whole")
    assert len(book.reader.pages[dict(book.bookmarks)["12 Flywheel"] - 1].images) == 1
    assert Photo.objects.count() == 4, (kept, whole)


def test_what_was_removed_stays_out(data_dir: Path, book_of: Callable[..., Book]) -> None:
    build = make_build()
    part = flywheel(build)
    said = {"builder": make_builder("Mallory"), "note": "Oops"}
    entry = make_entry(build, minutes=600, part=part, operation=part.operations.get(), **said)
    photo = add_photo(build=build, part=part, upload=jpeg(), by=None, caption="Unwanted")
    assert "Mallory" in book_of(build).text
    remove_entry(entry=entry, by=None)
    remove_photo(photo=photo, by=None)

    text = book_of(build).text

    assert "Mallory" not in text
    assert "Oops" not in text
    assert "Unwanted" not in text
    assert "10 h" not in text


@pytest.mark.parametrize(
    ("name", "seen"),
    [
        ("<b>Rod</b> & nut &amp; \\ (x)", "<b>Rod</b> & nut &amp; \\ (x)"),
        ("W" * 160, "W" * 160),
        ("Crank 😀 ø ½ Ж", "Crank 😀 ø ½ Ж"),
        # Drawn from the right, which the reader turns round again.
        ("טבעת", "טבעת"),
        ("سلام", "ﺳﻼﻡ"),
        ("环 ring", "□ ring"),
    ],
)
def test_any_name_can_be_written(book_of: Callable[..., Book], name: str, seen: str) -> None:
    build = make_build(name=name[:120])
    make_part(build, "7", name, assembly=make_assembly(build, name[:120]), note=f"{name}\n{name}")

    book = book_of(build)

    title = next(page for title, page in book.bookmarks if title.startswith("7 "))
    assert f"7{seen}".replace(" ", "") in re.sub(r"[\s\u202a-\u202e\u2066-\u2069]", "", book.pages[title - 1])


def test_no_word_of_a_book_is_bound_to_one_language(nowhere: None, book_of: Callable[..., Book]) -> None:
    build = make_build("Qq", scale="1:6", subject="Qq")
    sheet = make_sheet(build, "1", title="Qq")
    Exhibit.objects.create(build=build, real_length="11 m", how_it_works="Qq")
    part = make_part(
        build, "1", "Qq", quantity=3, spares=1, sheet=sheet, assembly=make_assembly(build, "Qq"), note="Qq"
    )
    Size.objects.create(part=part, name="Qq", full_size="60 mm", made="11 mm", reason="Qq")
    Remark.objects.create(sheet=sheet, drawing_says="Qq", we_made="Qq")
    milestone = Milestone.objects.create(build=build, name="Qq")
    milestone.parts.add(part)
    for month in range(1, 9):
        make_entry(build, date(2026, month, 3), 60, part=part, operation=part.operations.get(), scrap=1)
    make_entry(build, date(2026, 9, 3), None, part=part)
    make_entry(build, date(2026, 9, 4), 60, activity=Activity.TIDYING)

    with override(NOWHERE):
        text = book_of(build).text

    outside = SAME_EVERYWHERE.sub(" ", bracketless(text, 0)[0]).replace("Qq", " ")
    assert text.count("⟦") > 150
    assert re.findall(r"[A-Za-z]{3,}", outside) == []


def test_two_books_of_one_record_and_day_are_the_same(tmp_path: Path, data_dir: Path) -> None:
    build = make_build()
    part = flywheel(build, quantity=3)
    add_photo(build=build, part=part, upload=jpeg(), by=None)
    make_entry(build, minutes=90, part=part, operation=part.operations.get(), good=1)
    files = [tmp_path / name for name in ("one.pdf", "two.pdf")]
    for file in files:
        for _step in make_book(build, TODAY, "a4", file):
            pass

    one, two = (file.read_bytes() for file in files)
    assert one == two


def test_the_paper_is_the_one_that_was_asked_for(book_of: Callable[..., Book]) -> None:
    build = make_build()
    sizes = {size: book_of(build, size=size).reader.pages[0].mediabox for size in ("a4", "letter")}
    assert {size: (round(box.width), round(box.height)) for size, box in sizes.items()} == {
        "a4": (595, 842),
        "letter": (612, 792),
    }


def test_the_book_of_an_empty_build_is_short_and_says_so(book_of: Callable[..., Book]) -> None:
    book = book_of(make_build(started_on=None))
    assert "Nothing is logged yet." in book.text
    assert len(book.pages) < 10


def test_reading_a_book_takes_as_many_queries_however_large_the_build_is() -> None:
    build = make_build()

    def grow(parts: range) -> None:
        for number in parts:
            sheet = make_sheet(build, str(number))
            part = make_part(build, str(number), sheet=sheet, operations=ROUTE, quantity=3)
            make_operation(part, "facing")
            make_entry(build, minutes=20, part=part, operation=part.operations.first(), good=1, scrap=1, note="Hm")
            Size.objects.create(part=part, name="Bore", full_size="60 mm")
            Remark.objects.create(sheet=sheet, drawing_says="3", we_made="4")
            Photo.objects.create(build=build, part=part, image=f"{number}.jpg", taken_on=now().date())

    def queries() -> int:
        with CaptureQueriesContext(
            connection,
        ) as asked:
            book = read_book(Build.objects.get(pk=build.pk), TODAY)
            assert book.planned_hours
            assert book.repeated
            assert book.years
        return len(asked)

    grow(range(3))
    few = queries()
    grow(range(3, 12))
    assert queries() == few <= 18
