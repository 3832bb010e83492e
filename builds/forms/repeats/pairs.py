"""Which two sizes go together, and the clearance between them. A GET form: its address can be kept and sent."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from builds.forms.fields import LengthField
from builds.models import Build, Size
from builds.queries.repeats.pairs import Question
from builds.queries.repeats.spread import sizes_with_figures
from calcs.messages import _
from calcs.typed.lengths import read_length

MINUS_SIGNS = "-−–"


class ClearanceField(LengthField):
    """A clearance in millimetres; below 0 it is an interference. Empty is None where the form says so."""

    def __init__(self, *, example: str, **kwargs: Any) -> None:
        self.example = example
        super().__init__(**{"help_text": example, **kwargs})

    def clean(self, value: Any) -> float | None:  # type: ignore[override]
        text = str(value or "").strip()
        if not text and not self.required:
            return None
        below = text[:1] in MINUS_SIGNS and bool(text)
        size = text[1:].strip() if below else text
        if size[:1] in MINUS_SIGNS or read_length(size[: self.max_length], self.unit).status in ("range", "unknown"):
            raise ValidationError(_("Give one clearance, such as {example}.", example=self.example))
        # Nothing below nothing: 0, not -0.
        return -super().clean(size) + 0.0 if below else super().clean(size)


class SizeField(forms.ModelChoiceField):
    def label_from_instance(self, size: Size) -> str:  # type: ignore[override]
        return _("{part}: {size}", part=size.part, size=size.name)


class PairsForm(forms.Form):
    outer = SizeField(queryset=Size.objects.none(), label=gettext_lazy("Goes round the other, such as a bore"))
    inner = SizeField(queryset=Size.objects.none(), label=gettext_lazy("Goes into it, such as a piston"))
    least = ClearanceField(label=gettext_lazy("Smallest clearance"), example="0.01 mm, .0005 in")
    most = ClearanceField(label=gettext_lazy("Largest clearance"), example="0.03 mm, .001 in")
    wanted = ClearanceField(
        label=gettext_lazy("Wanted clearance"),
        example="0.02 mm",
        help_text=gettext_lazy("Empty: the middle"),
        required=False,
    )

    def __init__(self, data: Any, *, build: Build) -> None:
        # A visit that brings no clearances asks nothing yet, so nothing is wrong with it; what it chose is kept.
        asked = any(name in data for name in ("least", "most", "wanted"))
        super().__init__(data if asked else None, initial=None if asked else {name: data[name] for name in data})
        sizes = sizes_with_figures(part__build=build)
        for field in self.fields.values():
            if isinstance(field, SizeField):
                field.queryset = sizes
            elif isinstance(field, ClearanceField):
                field.unit = build.length_unit

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        outer, inner = given.get("outer"), given.get("inner")
        if outer and inner and outer.part_id == inner.part_id:
            raise ValidationError({"inner": _("Both sizes are of one part. Choose a size of another part.")})
        least, most, wanted = given.get("least"), given.get("most"), given.get("wanted")
        if least is None or most is None:
            return given
        if least > most:
            raise ValidationError({"most": _("The largest clearance is smaller than the smallest.")})
        if wanted is not None and not least <= wanted <= most:
            raise ValidationError({"wanted": _("It must lie between the smallest and the largest.")})
        return given

    @property
    def question(self) -> Question:
        """What is asked. Call it on a valid form only."""
        given = self.cleaned_data
        least, most, wanted = given["least"], given["most"], given["wanted"]
        return Question(given["outer"], given["inner"], least, most, (least + most) / 2 if wanted is None else wanted)
