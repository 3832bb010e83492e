"""A record file out: one whole build, in an order that stays the same as long as nothing changes.

What is optional and stands at its default is left out. Entries that were removed, running clocks and who may sign in
are no part of a record.
"""

import base64
import json
from collections import defaultdict
from collections.abc import Iterable
from pathlib import PurePosixPath
from typing import Any

from builds.models import Batch, Build, Entry, Machine, Material, Part, Photo
from builds.transfer.plain_values import plain, some
from builds.transfer.plan_out import (
    batch_out,
    build_out,
    closure_out,
    machine_out,
    material_out,
    milestone_out,
    part_out,
    sheet_out,
)
from builds.transfer.record_in import FORMAT, VERSION


def export_text(build: Build) -> str:
    """The record of a build as the text of its file."""
    return json.dumps(export_record(build), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def export_record(build: Build) -> dict[str, Any]:
    """The record of a build as plain data, which `import_record` takes in again."""
    parts = list(
        build.parts.select_related("assembly", "sheet", "material").prefetch_related("operations__machine", "sizes")
    )
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
        "build": build_out(build),
        "machines": [machine_out(m) for m in _by_name({*build.machines.all(), *_machines_of(parts)})],
        "materials": [material_out(m) for m in _by_name({*build.materials.all(), *_materials_of(parts)})],
        "assemblies": [{"name": a.name, "parent": a.parent.name if a.parent else None} for a in assemblies],
        "sheets": [sheet_out(s) for s in build.sheets.prefetch_related("remarks").order_by("pk")],
        "parts": [part_out(part) for part in parts],
        "batches": [batch_out(part, batch) for part in parts for batch in batches[part.pk]],
        "closures": [closure_out(closure) for closure in build.closures.order_by("from_on", "pk")],
        "milestones": [milestone_out(m) for m in build.milestones.prefetch_related("parts", "assemblies")],
        "entries": [_entry(entry, single) for entry, single in _with_single_routes(entries, parts)],
        **some({"photos": ([_photo(p, n) for n, p in enumerate(photos, start=1)], [])}),
    }


def _by_name(rows: Iterable[Any]) -> list[Any]:
    return sorted(rows, key=lambda row: row.name)


def _machines_of(parts: Iterable[Part]) -> set[Machine]:
    return {o.machine for part in parts for o in part.operations.all() if o.machine is not None}


def _materials_of(parts: Iterable[Part]) -> set[Material]:
    return {part.material for part in parts if part.material is not None}


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
        "date": plain(entry.worked_on),
        **some({"since": (entry.since_on, None), "builder": (entry.builder.name if entry.builder else None, None)}),
        **where,
        "bench_minutes": entry.bench_minutes,
        **some(
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
        **some(
            {
                "part": (photo.part.number if photo.part else None, None),
                "entry": (entry.token if entry else None, None),
                "taken_on": (photo.taken_on, None),
            }
        ),
        "content": base64.b64encode(content).decode("ascii"),
    }
