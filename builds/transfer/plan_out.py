"""The rows of the plan as a record file has them. What is optional and stands at its default is left out."""

from collections.abc import Iterable
from typing import Any

from builds.models import Assembly, Batch, Build, Closure, Machine, Material, Milestone, Operation, Part, Sheet, Size
from builds.models.build import every_activity
from builds.transfer.plain_values import plain, some, sorted_inside


def build_out(build: Build) -> dict[str, Any]:
    return {
        "name": build.name,
        "subject": build.subject,
        "scale": build.scale,
        "units": build.units,
        "started_on": plain(build.started_on),
        "wished_finish_on": plain(build.wished_finish_on),
        **some(
            {
                "state": (build.state, "active"),
                "on_board": (build.on_board, False),
                "date_on_board": (build.date_on_board, True),
                "for_visitors": (build.for_visitors, ""),
                "activities_counted": (build.activities_counted, every_activity()),
                "for_counter": (build.for_counter, False),
                "hourly_figure": (build.hourly_figure, None),
                "currency": (build.currency, ""),
            }
        ),
    }


def machine_out(machine: Machine) -> dict[str, Any]:
    return {
        "name": machine.name,
        "kind": machine.kind,
        **some(
            {
                "speeds": ([plain(speed) for speed in machine.speeds], []),
                "speed_low": (machine.speed_low, None),
                "speed_high": (machine.speed_high, None),
                "power_watts": (machine.power_watts, None),
                "note": (machine.note, ""),
            }
        ),
    }


def material_out(material: Material) -> dict[str, Any]:
    return {
        "name": material.name,
        **some(
            {
                "density": (material.density, None),
                "cutting_speed": (material.cutting_speed, None),
                "cutting_speed_carbide": (material.cutting_speed_carbide, None),
                "note": (material.note, ""),
            }
        ),
    }


def sheet_out(sheet: Sheet) -> dict[str, Any]:
    remarks = [
        {"drawing_says": r.drawing_says, "we_made": r.we_made, "noted_on": plain(r.noted_on)}
        for r in sheet.remarks.all()
    ]
    return {
        "number": sheet.number,
        "title": sheet.title,
        "revision": sheet.revision,
        **some({"remarks": (remarks, [])}),
    }


def part_out(part: Part) -> dict[str, Any]:
    optional: dict[str, tuple[Any, Any]] = {
        "source": (part.source, "made"),
        "for_visitors": (part.for_visitors, ""),
        "note": (part.note, ""),
        "blank": (part.blank, ""),
        "finished_mass_grams": (part.finished_mass_grams, None),
        "blank_cost": (part.blank_cost, None),
        "finished_on": (part.finished_on, None),
        "waiting_for": (part.waiting_for, ""),
        "waiting_since": (part.waiting_since_on, None),
        "waiting_note": (part.waiting_note, ""),
        "sizes": ([_size(size) for size in sorted(part.sizes.all(), key=lambda s: s.pk)], []),
    }
    return {
        "number": part.number,
        "name": part.name,
        "assembly": part.assembly.name if part.assembly else None,
        "sheet": part.sheet.number if part.sheet else None,
        "quantity": part.quantity,
        "spares": part.spares,
        "material": part.material.name if part.material else None,
        **some(optional),
        "operations": [_operation(o) for o in sorted(part.operations.all(), key=lambda o: o.number)],
    }


def _size(size: Size) -> dict[str, Any]:
    return {"name": size.name, "full_size": size.full_size, "made": size.made, **some({"reason": (size.reason, "")})}


def _operation(operation: Operation) -> dict[str, Any]:
    return {
        "number": operation.number,
        "kind": operation.kind,
        "title": operation.title,
        "setup_minutes": plain(operation.setup_minutes),
        "basis": operation.basis,
        "amount": plain(operation.amount),
        "minutes_per_unit": plain(operation.minutes_per_unit),
        "unattended_share": plain(operation.unattended_share),
        **some(
            {
                "origin": (operation.origin, "by hand"),
                "machine": (operation.machine.name if operation.machine else None, None),
                "note": (operation.note, ""),
                "worked": (sorted_inside(operation.worked), None),
                "added_on": (operation.added_on, None),
            }
        ),
    }


def batch_out(part: Part, batch: Batch) -> dict[str, Any]:
    return {
        "part": part.number,
        "number": batch.number,
        "blanks": batch.blanks,
        "started_on": plain(batch.started_on),
        **some({"note": (batch.note, "")}),
    }


def closure_out(closure: Closure) -> dict[str, Any]:
    return {
        "from": plain(closure.from_on),
        "to": plain(closure.to_on),
        "reason": closure.reason,
        **some({"hours_per_week": (closure.hours_per_week, 0)}),
    }


def milestone_out(milestone: Milestone) -> dict[str, Any]:
    def in_order(rows: Iterable[Part] | Iterable[Assembly]) -> list[Any]:
        return sorted(rows, key=lambda row: (row.position, row.pk))

    return {
        "name": milestone.name,
        "parts": [part.number for part in in_order(milestone.parts.all())],
        "assemblies": [assembly.name for assembly in in_order(milestone.assemblies.all())],
        **some({"reached_on": (milestone.reached_on, None)}),
    }
