"""A build that goes to another shop: what would come in, and what its people are called there."""

from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from builds.models import Build, Builder, Entry, Event
from builds.models.choices import EventType
from tests import factories


@pytest.fixture
def file(db: None, data_dir: Path, tmp_path: Path) -> Path:
    """The record of a build that two people worked on, which is not here any more."""
    build = factories.make_build()
    part = factories.make_part(build)
    for name, minutes in (("Ada", 60), ("Ada", 90), ("Old Tom", 30)):
        factories.make_entry(build, part=part, minutes=minutes, builder=factories.make_builder(name))
    written = tmp_path / "beam.json"
    call_command("export_record", build.slug, str(written), stdout=StringIO())
    Entry.objects.all().delete()
    Build.objects.all().delete()
    Builder.objects.filter(name="Old Tom").delete()
    return written


def said(*options: Any) -> str:
    out = StringIO()
    call_command("import_record", *map(str, options), stdout=out)
    return out.getvalue()


def test_what_would_come_in_is_said_and_nothing_is_written(file: Path) -> None:
    before = Event.objects.count()
    text = said(file, "--check")
    assert "would take in Beam engine as beam-engine: 1 part, 1 operation, 3 entries" in text
    assert "Ada: 2 entries (known here)" in text
    assert "Old Tom: 1 entry (a new name, who does not sign in)" in text
    assert not Build.objects.exists()
    assert not Builder.objects.filter(name="Old Tom").exists()
    assert Event.objects.count() == before


def test_people_are_called_as_they_are_here_or_left_out(file: Path) -> None:
    said(file, "--person", "Ada=Countess", "--person", "Old Tom=")
    logged = [(entry.builder and entry.builder.name, entry.bench_minutes) for entry in Entry.objects.order_by("pk")]
    assert logged == [("Countess", 60), ("Countess", 90), (None, 30)]
    assert not Builder.objects.filter(name="Old Tom").exists()


@pytest.mark.parametrize(("person", "why"), [("Nobody=Ada", "Known: Ada, Old Tom"), ("Ada", "NAME=HERE")])
def test_a_name_that_is_not_there_is_refused_and_nothing_comes_in(file: Path, person: str, why: str) -> None:
    with pytest.raises(CommandError, match=why):
        said(file, "--person", person)
    assert not Build.objects.exists()


def test_that_a_record_was_written_out_is_kept(file: Path) -> None:
    assert Event.objects.filter(type=EventType.HAND_OVER, details={"name": "Beam engine"}).exists()
