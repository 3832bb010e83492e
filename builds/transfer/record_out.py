"""A record file out: one whole build, in an order that stays the same as long as nothing changes.

What is optional and stands at its default is left out. Entries that were removed, running clocks and who may sign in
are no part of a record.
"""

import base64
import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import PurePosixPath
from typing import Any

from builds.models import (
    Assembly,
    Batch,
    Build,
    Closure,
    Entry,
    Machine,
    Material,
    Milestone,
    Operation,
    Part,
    Photo,
    Sheet,
)
from builds.models.build import every_activity
from builds.transfer.record_in import FORMAT, VERSION


def export_text(build: Build) -> str:
    """The record of a build as the text of its file."""
    return json.dumps(export_record(build), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def export_record(build: Build) -> dict[str, Any]:
    """The record of a build as plain data, which `import_record` takes in again."""
    parts = list(build.parts.select_related("assembly", "sheet", "material").prefetch_related("operations__machine"))
    entries = list(
        Entry.objects.kept().filter(build=build).select_related("builder", "operation", "batch", "part")
        .order_by("worked_on", "pk")
    )  # fmt: skip
    batches: dict[int, list[Batch]] = defaultdict(list)
    for batch in Batch.objects.filter(part__build=build).order_by("number"):
        batches[batch.part_id].append(batch)
    photos = build.photos.select_related("part", "entry").order_by("pk")
    assemblies = build.assemblies.select_related("parent")
    return {
        "format": FORMAT,
        "version": VERSION,
        "build": _build(build),
        "machines": [_machine(m) for m in _by_name({*build.machines.all(), *_machines_of(parts)})],
        "materials": [_material(m) for m in _by_name({*build.materials.all(), *_materials_of(parts)})],
        "assemblies": [{"name": a.name, "parent": a.parent.name if a.parent else None} for a in assemblies],
        "sheets": [_sheet(s) for s in build.sheets.prefetch_related("remarks").order_by("pk")],
        "parts": [_part(part) for part in parts],
        "batches": [_batch(part, batch) for part in parts for batch in batches[part.pk]],
        "closures": [_closure(closure) for closure in build.closures.order_by("from_on", "pk")],
        "milestones": [_milestone(m) for m in build.milestones.prefetch_related("parts", "assemblies")],
        "entries": [_entry(entry, single) for entry, single in _with_single_routes(entries, parts)],
        **_some({"photos": ([_photo(p, n) for n, p in enumerate(photos, start=1)], [])}),
    }


def _some(optional: Mapping[str, tuple[Any, Any]]) -> dict[str, Any]:
    """Of fields with a value and its default each, those that differ from it."""
    return {name: _plain(value) for name, (value, default) in optional.items() if value != default}


def _plain(value: Any) -> Any:
    """Dates as text; whole numbers without a needless ".0"."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value


def _by_name(rows: Iterable[Any]) -> list[Any]:
    return sorted(rows, key=lambda row: row.name)


def _machines_of(parts: Iterable[Part]) -> set[Machine]:
    return {o.machine for part in parts for o in part.operations.all() if o.machine is not None}


def _materials_of(parts: Iterable[Part]) -> set[Material]:
    return {part.material for part in parts if part.material is not None}


def _build(build: Build) -> dict[str, Any]:
    return {
        "name": build.name,
        "subject": build.subject,
        "scale": build.scale,
        "units": build.units,
        "started_on": _plain(build.started_on),
        "wished_finish_on": _plain(build.wished_finish_on),
        **_some(
            {
                "state": (build.state, "active"),
                "on_board": (build.on_board, False),
                "date_on_board": (build.date_on_board, True),
                "for_visitors": (build.for_visitors, ""),
                "activities_counted": (build.activities_counted, every_activity()),
            }
        ),
    }


def _machine(machine: Machine) -> dict[str, Any]:
    return {
        "name": machine.name,
        "kind": machine.kind,
        **_some(
            {
                "speeds": ([_plain(speed) for speed in machine.speeds], []),
                "speed_low": (machine.speed_low, None),
                "speed_high": (machine.speed_high, None),
                "power_watts": (machine.power_watts, None),
                "note": (machine.note, ""),
            }
        ),
    }


def _material(material: Material) -> dict[str, Any]:
    return {
        "name": material.name,
        **_some(
            {
                "density": (material.density, None),
                "cutting_speed": (material.cutting_speed, None),
                "cutting_speed_carbide": (material.cutting_speed_carbide, None),
                "note": (material.note, ""),
            }
        ),
    }


def _sheet(sheet: Sheet) -> dict[str, Any]:
    remarks = [
        {"drawing_says": r.drawing_says, "we_made": r.we_made, "noted_on": _plain(r.noted_on)}
        for r in sheet.remarks.all()
    ]
    return {
        "number": sheet.number,
        "title": sheet.title,
        "revision": sheet.revision,
        **_some({"remarks": (remarks, [])}),
    }


def _part(part: Part) -> dict[str, Any]:
    optional = {
        "source": (part.source, "made"),
        "for_visitors": (part.for_visitors, ""),
        "note": (part.note, ""),
        "blank": (part.blank, ""),
        "finished_mass_grams": (part.finished_mass_grams, None),
        "finished_on": (part.finished_on, None),
        "waiting_for": (part.waiting_for, ""),
        "waiting_since": (part.waiting_since_on, None),
        "waiting_note": (part.waiting_note, ""),
    }
    return {
        "number": part.number,
        "name": part.name,
        "assembly": part.assembly.name if part.assembly else None,
        "sheet": part.sheet.number if part.sheet else None,
        "quantity": part.quantity,
        "spares": part.spares,
        "material": part.material.name if part.material else None,
        **_some(optional),
        "operations": [_operation(o) for o in sorted(part.operations.all(), key=lambda o: o.number)],
    }


def _operation(operation: Operation) -> dict[str, Any]:
    return {
        "number": operation.number,
        "kind": operation.kind,
        "title": operation.title,
        "setup_minutes": _plain(operation.setup_minutes),
        "basis": operation.basis,
        "amount": _plain(operation.amount),
        "minutes_per_unit": _plain(operation.minutes_per_unit),
        "unattended_share": _plain(operation.unattended_share),
        **_some(
            {
                "origin": (operation.origin, "by hand"),
                "machine": (operation.machine.name if operation.machine else None, None),
                "note": (operation.note, ""),
                "added_on": (operation.added_on, None),
            }
        ),
    }


def _batch(part: Part, batch: Batch) -> dict[str, Any]:
    return {
        "part": part.number,
        "number": batch.number,
        "blanks": batch.blanks,
        "started_on": _plain(batch.started_on),
        **_some({"note": (batch.note, "")}),
    }


def _closure(closure: Closure) -> dict[str, Any]:
    return {
        "from": _plain(closure.from_on),
        "to": _plain(closure.to_on),
        "reason": closure.reason,
        **_some({"hours_per_week": (closure.hours_per_week, 0)}),
    }


def _milestone(milestone: Milestone) -> dict[str, Any]:
    def in_order(rows: Iterable[Part] | Iterable[Assembly]) -> list[Any]:
        return sorted(rows, key=lambda row: (row.position, row.pk))

    return {
        "name": milestone.name,
        "parts": [part.number for part in in_order(milestone.parts.all())],
        "assemblies": [assembly.name for assembly in in_order(milestone.assemblies.all())],
        **_some({"reached_on": (milestone.reached_on, None)}),
    }


def _with_single_routes(entries: Iterable[Entry], parts: Iterable[Part]) -> Iterable[tuple[Entry, bool]]:
    single = {part.pk for part in parts if len(part.operations.all()) == 1}
    return [(entry, entry.part_id in single) for entry in entries]


def _entry(entry: Entry, single_route: bool) -> dict[str, Any]:
    where: dict[str, Any] = {"activity": entry.activity}
    if entry.part is not None:
        where = {"part": entry.part.number}
        # Left out on a route of one operation, it would be taken for that one; so here "none" is said aloud.
        if entry.operation is not None or single_route:
            where["operation"] = entry.operation.number if entry.operation else None
    return {
        "date": _plain(entry.worked_on),
        **_some({"since": (entry.since_on, None), "builder": (entry.builder.name if entry.builder else None, None)}),
        **where,
        "bench_minutes": entry.bench_minutes,
        **_some(
            {
                "bench_is": (entry.bench_is, "exact"),
                "unattended_minutes": (entry.unattended_minutes, 0),
                "good": (entry.good, 0),
                "reworked": (entry.reworked, 0),
                "scrap": (entry.scrap, 0),
                "scrap_reason": (entry.scrap_reason, ""),
                "batch": (entry.batch.number if entry.batch else None, None),
                "note": (entry.note, ""),
            }
        ),
        "token": entry.token,
    }


def _photo(photo: Photo, place: int) -> dict[str, Any]:
    with photo.image.open("rb") as file:
        content = file.read()
    entry = photo.entry if photo.entry is not None and photo.entry.removed_at is None else None
    return {
        "name": f"photo-{place:03}{PurePosixPath(str(photo.image.name)).suffix}",
        "caption": photo.caption,
        **_some(
            {
                "part": (photo.part.number if photo.part else None, None),
                "entry": (entry.token if entry else None, None),
                "taken_on": (photo.taken_on, None),
            }
        ),
        "content": base64.b64encode(content).decode("ascii"),
    }
