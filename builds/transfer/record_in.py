"""A record file in: one whole build, or nothing at all and a sentence that says why."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any, TypeVar

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import models, transaction
from simple_history.utils import bulk_create_with_history

from builds.models import Assembly, Batch, Build, Builder, Closure, Entry, Event, Operation, Part, Remark, Sheet, Size
from builds.models.choices import EventType
from builds.services.changes import change
from builds.transfer.complaints import RecordError, quoted
from builds.transfer.draft import Draft
from builds.transfer.fields import Fields
from builds.transfer.read_entries import read_entries
from builds.transfer.read_photos import read_photos
from builds.transfer.read_plan import (
    read_assemblies,
    read_batches,
    read_closures,
    read_milestones,
    read_parts,
    read_sheets,
)
from builds.transfer.read_shop import read_build, read_machines, read_materials

FORMAT = "swarfbook-record"
VERSION = 1
LARGEST_FILE = 256 * 1024 * 1024

Record = TypeVar("Record", bound=models.Model)


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
    text = _decoded(_file_bytes(source) if isinstance(source, Path) else source)
    if not text.strip():
        raise RecordError("", "The file is empty.")
    try:
        return json.loads(text, object_pairs_hook=_once_each, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        what = f"line {error.lineno}, column {error.colno}: {error.msg}"
        raise RecordError("", f"The file is not a record: it is not JSON ({what}).") from error
    except RecursionError as error:
        raise RecordError("", "The file is not a record: its brackets stand too deep inside one another.") from error
    except RecordError:
        raise
    except ValueError as error:
        raise RecordError("", f"The file is not a record: it is not JSON ({error}).") from error


def import_record(
    data: Any, *, by: Builder | None = None, name: str | None = None, shift_days: int = 0, today: date
) -> Imported:
    """Take a build in from what `load_record` gave.

    name: what the build is to be called here, instead of the name that the file gives it.
    shift_days: how many days later everything is to have happened; negative ones are earlier.
    Raises RecordError, whose message begins with the path of the field, and writes nothing then.
    """
    with transaction.atomic():
        draft = _read(data, name, timedelta(days=shift_days), today)
        _save(draft, by)
    return Imported(
        build=draft.build,
        parts=len(draft.parts.by_key),
        operations=sum(len(route) for route in draft.routes.values()),
        entries=len(draft.entries),
        photos=len(draft.photos),
        notes=tuple(draft.notes),
    )


def _file_bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise RecordError("", "This is a folder, not a file.")
        if path.stat().st_size > LARGEST_FILE:
            raise RecordError("", f"This file is larger than {LARGEST_FILE // 2**20} MB, so it is no record.")
        return path.read_bytes()
    except FileNotFoundError as error:
        raise RecordError("", "There is no such file.") from error
    except (OSError, ValueError) as error:
        raise RecordError("", f"This file cannot be read: {getattr(error, 'strerror', None) or error}.") from error


def _decoded(content: bytes | str) -> str:
    if isinstance(content, str):
        return content.removeprefix("\ufeff")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise RecordError("", "The file is not a record: it is not text in UTF-8.") from error


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise RecordError("", f"The field {quoted(twice)} stands twice in one object, so one of the two would be lost.")
    return found


def _no_number(constant: str) -> None:
    raise RecordError("", f"{constant} is no number that a record can hold; leave the field out if it is not known.")


def _read(data: Any, name: str | None, shift: timedelta, today: date) -> Draft:
    file = Fields(data, "", shift)
    _check_format(file)
    draft = Draft(build=read_build(file.object("build"), name), today=today)
    if Build.objects.filter(name__iexact=draft.build.name).exists():
        raise RecordError(
            "build.name",
            f"There is a build called {quoted(draft.build.name)} already. "
            "Take this one in under another name with --as NAME.",
        )
    for read in (
        read_machines,
        read_materials,
        read_assemblies,
        read_sheets,
        read_parts,
        read_batches,
        read_closures,
        read_milestones,
        read_entries,
        read_photos,
    ):
        read(file, draft)
    file.done()
    return draft


def _check_format(file: Fields) -> None:
    said = file.raw("format")
    if said != FORMAT:
        what = "This is missing" if said is None else f"{quoted(said)} is not known"
        file.refuse("format", f'{what}. A record of a build says "format": "{FORMAT}".')
    version = file.raw("version")
    if version != VERSION or isinstance(version, bool):
        file.refuse("version", f"Version {quoted(version)} is not known here. This program reads version {VERSION}.")


def _save(draft: Draft, by: Builder | None) -> None:
    build = draft.build
    build.save()
    _save_new(draft.machines.by_key.values())
    _save_new(draft.materials.by_key.values())
    build.machines.set(draft.machines.by_key.values())
    build.materials.set(draft.materials.by_key.values())
    _save_new(draft.builders.values())
    details = {"name": build.name, "parts": len(draft.parts.by_key), "entries": len(draft.entries)}
    with change(build=build, by=by, type=EventType.IMPORT_RECORD, details=details, undoable=False) as event:
        _save_assemblies(draft, event)
        _save_all(Sheet, draft.sheets.by_key.values(), event)
        _save_all(Remark, draft.remarks, event)
        _save_all(Part, draft.parts.by_key.values(), event)
        _save_all(Operation, [o for route in draft.routes.values() for o in route], event)
        _save_all(Size, draft.sizes, event)
        _save_all(Batch, [b for of_part in draft.batches.values() for b in of_part.values()], event)
        _save_all(Closure, draft.closures, event)
        _save_all(Entry, draft.entries.values(), event)
        _save_milestones(draft)
        _save_photos(draft)


def _save_new(records: Iterable[models.Model]) -> None:
    for record in records:
        if record.pk is None:
            record.save()


def _save_all(model: type[Record], records: Iterable[Record], event: Event) -> None:
    """Save many records at once, each with the history row that a later change of it can go back to."""
    fresh: Sequence[Record] = list(records)
    if fresh:
        bulk_create_with_history(fresh, model, batch_size=500, custom_historical_attrs={"event_id": event.pk})


def _save_assemblies(draft: Draft, event: Event) -> None:
    """Those that others stand in come first."""
    waiting = list(draft.assemblies.by_key.values())
    while waiting:
        ready = [a for a in waiting if a.parent is None or a.parent.pk is not None]
        _save_all(Assembly, ready, event)
        waiting = [a for a in waiting if a.pk is None]


def _save_milestones(draft: Draft) -> None:
    for drafted in draft.milestones:
        drafted.milestone.save()
        drafted.milestone.parts.set(drafted.parts)
        drafted.milestone.assemblies.set(drafted.assemblies)


def _save_photos(draft: Draft) -> None:
    written: list[str] = []
    try:
        for drafted in draft.photos:
            drafted.photo.image.save(drafted.name, ContentFile(drafted.content), save=False)
            written.append(str(drafted.photo.image.name))
            drafted.photo.save()
    except BaseException:
        for name in written:
            default_storage.delete(name)
        raise
