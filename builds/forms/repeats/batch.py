"""Batches: starting one, and filling its grid with a thumb."""

from collections.abc import Collection, Mapping
from datetime import date
from functools import cached_property
from typing import Any

from django import forms

from builds.forms.fields import DateField, DurationField
from builds.models import Batch, Builder
from builds.models.choices import TimeIs
from builds.models.entry import new_token
from builds.queries.repeats.batches import BatchRow, BatchStep
from builds.services.log.entries import LogLine
from calcs.typed.reading import Reading

# A day's minutes: a batch that took longer at one operation is several evenings, and they have the bench page.
DAY_MINUTES = 24 * 60


class StartBatchForm(forms.ModelForm):
    """A batch of one part. Its number comes with the form, so that a form sent twice starts one batch."""

    blanks = forms.IntegerField(
        label="Blanks to start",
        min_value=1,
        max_value=100_000,
        error_messages={"min_value": "A batch starts with at least one blank."},
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    number = forms.IntegerField(label="Batch number", min_value=1, max_value=1_000_000)
    started_on = DateField(label="Started on")

    class Meta:
        model = Batch
        fields = ["blanks", "number", "started_on", "note"]

    def same_as(self, kept: Batch | None) -> bool:
        """Whether a batch that is there already is the one that this form asks for."""
        data = self.cleaned_data
        return kept is not None and all(getattr(kept, name) == data[name] for name in self.Meta.fields)


class GridDayForm(forms.Form):
    """What all cells of the grid share."""

    worked_on = DateField(label="Date")
    token = forms.CharField(widget=forms.HiddenInput, max_length=40, required=False)


class StepForm(forms.Form):
    """One operation of the grid. What is left empty was not counted."""

    good = forms.IntegerField(label="Good", required=False, min_value=0, max_value=100_000)
    reworked = forms.IntegerField(label="Put right", required=False, min_value=0, max_value=100_000)
    scrap = forms.IntegerField(label="Scrap", required=False, min_value=0, max_value=100_000)
    scrap_reason = forms.CharField(label="Why scrap", required=False, max_length=120)
    time = DurationField(label="Time", reads="/read/time/")

    def __init__(self, *args: Any, step: BatchStep, **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"o{step.operation.pk}", **kwargs)
        self.step = step
        self.fields["scrap_reason"].widget.attrs["list"] = "scrap-reasons"
        for field in ("good", "reworked", "scrap"):
            self.fields[field].widget.attrs.update({"inputmode": "numeric", "min": 0})

    @property
    def counters(self) -> list[forms.BoundField]:
        return [self[name] for name in ("good", "reworked", "scrap")]

    @property
    def touched(self) -> bool:
        data = self.cleaned_data
        time: Reading | None = data.get("time")
        return bool(time and time.text) or any(data.get(n) for n in ("good", "reworked", "scrap", "scrap_reason"))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        time: Reading | None = data.get("time")
        if time is not None and time.meter:
            self.add_error("time", "Give the time for these pieces, not a running total.")
        elif time is not None and time.value is not None and time.value > DAY_MINUTES:
            self.add_error("time", "That is more than a day has. Log several evenings one by one on the bench page.")
        return data

    def line(self, batch: Batch, worked_on: date, builder: Builder, token: str) -> LogLine:
        data = self.cleaned_data
        counted = bool(data["good"] or data["scrap"])
        minutes, sure = _time(data["time"], untimed=counted and not self.step.tally.open_minutes)
        return LogLine(
            worked_on=worked_on,
            builder=builder,
            part=batch.part,
            operation=self.step.operation,
            batch=batch,
            bench_minutes=minutes,
            bench_is=sure,
            good=data["good"] or 0,
            reworked=data["reworked"] or 0,
            scrap=data["scrap"] or 0,
            scrap_reason=data["scrap_reason"],
            token=token,
        )


def _time(reading: Reading, *, untimed: bool) -> tuple[int | None, str]:
    """Minutes and how sure. untimed: pieces are counted, and no time for them is in the log: as on the bench page, an
    empty field then leaves their time unknown."""
    if not reading.text.strip():
        return (None, TimeIs.UNKNOWN) if untimed else (0, TimeIs.EXACT)
    if reading.value is None:
        return None, TimeIs.UNKNOWN
    return round(reading.value), TimeIs.EXACT if reading.status == "ok" else TimeIs.ROUGH


class Grid:
    """The whole grid: the day, and one form an operation."""

    def __init__(self, data: Mapping[str, Any] | None, line: BatchRow, today: date) -> None:
        self.line = line
        self.day = GridDayForm(data, initial={"worked_on": today, "token": new_token()})
        self.steps = [StepForm(data, step=step) for step in line.steps]

    @property
    def refused(self) -> bool:
        return bool(self.day.errors) or any(form.errors for form in self.steps)

    def is_valid(self) -> bool:
        return all([self.day.is_valid(), *(form.is_valid() for form in self.steps)])

    def touched(self) -> list[StepForm]:
        return [form for form in self.steps if form.touched]

    def lines(self, builder: Builder) -> list[LogLine]:
        """What the log is to hold, in route order: one line for each operation that something was said of."""
        on = self.day.cleaned_data["worked_on"]
        return [form.line(self.line.batch, on, builder, self.token_of(form)) for form in self.touched()]

    def scrap_is_possible(self, logged: Collection[str]) -> bool:
        """Whether no more pieces would be scrapped than were started; a refusal stands beside the last count.

        A log may lack pieces that nobody counted, but it cannot lose more than there were. logged: tokens that the
        log has already, from the same form.
        """
        added = [form for form in self.steps if form.cleaned_data.get("scrap")]
        fresh = [form for form in added if self.token_of(form) not in logged]
        scrapped = self.line.scrap + sum(form.cleaned_data["scrap"] for form in fresh)
        batch = self.line.batch
        if not fresh or scrapped <= batch.blanks:
            return True
        fresh[-1].add_error(
            "scrap",
            f"That makes {scrapped} scrapped of {batch.blanks} blank{'s' * (batch.blanks != 1)}. If more were started, "
            "put the number of blanks of this batch right first.",
        )
        return False

    def token_of(self, form: StepForm) -> str:
        return f"{self.token}-{form.step.operation.pk}"

    @cached_property
    def token(self) -> str:
        return self.day.cleaned_data["token"] or new_token()
