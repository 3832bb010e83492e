"""Batches: starting one, and filling its grid with a thumb."""

from collections.abc import Mapping
from datetime import date
from functools import cached_property
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from builds.forms.fields import DateField, DurationField
from builds.forms.log.counts import COUNTED, CountsForm, bench_time
from builds.models import Batch, Builder
from builds.models.entry import new_token
from builds.queries.log.oddities import DAY_MINUTES
from builds.queries.repeats.batches import BatchRow, BatchStep
from builds.services.log.entries import LogLine
from calcs.messages import _
from calcs.typed.reading import Reading


class StartBatchForm(forms.ModelForm):
    """A batch of one part. Its number comes with the form, so that a form sent twice starts one batch."""

    blanks = forms.IntegerField(
        label=gettext_lazy("Blanks to start"),
        min_value=1,
        max_value=100_000,
        error_messages={"min_value": gettext_lazy("A batch starts with at least one blank.")},
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    number = forms.IntegerField(label=gettext_lazy("Batch number"), min_value=1, max_value=1_000_000)
    started_on = DateField(label=gettext_lazy("Started on"))
    from_rack = forms.BooleanField(
        label=gettext_lazy("Take the blanks off the rack"),
        required=False,
        help_text=gettext_lazy("The bars that are cut go, their offcuts come. Undoing the batch puts them back."),
    )

    class Meta:
        model = Batch
        fields = ["blanks", "number", "started_on", "note"]

    def __init__(self, *args: Any, bar_at_hand: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not bar_at_hand:
            del self.fields["from_rack"]

    def same_as(self, kept: Batch | None) -> bool:
        """Whether a batch that is there already is the one that this form asks for."""
        data = self.cleaned_data
        return kept is not None and all(getattr(kept, name) == data[name] for name in self.Meta.fields)


class GridDayForm(forms.Form):
    """What all cells of the grid share."""

    worked_on = DateField(label=gettext_lazy("Date"))
    token = forms.CharField(widget=forms.HiddenInput, max_length=40, required=False)


class StepForm(CountsForm):
    """One operation of the grid. What is left empty was not counted."""

    time = DurationField(label=gettext_lazy("Time"), reads="/read/time/")

    def __init__(self, *args: Any, step: BatchStep, **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"o{step.operation.pk}", **kwargs)
        self.step = step

    @property
    def touched(self) -> bool:
        data = self.cleaned_data
        time: Reading | None = data.get("time")
        return bool(time and time.text) or any(data.get(name) for name in (*COUNTED, "scrap_reason"))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        time: Reading | None = data.get("time")
        if time is not None and time.meter:
            self.add_error("time", _("Give the time for these pieces, not a running total."))
        elif time is not None and time.value is not None and time.value > DAY_MINUTES:
            self.add_error("time", _("That is more than a day has. Log several evenings one by one on the bench page."))
        return data

    def line(self, batch: Batch, worked_on: date, builder: Builder, token: str) -> LogLine:
        untimed = self.settled and not self.step.tally.open_minutes
        minutes, sure = bench_time(self.cleaned_data["time"], untimed=untimed)
        return LogLine(
            worked_on=worked_on,
            builder=builder,
            part=batch.part,
            operation=self.step.operation,
            batch=batch,
            bench_minutes=minutes,
            bench_is=sure,
            **self.counted,
            token=token,
        )


class Grid:
    """The whole grid: the day, and one form an operation."""

    def __init__(
        self, data: Mapping[str, Any] | None, row: BatchRow, today: date, builder: Builder | None = None
    ) -> None:
        self.row = row
        self.day = GridDayForm(data, initial={"worked_on": today, "token": new_token()})
        self.steps = [StepForm(data, step=step, builder=builder) for step in row.steps]

    @property
    def refused(self) -> bool:
        return bool(self.day.errors) or any(form.errors for form in self.steps)

    @property
    def asks(self) -> bool:
        return any(form.questions for form in self.steps)

    def is_valid(self) -> bool:
        return all([self.day.is_valid(), *(form.is_valid() for form in self.steps)])

    def touched(self) -> list[StepForm]:
        return [form for form in self.steps if form.touched]

    def lines(self, builder: Builder) -> list[LogLine]:
        """What the log is to hold, in route order: one line for each operation that something was said of."""
        on = self.day.cleaned_data["worked_on"]
        return [form.line(self.row.batch, on, builder, self.token_of(form)) for form in self.touched()]

    def token_of(self, form: StepForm) -> str:
        return f"{self.token}-{form.step.operation.pk}"

    @cached_property
    def token(self) -> str:
        return self.day.cleaned_data["token"] or new_token()
