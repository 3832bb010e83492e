"""A record file in: one whole build, or nothing at all and a sentence that says why."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from django.db import transaction
from pydantic import ValidationError

from builds.models import Build, Builder
from builds.models.choices import EventType
from builds.services.changes import change
from builds.services.plan.records import free_slug
from builds.transfer.complaints import RecordError, known, quoted
from builds.transfer.files import read_bytes
from builds.transfer.record.data import plain_data
from builds.transfer.record.intake import Intake, made
from builds.transfer.record.measurements import take_measurements
from builds.transfer.record.photos import take_files
from builds.transfer.record.refusals import refusal_of
from builds.transfer.record.schema import Record
from calcs.messages import _

MOST_MEGABYTES = 256
# Ten times what a build of twenty years holds.
MOST_VALUES = 1_000_000


@dataclass(frozen=True)
class Imported:
    """A build that was taken in, and what a builder should know of how it was."""

    build: Build
    parts: int
    operations: int
    entries: int
    photos: int
    people: tuple[tuple[str, int], ...] = ()
    """Whose names stand in the log, as they are called here, and in how many entries."""
    notes: tuple[str, ...] = ()


def load_record(source: Path | bytes | str) -> Any:
    """Read a record file, or what stands in one, as plain data. Raises RecordError with a sentence."""
    try:
        text = _text_of(source)
    except UnicodeDecodeError as error:
        raise RecordError("", _("The file is not a record: it is not text in UTF-8.")) from error
    except ValueError as error:
        raise RecordError("", str(error)) from error
    if not text.strip():
        raise RecordError("", _("The file is empty."))
    return plain_data(text)


def _text_of(source: Path | bytes | str) -> str:
    if isinstance(source, str):
        return source.removeprefix("\ufeff")
    content = read_bytes(source, MOST_MEGABYTES) if isinstance(source, Path) else source
    # A picture is one long value. What takes memory, thirty times its own length, is many small ones.
    if sum(content.count(sign) for sign in (b",", b"{", b"[")) > MOST_VALUES:
        raise ValueError(_("This file holds more than {most:,} values: too many to be taken in.", most=MOST_VALUES))
    return content.decode("utf-8-sig")


def import_record(
    data: Any,
    *,
    by: Builder | None = None,
    name: str | None = None,
    people: Mapping[str, str | None] | None = None,
    only_look: bool = False,
    shift_days: int = 0,
    today: date,
) -> Imported:
    """Take a build in from what `load_record` gave.

    name: what the build is to be called here, instead of the name that the file gives it.
    people: what the file's people are called here; None leaves a name out, and its entries are nobody's.
    only_look: check all but the pictures and say what would come in, and write nothing.
    shift_days: how many days later everything is to have happened; negative ones are earlier.
    Raises RecordError, whose message begins with the path of the field, and writes nothing then.
    """
    try:
        record = Record.model_validate(data, context={"shift": timedelta(days=shift_days)})
    except ValidationError as error:
        raise refusal_of(error) from error
    _rename(record, people or {})
    with transaction.atomic():
        build = _new_build(record, name)
        details = {"name": build.name, "parts": len(record.parts), "entries": len(record.entries)}
        with change(build=build, by=by, type=EventType.IMPORT_RECORD, details=details, undoable=False) as event:
            intake = Intake(build, event, today)
            intake.take(record, data.get("entries") or ())
            if not only_look:
                take_measurements(intake, record.measurements)
                take_files(intake, record)
        transaction.set_rollback(only_look)
    return Imported(
        build=build,
        parts=len(record.parts),
        operations=sum(len(part.operations) for part in record.parts),
        entries=len(record.entries),
        photos=len(record.photos),
        people=tuple(sorted(Counter(entry.builder for entry in record.entries if entry.builder).items())),
        notes=tuple(intake.notes),
    )


def _rename(record: Record, people: Mapping[str, str | None]) -> None:
    """Raises RecordError for a name that the file does not have."""
    remarks = [remark for sheet in record.sheets for remark in sheet.remarks]
    there = {name for name in [*(entry.builder for entry in record.entries), *(one.by for one in remarks)] if name}
    for called in people.keys() - there:
        sentence = _(
            "{name} is not in the log of this record. Known: {known}.", name=quoted(called), known=known(sorted(there))
        )
        raise RecordError("entries", sentence)
    for entry in record.entries:
        if entry.builder in people:
            entry.builder = people[entry.builder]
    for remark in remarks:
        remark.by = people.get(remark.by, remark.by) if remark.by else None


def _new_build(record: Record, name: str | None) -> Build:
    called = record.build.name if name is None else name
    if Build.objects.filter(name__iexact=called).exists():
        sentence = _(
            "There is a build called {name} already. Take this one in under another name with --as NAME.",
            name=quoted(called),
        )
        raise RecordError("build.name", sentence)
    build = made(Build, record.build, name=called, slug=free_slug(called))
    build.save()
    return build
