"""Lengths with how many of each in one text, for a cutting list."""

from __future__ import annotations

import re
from dataclasses import dataclass

from builds.arithmetic.fields import TypedField
from calcs.messages import _
from calcs.typed.lengths import read_length
from calcs.typed.reading import Reading, quote_input, refused
from calcs.units.registry import LengthUnit


@dataclass(frozen=True)
class SomeOf:
    """So many of one length: in mm, and as it was written."""

    length_mm: float
    how_many: int
    written: str


class LengthsField(TypedField):
    """Lengths with how many of each, such as "12 × 35 mm; 4 × 1-1/4 in". Cleans to `SomeOf`, one for each written."""

    _ONE = re.compile(r"(?:(\d{1,4})\s*(?:[x×*]|off|of)\s*)?(\S.*)", re.IGNORECASE)
    MOST = 100

    def read(self, text: str) -> Reading:
        # A comma may stand in a figure (1,000 mm or 3,5 mm), so only one with a space behind it parts two lengths.
        parts = [part.strip() for part in re.split(r"[;\n]|,\s", text) if part.strip()]
        if len(parts) > self.MOST:
            return refused(text, _("That is more than a hundred lengths."))
        found = []
        for part in parts:
            match = self._ONE.fullmatch(part)
            number, written = (match[1], match[2]) if match else (None, part)
            reading = read_length(written, self.unit)
            if not reading.has_value or reading.status == "range" or reading.value.magnitude <= 0:
                words = {"part": quote_input(part, 30), "example": self.examples[self.unit == "in"]}
                return refused(text, _("“{part}” is not a length with its number. Write it like {example}.", **words))
            how_many = 1 if number is None else int(number)
            found.append(SomeOf(float(reading.value.to("mm").magnitude), how_many, _as_written(written, self.unit)))
        return Reading(text, tuple(found), "ok", "")


def _as_written(text: str, unit: LengthUnit) -> str:
    """A length as it was written, with the unit that was meant where none was."""
    return text if re.search(r"[a-z\"″']", text, re.IGNORECASE) else f"{text} {unit}"
