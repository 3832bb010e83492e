"""Figures as they are read off an instrument: the whole size, or how far it lies from a master; and how sure it is."""

import re

from calcs.messages import _
from calcs.typed.lengths import read_length
from calcs.typed.reading import Reading, quote_input, refused
from calcs.units.registry import LengthUnit, millimetres

_SIGNED = re.compile(r"\s*(?P<sign>[+\-−–]?)\s*(?P<rest>.*?)\s*", re.DOTALL)
_EACH_WAY = re.compile(r"±|\+\s*/?\s*-")
DECIMALS = 9
"""Of a millimetre; what a sum of floats leaves behind lies below."""
LARGEST_UNCERTAINTY = 1.0
"""Millimetres each way. A judgement: a steel rule in a steady hand is some tenths."""


def read_figure(text: str | None, unit: LengthUnit, *, master: float | None = None, below: bool = False) -> Reading:
    """Read one figure off an instrument; never raises for any text. The value is a Pint quantity in mm.

    unit: of a figure that has none. master: the size in mm that the gauge was set to; then the figure is a difference
    to it, with its sign or without one. below: whether a difference without a sign lies below the master.

    >>> read_figure("+0.02", "mm", master=12.0).message
    '+0.02 → 12.02 mm'
    """
    typed = "" if text is None else str(text)
    found = _SIGNED.fullmatch(typed)
    sign, rest = (found["sign"], found["rest"]) if found else ("", typed)
    reading = _plain_figure(typed, rest, unit)
    if reading.value is None:
        return reading
    if master is None:
        if sign:
            return refused(
                typed, _("“{text}” is a difference. Say what size the gauge was set to.", text=_short(typed))
            )
        return reading
    size = float(reading.value.magnitude)
    if not sign and size * 2 > master:
        whole = _("“{text}” is no difference to the master. Give how far the piece lies from it.", text=_short(typed))
        return refused(typed, whole)
    away = -size if sign in ("-", "−", "–") or (below and not sign) else size
    if master + away <= 0:
        return refused(typed, _("“{text}” leaves nothing of the size.", text=_short(typed)))
    value = round(master + away, DECIMALS)
    return Reading(typed, millimetres(value), "ok", f"{_short(typed)} → {value:.6f}".rstrip("0").rstrip(".") + " mm")


def read_uncertainty(text: str | None) -> Reading:
    """Read how uncertain an instrument is each way ("±2 µm", "0.002 mm", ".0001 in"); never raises.

    The value is a Pint quantity in mm. A figure without a unit is refused, for an instrument serves every build.

    >>> read_uncertainty("±2 µm").message
    '±2 µm → 0.002 mm each way'
    """
    typed = "" if text is None else str(text)
    reading = read_length(_EACH_WAY.sub("", typed, count=1).strip(), None, within=typed)
    if reading.value is None:
        return reading
    size = float(reading.value.magnitude)
    if size > LARGEST_UNCERTAINTY:
        return refused(typed, _("{text} is no uncertainty of a measuring instrument.", text=_short(typed)))
    if size <= 0:
        return refused(typed, _("No instrument is without doubt. Leave it empty where it is not known."))
    words = f"{size:.6f}".rstrip("0").rstrip(".")
    return Reading(typed, reading.value, "ok", _("{text} → {size} mm each way", text=_short(typed), size=words))


def _plain_figure(typed: str, rest: str, unit: LengthUnit) -> Reading:
    """The figure without its sign. What is no single figure, or says more than one, is refused."""
    if _EACH_WAY.search(typed):
        alone = _("Give the figure alone; how uncertain it is belongs to the instrument.")
        return refused(typed, alone)
    reading = read_length(rest, unit, within=typed)
    if reading.status in ("range", "rough") or reading.bound or reading.fit:
        return refused(typed, _("“{text}” is no single figure. Give what the instrument shows.", text=_short(typed)))
    return reading


def _short(text: str) -> str:
    return quote_input(text)
