"""Tenths, hundredths and thousandths as people say them at the bench: "2 tenths", "5 hundredths of a mm".

Common practice: where inches are the rule, a tenth by itself is a ten-thousandth of an inch and a thousandth is a thou;
where millimetres are, a hundredth is one of a millimetre. What both shops say of different sizes is asked about.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from calcs.messages import _
from calcs.typed.reading import Refusal
from calcs.typed.text import NUMBER, exact_number
from calcs.units.kinds import INCH

_DIVISORS = {"tenth": 10, "hundredth": 100, "thousandth": 1000}
_PARTS = re.compile(
    rf"(?:(?P<count>{NUMBER}|an?|one)(?: (?:of )?an?)? )?(?P<part>tenth|hundredth|thousandth)s?"
    r"(?:,? (?:of )?(?:an? |1 |one |the )?(?P<unit>mm|millimetres?|millimeters?|in|inch|inches|thou))?"
)


@dataclass(frozen=True)
class PartSize:
    """A size in exact mm, whether it is one of inches, and the remark that says what the part is of, if any."""

    mm: Fraction
    inch: bool
    remark: str = ""


def read_parts(plain: str, default_unit: str | None) -> PartSize | None:
    """The size that a text of parts names, None when it names none. Refusal where the part may be of two units.

    >>> float(read_parts("2 tenths", "in").mm), float(read_parts("2 tenths of a mm", None).mm)
    (0.00508, 0.2)
    """
    found = _PARTS.fullmatch(plain)
    if not found:
        return None
    count = exact_number(found["count"]) if (found["count"] or "a")[0] not in "ao" else Fraction(1)
    if unit := found["unit"]:
        size = {"m": Fraction(1), "i": INCH, "t": INCH / 1000}[unit[0]]
        return PartSize(count * size / _DIVISORS[found["part"]], inch=unit[0] != "m")
    return _by_custom(count, found["part"], default_unit)


def _by_custom(count: Fraction, part: str, default_unit: str | None) -> PartSize:
    if default_unit == "in" and part == "tenth":
        return PartSize(count * INCH / 10_000, True, _("a tenth is a ten-thousandth of an inch here"))
    if default_unit == "in" and part == "thousandth":
        return PartSize(count * INCH / 1000, True, _("a thousandth is one of an inch here"))
    if default_unit == "mm" and part == "hundredth":
        return PartSize(count / 100, False, _("a hundredth is one of a millimetre here"))
    inch = count / (10_000 if part == "tenth" else _DIVISORS[part])
    either = _(
        "This may be a part of an inch, of a thou or of a millimetre. Write the figure, like {inch} in or {mm} mm."
    )
    raise Refusal(either.format(inch=f"{float(inch):g}", mm=f"{float(count / _DIVISORS[part]):g}"))
