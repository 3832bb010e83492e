"""How the rates are cut, and what is to be taken over into the plan."""

from django import forms
from django.utils.translation import gettext_lazy

from builds.queries.rates.comparison import CUTS


def cut_of(text: str) -> str:
    """The cut that an address asks for; by kind where it names none."""
    return text if text in CUTS else "kind"


class ApplyRatesForm(forms.Form):
    """What the preview goes by. A box left empty means no, so that the form has no wrong answers."""

    leave_worked_out = forms.BooleanField(
        label=gettext_lazy("Leave times that were worked out from the drawing as they are"),
        required=False,
        widget=forms.CheckboxInput(attrs={"data-autosubmit": ""}),
    )

    @property
    def leave(self) -> bool:
        return self.is_valid() and bool(self.cleaned_data["leave_worked_out"])
