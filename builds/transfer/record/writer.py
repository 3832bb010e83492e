"""A record file out: one whole build, in an order that stays the same as long as nothing changes.

Each table is read at once and written column by column, for most columns of a log hold few different values: a value is
turned into text once, however often it stands there.
"""

import base64
import json
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from pathlib import PurePosixPath
from typing import Any

from django.db.models import QuerySet
from django.db.models.fields.files import FieldFile
from pydantic.fields import FieldInfo

from builds.models import (
    Batch,
    Build,
    Builder,
    Drawing,
    Entry,
    Exhibit,
    Instrument,
    Machine,
    Material,
    Measurement,
    Need,
    Offer,
    Operation,
    Remark,
    Size,
    Stock,
)  # fmt: skip
from builds.models.choices import Role
from builds.transfer.record import allowed, schema, sheets
from builds.transfer.record.fields import written
from builds.transfer.record.intake import columns_of
from builds.transfer.record.row import Row

# A table by its columns, each as long as the others.
Columns = dict[str, Sequence[Any]]

UNSAID = object()
"""Where a row says nothing in a field, not even null."""

_encode = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode


def export_text(build: Build, *, photos: bool = True) -> str:
    """The record of a build as the text of its file: a record a line. photos: whether they and the scans are in it."""
    sections: dict[str, Any] = {"format": schema.FORMAT, "version": schema.VERSION, **_sections(build, photos)}
    said = (_texts(schema.Record, name, [sections[name]], indent=" ")[0] for name in schema.Record.model_fields)
    return "{\n " + ",\n ".join(filter(None, said)) + "\n}\n"


def export_record(build: Build) -> dict[str, Any]:
    """The record of a build as plain data, which `import_record` takes in again."""
    record: dict[str, Any] = json.loads(export_text(build))
    return record


def _sections(build: Build, photos: bool) -> dict[str, Any]:
    names = _names(build)
    operations = Operation.objects.filter(part__build=build)
    used = operations.exclude(machine=None).order_by().values_list("machine", flat=True).distinct()
    machines = {*build.machines.values_list("pk", flat=True), *used}
    bought = build.parts.exclude(material=None).order_by().values_list("material", flat=True).distinct()
    materials = {*build.materials.values_list("pk", flat=True), *bought}
    batches = Batch.objects.filter(part__build=build).order_by("part__position", "part__pk", "number")
    routes = _routes(operations, names)
    return {
        "build": _lines(schema.Build, _read(schema.Build, Build.objects.filter(pk=build.pk)))[0],
        "machines": _by_name(schema.Machine, Machine.objects.filter(pk__in=machines)),
        "materials": _by_name(schema.Material, Material.objects.filter(pk__in=materials)),
        "stock": _of_sections(schema.Stock, Stock.objects.filter(material__in=materials), names),
        "offers": _of_sections(schema.Offer, Offer.objects.filter(material__in=materials), names),
        "instruments": _by_name(schema.Instrument, _instruments(build)),
        "assemblies": _lines(schema.Assembly, _read(schema.Assembly, build.assemblies.all(), names)),
        "sheets": _sheets(build, names, photos),
        "parts": _parts(build, names, routes),
        "batches": _lines(schema.Batch, _read(schema.Batch, batches, names)),
        "closures": _lines(schema.Closure, _read(schema.Closure, build.closures.order_by("from_on", "pk"))),
        "milestones": _milestones(build),
        "entries": _entries(build, names, {names["part"][part] for part, route in routes.items() if len(route) == 1}),
        "measurements": _measurements(build, names),
        "exhibit": next(iter(_lines(schema.Exhibit, _read(schema.Exhibit, Exhibit.objects.filter(build=build)))), None),
        "photos": _photos(build, names) if photos else [],
    }


def _names(build: Build) -> dict[str, dict[int, Any]]:
    """What a field that points at a record says of it, by the field and the record's key."""
    assemblies = dict(build.assemblies.values_list("pk", "name"))
    parts = dict(build.parts.values_list("pk", "number"))
    operations = dict(Operation.objects.filter(part__build=build).order_by().values_list("pk", "number"))
    builders = dict(Builder.objects.values_list("pk", "name"))
    return {
        "machine": dict(Machine.objects.values_list("pk", "name")),
        "material": dict(Material.objects.values_list("pk", "name")),
        "instrument": dict(Instrument.objects.values_list("pk", "name")),
        "builder": builders,
        "by": builders,
        "size": dict(Size.objects.filter(part__build=build).order_by().values_list("pk", "name")),
        "assembly": assemblies,
        "parent": assemblies,
        "sheet": dict(build.sheets.values_list("pk", "number")),
        "part": parts,
        "needed_part": parts,
        "operation": operations,
        "needed_operation": operations,
        "batch": dict(Batch.objects.filter(part__build=build).order_by().values_list("pk", "number")),
        # Only photos point at entries. One that was removed is no part of the file.
        "entry": dict(Entry.objects.kept().filter(photos__build=build).order_by().values_list("pk", "token")),
    }


def _read(
    kind: type[Row], records: "QuerySet[Any]", names: Mapping[str, Mapping[int, Any]] | None = None, *more: str
) -> Columns:
    """The columns that rows of this kind say something of, and `more`; what they point at by number or name."""
    asked = [*more, *(name for name in kind.model_fields if name in columns_of(records.model))]
    found = list(zip(*records.values_list(*asked), strict=True)) or [()] * len(asked)
    columns: Columns = dict(zip(asked, found, strict=True))
    for name in (names or {}).keys() & columns.keys():
        columns[name] = list(map(names[name].get, columns[name]))  # type: ignore[index]
    return columns


def _lines(kind: type[Row], columns: Columns) -> list[str]:
    """Each row of a table as one line; what stands inside it in rows of its own goes on lines of its own."""
    texts = [_texts(kind, name, columns[name], indent="  ") for name in kind.model_fields]
    return ["{" + ", ".join(filter(None, row)) + "}" for row in zip(*texts, strict=True)]


def _texts(kind: type[Row], name: str, values: Sequence[Any], indent: str) -> list[str]:
    """What each row says in one field, such as `"good": 3`; nothing where it is left out."""
    said = _sayer(name, kind.model_fields[name], indent if name in kind.children() else None)
    try:
        once = {value: said(value) for value in set(values)}
    except TypeError:
        return [said(value) for value in values]
    return [once[value] for value in values]


def _sayer(name: str, field: FieldInfo, indent: str | None) -> Callable[[Any], str]:
    """How one field is said. indent: of the row it stands in, where rows stand in it that are lines already."""
    key, left_out = _encode(field.alias or name), field.exclude_if

    def said(value: Any) -> str:
        if value is UNSAID or (left_out is not None and left_out(value)):
            return ""
        return f"{key}: {_encode(written(value)) if indent is None else _block(value, indent)}"

    return said


def _block(lines: str | Sequence[str], indent: str) -> str:
    if isinstance(lines, str):
        return lines
    return f"[\n{indent} " + f",\n{indent} ".join(lines) + f"\n{indent}]" if lines else "[]"


def _by_name(kind: type[Row], records: "QuerySet[Any]") -> list[str]:
    # Not by the database, for each has an order of its own.
    columns = _read(kind, records)
    return [line for name, line in sorted(zip(columns["name"], _lines(kind, columns), strict=True))]


def _of_sections(kind: type[Row], records: "QuerySet[Any]", names: Mapping[str, Mapping[int, Any]]) -> list[str]:
    """Stock in an order that hangs on nothing but what is said of it."""
    return sorted(_lines(kind, _read(kind, records.order_by(), names)))


def _inside(
    kind: type[Row], records: "QuerySet[Any]", owner: str, names: Mapping[str, Mapping[int, Any]] | None = None
) -> Mapping[int, list[str]]:
    """The rows that stand inside others, by the key of the one."""
    columns = _read(kind, records, names, owner)
    return _by_owner(columns[owner], _lines(kind, columns))


def _by_owner(owners: Sequence[int], lines: Sequence[str]) -> Mapping[int, list[str]]:
    inside: defaultdict[int, list[str]] = defaultdict(list)
    for key, line in zip(owners, lines, strict=True):
        inside[key].append(line)
    return inside


def _routes(operations: "QuerySet[Operation]", names: Mapping[str, Mapping[int, Any]]) -> Mapping[int, list[str]]:
    """The operations of each part, with what each needs first."""
    of_operation = Need.objects.filter(operation__in=operations).order_by("pk")
    needs = _inside(schema.Need, of_operation, "operation_id", names)
    columns = _read(schema.Operation, operations.order_by("number"), names, "pk", "part_id")
    return _by_owner(columns["part_id"], _lines(schema.Operation, columns | {"needs": _of_each(columns, needs)}))


def _sheets(build: Build, names: Mapping[str, Mapping[int, Any]], drawings: bool) -> list[str]:
    remarks = _inside(sheets.Remark, Remark.objects.filter(sheet__build=build).order_by("pk"), "sheet_id", names)
    columns = _read(schema.Sheet, build.sheets.order_by("pk"), None, "pk")
    scans = _drawings(build) if drawings else {}
    inside = {"remarks": remarks, "drawings": scans}
    return _lines(schema.Sheet, columns | {name: _of_each(columns, rows) for name, rows in inside.items()})


def _drawings(build: Build) -> Mapping[int, list[str]]:
    kept = Drawing.objects.filter(sheet__build=build).order_by("pk")
    columns = _read(sheets.Drawing, kept, None, "sheet_id")
    contents = [_content(drawing.file) for drawing in kept]
    return _by_owner(columns["sheet_id"], _lines(sheets.Drawing, columns | {"content": contents}))


def _parts(build: Build, names: Mapping[str, Mapping[int, Any]], routes: Mapping[int, list[str]]) -> list[str]:
    sizes = _inside(schema.Size, Size.objects.filter(part__build=build).order_by("pk"), "part_id")
    of_part = Need.objects.filter(part__build=build, operation=None).order_by("pk")
    needs = _inside(schema.Need, of_part, "part_id", names)
    columns = _read(schema.Part, build.parts.all(), names, "pk")
    # A bought part is told by its source, as in files from before there were roles: any reader takes those.
    columns["source"] = [allowed.Source.of(role) for role in columns["role"]]
    columns["role"] = ["" if role == Role.BOUGHT else role for role in columns["role"]]
    columns["place"] = _counted(columns["place"])
    inside = {"sizes": sizes, "needs": needs, "operations": routes}
    return _lines(schema.Part, columns | {name: _of_each(columns, rows) for name, rows in inside.items()})


def _counted(places: Sequence[float | None]) -> list[int | None]:
    """Places that only rise, as 1, 2 and so on; None stays None."""
    in_order = sorted((place, at) for at, place in enumerate(places) if place is not None)
    ranks = {at: rank for rank, (_place, at) in enumerate(in_order, start=1)}
    return [ranks.get(at) for at in range(len(places))]


def _of_each(columns: Columns, inside: Mapping[int, list[str]]) -> list[list[str]]:
    return [inside.get(key, []) for key in columns["pk"]]


def _milestones(build: Build) -> list[str]:
    columns = _read(schema.Milestone, build.milestones.all())
    milestones = list(build.milestones.prefetch_related("parts", "assemblies", "operations__part"))
    parts = [[part.number for part in milestone.parts.all()] for milestone in milestones]
    assemblies = [[assembly.name for assembly in milestone.assemblies.all()] for milestone in milestones]
    steps = [
        [_encode({"part": one.part.number, "operation": one.number}) for one in milestone.operations.all()]
        for milestone in milestones
    ]
    return _lines(schema.Milestone, columns | {"parts": parts, "assemblies": assemblies, "operations": steps})


def _entries(build: Build, names: Mapping[str, Mapping[int, Any]], single: set[str]) -> list[str]:
    """single: the parts with a route of one operation."""
    records = Entry.objects.kept().filter(build=build).order_by("worked_on", "pk")
    columns = _read(schema.Entry, records, names)
    at = zip(columns["part"], columns["operation"], strict=True)
    # Left out on a route of one operation, it would be taken for that one; so there "none" is said aloud.
    said = [UNSAID if operation is None and part not in single else operation for part, operation in at]
    return _lines(schema.Entry, columns | {"operation": said})


def _instruments(build: Build) -> "QuerySet[Instrument]":
    """What was measured with in a build."""
    return Instrument.objects.filter(measurements__size__part__build=build).distinct()


def _measurements(build: Build, names: Mapping[str, Mapping[int, Any]]) -> list[str]:
    records = Measurement.objects.filter(size__part__build=build).order_by("pk")
    columns = _read(schema.Measurement, records, names, "size__part")
    return _lines(schema.Measurement, columns | {"part": [names["part"][key] for key in columns["size__part"]]})


def _photos(build: Build, names: Mapping[str, Mapping[int, Any]]) -> list[str]:
    columns = _read(schema.Photo, build.photos.order_by("pk"), names)
    photos = list(build.photos.order_by("pk"))
    called = [f"photo-{n:03}{PurePosixPath(str(photo.image.name)).suffix}" for n, photo in enumerate(photos, start=1)]
    return _lines(schema.Photo, columns | {"name": called, "content": [_content(photo.image) for photo in photos]})


def _content(kept: FieldFile) -> str:
    with kept.open("rb") as file:
        return base64.b64encode(file.read()).decode("ascii")
