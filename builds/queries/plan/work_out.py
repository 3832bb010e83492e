"""An operation's time from the drawing: what the form begins with, and which kept times have gone stale."""

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from builds.models import Machine, Operation
from builds.models.choices import Kind
from builds.queries.repeats.material import blank_of
from calcs.cutting.processes import PROCESS_OF_KIND
from calcs.messages import _
from calcs.units.registry import format_length


@dataclass(frozen=True)
class Figures:
    """The shop's own figures that a time stands on, as they are now. Plain values, so that they can be kept."""

    material: str
    cutting_speed: float | None
    machine: str
    spindle: str


def figures_of(operation: Operation) -> Figures:
    """The figures of the operation's material and machine as they are now."""
    material, machine = operation.part.material, operation.machine
    return Figures(
        material.name if material is not None else "",
        material.cutting_speed if material is not None else None,
        machine.name if machine is not None else "",
        spindle_of(machine),
    )


def begin_with(operation: Operation, materials: tuple[str, ...]) -> dict[str, str]:
    """The inputs of the form at first: what was kept with the time, with the shop's figures of today in it.

    materials: the names that the tables know. A name of the shop that is none of them is left out, to be asked for.
    """
    kept: Mapping[str, str] = (operation.worked or {}).get("inputs", {})
    figures = figures_of(operation)
    inputs = {"what": PROCESS_OF_KIND.get(operation.kind, "turning"), "unit": operation.part.build.units, **kept}
    inputs["material"] = kept.get("material") or _known_material(figures.material, materials)
    across = turned_diameter(operation)
    if across is not None and "diameter" not in kept:
        inputs["diameter"] = format_length(across, operation.part.build.length_unit)
    if figures.cutting_speed is not None:
        inputs["speed"] = f"{figures.cutting_speed:g} m/min"
    if figures.spindle:
        inputs["spindle"] = figures.spindle
    return {name: text for name, text in inputs.items() if text}


def turned_diameter(operation: Operation) -> Any:
    """The diameter of a blank that is turned, a length; None where the blank tells none or the operation is another."""
    if operation.kind not in (Kind.TURNING, Kind.FACING, Kind.PARTING):
        return None
    blank = blank_of(operation.part, operation.part.build.length_unit)
    return blank.section.across if blank is not None and blank.shape in ("round", "tube") else None


def spindle_of(machine: Machine | None) -> str:
    """The spindle speeds of a machine as they are typed: its steps, or its range; empty where it has none."""
    if machine is not None and machine.speeds:
        return ", ".join(f"{speed:g}" for speed in machine.speeds)
    if machine is not None and machine.speed_low is not None and machine.speed_high is not None:
        return f"{machine.speed_low:g} to {machine.speed_high:g}"
    return ""


def _known_material(name: str, materials: tuple[str, ...]) -> str:
    """The name of the tables that the shop's name is, or begins with before a grade or a comma; empty where none is.

    "Mild steel EN3" and "Mild steel, bright drawn" are mild steel; aluminium bronze is neither of the two.
    """
    known = name.strip().lower()
    found = [one for one in materials if re.fullmatch(rf"{re.escape(one)}(\s*[,(].*|(\s+\S*\d\S*)*)", known)]
    return max(found, key=len) if found else ""


def gone_stale(operation: Operation) -> str:
    """What has changed since the time was worked out, as a sentence; empty where nothing has."""
    kept = (operation.worked or {}).get("figures")
    if not kept:
        return ""
    now, changes = figures_of(operation), []
    if kept.get("cutting_speed") != now.cutting_speed or kept.get("material") != now.material:
        changes.append(_("{before} before, {after} now", before=_speed(kept), after=_speed(asdict(now))))
    if kept.get("spindle") != now.spindle or kept.get("machine") != now.machine:
        before, after = (machine or _("no machine") for machine in (kept.get("machine"), now.machine))
        changes.append(_("{before} before, {after} now, or other speeds", before=before, after=after))
    return _("Worked out with other figures: {changes}.", changes="; ".join(changes)) if changes else ""


def _speed(figures: Mapping[str, Any]) -> str:
    speed, name = figures.get("cutting_speed"), figures.get("material") or _("no material")
    if speed is None:
        return _("{material} without a cutting speed of the shop's own", material=name)
    return _("{material} at {speed} m/min", material=name, speed=f"{speed:g}")
