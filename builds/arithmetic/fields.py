"""Form fields round the readers: each takes what people type, and keeps how it was read, to be shown beneath.

A field cleans to a Pint quantity (a float for angles and numbers, an int for counts), or to None where nothing was
typed. What is read as a range is refused, since a sum takes one figure. `take_unit` says which unit is the default.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from calcs.messages import _, ngettext
from calcs.shop.fits import limits
from calcs.typed.durations import read_duration
from calcs.typed.lengths import read_length
from calcs.typed.measures import read_measure
from calcs.typed.reading import Reading, quote_input, refused, taken
from calcs.typed.scales import read_scale
from calcs.typed.speeds import read_angle, read_feed, read_pitch, read_speed
from calcs.units.kinds import AREA, MASS, VOLUME, QuantityKind
from calcs.units.registry import LengthUnit, registry

# Longer than any reader takes, so that the reader's own sentence refuses it.
MOST_LETTERS = 500
_WHOLE = re.compile(r"\d{1,9}")


class TypedField(forms.CharField):
    """A text that is read. `example`: what stands there at first, where the default unit is mm and where it is in."""

    unit: LengthUnit = "mm"
    keyboard = "text"
    more_than_zero = False

    def __init__(self, label: Any, example: str | tuple[str, str] = "", **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        super().__init__(label=label, max_length=MOST_LETTERS, **kwargs)
        self.examples = (example, example) if isinstance(example, str) else example
        self.reading = ""
        self.widget.attrs.update({"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"})
        if self.keyboard != "text":
            self.widget.attrs["inputmode"] = self.keyboard

    def take_unit(self, unit: LengthUnit) -> None:
        """Take figures without a unit in this one from now on."""
        self.unit = unit

    def read(self, text: str) -> Reading:
        """How the text is read. Each kind of field has its own reader."""
        raise NotImplementedError

    def from_reading(self, reading: Reading) -> Any:
        """What the field cleans to, from a reading that has a value."""
        return reading.value

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        reading = self.read(text)
        if reading.status == "refused":
            raise ValidationError(reading.message)
        if reading.status == "range":
            raise ValidationError(
                _(
                    "{text} is a range, and a sum takes one figure. Write the one to use.",
                    text=quote_input(text),
                )
            )
        if reading.value is None:
            if self.required:
                raise ValidationError(_("{reading} The sum needs a figure here.", reading=reading.message))
            return None
        if self.more_than_zero and getattr(reading.value, "magnitude", 1) == 0:
            raise ValidationError(_("A size of zero is no answer here: write one of more than zero."))
        self.reading = reading.message
        return self.from_reading(reading)


class LengthField(TypedField):
    """A size in mixed units; cleans to a length in mm, or in inches where those are the default."""

    def read(self, text: str) -> Reading:
        return with_limits(read_length(text, self.unit))

    def from_reading(self, reading: Reading) -> Any:
        return in_unit(reading.value, self.unit)


class PlaceField(LengthField):
    """A coordinate: a length that may have a minus sign."""

    def read(self, text: str) -> Reading:
        plain = text.strip()
        behind = plain[1:].strip() if plain[:1] in ("-", "−", "–") else plain
        reading = read_length(behind, self.unit)
        if behind is plain or behind == plain or not reading.has_value or reading.value.magnitude == 0:
            return reading
        size = reading.message.partition(" → ")[2]
        return taken(text, -reading.value, _("minus {size}", size=size), status=reading.status)


class FeedField(LengthField):
    """A feed of one turn, tooth or stroke."""

    def read(self, text: str) -> Reading:
        return read_feed(text, self.unit)


class PitchField(LengthField):
    """A thread's pitch, or its threads to the inch."""

    def read(self, text: str) -> Reading:
        return read_pitch(text, self.unit)


class SpeedField(TypedField):
    """A cutting speed; a bare figure is m/min, or ft/min where inches are the default."""

    def read(self, text: str) -> Reading:
        return read_speed(text, "m/min" if self.unit == "mm" else "ft/min")

    def from_reading(self, reading: Reading) -> Any:
        return reading.value if self.unit == "mm" else reading.value.to("foot / minute")


class MeasureField(TypedField):
    """A mass, volume, area, density, power or rate of a saw, in the units of its kind."""

    def __init__(
        self, label: Any, kind: QuantityKind, units: tuple[str, str], example: Any = "", **kwargs: Any
    ) -> None:
        super().__init__(label, example, **kwargs)
        self.kind, self.units = kind, units

    def read(self, text: str) -> Reading:
        return read_measure(text, self.kind, self.units[self.unit == "in"])

    def from_reading(self, reading: Reading) -> Any:
        shown = self.kind in (AREA, MASS, VOLUME)
        return reading.value.to(self.kind.shown(self.unit == "in").pint) if shown else reading.value


class TimeField(TypedField):
    """A time; a bare figure is refused, since it may be seconds as well as minutes."""

    def read(self, text: str) -> Reading:
        bare = text.strip()
        if re.fullmatch(r"[\d.,]+", bare):
            return refused(text, _("{figure} of what? Write {figure} s or {figure} min.", figure=quote_input(bare)))
        if seconds := re.fullmatch(r"(\d{1,6}(?:\.\d{1,6})?)\s*(?:s|sec|secs|second|seconds)\.?", bare.lower()):
            return taken(text, float(seconds[1]) / 60, f"{seconds[1]} s")
        return read_duration(text)

    def from_reading(self, reading: Reading) -> Any:
        return registry().Quantity(float(reading.value), "minute")


class AngleField(TypedField):
    """An angle in degrees, as a float."""

    def read(self, text: str) -> Reading:
        return read_angle(text)


class ScaleField(TypedField):
    """A scale, as the exact ratio of model to full size."""

    def read(self, text: str) -> Reading:
        return read_scale(text)


class CountField(TypedField):
    """A whole number from `least` to `most`."""

    keyboard = "numeric"

    def __init__(self, label: Any, example: str = "", *, least: int = 1, most: int = 10_000, **kwargs: Any) -> None:
        super().__init__(label, example, **kwargs)
        self.least, self.most = least, most

    def read(self, text: str) -> Reading:
        plain = text.strip()
        if not _WHOLE.fullmatch(plain) or not plain.isascii() or not self.least <= int(plain) <= self.most:
            least, most = f"{self.least}", f"{self.most:,}"
            return refused(text, _("Write a whole number from {least} to {most}.", least=least, most=most))
        return Reading(text, int(plain), "ok", "")


class NumberField(TypedField):
    """A plain number from `least` to `most`; a per cent sign behind it may stand."""

    keyboard = "decimal"

    def __init__(self, label: Any, example: str = "", *, least: float, most: float, **kwargs: Any) -> None:
        super().__init__(label, example, **kwargs)
        self.least, self.most = least, most

    def read(self, text: str) -> Reading:
        plain = text.strip().removesuffix("%").strip().replace(",", ".")
        known = re.fullmatch(r"\d{1,9}(?:\.\d{1,9})?|\.\d{1,9}", plain, re.ASCII)
        if not known or not self.least <= float(plain) <= self.most:
            least, most = f"{self.least:g}", f"{self.most:g}"
            return refused(text, _("Write a number from {least} to {most}.", least=least, most=most))
        return Reading(text, float(plain), "ok", "")


class NumbersField(TypedField):
    """Numbers between commas or spaces, such as spindle speeds or circles of holes; a dash makes a range if asked."""

    def __init__(self, label: Any, example: str = "", *, most: float, whole: bool = False, **kwargs: Any) -> None:
        super().__init__(label, example, **kwargs)
        self.most, self.whole = most, whole

    def read(self, text: str) -> Reading:
        words = [word for word in re.split(r"[\s,;]+", text.strip()) if word]
        if len(words) > 100:
            return refused(text, _("That is more than a hundred numbers."))
        pattern = r"\d{1,7}" if self.whole else r"\d{1,7}(?:\.\d{1,3})?"
        for word in words:
            if not re.fullmatch(pattern, word, re.ASCII) or not 0 < float(word) <= self.most:
                wrong = {"word": quote_input(word, 20), "example": self.examples[0]}
                return refused(text, _("“{word}” is not one of those numbers. Write them like {example}.", **wrong))
        numbers = tuple(sorted({int(word) if self.whole else float(word) for word in words}))
        return Reading(text, numbers, "ok", _("{number} in all", number=len(numbers)) if len(numbers) > 1 else "")


class SpindleField(NumbersField):
    """What a spindle can do: its steps as numbers, or a range like 100 to 2500. Cleans to keywords for a Machine."""

    _RANGE = re.compile(r"(\d{1,7})\s*(?:-|–|to)\s*(\d{1,7})(?:\s*(?:rpm|rev/min))?", re.ASCII)

    def read(self, text: str) -> Reading:
        plain = text.strip().lower()
        if ends := self._RANGE.fullmatch(plain):
            low, high = float(ends[1]), float(ends[2])
            if not 0 < low < high <= self.most:
                return refused(text, _("A range rises from above zero, like 100 to 2500."))
            message = _("any speed from {low} to {high}", low=f"{low:g}", high=f"{high:g}")
            return Reading(text, {"speed_low": low, "speed_high": high}, "ok", message)
        steps = super().read(plain.removesuffix("rpm").removesuffix("rev/min"))
        return steps if not steps.has_value else Reading(text, {"speeds": steps.value}, "ok", _steps(steps.value))


def _steps(steps: tuple[float, ...]) -> str:
    low, high = f"{steps[0]:g}", f"{steps[-1]:g}"
    return ngettext("{n} step, from {low} to {high}", "{n} steps, from {low} to {high}", len(steps), low=low, high=high)


class PickField(forms.ChoiceField):
    """One of a few. What the form redraws when it changes."""

    def __init__(self, label: Any, choices: Any, **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        super().__init__(label=label, choices=choices, **kwargs)
        self.reading = ""
        self.error_messages["invalid_choice"] = gettext_lazy("That is not one of these.")


class TickField(forms.BooleanField):
    """Yes or no; off where the address says nothing of it."""

    def __init__(self, label: Any, **kwargs: Any) -> None:
        super().__init__(label=label, required=False, **kwargs)
        self.reading = ""


def with_limits(reading: Reading) -> Reading:
    """A size with the limits that its tolerance class sets ("12 g6"), where the tables have that class."""
    if not reading.fit or reading.value is None:
        return reading
    try:
        found = limits(reading.value.to("mm"), reading.fit)
    except ValueError:
        return reading
    ends = {"low": f"{found.smallest.magnitude:.3f}", "high": f"{found.largest.magnitude:.3f}", "symbol": found.symbol}
    return replace(reading, message=f"{reading.message}; {_('{symbol}: {low} to {high} mm', **ends)}")


def in_unit(length: Any, unit: LengthUnit) -> Any:
    """The length as a quantity in mm or inches, as the page is set: so the sum is shown."""
    return length if unit == "mm" else length.to("inch")
