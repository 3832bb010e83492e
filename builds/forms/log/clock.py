"""The form of a running clock: when it began, what was counted and noted while it runs, and stopping it."""

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy

from builds.forms.fields import DurationField
from builds.forms.log.counts import CountsForm, bench_time, note_with_time
from builds.models import Batch, Clock
from builds.models.choices import TimeIs
from builds.models.oddity import Oddity
from builds.queries.log.oddities import DAY_MINUTES
from builds.queries.snapshot import PartRow
from builds.services.log.entries import LogLine
from calcs.messages import _
from calcs.typed.durations import format_duration
from calcs.typed.reading import Reading

# What a clock keeps of what was typed, by the names of its own form.
KEPT = ("note", "good", "reworked", "scrap", "done", "scrap_reason", "before", "worked", "unattended", "batch")


class ClockOffForm(CountsForm):
    """What the clock is to log besides its time, and the time really worked, where it is not what the clock says."""

    began_at = forms.TimeField(
        label=gettext_lazy("Began at"),
        required=False,
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        error_messages={"invalid": gettext_lazy("Write the time of day as 19:30.")},
    )
    # Where the clock's own time is asked about, it is the time up to then: a clock that runs on would be asked anew.
    stopped_at = forms.FloatField(widget=forms.HiddenInput, required=False)
    before = DurationField(
        label=gettext_lazy("Worked before it ran"),
        help_text=gettext_lazy("Added to the clock's time."),
        reads="/read/time/",
    )
    worked = DurationField(
        label=gettext_lazy("Worked, if not all of it"),
        help_text=gettext_lazy("Leave it empty for the clock's own time."),
        reads="/read/time/",
        takes_note=True,
    )
    unattended = DurationField(label=gettext_lazy("Unattended"))
    batch = forms.ModelChoiceField(queryset=Batch.objects.all(), required=False, widget=forms.HiddenInput)
    note = forms.CharField(
        label=gettext_lazy("Note"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 2, "maxlength": 4000}),
    )

    def __init__(self, data: Mapping[str, Any] | None = None, *, clock: Clock) -> None:
        began = timezone.localtime(clock.started_at)
        super().__init__(data, builder=clock.builder, initial={**clock.typed, "began_at": began.time()})
        self.began = began

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for name in ("before", "unattended"):
            reading: Reading | None = data.get(name)
            if reading is not None and (reading.meter or (reading.text and reading.value is None)):
                self.add_error(name, _("Give a time such as 45 min, or leave it empty."))
        return data

    @property
    def new_start(self) -> Any:
        """The time of day that the start is moved to; None where it stays."""
        asked = self.cleaned_data.get("began_at")
        unchanged = asked is None or (asked.hour, asked.minute) == (self.began.hour, self.began.minute)
        return None if unchanged else asked

    def stopped(self, started: datetime, now: datetime) -> datetime:
        """The moment that the clock's time goes up to: now, or when it was asked about."""
        seconds: float | None = self.cleaned_data["stopped_at"]
        known = seconds is not None and started.timestamp() <= seconds <= now.timestamp()
        self._stopped_at = seconds if known else now.timestamp()
        return datetime.fromtimestamp(seconds, UTC) if seconds is not None and known else now

    def ask(self, oddities: Iterable[Oddity]) -> bool:
        asked = super().ask(oddities)
        if asked:
            self.data[self.add_prefix("stopped_at")] = repr(self._stopped_at)
        return asked

    @property
    def says_time(self) -> bool:
        """Whether a time is given that goes before the clock's."""
        reading: Reading = self.cleaned_data["worked"]
        return reading.value is not None and not reading.meter

    @property
    def more_is_used(self) -> bool:
        """Whether one of the folded fields holds something, or was refused."""
        names = ("before", "scrap_reason", "unattended")
        return any(self[name].value() or self[name].errors for name in names) or bool(self["began_at"].errors)

    @property
    def says_more(self) -> bool:
        """Whether anything but a time is to be logged."""
        return self.settled or bool(self.cleaned_data.get("note"))

    def bench_time(self, clock_minutes: int) -> tuple[int | None, str]:
        """Minutes and how sure they are. Raises ValidationError for a clock that ran for more than a day."""
        if not self.says_time and clock_minutes > DAY_MINUTES:
            ran = format_duration(clock_minutes)
            message = _("The clock has run for {time}. Say beside it how long you really worked.", time=ran)
            raise forms.ValidationError({"worked": message})
        minutes, sure = (clock_minutes, TimeIs.EXACT.value)
        if self.says_time:
            minutes, sure = bench_time(self.cleaned_data["worked"], untimed=False)  # type: ignore[assignment]
        before: Reading = self.cleaned_data["before"]
        if before.value is None:
            return minutes, sure
        more, how_sure = bench_time(before, untimed=False)
        return minutes + (more or 0), TimeIs.ROUGH if TimeIs.ROUGH in (sure, how_sure) else TimeIs.EXACT

    def line(self, clock: Clock, row: PartRow | None, minutes: int | None, sure: str, stopped: datetime) -> LogLine:
        """What the clock logs, without what it knows itself. Raises ValidationError with a sentence a field."""
        chosen: Batch | None = self.cleaned_data.get("batch")
        if row is not None and chosen is None and self.settled and len(row.batches) == 1:
            chosen = row.batches[0]
        return LogLine(
            worked_on=timezone.localdate(stopped),
            bench_minutes=minutes,
            bench_is=sure,
            unattended_minutes=round(self.cleaned_data["unattended"].value or 0),
            batch=chosen,
            note=note_with_time(self.cleaned_data.get("note") or "", self.cleaned_data["worked"]),
            **self.counted_on(clock.part),
        )


def typed_on_clock(sent: Mapping[str, Any]) -> dict[str, Any]:
    """What stands in the clock's form, to be kept with it."""
    return {name: sent[name] for name in KEPT if sent.get(name)}


def typed_on_bench(sent: Mapping[str, Any]) -> dict[str, Any]:
    """What stood in the form of the evening when the clock was started, for the clock and for the other lines.

    A time that was typed or tapped was worked before the clock, since it is to run from now on.
    """
    first, *others = _lines(sent)
    usual = first.get("usual", "")
    before = first.get("time") or (format_duration(int(usual)) if usual.isdecimal() and len(usual) < 6 else "")
    kept = {**typed_on_clock(first), **({"before": before} if before else {})}
    lines = [line for line in others if line.keys() - {"token", "other", "find"}]
    return {**kept, **({"lines": lines} if lines else {})}


def _lines(sent: Mapping[str, Any]) -> list[dict[str, str]]:
    count = str(sent.get("form-TOTAL_FORMS", ""))
    number = int(count) if count.isdecimal() and len(count) < 3 else 1
    return [_line(sent, f"form-{index}-") for index in range(max(1, min(number, 30)))]


def _line(sent: Mapping[str, Any], prefix: str) -> dict[str, str]:
    named = {name.removeprefix(prefix): sent[name] for name in sent if name.startswith(prefix)}
    return {name: str(value)[:4000] for name, value in named.items() if value}
