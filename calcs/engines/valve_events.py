"""The valves of a four-stroke engine in degrees of the crank, and where that lies on a camshaft at half its speed.

A valve that opens `a` before one dead centre and closes `b` after the next stays open for a + 180 + b. Both valves
stand open together from the inlet's opening to the exhaust's closing, round the top. A camshaft at half speed has half
the degrees. All of it follows from the four strokes (derived).
"""

from __future__ import annotations

from dataclasses import dataclass

from calcs.messages import _
from calcs.units.argument_checks import degrees
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

# Further than a quarter of a turn from its dead centre no valve opens or closes.
_MOST = 100


@dataclass(frozen=True)
class Lift:
    """One valve: open from `opens` to `closes`, degrees of the crank after the top where the mixture is fired.

    peak: half way between; on_cam: how much of the cam's turn its lobe takes.
    """

    opens: float
    closes: float

    @property
    def duration(self) -> float:
        """How long the valve is open, in degrees of the crank."""
        return self.closes - self.opens

    @property
    def peak(self) -> float:
        """Half way between opening and closing, in degrees of the crank."""
        return (self.opens + self.closes) / 2

    @property
    def on_cam(self) -> float:
        """What the lobe takes of the cam's turn, in degrees of the cam."""
        return self.duration / 2


@dataclass(frozen=True)
class ValveEvents:
    """Both valves. overlap: degrees of the crank with both open, below zero where neither is.

    between_lobes: from the peak of the exhaust's lobe to the inlet's, in degrees of the cam.
    """

    exhaust: Lift
    inlet: Lift
    overlap: float
    between_lobes: float
    working: Working


def valve_events(inlet_opens: float, inlet_closes: float, exhaust_opens: float, exhaust_closes: float) -> ValveEvents:
    """Return durations, overlap and places on the cam of a four-stroke engine's valves.

    All in degrees of the crank, −100 to 100: the inlet opens before the top and closes after the bottom, the exhaust
    opens before the bottom and closes after the top; a minus means the other side of that dead centre.

    >>> events = valve_events(10, 50, 50, 10)
    >>> events.inlet.duration, events.overlap, events.between_lobes
    (240.0, 20.0, 110.0)
    """
    before_top = degrees(inlet_opens, _("opening of the inlet"), -_MOST, _MOST)
    after_bottom = degrees(inlet_closes, _("closing of the inlet"), -_MOST, _MOST)
    before_bottom = degrees(exhaust_opens, _("opening of the exhaust"), -_MOST, _MOST)
    after_top = degrees(exhaust_closes, _("closing of the exhaust"), -_MOST, _MOST)
    exhaust, inlet = Lift(180 - before_bottom, 360 + after_top), Lift(360 - before_top, 540 + after_bottom)
    if min(exhaust.duration, inlet.duration) <= 0:
        raise ValueError(_("A valve would close before it opens. See which side of the dead centre each figure is on."))
    overlap = before_top + after_top
    sums = WorkingBuilder(_("Valve events"))
    _write(sums, _("inlet open"), before_top, after_bottom)
    _write(sums, _("exhaust open"), before_bottom, after_top)
    numbers = f"{format_in_full(before_top)} + {format_in_full(after_top)}"
    sums.line(_("overlap"), _("inlet before the top + exhaust after it"), numbers, overlap, "angle")
    one, two = format_in_full(inlet.peak), format_in_full(exhaust.peak)
    formula = _("(inlet's peak − exhaust's peak) ÷ 2, on the cam,")
    between = (inlet.peak - exhaust.peak) / 2
    sums.line(_("between lobes"), formula, f"({one} − {two}) ÷ 2", between, "angle")
    return ValveEvents(exhaust, inlet, overlap, between, sums.working())


def _write(sums: WorkingBuilder, symbol: str, before: float, after: float) -> None:
    numbers = f"{format_in_full(before)} + 180 + {format_in_full(after)}"
    sums.line(symbol, _("before + 180° + after"), numbers, before + 180 + after, "angle")
    numbers = f"{format_in_full(before + 180 + after)} ÷ 2"
    sums.line(_("its lobe"), _("half of that, on the cam,"), numbers, (before + 180 + after) / 2, "angle")
