"""The day a forecast is asked for, and what may change in the time to come."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from builds.forms.fields import DateField
from builds.models import Milestone
from builds.queries.forecast.what_if import WhatIfInput
from calcs.messages import _


class AsOfForm(forms.Form):
    as_of = DateField(label=gettext_lazy("As of"), required=False)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["as_of"].widget.attrs["max"] = today.isoformat()

    def clean_as_of(self) -> date | None:
        day: date | None = self.cleaned_data["as_of"]
        if day is not None and day > self.today:
            raise ValidationError(_("That day is still to come. Give today or an earlier day."))
        return day

    def day(self) -> date:
        """The day asked for; today where none was, or none that could be read."""
        if not self.is_valid():
            return self.today
        return self.cleaned_data["as_of"] or self.today

    @property
    def kept_as(self) -> str | None:
        """What tells a page of that day from others, empty on a plain visit; None where the day was not understood."""
        typed = str(self.data.get("as_of", ""))
        return None if self.is_bound and typed != self.day().isoformat() else typed

    @property
    def query(self) -> str:
        """How an address goes on that asks for the same day; empty for today."""
        return "" if self.day() == self.today else f"?as_of={self.day().isoformat()}"


# A week has 168 hours; what is beyond these is no pace of a shop and would only be a slip of the pen.
MOST_HOURS = 100
MOST_EVENINGS = 7


def typed(keys: str) -> forms.TextInput:
    """A field for a number that keeps what was typed, even where it is refused; a phone shows its number keys."""
    return forms.TextInput(attrs={"inputmode": keys, "autocomplete": "off", "size": 6})


class WhatIfForm(forms.Form):
    """What may change in the time to come. A GET form: its address can be kept and sent, and nothing is stored."""

    evenings = forms.IntegerField(
        label=gettext_lazy("Evenings more a week"),
        required=False,
        min_value=0,
        max_value=MOST_EVENINGS,
        widget=typed("numeric"),
        error_messages={
            "invalid": gettext_lazy("Give a whole number of evenings, such as 1."),
            "min_value": gettext_lazy("Give 0 evenings or more; for fewer hours give the hours a week."),
            "max_value": gettext_lazy("A week has seven evenings."),
        },
    )
    hours = forms.FloatField(
        label=gettext_lazy("Hours a week instead"),
        required=False,
        widget=typed("decimal"),
        error_messages={"invalid": gettext_lazy("Give hours a week as a number, such as 8.")},
    )
    without_spares = forms.BooleanField(label=gettext_lazy("No more spares"), required=False)

    def clean_hours(self) -> float | None:
        hours: float | None = self.cleaned_data["hours"]
        if hours is None:
            return None
        if hours <= 0:
            raise ValidationError(_("Without any hours it is never finished. Give more than none, such as 4."))
        if hours > MOST_HOURS:
            message = _("Nobody keeps more than {most} hours a week at the bench. Give fewer.", most=MOST_HOURS)
            raise ValidationError(message)
        return hours

    @property
    def asked(self) -> WhatIfInput:
        """What is asked; nothing at all where something typed was refused."""
        if not self.is_bound or not self.is_valid():
            return WhatIfInput()
        given = self.cleaned_data
        return WhatIfInput(given["evenings"] or 0, given["hours"], given["without_spares"])


class ReadyForm(forms.Form):
    """A day, and what is to be ready by then. A GET form: its address can be kept and sent, and nothing is stored."""

    by = DateField(label=gettext_lazy("By"))
    milestone = forms.ChoiceField(label=gettext_lazy("What"), required=False)

    def __init__(self, *args: Any, milestones: Sequence[Milestone], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.milestones = {str(one.pk): one for one in milestones}
        names = [(key, one.name) for key, one in self.milestones.items()]
        self.fields["milestone"].choices = [("", _("the whole build")), *names]  # type: ignore[attr-defined]

    @property
    def asked(self) -> tuple[date, Milestone | None] | None:
        """The day and the milestone; None where nothing was asked, or something typed was refused."""
        if not self.is_bound or not self.is_valid():
            return None
        given = self.cleaned_data
        return given["by"], self.milestones.get(given["milestone"])
