"""The day an outlook is asked for."""

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from builds.forms.fields import DateField


class AsOfForm(forms.Form):
    as_of = DateField(label="As of", required=False)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["as_of"].widget.attrs["max"] = today.isoformat()

    def clean_as_of(self) -> date | None:
        day: date | None = self.cleaned_data["as_of"]
        if day is not None and day > self.today:
            raise ValidationError("That day is still to come. Give today or an earlier day.")
        return day

    def day(self) -> date:
        """The day asked for; today where none was, or none that could be read."""
        if not self.is_valid():
            return self.today
        return self.cleaned_data["as_of"] or self.today
