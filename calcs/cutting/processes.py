"""The cutting processes there are, in one table: what works each out, whose cautions it has, how fast it runs.

A process more is a function in this folder, a line in this table, and its question under the same key on the page.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from inspect import signature
from typing import Any, Literal

from calcs import cutting
from calcs.cutting.results import Cut
from calcs.cutting.set_up import Depths, SetUp
from calcs.messages import _, gettext_noop
from calcs.shop.reference_tables import Chosen, cutting_speed_for
from calcs.units.argument_checks import Quantity


@dataclass(frozen=True)
class Process:
    """One process, and the kind of operation on a route card that it belongs to: its cautions are those of the kind.

    runs_like: whose published speeds it runs at. share: how much of them; why: where that share comes from.
    """

    function: Callable[..., Cut]
    kind: str
    runs_like: Literal["turning", "drilling"] = "turning"
    share: float = 1.0
    why: str = ""

    @property
    def needs(self) -> tuple[str, ...]:
        """The names of the figures that there is no time without, beside a speed and depths."""
        takes = signature(self.function).parameters.values()
        return tuple(one.name for one in takes if one.default is one.empty and one.name not in ("set_up", "depths"))

    def cut(self, **figures: Any) -> Cut:
        """Work it out from figures by name; those of the set-up and of the depths are put together first.

        >>> from calcs.units.registry import registry
        >>> Q = registry().Quantity
        >>> figures = {"diameter": Q(50, "mm"), "length": Q(100, "mm"), "feed": Q(0.2, "mm"), "spindle_speed": 1000}
        >>> round(PROCESSES["turning"].cut(**figures, passes=3).minutes, 9)
        1.5
        """
        takes = signature(self.function).parameters
        for name, group in (("set_up", SetUp), ("depths", Depths)):
            if name in takes:
                names = {field.name for field in fields(group)} & figures.keys() - takes.keys()
                figures[name] = group(**{one: figures.pop(one) for one in names})
        return self.function(**figures)

    def cutting_speed(self, material: str, tool: str, own: Quantity | None = None) -> Chosen:
        """The user's own speed, or the share of the tables' to start from. ValueError where there is none."""
        return cutting_speed_for(material, tool, self.runs_like, own, self.share, _(self.why) if self.why else "")


_SLOWER = gettext_noop("common practice: a little slower than turning")
_HALF_TURNING = gettext_noop("common practice: half the turning speed")
_HALF_DRILLING = gettext_noop("common practice: half the drilling speed")
_THIRD_DRILLING = gettext_noop("common practice: a third of the drilling speed")
_THIRD_TURNING = gettext_noop("common practice: a third of the turning speed")

# By the key that stands in addresses and in kept sums. The first of a kind is what a sum for that kind begins with.
PROCESSES = {
    "turning": Process(cutting.turning, "turning"),
    "facing": Process(cutting.facing, "facing"),
    "boring": Process(cutting.boring, "boring", share=0.8, why=_SLOWER),
    "parting": Process(cutting.parting, "parting", share=0.5, why=_HALF_TURNING),
    "drilling": Process(cutting.drilling, "drilling", "drilling"),
    "reaming": Process(cutting.reaming, "reaming", "drilling", 0.5, _HALF_DRILLING),
    "tapping": Process(cutting.tapping, "tapping", "drilling", 0.33, _THIRD_DRILLING),
    "threading": Process(cutting.threading, "threading", share=0.33, why=_THIRD_TURNING),
    "edge-milling": Process(cutting.peripheral_milling, "milling"),
    "face-milling": Process(cutting.face_milling, "milling"),
    "slot-milling": Process(cutting.slot_milling, "milling"),
    "pocket-milling": Process(cutting.pocket_milling, "milling"),
    "sawing": Process(cutting.sawing, "sawing"),
    "shaping": Process(cutting.shaping, "shaping"),
    "surface-grinding": Process(cutting.surface_grinding, "grinding"),
}
PROCESS_OF_KIND = {process.kind: key for key, process in reversed(PROCESSES.items())}
