"""The form of a page of sums: a GET form whose address holds every input, with fields that follow what is asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer
from builds.arithmetic.fields import PickField, TypedField
from calcs.units.registry import LengthUnit

UNITS = [("mm", "mm"), ("in", gettext_lazy("inches"))]


@dataclass(frozen=True)
class Kind:
    """One sort of sum on a page.

    fields: their names in order; those named in `more` lie folded away. needed: without these there is no answer.
    labels, examples: what this sum calls a field, and what stands in it at first (in mm, in inches). turned: the field
    of an angle that a slider sets beside its number.
    """

    label: Any
    work_out: Callable[[Any], Answer]
    fields: tuple[str, ...]
    more: tuple[str, ...] = ()
    needed: tuple[str, ...] = ()
    labels: Mapping[str, Any] = field(default_factory=dict)
    examples: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    help: Mapping[str, Any] = field(default_factory=dict)
    turned: str = ""


class SumForm(forms.Form):
    """What the address leaves out stands as an example, so that a plain visit has an answer at once."""

    kinds: ClassVar[dict[str, Kind]] = {}
    asks: ClassVar[Any] = gettext_lazy("What")

    unit = PickField(gettext_lazy("Figures without a unit are in"), UNITS, widget=forms.RadioSelect)

    def __init__(self, data: Mapping[str, Any]) -> None:
        given = {name: data[name] for name in data}
        self.of_unit: LengthUnit = "in" if given.get("unit") == "in" else "mm"
        what = given.get("what", "")
        self.asked = what if what in self.kinds else next(iter(self.kinds))
        self.kind = self.kinds[self.asked]
        own = {name for name in given if name in self.base_fields and name not in ("unit", "what")}
        self.is_example = not own
        super().__init__({**self._examples(), **given})
        self._follow_the_kind()
        self._ask_what_is_not_known()
        # Only what the page knows; anything else in the address is left aside.
        for bound in self.fields.values():
            if isinstance(bound, TypedField):
                bound.take_unit(self.of_unit)

    def _examples(self) -> dict[str, Any]:
        inch = self.of_unit == "in"
        texts: dict[str, Any] = {"unit": self.of_unit, "what": self.asked}
        for name in (*self.kind.fields, *self.kind.more):
            field = self.base_fields[name]
            pair = self.kind.examples.get(name) or getattr(field, "examples", None)
            if pair is not None:
                texts[name] = pair[inch]
            elif isinstance(field, PickField):
                texts[name] = field.initial or next(iter(field.choices))[0]
        return texts

    def _follow_the_kind(self) -> None:
        if len(self.kinds) > 1:
            choices = [(key, kind.label) for key, kind in self.kinds.items()]
            self.fields["what"] = PickField(self.asks, choices)
        kept = (*(["what"] if len(self.kinds) > 1 else []), "unit", *self.kind.fields, *self.kind.more)
        self.fields = {name: self.fields[name] for name in kept}
        for name in self.kind.needed:
            self.fields[name].required = True
            self.fields[name].error_messages["required"] = gettext_lazy("This is needed for the sum.")
            self.fields[name].more_than_zero = True
            self.fields[name].widget.is_required = False  # the sentence says it, not the browser's bubble
        for name, label in self.kind.labels.items():
            self.fields[name].label = label
        for name, words in self.kind.help.items():
            self.fields[name].help_text = words

    def _ask_what_is_not_known(self) -> None:
        """A list that stands at none of its choices says so; a browser would show the first one and send it."""
        for name, pick in self.fields.items():
            if isinstance(pick, PickField) and not isinstance(pick.widget, forms.RadioSelect):
                choices = list(pick.choices)
                if self.data.get(name, "") not in [value for value, _label in choices]:
                    pick.choices = [("", gettext_lazy("choose …")), *choices]

    @property
    def use_required_attribute(self) -> bool:  # type: ignore[override]
        return False

    @use_required_attribute.setter
    def use_required_attribute(self, value: bool) -> None:
        pass

    def leading(self) -> list[forms.BoundField]:
        """What is asked, and the unit: the fields that redraw the form."""
        return [self[name] for name in ("what", "unit") if name in self.fields]

    def main_fields(self) -> list[forms.BoundField]:
        """The fields that stand open."""
        return [self[name] for name in self.kind.fields]

    def more_fields(self) -> list[forms.BoundField]:
        """The fields that lie folded away until they are wanted."""
        return [self[name] for name in self.kind.more]

    def turned(self) -> forms.BoundField | None:
        """The angle that a slider sets, where this sum has one."""
        return self[self.kind.turned] if self.kind.turned else None

    @property
    def turned_to(self) -> int:
        """Where its slider stands: from 0 to 359 degrees."""
        angle = getattr(self, "cleaned_data", {}).get(self.kind.turned)
        return round(angle or 0) % 360

    @property
    def more_is_used(self) -> bool:
        """Whether one of the folded fields holds something else than at first."""
        examples = self._examples()
        return any(
            name in self.errors or (self.data.get(name) or "") != (examples.get(name) or "") for name in self.kind.more
        )

    def given(self, *names: str) -> dict[str, Any]:
        """The cleaned figures of those names, without the ones that were left empty."""
        cleaned = self.cleaned_data
        # Asked by kind, since Pint would try to read a unit out of a text it is compared with.
        return {
            name: cleaned[name]
            for name in names
            if cleaned.get(name) is not None and not (isinstance(cleaned[name], str) and not cleaned[name])
        }
