"""Forms of the list of parts: what it shows, and the places in the working order."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from builds.models import Build, Machine, Material
from builds.queries.plan.parts_list import PartsAsked
from calcs.messages import _
from calcs.typed.reading import quote_input


class PartsListForm(forms.Form):
    state = forms.ChoiceField(
        label=gettext_lazy("Show"),
        required=False,
        choices=[
            ("", gettext_lazy("open")),
            ("in work", gettext_lazy("in work")),
            ("not begun", gettext_lazy("not begun")),
            ("waiting", gettext_lazy("waiting")),
            ("finished", gettext_lazy("finished")),
            ("all", gettext_lazy("all of them")),
        ],
    )
    assembly = forms.ModelChoiceField(
        label=gettext_lazy("Assembly"), queryset=None, required=False, empty_label=gettext_lazy("any assembly")
    )
    material = forms.ModelChoiceField(
        label=gettext_lazy("Material"), queryset=None, required=False, empty_label=gettext_lazy("any material")
    )
    machine = forms.ModelChoiceField(
        label=gettext_lazy("Machine"), queryset=None, required=False, empty_label=gettext_lazy("any machine")
    )
    sort = forms.ChoiceField(
        label=gettext_lazy("Sorted by"),
        required=False,
        choices=[
            ("", gettext_lazy("working order")),
            ("plan", gettext_lazy("order of the plan")),
            ("item", gettext_lazy("item")),
            ("name", gettext_lazy("name")),
            ("material", gettext_lazy("material")),
            ("left", gettext_lazy("most hours left")),
        ],
    )

    def __init__(self, *args: Any, build: Build, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["assembly"].queryset = build.assemblies.all()
        self.fields["material"].queryset = Material.objects.filter(parts__build=build).distinct()
        self.fields["machine"].queryset = Machine.objects.filter(operations__part__build=build).distinct()

    def asked(self) -> PartsAsked:
        """What is asked for; a field that was refused asks for nothing."""
        if not self.is_bound:
            return PartsAsked()
        self.full_clean()
        return PartsAsked(**{name: value for name, value in self.cleaned_data.items() if value})


# What is pressed beside a part, and by how much it moves; "last" puts it behind all others.
STEPS = {"earlier": -1, "later": 1, "last": 0}


class WorkingOrderForm(forms.Form):
    """Places as they were typed, and the button that was pressed; `keys` is the working order that follows.

    order: the keys of the parts in working order as it stands. names: of all parts that may stand in it.
    """

    # The working order that the page showed: only a place that differs from that was typed.
    shown = forms.CharField(required=False, max_length=20_000, widget=forms.HiddenInput)

    def __init__(self, data: Any, *, order: Sequence[int], names: Mapping[int, str]) -> None:
        super().__init__(data)
        self._order, self._names = order, names
        self._wanted: dict[int, int | None] = {}
        self.typed = {key: text for key in names if (text := data.get(f"place-{key}")) is not None}

    def clean(self) -> Any:
        shown = {key: place for place, key in enumerate(self.cleaned_data.get("shown", "").split(","), start=1)}
        for key, text in self.typed.items():
            try:
                place = _place(text)
            except ValueError:
                self._refuse(key, text)
            else:
                if place != shown.get(str(key)):
                    self._wanted[key] = place
        return super().clean()

    def _refuse(self, key: int, text: str) -> None:
        name = f"place-{key}"
        self.fields[name] = forms.CharField(label=_("Place of {part}", part=self._names[key]), required=False)
        self.add_error(name, _("{text} is no place. Write 1 for the first, or nothing.", text=quote_input(text)))

    @property
    def keys(self) -> list[int]:
        """The working order once the typed places count, and after them the button."""
        keys, at = [key for key in self._order if key not in self._wanted], 0
        for place, key in sorted((place, key) for key, place in self._wanted.items() if place is not None):
            # Two of the same place stand one behind the other.
            at = max(at, place - 1)
            keys.insert(at, key)
            at += 1
        return self._stepped(keys)

    def _stepped(self, keys: list[int]) -> list[int]:
        by_text = {str(key): key for key in self._names}
        for name in STEPS.keys() & self.data.keys():
            key = by_text.get(self.data[name])
            if key is not None and (key not in keys or name == "last"):
                return [*(one for one in keys if one != key), key]
            if key is not None:
                at = keys.index(key)
                keys.insert(max(0, at + STEPS[name]), keys.pop(at))
        return keys


def _place(text: str) -> int | None:
    """A typed place from 1 up, None for nothing typed. Raises ValueError for what is none."""
    text = text.strip()
    if not text:
        return None
    if not text.isdecimal() or len(text) > 5 or not int(text):
        raise ValueError("That is no place.")
    return int(text)
