"""A sheet's page: its scan, looked at closely, and the remarks at their places."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.models import Drawing, Event, Remark
from builds.services.plan.drawings import add_drawing, folder_for, make_pictures
from builds.services.shop.builders import add_builder
from builds.services.undo import undo
from tests import factories, scanned


@pytest.fixture
def sheet(db: None, data_dir: Path) -> Any:
    return factories.make_sheet(factories.make_build(), "3", title="Cylinder")


@pytest.fixture
def drawing(sheet: Any) -> Drawing:
    """A scan whose pictures are made."""
    drawing = add_drawing(sheet=sheet, upload=scanned.sent(scanned.pdf(2), "roll 3.pdf"), by=None, revision="B")
    list(make_pictures(drawing.pk))
    return drawing


def where(sheet: Any, rest: str = "") -> str:
    return f"/builds/{sheet.build.slug}/sheets/{sheet.pk}/{rest}"


def picture(drawing: Drawing, page: int = 1, size: str = "middle") -> str:
    return f"/builds/{drawing.sheet.build.slug}/scans/{drawing.pk}/pages/{page}/{size}/"


def test_a_sheet_without_a_scan_says_so(signed_in: Client, sheet: Any) -> None:
    assert "There is no scan of this sheet yet." in signed_in.get(where(sheet)).text


def test_a_scan_that_is_put_on_a_sheet_is_kept_and_its_page_says_how_far_it_is(signed_in: Client, sheet: Any) -> None:
    sent = {"file": scanned.sent(scanned.pdf(2), "roll 3.pdf"), "revision": "B", "in_book": "on"}
    answer = signed_in.post(where(sheet, "scans/"), sent, follow=True)
    drawing = Drawing.objects.get()
    assert (drawing.name, drawing.revision, drawing.in_book, drawing.added_by.name) == (
        "roll 3.pdf",
        "B",
        True,
        "ada",
    )
    assert "The file is being read." in answer.text
    assert 'hx-trigger="every 2s"' in answer.text


def test_what_is_no_drawing_is_refused_beside_what_was_typed(signed_in: Client, sheet: Any) -> None:
    sent = {"file": scanned.sent(b"GIF89a", "roll.pdf"), "revision": "B7"}
    answer = signed_in.post(where(sheet, "scans/"), sent)
    assert answer.status_code == 422
    assert "send a PDF, PNG, JPEG or TIFF" in answer.text
    assert 'value="B7"' in answer.text


def test_the_page_shows_the_picture_and_the_pages_to_choose(signed_in: Client, sheet: Any, drawing: Drawing) -> None:
    text = signed_in.get(where(sheet, "?page=2")).text
    assert f'href="{picture(drawing, 2)}"' in text
    assert 'viewBox="0 0 1600 1131"' in text
    assert f'src="{picture(drawing, 1, "small")}"' in text
    assert "being made" not in text
    assert "Bought drawings are somebody's property." in text


@pytest.mark.parametrize("asked", ["?page=9", "?page=x", "?page=-1", "?scan=99999", "?scan=%00&page=0"])
def test_a_page_that_is_not_there_shows_one_that_is(
    signed_in: Client, sheet: Any, drawing: Drawing, asked: str
) -> None:
    answer = signed_in.get(where(sheet, asked))
    assert answer.status_code == 200
    assert "viewBox" in answer.text


def test_a_refused_file_says_why_on_its_page(signed_in: Client, sheet: Any) -> None:
    drawing = add_drawing(sheet=sheet, upload=scanned.sent(scanned.locked_pdf()), by=None)
    list(make_pictures(drawing.pk))
    text = signed_in.get(where(sheet)).text
    assert "The file has a password." in text
    assert f"/scans/{drawing.pk}/file/" in text


def test_pictures_that_were_lost_are_asked_for_again(signed_in: Client, sheet: Any, drawing: Drawing) -> None:
    for file in folder_for(str(drawing.file.name)).iterdir():
        file.unlink()
    assert 'id="progress"' in signed_in.get(where(sheet)).text


def test_pictures_and_files_are_for_those_who_are_signed_in(
    client: Client, signed_in: Client, sheet: Any, drawing: Drawing
) -> None:
    onlooker = Client()
    user = add_builder(username="guest", password="swarf under the chuck", role="onlooker")
    onlooker.force_login(user, backend="builds.permissions.PeopleBackend")
    for address in (picture(drawing), f"/builds/{sheet.build.slug}/scans/{drawing.pk}/file/"):
        for one in (signed_in, onlooker):
            answer = one.get(address)
            assert b"".join(answer.streaming_content)
            assert answer.status_code == 200
            assert "private" in answer.headers["Cache-Control"]
        assert Client().get(address).headers["Location"].startswith("/sign-in/")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="roll 3.pdf"'


def test_no_other_address_gives_a_drawing_out(signed_in: Client, sheet: Any, drawing: Drawing) -> None:
    assert signed_in.get(f"/photos/{drawing.file.name}").status_code == 404
    assert signed_in.get(picture(drawing, 1, "..")).status_code == 404
    assert signed_in.get(picture(drawing, 7)).status_code == 404
    other = factories.make_build("Another")
    assert signed_in.get(picture(drawing).replace(sheet.build.slug, other.slug)).status_code == 404


def test_a_remark_is_put_at_its_place(signed_in: Client, sheet: Any, drawing: Drawing) -> None:
    sent = {"drawing_says": "12 mm", "we_made": "12.5 mm", "noted_on": "2026-11-20", "page": "2"}
    answer = signed_in.post(where(sheet, "?page=2"), {**sent, "across_percent": "25", "down_percent": "50"})
    remark = Remark.objects.get()
    assert (remark.page, remark.across, remark.down, remark.by.name) == (2, 0.25, 0.5, "ada")
    assert answer.headers["Location"] == where(sheet, f"?page=2#remark-{remark.pk}")
    text = signed_in.get(where(sheet, "?page=2")).text
    assert 'data-at="400 566"' in text
    assert "on page 2" in text
    assert 'data-at="' not in signed_in.get(where(sheet)).text


def test_a_remark_needs_no_place(signed_in: Client, sheet: Any, drawing: Drawing) -> None:
    signed_in.post(where(sheet), {"drawing_says": "12", "we_made": "12.5", "page": "1"})
    remark = Remark.objects.get()
    assert (remark.page, remark.across, remark.down) == (None, None, None)


@pytest.mark.parametrize(
    ("across", "down", "told"),
    [
        ("25", "", "A place wants both figures"),
        ("140", "5", "Give at most 100"),
        ("left", "5", "Give a number"),
    ],
)
def test_a_place_that_is_none_is_refused_beside_what_was_typed(
    signed_in: Client, sheet: Any, drawing: Drawing, across: str, down: str, told: str
) -> None:
    sent = {"drawing_says": "bore 12 H7", "we_made": "12.5", "page": "1"}
    answer = signed_in.post(where(sheet), {**sent, "across_percent": across, "down_percent": down})
    assert answer.status_code == 422
    assert told in answer.text
    assert 'value="bore 12 H7"' in answer.text
    assert not Remark.objects.exists()


def test_a_pinned_remark_can_be_undone_and_edited_where_it_stands(
    signed_in: Client, sheet: Any, drawing: Drawing
) -> None:
    sent = {"drawing_says": "12", "we_made": "12.5", "page": "1", "across_percent": "10", "down_percent": "20"}
    signed_in.post(where(sheet), sent)
    remark = Remark.objects.get()
    edit = f"/builds/{sheet.build.slug}/remarks/{remark.pk}/edit/"
    signed_in.post(edit, {"sheet": sheet.pk, "drawing_says": "12", "we_made": "12.6"})
    remark.refresh_from_db()
    assert (remark.we_made, remark.page, remark.across) == ("12.6", 1, 0.1)
    undo(event=Event.objects.latest("pk"), by=None)
    remark.refresh_from_db()
    assert (remark.we_made, remark.down, remark.by.name) == ("12.5", 0.2, "ada")


def test_a_remark_from_the_list_says_who_made_it(signed_in: Client, sheet: Any) -> None:
    sent = {"sheet": sheet.pk, "drawing_says": "12", "we_made": "12.5"}
    signed_in.post(f"/builds/{sheet.build.slug}/remarks/", sent)
    assert Remark.objects.get().by.name == "ada"


def test_a_scan_is_renamed_and_removed(signed_in: Client, sheet: Any, drawing: Drawing) -> None:
    edit = f"/builds/{sheet.build.slug}/scans/{drawing.pk}/edit/"
    signed_in.post(edit, {"revision": "C"})
    drawing.refresh_from_db()
    assert (drawing.revision, drawing.state, drawing.pages) == ("C", "ready", 2)
    answer = signed_in.post(edit.replace("edit", "remove"), follow=True)
    assert "The scan is removed." in answer.text
    assert not Drawing.objects.exists()


def test_the_newest_scan_is_shown_and_earlier_ones_can_be(signed_in: Client, sheet: Any, drawing: Drawing) -> None:
    newer = add_drawing(sheet=sheet, upload=scanned.sent(scanned.pdf()), by=None, revision="C")
    list(make_pictures(newer.pk))
    assert picture(newer) in signed_in.get(where(sheet)).text
    assert picture(drawing) in signed_in.get(where(sheet, f"?scan={drawing.pk}")).text


def test_a_sheet_with_much_on_it_is_read_in_as_many_queries(signed_in: Client, sheet: Any, drawing: Drawing) -> None:
    def many(number: int) -> None:
        for one in range(number):
            remark = {"drawing_says": f"{one}", "we_made": "x", "page": 1, "across": 0.5, "down": 0.5}
            Remark.objects.create(sheet=sheet, by=None, noted_on=date(2026, 11, 1), **remark)
            factories.make_part(sheet.build, f"{number}-{one}", sheet=sheet)
            Drawing.objects.create(sheet=sheet, file=drawing.file, pages=2, state="ready")

    many(1)
    with CaptureQueriesContext(connection) as few:
        signed_in.get(where(sheet))
    many(8)
    with CaptureQueriesContext(connection) as more:
        signed_in.get(where(sheet))
    assert len(more) == len(few) <= 10


def test_a_part_its_work_and_the_bench_lead_to_the_drawing(signed_in: Client, sheet: Any) -> None:
    part = factories.make_part(sheet.build, sheet=sheet)
    operation = part.operations.get()
    for page in (f"parts/{part.pk}/", f"operations/{operation.pk}/work-out/", "bench/", "sheets/"):
        assert where(sheet) in signed_in.get(f"/builds/{sheet.build.slug}/{page}").text, page


def test_the_board_gives_no_drawing_out(client: Client, sheet: Any, drawing: Drawing) -> None:
    sheet.build.on_board = True
    sheet.build.save()
    answer = client.get(f"/board/{sheet.build.slug}/")
    assert answer.status_code == 200
    assert "/scans/" not in answer.text
    assert "roll 3" not in answer.text
