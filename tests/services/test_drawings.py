"""Scans of the drawing sheets: taken in by content, drawn page by page in a process of their own."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from builds.models import Drawing, Event
from builds.models.choices import DrawingState
from builds.services.plan import page_pictures
from builds.services.plan.drawings import (
    add_drawing,
    folder_for,
    make_pictures,
    page_picture,
    refusal_of,
    remove_drawing,
)
from builds.services.plan.page_pictures import RefusedFile, make_pages
from builds.services.undo import undo
from tests import factories, scanned

A1_AT_600 = (19_866, 14_043)
MEMORY = 300 * 2**20


@pytest.fixture
def sheet(db: None, data_dir: Path) -> Any:
    return factories.make_sheet(factories.make_build(), "3", title="Cylinder")


def made(sheet: Any, content: bytes, name: str = "sheet.pdf") -> Drawing:
    drawing = add_drawing(sheet=sheet, upload=scanned.sent(content, name), by=None)
    list(make_pictures(drawing.pk))
    drawing.refresh_from_db()
    return drawing


def in_pages(folder: Path, content: bytes) -> list[str]:
    """The lines of what makes the pictures, in this process."""
    (folder / "file").write_bytes(content)
    return list(make_pages(folder / "file", folder))


def test_each_page_of_a_pdf_is_drawn_in_three_sizes(sheet: Any) -> None:
    from PIL import Image

    drawing = made(sheet, scanned.pdf(2))
    assert (drawing.state, drawing.pages, drawing.refusal) == (DrawingState.READY, 2, "")
    for page in (1, 2):
        sizes = {}
        for size in page_pictures.SIZES:
            with Image.open(page_picture(drawing, page, size) or "") as picture:
                sizes[size] = picture.size
                assert picture.mode == "L"
        assert sizes == {"full": (1751, 1238), "middle": (1600, 1131), "small": (320, 226)}


@pytest.mark.parametrize(
    ("kind", "options"),
    [
        ("PNG", {}),
        ("JPEG", {}),
        ("TIFF", {}),
        ("TIFF", {"mode": "1", "compression": "group4"}),
        ("PNG", {"mode": "RGB"}),
    ],
)
def test_a_scan_is_shown_whatever_its_name_says(tmp_path: Path, kind: str, options: dict[str, Any]) -> None:
    from PIL import Image

    assert in_pages(tmp_path, scanned.picture(kind, **options)) == ["pages 1", "page 1"]
    with Image.open(page_pictures.picture_of(tmp_path, 1, "full") or "") as picture:
        assert picture.size == (300, 200)
        assert picture.getpixel((150, 20)) < 30
        assert picture.getpixel((150, 150)) > 225


def test_a_tiff_of_several_pages_shows_them_all(tmp_path: Path) -> None:
    from PIL import Image

    other = Image.new("1", (300, 200), 1)
    content = scanned.picture("TIFF", mode="1", save_all=True, append_images=[other, other])
    assert in_pages(tmp_path, content) == ["pages 3", "page 1", "page 2", "page 3"]


def test_colour_stays_and_grey_becomes_grey(tmp_path: Path) -> None:
    from PIL import Image

    in_pages(tmp_path, scanned.pdf(drawn="1 0 0 rg 0 0 420 297 re f"))
    with Image.open(page_pictures.picture_of(tmp_path, 1, "middle") or "") as picture:
        assert picture.mode == "RGB"
        assert picture.getpixel((5, 5)) == pytest.approx((255, 0, 0), abs=3)


def test_pages_that_are_there_are_not_made_again(tmp_path: Path) -> None:
    assert in_pages(tmp_path, scanned.pdf(3)) == ["pages 3", "page 1", "page 2", "page 3"]
    next(tmp_path.glob("2-small.*")).unlink()
    assert in_pages(tmp_path, scanned.pdf(3)) == ["pages 3", "page 2"]


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (scanned.pdf()[:60], "damaged"),
        (b"%PDF-1.7\nnothing of the sort", "damaged"),
        (scanned.locked_pdf(), "password"),
        (scanned.pdf(61), "pages"),
        (scanned.picture("PNG")[:200], "damaged"),
        (scanned.picture("TIFF")[:200], "damaged"),
    ],
    ids=["cut off", "no pdf", "locked", "too many pages", "cut png", "cut tiff"],
)
def test_what_cannot_be_shown_is_refused_with_a_reason(tmp_path: Path, content: bytes, reason: str) -> None:
    with pytest.raises(RefusedFile, match=reason):
        in_pages(tmp_path, content)


def test_a_script_in_a_pdf_is_never_run(sheet: Any) -> None:
    drawing = made(sheet, scanned.pdf(script="while (true) { app.alert(1); }"))
    assert drawing.state == DrawingState.READY


def test_a_refused_file_says_why_in_a_sentence(sheet: Any) -> None:
    drawing = made(sheet, scanned.locked_pdf())
    assert (drawing.state, drawing.refusal) == (DrawingState.REFUSED, "password")
    assert refusal_of(drawing).startswith("The file has a password.")


def test_a_file_that_packs_too_much_is_refused_and_takes_nobody_with_it(sheet: Any) -> None:
    drawing = made(sheet, scanned.pdf_with_picture(9_000, 9_000))
    assert (drawing.state, drawing.refusal) == (DrawingState.REFUSED, "memory")


def measured(file: Path) -> tuple[list[str], int]:
    """What the process says of a file, and the most memory that it took, in bytes."""
    folder = file.with_suffix(".pages")
    folder.mkdir()
    code = (
        "import json, resource, subprocess, sys\n"
        "done = subprocess.run([sys.executable, '-m', 'builds.services.plan.page_pictures', *sys.argv[1:]],"
        " capture_output=True, text=True)\n"
        "most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss\n"
        "print(json.dumps([done.stdout.split('\\n')[:-1] + [f'ended {done.returncode}'], most]))"
    )
    answer = subprocess.run(
        [sys.executable, "-c", code, str(file), str(folder)], capture_output=True, text=True, check=True
    )
    said, most = json.loads(answer.stdout)
    return said, most * (1 if sys.platform == "darwin" else 1024)


@pytest.mark.parametrize(
    "options",
    [
        {"mode": "1", "compression": "group4", "strip_size": 400},
        {"mode": "1", "compression": "group4", "strip_size": 10**9},
        {"mode": "1"},
        {"mode": "RGB"},
        {"mode": "L", "compression": "tiff_lzw", "strip_size": 3000},
        {"mode": "RGB", "compression": "jpeg", "strip_size": 3000},
        {"mode": "1", "compression": "group4", "strip_size": 10**9, "exif": scanned.turned()},
        {"mode": "RGB", "compression": "tiff_deflate", "strip_size": 3000, "exif": scanned.turned()},
    ],
    ids=["strips", "one piece", "not packed", "colours", "grey", "jpeg", "one piece turned", "turned"],
)
def test_a_large_tiff_is_read_in_bands_and_shows_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: dict[str, Any]
) -> None:
    from PIL import Image

    monkeypatch.setattr("builds.services.plan.scan_rows.A_BAND", 1000)
    monkeypatch.setattr("builds.services.plan.scan_rows.MOST_BYTES", 300 * 200)
    in_pages(tmp_path, scanned.picture("TIFF", **options))
    with Image.open(page_pictures.picture_of(tmp_path, 1, "full") or "") as picture:
        upright = picture.rotate(90, expand=True) if "exif" in options else picture
        wide, high = upright.size
        assert max(wide, high) >= 100
        assert upright.convert("L").getpixel((wide // 2, high // 10)) < 30
        assert upright.convert("L").getpixel((wide // 2, high * 3 // 4)) > 225


def test_an_a1_sheet_at_600_dpi_is_shown_within_the_memory(tmp_path: Path) -> None:
    file = tmp_path / "a1.tif"
    file.write_bytes(scanned.picture("TIFF", mode="1", size=A1_AT_600, compression="group4", strip_size=10**9))
    said, most = measured(file)
    assert said == ["pages 1", "page 1", "ended 0"]
    assert most < MEMORY


def test_what_wants_much_is_shown_or_refused_within_the_memory(tmp_path: Path) -> None:
    for name, shown, content in (
        ("colour.pdf", True, scanned.pdf(wide=2384, high=1684, drawn="1 0 0 rg 0 0 2384 1684 re f")),
        ("bomb.pdf", False, scanned.pdf_with_picture(9_000, 9_000)),
        ("scan.pdf", True, scanned.pdf_with_picture(8_000, 4_900)),
        ("large.png", False, scanned.picture("PNG", size=(16_000, 12_000))),
    ):
        (tmp_path / name).write_bytes(content)
        said, most = measured(tmp_path / name)
        assert most < MEMORY, (name, said, most)
        assert (said[-2].split()[0], said[-1]) == ("page" if shown else "refused", "ended 0"), (name, said)


@pytest.mark.parametrize("content", [b"GIF89a and so on", b"PK\x03\x04 a zip", b"", b"<svg onload='x'/>"])
def test_only_a_drawing_is_taken_in(sheet: Any, content: bytes) -> None:
    with pytest.raises(ValidationError, match="send a PDF, PNG, JPEG or TIFF"):
        add_drawing(sheet=sheet, upload=scanned.sent(content, "drawing.pdf"), by=None)
    assert not Drawing.objects.exists()


def test_a_file_above_the_limit_is_not_taken_in(sheet: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("builds.services.plan.drawings.LARGEST_FILE", 100)
    with pytest.raises(ValidationError, match="larger than 60 MB"):
        add_drawing(sheet=sheet, upload=scanned.sent(scanned.pdf()), by=None)


def test_removing_a_scan_can_be_undone(sheet: Any) -> None:
    drawing = made(sheet, scanned.pdf())
    event = remove_drawing(drawing=drawing, by=None)
    assert not Drawing.objects.exists()
    undo(event=event, by=None)
    back = Drawing.objects.get()
    assert (back.state, back.file.name, back.name) == (DrawingState.WAITING, drawing.file.name, "sheet.pdf")
    assert back.file.storage.exists(back.file.name)


def test_a_scan_is_an_event_of_the_build(sheet: Any) -> None:
    before = sheet.build.revision
    made(sheet, scanned.pdf())
    event = Event.objects.latest("pk")
    assert str(event).endswith("added drawing 3 Cylinder")
    sheet.build.refresh_from_db()
    assert sheet.build.revision == before + 1


def test_a_disk_that_takes_no_picture_is_no_fault_of_the_file(sheet: Any) -> None:
    drawing = add_drawing(sheet=sheet, upload=scanned.sent(scanned.pdf()), by=None)
    folder = folder_for(str(drawing.file.name))
    (folder / "1-full.png").mkdir(parents=True)
    with pytest.raises(RuntimeError, match="were not made"):
        list(make_pictures(drawing.pk))
    drawing.refresh_from_db()
    assert drawing.state == DrawingState.WAITING
