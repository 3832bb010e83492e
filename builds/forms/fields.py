"""Fields that take what people type."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from calcs.messages import _
from calcs.typed.durations import UsualMinutes, format_duration, read_duration
from calcs.typed.lengths import read_length
from calcs.typed.reading import Reading, quote_input
from calcs.units.registry import LengthUnit

AS_TYPED = {"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}


def said_as_one_types(address: str) -> dict[str, str]:
    """Attributes of a field of which the server says how it reads it; nothing is lost where this does not run."""
    return AS_TYPED | {"hx-get": address, "hx-trigger": "input changed delay:300ms", "hx-target": "next output"}


def as_sent(bound: forms.BoundField, value: Any) -> list[str]:
    """A value as a browser sends it."""
    value = bound.field.prepare_value(value() if callable(value) else value)
    if isinstance(bound.field.widget, forms.CheckboxInput):
        return ["on"] if value else []
    shown = bound.field.widget.format_value(value)
    if shown is None:
        return []
    return [str(one) for one in shown] if isinstance(shown, list | tuple) else [str(shown)]


class DateInput(forms.DateInput):
    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)


class DateField(forms.DateField):
    """A calendar date; the browser's own picker where it has one."""

    widget = DateInput
    default_error_messages = {"invalid": gettext_lazy("That is not a date. Write it as 2026-11-25.")}


class DurationField(forms.CharField):
    """A time as people type it. Cleans to a `Reading` in minutes; blank gives one with status "unknown".

    takes_note: whether the form has a place for the words that stand beside the time; else they are refused.
    """

    # The builder's usual minutes on a day, for the question that "2 days" is answered with; asked when needed only.
    usual_minutes: UsualMinutes = staticmethod(lambda: None)

    def __init__(self, *, reads: str = "", takes_note: bool = False, **kwargs: Any) -> None:
        self.takes_note = takes_note
        kwargs.setdefault("required", False)
        kwargs.setdefault("max_length", 200)
        super().__init__(**kwargs)
        self.widget.attrs.update(said_as_one_types(reads) if reads else AS_TYPED)

    def clean(self, value: Any) -> Reading:
        text = super().clean(value)
        reading = read_duration(text, usual_minutes=self.usual_minutes)
        if reading.status == "refused":
            raise ValidationError(reading.message)
        if reading.note and not self.takes_note:
            alone = _("Only a time belongs here. Leave “{words}” out.", words=quote_input(reading.note))
            raise ValidationError(alone)
        if self.required and reading.value is None:
            raise ValidationError(_("Give a time, such as 12 min or 1 h 30."))
        return reading

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Reading):
            return value.text
        return format_duration(value) if isinstance(value, int | float) else value


class PlanMinutesField(DurationField):
    """A planned time. A bare whole number is refused, since here it may be minutes as well as hours."""

    def clean(self, value: Any) -> float | None:  # type: ignore[override]
        text = str(value or "").strip()
        # Not the whole number: its digits may be more than Python cares to read.
        if text.isdecimal() and text.strip("0"):
            raise ValidationError(_("{text} of what? Write {text} min or {text} h.", text=quote_input(text)))
        reading = super().clean(value)
        if reading.meter:
            raise ValidationError(_("A running total is no planned time. Write 12 min or 1 h 30."))
        return None if reading.value is None else float(reading.value)


class LengthField(forms.CharField):
    """A length as people type it. Cleans to millimetres; a bare figure is in `unit`, which a form may set."""

    unit: LengthUnit = "mm"

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 60)
        super().__init__(**kwargs)
        self.widget.attrs.update({"autocomplete": "off", "size": 8})

    def clean(self, value: Any) -> float:
        text = super().clean(value)
        reading = read_length(text, self.unit)
        if reading.value is None:
            raise ValidationError(reading.message)
        return float(reading.value.to("millimeter").magnitude)


class LengthAsTypedField(LengthField):
    """A length that is kept as it was typed, where it can be read; empty stays empty."""

    def clean(self, value: Any) -> str:  # type: ignore[override]
        text = str(value or "").strip()
        if text:
            super().clean(text)
        return text


class StepsField(forms.CharField):
    """Spindle speeds in steps, as numbers between commas or spaces."""

    def clean(self, value: Any) -> list[float]:
        text = super().clean(value)
        steps = []
        for word in text.replace(",", " ").replace(";", " ").split():
            try:
                speed = float(word)
            except ValueError:
                raise ValidationError(
                    _("“{word}” is not a speed. Write the steps as 60, 110, 200.", word=word)
                ) from None
            if not 0 < speed < 1_000_000:
                raise ValidationError(_("{speed} rev/min is not a spindle speed.", speed=word))
            steps.append(int(speed) if speed.is_integer() else speed)
        return sorted(set(steps))

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(str(step) for step in value) if isinstance(value, list) else value
