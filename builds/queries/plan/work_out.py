"""An operation's time from the drawing: what the form begins with, and which kept times have gone stale."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from builds.models import Operation
from builds.models.choices import Kind
from builds.queries.repeats.material import blank_of
from calcs.units.registry import format_length

# Which sum a kind of operation begins with; the rest are drilling and turning by name, or nothing that is reckoned.
SUM_OF_KIND = {
    Kind.TURNING: "turning",
    Kind.FACING: "facing",
    Kind.BORING: "boring",
    Kind.PARTING: "parting",
    Kind.DRILLING: "drilling",
    Kind.REAMING: "reaming",
    Kind.TAPPING: "tapping",
    Kind.THREADING: "threading",
    Kind.MILLING: "edge-milling",
    Kind.SAWING: "sawing",
    Kind.SHAPING: "shaping",
    Kind.GRINDING: "surface-grinding",
}


@dataclass(frozen=True)
class Figures:
    """The shop's own figures that a time stands on, as they are now. Plain values, so that they can be kept."""

    material: str
    cutting_speed: float | None
    machine: str
    spindle: str

    def as_dict(self) -> dict[str, Any]:
        return {
            "material": self.material,
            "cutting_speed": self.cutting_speed,
            "machine": self.machine,
            "spindle": self.spindle,
        }


def figures_of(operation: Operation) -> Figures:
    """The figures of the operation's material and machine as they are now."""
    material, machine = operation.part.material, operation.machine
    spindle = ""
    if machine is not None and machine.speeds:
        spindle = ", ".join(f"{speed:g}" for speed in machine.speeds)
    elif machine is not None and machine.speed_low is not None and machine.speed_high is not None:
        spindle = f"{machine.speed_low:g} to {machine.speed_high:g}"
    return Figures(
        material.name if material is not None else "",
        material.cutting_speed if material is not None else None,
        machine.name if machine is not None else "",
        spindle,
    )


def begin_with(operation: Operation, materials: tuple[str, ...]) -> dict[str, str]:
    """The inputs of the form at first: what was kept with the time, with the shop's figures of today in it.

    materials: the names that the tables know; the shop's own name is matched to one that it contains.
    """
    kept: Mapping[str, str] = (operation.worked or {}).get("inputs", {})
    figures = figures_of(operation)
    inputs = {"what": SUM_OF_KIND.get(Kind(operation.kind), "turning"), "unit": operation.part.build.units, **kept}
    inputs["material"] = kept.get("material") or _known_material(figures.material, materials)
    across = _across(operation)
    if across and "diameter" not in kept:
        inputs["diameter"] = across
    if figures.cutting_speed is not None:
        inputs["speed"] = f"{figures.cutting_speed:g} m/min"
    if figures.spindle:
        inputs["spindle"] = figures.spindle
    return {name: text for name, text in inputs.items() if text}


def _across(operation: Operation) -> str:
    """The diameter of a blank that is turned, as text; empty where the blank tells none."""
    if operation.kind not in (Kind.TURNING, Kind.FACING, Kind.PARTING):
        return ""
    blank = blank_of(operation.part, operation.part.build.length_unit)
    if blank is None or blank.shape not in ("round", "tube"):
        return ""
    return format_length(blank.section.across, operation.part.build.length_unit)


def _known_material(name: str, materials: tuple[str, ...]) -> str:
    """The longest name of the tables that stands in the shop's name for a material; empty where none does."""
    found = [one for one in materials if one in name.lower()]
    return max(found, key=len) if found else ""


def gone_stale(operation: Operation) -> str:
    """What has changed since the time was worked out, as a sentence; empty where nothing has."""
    kept = (operation.worked or {}).get("figures")
    if not kept:
        return ""
    now = figures_of(operation)
    said = []
    if kept.get("cutting_speed") != now.cutting_speed or kept.get("material") != now.material:
        said.append(f"{_speed(kept)} before, {_speed(now.as_dict())} now")
    if kept.get("spindle") != now.spindle or kept.get("machine") != now.machine:
        said.append(f"{kept.get('machine') or 'no machine'} before, {now.machine or 'no machine'} now, or other speeds")
    return f"Worked out with other figures: {'; '.join(said)}." if said else ""


def _speed(figures: Mapping[str, Any]) -> str:
    speed = figures.get("cutting_speed")
    name = figures.get("material") or "no material"
    return f"{name} at {speed:g} m/min" if speed is not None else f"{name} without a cutting speed of the shop's own"
