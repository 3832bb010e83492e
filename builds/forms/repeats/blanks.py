"""The question how many blanks to start, as it is typed. A GET form: its address can be kept and sent."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from builds.models import Part
from builds.queries.repeats.blanks import Question, usual_question

MOST_PIECES = 300


class ConfidenceField(forms.CharField):
    """A confidence as people type it: 90, 90 %, 0.9. Cleans to a share above 0 and below 1."""

    default_error_messages = {"required": "Give a confidence, such as 90 %."}

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=20, **kwargs)

    def clean(self, value: Any) -> float:
        text = super().clean(value).strip()
        per_cent = text.endswith("%")
        bare = text.removesuffix("%").strip().replace(",", ".")
        try:
            number = float(bare)
        except ValueError:
            raise ValidationError(f"“{text}” is no confidence. Write it as 90 % or 0.9.") from None
        share = number / 100 if per_cent or number > 1 else number
        if share == 1:
            raise ValidationError("Certainty cannot be had. Give a confidence below 100 %, such as 90 %.")
        if not 0 < share < 1:
            raise ValidationError("A confidence lies above 0 and below 100 %, such as 90 %.")
        if not 0.01 <= share <= 0.999:
            raise ValidationError(
                "Between 1 % and 99.9 % the answer means something; beyond, the yields are not known."
            )
        return share


def _count(label: str, least: int, refusal: str) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=MOST_PIECES,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={
            "min_value": refusal,
            "max_value": f"Above {MOST_PIECES} pieces this is no longer a batch for a shop of one.",
            "invalid": "Give a whole number of pieces.",
            "required": "Give a number of pieces.",
        },
    )


class BlanksForm(forms.Form):
    good = _count("Good ones", 1, "At least one good piece must be wanted.")
    spares = _count("Spares", 0, "Spares are none or more.")
    confidence = ConfidenceField(label="How sure")
    work = forms.ChoiceField(
        label="Of what is there, count",
        choices=[("count", "all of it"), ("finished", "the finished"), ("none", "nothing")],
        required=False,
    )
    blanks = _count("And with so many blanks?", 1, "A batch starts with at least one blank.")

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
