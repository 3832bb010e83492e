"""Cutting speeds, feeds, pitches and angles as people type them: "30 m/min", "4 thou a rev", "40 tpi", "1° 30'"."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal

from calcs.messages import _
from calcs.typed.lengths import read_length
from calcs.typed.measures import read_measure
from calcs.typed.reading import Reading, Refusal, check_size, refused, taken
from calcs.typed.text import NUMBER, exact_number, in_figures, plain_text
from calcs.units.kinds import INCH, SPEED
from calcs.units.registry import LengthUnit, millimetres

SpeedUnit = Literal["m/min", "ft/min"]

_EACH = re.compile(
    r"(.*?)\s*(?:/|\bper\b|\ba\b|\ban\b|\beach\b|\bfor each\b)\s*"
    r"(?:rev|revs|revolution|turn|tooth|flute|lip|stroke|double stroke|r|t|z)\.?"
)
_SHORT_FEED = re.compile(r"(.*?)\s*(ipr|ipt|mmpr)")
_TPI = re.compile(rf"({NUMBER})\s*(?:tpi|t\.p\.i\.?|threads? (?:to the|per|an) inch|/in|/inch|per inch|to the inch)")
_TURN = 360
_DEGREES = re.compile(rf"({NUMBER})\s*(?:o|deg\.?|degs?|degrees?)?")
_WITH_MINUTES = re.compile(
    r"(\d+)\s*(?:o|deg\.?|degrees?)\s*(\d+(?:[.,]\d+)?)\s*(?:'|min\.?|minutes?)?(?:\s*(\d+(?:[.,]\d+)?)\s*(?:\"|s|sec\.?|seconds?))?"
)
_MINUTES = re.compile(rf"({NUMBER})\s*(?:'|arc ?min|arcminutes?|minutes? of arc)")


def read_speed(text: str | None, default_unit: SpeedUnit | None) -> Reading:
    """Read a cutting speed; never raises for any text. The value is a Pint quantity in m/min.

    A length alone is refused with a sentence of its own, since it is the commonest slip.

    >>> read_speed("100 ft/min", "m/min").message
    '100 ft/min → 100 ft/min = 30.48 m/min'
    >>> read_speed("25", "m/min").value.magnitude
    25.0
    >>> read_speed("25 mm", "m/min").message
    'That is a length, and a speed is wanted: a length in a time, like 25 m/min or 80 ft/min.'
    """
    reading = read_measure(text, SPEED, default_unit)
    if reading.status != "refused":
        return reading
    plain = plain_text(text or "") if len(text or "") <= 200 else ""
    if re.search(r"\brpm\b|\brevs?/min|\brev/m|\br/min", plain):
        turns = _("That is a spindle speed. Write the cutting speed, like {example}.", example=SPEED.example)
        return refused(reading.text, turns)
    if plain and read_length(plain, None).status in ("ok", "rough", "range"):
        length = _("That is a length, and a speed is wanted: a length in a time, like {example}.")
        return refused(reading.text, length.format(example=SPEED.example))
    return reading


def read_feed(text: str | None, default_unit: LengthUnit | None) -> Reading:
    """Read a feed for each turn, tooth or stroke; never raises for any text. The value is a Pint quantity in mm.

    >>> read_feed("4 thou a rev", "mm").message
    '4 thou a rev → 0.004 in = 0.1016 mm'
    >>> read_feed("0.1 mm/rev", "in").value.magnitude
    0.1
    >>> read_feed("120 mm/min", "mm").message
    'That is a feed rate. Write the feed of one turn or one tooth, like 0.1 mm or 4 thou.'
    """
    typed = "" if text is None else str(text)
    if len(typed) > 200:
        return read_length(typed, default_unit)
    plain = plain_text(typed)
    if re.search(r"(?:/|\bper\b|\ba\b)\s*(?:min|minute|s|sec|second)\b|\bipm\b", plain):
        rate = _("That is a feed rate. Write the feed of one turn or one tooth, like 0.1 mm or 4 thou.")
        return refused(typed, rate)
    if short := _SHORT_FEED.fullmatch(plain):
        plain = f"{short[1]} {'mm' if short[2] == 'mmpr' else 'in'}"
    elif each := _EACH.fullmatch(plain):
        plain = each[1]
    return read_length(plain, default_unit, within=typed)


def read_pitch(text: str | None, default_unit: LengthUnit | None) -> Reading:
    """Read the pitch of a thread, as a length or as threads to the inch. The value is a Pint quantity in mm.

    >>> read_pitch("40 tpi", "mm").message
    '40 tpi → 40 threads to the inch, a pitch of 0.025 in = 0.635 mm'
    >>> read_pitch("1 mm", "in").value.magnitude
    1.0
    """
    typed = "" if text is None else str(text)
    try:
        check_size(typed)
        found = _TPI.fullmatch(plain_text(typed))
        if not found:
            return read_length(typed, default_unit)
        count = exact_number(found[1])
        if not Fraction(1, 2) <= count <= 1000:
            raise Refusal(_("Threads to the inch are from 1/2 to 1000. Write them like 40 tpi."))
        pitch = {"inch": f"{in_figures(1 / count)} in", "mm": f"{in_figures(INCH / count)} mm"}
        words = _("{count} threads to the inch, a pitch of {inch} = {mm}", count=in_figures(count), **pitch)
        return taken(typed, millimetres(INCH / count), words)
    except Refusal as trouble:
        return refused(typed, trouble.sentence)


def read_angle(text: str | None) -> Reading:
    """Read an angle in degrees; never raises for any text. The value is a float of degrees, from −360 to 360.

    >>> read_angle("1° 30'").message
    "1° 30' → 1.5°"
    >>> read_angle("30").value, read_angle("-45 deg").value
    (30.0, -45.0)
    """
    typed = "" if text is None else str(text)
    try:
        check_size(typed)
        plain = plain_text(typed).rstrip(" ,;.")
        if not plain.strip("?- "):
            return Reading(typed, None, "unknown", _("No angle is given."))
        degrees = _degrees(plain.removeprefix("-").strip())
        degrees = -degrees if plain.startswith("-") else degrees
        if abs(degrees) > _TURN:
            raise Refusal(_("An angle lies between −360 and 360 degrees. Write it like 30 or 1° 30'."))
        return taken(typed, float(degrees), f"{_minus(degrees)}°")
    except Refusal as trouble:
        return refused(typed, trouble.sentence)


def _degrees(plain: str) -> Fraction:
    if whole := _DEGREES.fullmatch(plain):
        return exact_number(whole[1])
    if of_arc := _MINUTES.fullmatch(plain):
        return exact_number(of_arc[1]) / 60
    if parts := _WITH_MINUTES.fullmatch(plain):
        minutes, seconds = exact_number(parts[2]), exact_number(parts[3] or "0")
        if minutes >= 60 or seconds >= 60:
            raise Refusal(_("Minutes and seconds of an angle stay under 60. Write it like 1° 30'."))
        return exact_number(parts[1]) + minutes / 60 + seconds / 3600
    raise Refusal(_("This was not understood as an angle. Write it in degrees, like 30 or 1° 30'."))


def _minus(value: Fraction) -> str:
    return f"−{in_figures(-value)}" if value < 0 else in_figures(value)
