"""A record file in: one whole build, or nothing at all and a sentence that says why."""

import json
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
from builds.transfer.complaints import RecordError, quoted
from builds.transfer.files import read_bytes
from builds.transfer.record.intake import Intake, made
from builds.transfer.record.photos import take_photos
from builds.transfer.record.refusals import refusal_of
from builds.transfer.record.schema import Record
from calcs.messages import _

MOST_MEGABYTES = 256


@dataclass(frozen=True)
class Imported:
    """A build that was taken in, and what a builder should know of how it was."""

    build: Build
    parts: int
    operations: int
    entries: int
    photos: int
    notes: tuple[str, ...] = ()


def load_record(source: Path | bytes | str) -> Any:
    """Read a record file, or what stands in one, as plain data. Raises RecordError with a sentence."""
    try:
        content = read_bytes(source, MOST_MEGABYTES) if isinstance(source, Path) else source
        text = content.removeprefix("\ufeff") if isinstance(content, str) else content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise RecordError("", _("The file is not a record: it is not text in UTF-8.")) from error
    except ValueError as error:
        raise RecordError("", str(error)) from error
    if not text.strip():
        raise RecordError("", _("The file is empty."))
    try:
        return json.loads(text, object_pairs_hook=_once_each, parse_constant=_no_number)
    except RecursionError as error:
        sentence = _("The file is not a record: its brackets stand too deep inside one another.")
        raise RecordError("", sentence) from error
    except RecordError:
        raise
    except ValueError as error:
        what: object = error
        if isinstance(error, json.JSONDecodeError):
            what = _("line {line}, column {column}: {why}", line=error.lineno, column=error.colno, why=error.msg)
        raise RecordError("", _("The file is not a record: it is not JSON ({what}).", what=what)) from error


def import_record(
    data: Any, *, by: Builder | None = None, name: str | None = None, shift_days: int = 0, today: date
) -> Imported:
    """Take a build in from what `load_record` gave.

    name: what the build is to be called here, instead of the name that the file gives it.
    shift_days: how many days later everything is to have happened; negative ones are earlier.
    Raises RecordError, whose message begins with the path of the field, and writes nothing then.
    """
    try:
        record = Record.model_validate(data, context={"shift": timedelta(days=shift_days)})
    except ValidationError as error:
        raise refusal_of(error) from error
    with transaction.atomic():
        build = _new_build(record, name)
        details = {"name": build.name, "parts": len(record.parts), "entries": len(record.entries)}
        with change(build=build, by=by, type=EventType.IMPORT_RECORD, details=details, undoable=False) as event:
            intake = Intake(build, event, today)
            intake.take(record, data.get("entries") or ())
            take_photos(intake, record.photos)
    return Imported(
        build=build,
        parts=len(record.parts),
        operations=sum(len(part.operations) for part in record.parts),
        entries=len(record.entries),
        photos=len(record.photos),
        notes=tuple(intake.notes),
    )


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


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, value in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        sentence = _(
            "The field {name} stands twice in one object, so one of the two would be lost.", name=quoted(twice)
        )
        raise RecordError("", sentence)
    return found


def _no_number(constant: str) -> None:
    sentence = _(
        "{constant} is no number that a record can hold; leave the field out if it is not known.", constant=constant
    )
    raise RecordError("", sentence)
