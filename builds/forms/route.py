"""Forms of a part's route: an operation, and the first one beside a rough "making"."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from builds.forms.fields import PlanMinutesField
from builds.forms.folds import FoldedMixin
from builds.forms.two_people import SeenMixin
from builds.models import Operation
from calcs.messages import _
from calcs.typed.durations import format_duration


class OperationForm(FoldedMixin, SeenMixin, forms.ModelForm):
    folds = {
        gettext_lazy("More about it"): (
            "number", "machine", "origin", "unattended_share", "slip_costs_time", "note",
        )
    }  # fmt: skip
    number = forms.IntegerField(
        label=gettext_lazy("Number"),
        required=False,
        min_value=1,
        max_value=99_999,
        help_text=gettext_lazy("Empty for ten after the last."),
    )
    setup_minutes = PlanMinutesField(label=gettext_lazy("Set-up"), help_text=gettext_lazy("Once for a batch: 20 min."))
    minutes_per_unit = PlanMinutesField(
        label=gettext_lazy("Time for one"), help_text=gettext_lazy("12 min. Empty: nobody knows yet.")
    )

    class Meta:
        model = Operation
        fields = [
            "kind", "title", "setup_minutes", "minutes_per_unit", "basis", "amount",
            "number", "machine", "origin", "unattended_share", "slip_costs_time", "note",
        ]  # fmt: skip
        widgets = {"note": forms.Textarea(attrs={"rows": 2})}
        help_texts = {
            "amount": gettext_lazy("How many of these one piece has."),
            "unattended_share": gettext_lazy("0.9 where nine tenths of the time nobody need stand there."),
            "slip_costs_time": gettext_lazy(
                "Boring a finished block: it is put right, not made anew. The forecast then loses no piece here."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.part.is_work:
            del self.fields["slip_costs_time"]

    @property
    def replaced(self) -> Operation | None:
        """The operation whose place the new one takes; none unless the form asked for it."""
        return None

    def clean_setup_minutes(self) -> float:
        return self.cleaned_data["setup_minutes"] or 0.0

    def clean_number(self) -> int:
        # Zero is "not given": the service puts it ten after the last.
        return self.cleaned_data["number"] or self.instance.number or 0


class FirstOperationForm(OperationForm):
    """The first detailed operation of a part that has a rough "making": asks what becomes of that."""

    making = forms.ChoiceField(
        choices=[
            ("replace", gettext_lazy("Let the operations take its place (usual)")),
            ("keep", gettext_lazy("Keep it beside them: both are still to be done")),
        ],
        widget=forms.RadioSelect,
        initial="replace",
    )

    field_order = ("seen", "making")

    def __init__(self, *args: Any, making: Operation, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instead_of = making
        each = making.minutes_per_piece
        self.fields["making"].label = (
            _("This part has a rough “making” without a figure so far.")
            if each is None
            else _("This part has a rough “making” of {time} a piece so far.", time=format_duration(round(each)))
        )
        if making.entries.exists():
            help_text = _("What was logged on it stays; in their place it plans nothing more.")
            self.fields["making"].help_text = help_text

    @property
    def replaced(self) -> Operation | None:
        """The operation whose place the new one takes."""
        return self.instead_of if self.cleaned_data["making"] == "replace" else None
