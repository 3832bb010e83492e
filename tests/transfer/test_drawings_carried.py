"""Scans of the sheets and the places of remarks go where the build goes: record files and backups."""

import base64
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from builds.models import Builder, Drawing, Remark
from builds.transfer.complaints import RecordError
from builds.transfer.record.reader import import_record, load_record
from builds.transfer.record.writer import export_record, export_text
from tests import factories, scanned
from tests.factories import TODAY


@pytest.fixture
def sheet(db: None, data_dir: Path) -> Any:
    sheet = factories.make_sheet(factories.make_build(), "3", title="Cylinder")
    factories.make_drawing(sheet, revision="A")
    factories.make_drawing(sheet, 2, revision="B", in_book=True)
    place = {"page": 2, "across": 0.25, "down": 0.5, "by": Builder.objects.create(name="Ada")}
    Remark.objects.create(sheet=sheet, drawing_says="12", we_made="12.5", **place)
    Remark.objects.create(sheet=sheet, drawing_says="5", we_made="6")
    return sheet


def test_a_record_file_carries_scans_and_places(sheet: Any) -> None:
    text = export_text(sheet.build)
    build = import_record(load_record(text.encode()), name="Again", today=TODAY).build
    assert export_text(build).replace('"Again"', '"Beam engine"') == text
    newest = Drawing.objects.filter(sheet__build=build).first()
    assert (newest.revision, newest.in_book, newest.name, newest.state) == ("B", True, "sheet.pdf", "waiting")
    assert newest.file.read() == scanned.pdf(2)
    newest.file.close()
    pinned = Remark.objects.get(sheet__build=build, page=2)
    assert (pinned.across, pinned.down, pinned.by.name) == (0.25, 0.5, "Ada")


def test_a_record_without_photos_has_no_scans_either(sheet: Any) -> None:
    assert "content" not in export_text(sheet.build, photos=False)
    assert "12.5" in export_text(sheet.build, photos=False)


def test_a_remark_and_a_sheet_of_before_say_nothing_of_places(db: None) -> None:
    sheet = factories.make_sheet(factories.make_build(), "3")
    Remark.objects.create(sheet=sheet, drawing_says="12", we_made="12.5")
    assert export_record(sheet.build)["sheets"] == [
        {
            "number": "3", "title": "", "revision": "",
            "remarks": [{"drawing_says": "12", "we_made": "12.5", "noted_on": None}],
        }
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("where", "value", "refused"),
    [
        (("drawings", "content"), "no base64", "sheets[0].drawings[0].content: This is not base64"),
        (("drawings", "content"), base64.b64encode(b"GIF89a").decode(), "sheets[0].drawings[0].content: This file is"),
        (("remarks", "page"), None, "sheets[0].remarks[0].page: A place on a sheet"),
        (("remarks", "across"), 1.5, "sheets[0].remarks[0].across: A number from 0 to 1"),
    ],
)
def test_what_is_wrong_is_refused_with_its_path_and_leaves_no_file(
    sheet: Any, data_dir: Path, where: tuple[str, str], value: Any, refused: str
) -> None:
    record = export_record(sheet.build)
    record["sheets"][0][where[0]][0][where[1]] = value
    before = sorted((data_dir / "photos").rglob("*.pdf"))
    with pytest.raises(RecordError) as error:
        import_record(record, name="Again", today=TODAY)
    assert str(error.value).startswith(refused)
    assert sorted((data_dir / "photos").rglob("*.pdf")) == before


def test_a_person_who_only_made_remarks_can_be_called_otherwise(sheet: Any) -> None:
    import_record(export_record(sheet.build), name="Again", people={"Ada": "Ada L."}, today=TODAY)
    assert Remark.objects.filter(by__name="Ada L.").count() == 1


def test_the_command_leaves_pictures_out_on_demand_and_writes_nothing_that_cannot_be_taken_in(
    sheet: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = StringIO()
    call_command("export_record", sheet.build.slug, "--without-pictures", stdout=out)
    assert out.getvalue() == export_text(sheet.build, photos=False)
    monkeypatch.setattr("builds.management.commands.export_record.MOST_MEGABYTES", 0)
    with pytest.raises(CommandError, match="--without-pictures"):
        call_command("export_record", sheet.build.slug)
