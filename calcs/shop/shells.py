"""The hoop stress of a plain round wall under pressure, never without the caution and the codes.

This is a lesson about a wall, not a design: it says what pulls on the metal and never whether the wall is enough. That
the boiler code, the inspecting body and a test with water decide.

Source: stress at the bore p·(R² + r²) ÷ (R² − r²), G. Lamé 1852; middle of the wall p·D ÷ (2·t) (any textbook of the
strength of materials); both from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

from calcs.messages import _, gettext_noop
from calcs.shop.cautions import BOILER_SENTENCE, Cautions, cautions_for
from calcs.units.argument_checks import Quantity, amount
from calcs.units.kinds import LENGTH, PRESSURE
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

CODES = gettext_noop(
    "The boiler code that your inspecting body works to sets the metal, wall, joints, stays, heat and working stress; "
    "a test with water, watched by its inspector, comes before any steam. This sum knows nothing of them and decides "
    "nothing."
)


@dataclass(frozen=True)
class Shell:
    """A plain wall under pressure, in MPa. cautions: shown above the figures; without them there is no Shell."""

    cautions: Cautions
    at_bore: float
    through_wall: float
    working: Working

    def __post_init__(self) -> None:
        if not self.cautions.cautions or _(BOILER_SENTENCE) not in self.cautions.always:
            raise ValueError(_("The caution about pressure is missing, so there is no figure."))


def hoop_stress(inside: Quantity, wall: Quantity, pressure: Quantity) -> Shell:
    """Return the stress round a plain seamless wall of an inside diameter, at its bore and on average through it.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> shell = hoop_stress(Q(100, "mm"), Q(2.5, "mm"), Q(6, "bar"))
    >>> round(shell.through_wall, 9), round(shell.at_bore, 3)
    (12.0, 12.307)
    """
    across, thick = amount(inside, LENGTH, _("inside diameter")), amount(wall, LENGTH, _("wall"))
    given = amount(pressure, PRESSURE, _("pressure"))
    middle = given / 10 * across / (2 * thick)
    inner, outer = across / 2, across / 2 + thick
    at_bore = given / 10 * (outer**2 + inner**2) / (outer**2 - inner**2)
    sums = WorkingBuilder(_("Hoop stress of a plain wall"), inside)
    _write(sums, (across, thick, given), middle, at_bore)
    found = cautions_for("boiler", "boiler")
    return Shell(Cautions(found.cautions, (*found.always, _(CODES))), at_bore, middle, sums.working())


def _write(sums: WorkingBuilder, given: tuple[float, float, float], middle: float, at_bore: float) -> None:
    """The lines of the working; given: inside diameter and wall in mm, pressure in bar."""
    across, thick, pressure = given
    inner, outer, mega = across / 2, across / 2 + thick, pressure / 10
    sums.given("D", _("inside diameter"), across, "length")
    sums.given("t", _("wall"), thick, "length")
    for_one = format_in_full(sums.unit("pressure").factor / 10)
    sums.line("p", _("pressure in MPa"), f"{sums.show(pressure, 'pressure')} × {for_one}", mega, "stress")
    d, t, r, big = (sums.show(size, "length") for size in (across, thick, inner, outer))
    p = format_in_full(mega)
    sums.line(_("through the wall"), "p·D ÷ (2·t)", f"{p} × {d} ÷ (2 × {t})", middle, "stress")
    sums.line("r", "D ÷ 2", f"{d} ÷ 2", inner, "length")
    sums.line("R", "D ÷ 2 + t", f"{d} ÷ 2 + {t}", outer, "length")
    numbers = f"{p} × ({big}² + {r}²) ÷ ({big}² − {r}²)"
    sums.line(_("at the bore"), "p·(R² + r²) ÷ (R² − r²)", numbers, at_bore, "stress")
