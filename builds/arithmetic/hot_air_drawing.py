"""The drawing of a hot-air engine: the displacer between hot and cold, and the power piston that its cold end feeds."""

from __future__ import annotations

import math
from dataclasses import dataclass

from builds.arithmetic.engine_drawings import TEMPLATE, EngineDrawing, Label, Point, block, circle, label, path
from calcs.engines.hot_air import HotAirEngine
from calcs.engines.slide_valve import share_of_stroke
from calcs.messages import _

_HOT, _POWER, _TOP, _HEAD, _CRANK = 120.0, 290.0, 34.0, 84.0, 330.0
"""Middles of the two cylinders, the tops of displacer and piston at their innermost, and the height of the shaft."""
_DISPLACER, _PISTON, _LONGEST = 84.0, 34.0, 76.0


@dataclass(frozen=True)
class Way:
    """What moves in one cylinder: its middle, its top as it stands, how high it is, its stroke and its crank angle."""

    middle: float
    top: float
    high: float
    stroke: float
    angle: float

    @property
    def pin(self) -> Point:
        """Its crank pin: at the top of its circle at 0°, turning to the right."""
        turned, out = math.radians(self.angle), self.stroke / 2
        return self.middle + out * math.sin(turned), _CRANK - out * math.cos(turned)

    def rod(self) -> str:
        """Its rod, and the slot that the crank pin slides in."""
        (x, y), low = self.pin, self.top + self.high
        return block(self.middle, low, 5, y - low) + block((self.middle + x) / 2, y - 3, abs(x - self.middle) + 12, 6)


def hot_air_words(found: HotAirEngine, angle: float) -> str:
    """Where the power piston and the displacer stand."""
    power, moved = share_of_stroke(angle), share_of_stroke(angle + found.lead)
    words = _(
        "Crank at {angle}°: the power piston stands {power} % of its stroke out, the displacer {moved} % of its own "
        "away from the hot end."
    )
    return words.format(angle=f"{angle:.4g}", power=f"{power * 100:.0f}", moved=f"{moved * 100:.0f}")


def hot_air_drawing(found: HotAirEngine, angle: float, strokes: tuple[float, float]) -> EngineDrawing:
    """Two upright cylinders, drawn as if slots took the place of long rods. strokes: displacer's and piston's."""
    long, short = (one / max(strokes) * _LONGEST for one in strokes)
    ahead = angle + found.lead
    displacer = Way(_HOT, _TOP + share_of_stroke(ahead) * long, _DISPLACER, long, ahead)
    piston = Way(_POWER, _HEAD + share_of_stroke(angle) * short, _PISTON, short, angle)
    floor = _TOP + _DISPLACER + long + 4
    return EngineDrawing(
        TEMPLATE,
        hot_air_words(found, angle),
        "0 0 400 390",
        f"M{_HOT:g} 12V386M{_POWER:g} 60V386M{_HOT - 56:g} {_CRANK:g}H{_POWER + 56:g}",
        walls(floor, _HEAD + _PISTON + short + 12),
        "",
        displacer.rod()
        + piston.rod()
        + block(_HOT, displacer.top, 76, _DISPLACER)
        + block(_POWER, piston.top, 66, _PISTON),
        (circle(displacer.pin, 4), circle(piston.pin, 4)),
        (circle((_HOT, _CRANK), long / 2), circle((_POWER, _CRANK), short / 2)),
        labels(floor, short, angle),
    )


def walls(floor: float, skirt: float) -> str:
    """Both cylinders and the passage from the cold end to the head of the power cylinder."""
    left, right, feed, head = _HOT - 42, _HOT + 42, floor - 9, _HEAD - 4
    middle = (_HOT + _POWER) / 2 + 8
    cylinder = [(_HOT - 4, floor), (left, floor), (left, _TOP - 2), (right, _TOP - 2), (right, feed - 4)]
    above = [(middle - 4, feed - 4), (middle - 4, head - 12), (_POWER + 4, head - 12), (_POWER + 4, head)]
    below = [(_HOT + 4, floor), (right, floor), (right, feed + 4), (middle + 4, feed + 4), (middle + 4, head - 4)]
    one = [*cylinder, *above, (_POWER + 34, head), (_POWER + 34, skirt)]
    other = [*below, (_POWER - 4, head - 4), (_POWER - 4, head), (_POWER - 34, head), (_POWER - 34, skirt)]
    return path(one) + path(other)


def labels(floor: float, short: float, angle: float) -> tuple[Label, ...]:
    """What stands beside the drawing."""
    return (
        label(_HOT - 50, _TOP + 12, _("hot"), "end"),
        label(_HOT - 50, floor - 4, _("cold"), "end"),
        label(_POWER + 42, _HEAD + 16, _("power"), "start"),
        label(_POWER + short / 2 + 14, _CRANK - 8, f"{angle:.4g}°", "start"),
    )
