"""A record file out: one whole build, in an order that stays the same as long as nothing changes."""

import base64
import json
from collections.abc import Collection, Iterable, Iterator
from pathlib import PurePosixPath
from typing import Any, TypeVar

from django.db import models

from builds.models import Batch, Build, Entry, Part
from builds.transfer.record import schema
from builds.transfer.record.row import Row

R = TypeVar("R", bound=Row)


def export_text(build: Build) -> str:
    """The record of a build as the text of its file."""
    return json.dumps(export_record(build), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def export_record(build: Build) -> dict[str, Any]:
    """The record of a build as plain data, which `import_record` takes in again."""
    parts = list(
        build.parts.select_related("assembly", "sheet", "material").prefetch_related("operations__machine", "sizes")
    )
    entries = (
        Entry.objects.kept().filter(build=build).select_related("builder", "operation", "batch", "part")
        .order_by("worked_on", "pk")
    )  # fmt: skip
    batches = (
        Batch.objects.filter(part__build=build).select_related("part")
        .order_by("part__position", "part__pk", "number")
    )  # fmt: skip
    single = {part.pk for part in parts if len(part.operations.all()) == 1}
    machines = {operation.machine for part in parts for operation in part.operations.all()}
    record = schema.Record.model_construct(
        format=schema.FORMAT,
        version=schema.VERSION,
        build=said(schema.Build, build),
        machines=all_said(schema.Machine, _by_name({*build.machines.all(), *machines})),
        materials=all_said(schema.Material, _by_name({*build.materials.all(), *(part.material for part in parts)})),
        assemblies=all_said(schema.Assembly, build.assemblies.select_related("parent")),
        sheets=[
            said(schema.Sheet, sheet, remarks=all_said(schema.Remark, sheet.remarks.all()))
            for sheet in build.sheets.prefetch_related("remarks").order_by("pk")
        ],
        parts=[_part(part) for part in parts],
        batches=all_said(schema.Batch, batches),
        closures=all_said(schema.Closure, build.closures.order_by("from_on", "pk")),
        milestones=[
            said(schema.Milestone, m, parts=_keys(m.parts), assemblies=_keys(m.assemblies))
            for m in build.milestones.prefetch_related("parts", "assemblies")
        ],
        entries=[_entry(entry, single) for entry in entries],
        photos=list(_photos(build)),
    )
    return record.model_dump(mode="json", by_alias=True, exclude_unset=True)


def said(kind: type[R], record: models.Model, without: Collection[str] = (), **more: Any) -> R:
    """What a row says of a record: its columns, what it points at by number or name, and `more`."""
    columns = {n: _key(getattr(record, n)) for n in kind.model_fields if n not in more and n not in without}
    return kind.model_construct(**columns, **more)


def all_said(kind: type[R], records: Iterable[models.Model]) -> list[R]:
    return [said(kind, record) for record in records]


def _key(value: Any) -> Any:
    """What a reference to a record says: its token, its number or its name, whichever it has."""
    if not isinstance(value, models.Model):
        return value
    return getattr(value, next(name for name in ("token", "number", "name") if hasattr(value, name)))


def _keys(records: Iterable[models.Model]) -> list[str]:
    return [_key(record) for record in records]


def _keys(records: "models.Manager[Any]") -> list[str]:
    return [_key(record) for record in records.all()]


def _by_name(rows: Iterable[Any]) -> list[Any]:
    return sorted((row for row in rows if row is not None), key=lambda row: row.name)


def _part(part: Part) -> schema.Part:
    operations = all_said(schema.Operation, part.operations.all())
    return said(schema.Part, part, sizes=all_said(schema.Size, part.sizes.all()), operations=operations)


def _entry(entry: Entry, single: set[int]) -> schema.Entry:
    # Left out on a route of one operation, it would be taken for that one; so there "none" is said aloud.
    unsaid = entry.operation_id is None and entry.part_id not in single
    return said(schema.Entry, entry, without=("operation",) if unsaid else ())


def _photos(build: Build) -> Iterator[schema.Photo]:
    for place, photo in enumerate(build.photos.select_related("part", "entry").order_by("pk"), start=1):
        with photo.image.open("rb") as file:
            content = base64.b64encode(file.read()).decode("ascii")
        entry = photo.entry if photo.entry is not None and photo.entry.removed_at is None else None
        name = f"photo-{place:03}{PurePosixPath(str(photo.image.name)).suffix}"
        yield said(schema.Photo, photo, name=name, content=content, entry=_key(entry))
