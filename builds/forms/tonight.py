"""The time at hand, as people type it. A GET form: its address can be kept, gone back to and loaded again."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from builds.forms.fields import DurationField
from builds.queries.log.oddities import DAY_MINUTES
from calcs.messages import _
from calcs.typed.reading import Reading


class TonightForm(forms.Form):
    time = DurationField(
        label=gettext_lazy("Another time"), help_text=gettext_lazy("1h30, 1:30, 1.5 or 90 min"), reads="/read/time/"
    )

    def clean_time(self) -> float | None:
        reading: Reading = self.cleaned_data["time"]
        if reading.meter:
            raise ValidationError(_("A running total is no time at hand. Write 45 min or 1 h 30."))
        if reading.value is None:
            return None
        if not 0 < reading.value <= DAY_MINUTES:
            raise ValidationError(_("Give a time between a minute and a day, such as 1 h 30."))
        return float(reading.value)

    @property
    def minutes(self) -> float | None:
        """The minutes asked for; None where none were, or none that could be read."""
        given: dict[str, Any] = self.cleaned_data if self.is_bound and self.is_valid() else {}
        return given.get("time")
