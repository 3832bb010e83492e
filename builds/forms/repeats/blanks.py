"""The question how many blanks to start, as it is typed. A GET form: its address can be kept and sent."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from builds.models import Part
from builds.queries.repeats.blanks import Question, usual_question
from calcs.messages import _

MOST_PIECES = 300


class ConfidenceField(forms.CharField):
    """A confidence as people type it: 90, 90 %, 0.9. Cleans to a share above 0 and below 1."""

    default_error_messages = {"required": gettext_lazy("Give a confidence, such as 90 %.")}

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=20, **kwargs)

    def clean(self, value: Any) -> float:
        text = super().clean(value).strip()
        per_cent = text.endswith("%")
        bare = text.removesuffix("%").strip().replace(",", ".")
        try:
            number = float(bare)
        except ValueError:
            raise ValidationError(_("“{text}” is no confidence. Write it as 90 % or 0.9.", text=text)) from None
        share = number / 100 if per_cent or number > 1 else number
        if share == 1:
            raise ValidationError(
                _("No number of blanks makes it certain. Give a confidence below 100 %, such as 90 %.")
            )
        if not 0 < share < 1:
            raise ValidationError(_("A confidence lies above 0 and below 100 %, such as 90 %."))
        if not 0.01 <= share <= 0.999:
            raise ValidationError(_("Give between 1 % and 99.9 %: beyond that the yields are not known well enough."))
        return share


def _count(label: Any, least: int, refusal: Any) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=MOST_PIECES,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={
            "min_value": refusal,
            "max_value": gettext_lazy("Give at most %(limit_value)s pieces: more is no batch for one person."),
            "invalid": gettext_lazy("Give a whole number of pieces."),
            "required": gettext_lazy("Give a number of pieces."),
        },
    )


class BlanksForm(forms.Form):
    good = _count(gettext_lazy("Good pieces"), 1, gettext_lazy("Give at least one good piece."))
    spares = _count(gettext_lazy("Spares"), 0, gettext_lazy("Give 0 spares or more."))
    confidence = ConfidenceField(label=gettext_lazy("How sure"))
    work = forms.ChoiceField(
        label=gettext_lazy("Of what is there, count"),
        choices=[
            ("count", gettext_lazy("all of it")),
            ("finished", gettext_lazy("the finished")),
            ("none", gettext_lazy("nothing")),
        ],
        required=False,
    )
    blanks = _count(
        gettext_lazy("And with so many blanks?"), 1, gettext_lazy("A batch starts with at least one blank.")
    )

    def __init__(self, data: Any, *, part: Part) -> None:
        usual = usual_question(part)
        self.usual = {"good": usual.good, "spares": usual.spares, "confidence": "90 %", "work": "count"}
        # What the address leaves out is what is usual, so that a plain visit has its answer at once.
        super().__init__({**self.usual, **{name: data[name] for name in data}})
        self.fields["blanks"].required = False

    @property
    def question(self) -> Question:
        """What is asked. Call it on a valid form only."""
        given = self.cleaned_data
        already = given["work"] or "count"
        return Question(
            given["good"],
            given["spares"],
            given["confidence"],
            count_in_work=already == "count",
            count_finished=already != "none",
        )
