"""The bench form: an evening, one line or several."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext_lazy

from builds.forms.fields import DateField, DurationField
from builds.forms.log.counts import COUNTED, CountsForm, bench_time, note_with_time
from builds.forms.log.work import WorkChoices, WorkField
from builds.forms.two_people import refuse
from builds.models import Batch, Builder, Operation
from builds.models.choices import TimeIs
from builds.models.entry import new_token
from builds.queries.log.bench import USUAL_MINUTES, Pick
from builds.queries.log.oddities import DAY_MINUTES
from builds.queries.snapshot import PartRow
from builds.services.log.entries import LogLine
from calcs.messages import _
from calcs.typed.durations import format_duration
from calcs.typed.reading import Reading, quote_input


class UsualTimeField(forms.TypedChoiceField):
    """A time that was offered when the page was opened: what is usual moves on with the log."""

    def valid_value(self, value: Any) -> bool:
        text = str(value)
        return text.isascii() and text.isdecimal() and 0 < len(text) < 5 and 0 < int(text) <= DAY_MINUTES


class EveningForm(forms.Form):
    """What all lines of an evening share."""

    worked_on = DateField(label=gettext_lazy("Date"))
    since_on = DateField(
        label=gettext_lazy("Since"),
        required=False,
        help_text=gettext_lazy("Only where one line stands for several days: the day it began."),
    )
    builder = forms.ModelChoiceField(label=gettext_lazy("Who"), queryset=Builder.objects.all(), required=False)


class LogLineForm(CountsForm):
    """One line: what was worked on, how long, what came of it. Only the first line has picks."""

    work = WorkField(label=gettext_lazy("What"), required=False, widget=forms.RadioSelect)
    other = WorkField(label=gettext_lazy("Something else"), required=False)
    find = forms.CharField(label=gettext_lazy("Find by item, name, sheet or assembly"), required=False, max_length=80)
    new_part = forms.CharField(label=gettext_lazy("New part"), required=False, max_length=160)
    new_operation = forms.CharField(label=gettext_lazy("New operation"), required=False, max_length=200)
    usual = UsualTimeField(
        label=gettext_lazy("Time"),
        required=False,
        coerce=int,
        empty_value=None,
        widget=forms.RadioSelect(attrs={"data-chip": "time"}),
    )
    time = DurationField(
        label=gettext_lazy("Another time"),
        help_text=gettext_lazy("2h30, 2:30, 2.5, 150m, 19:00-21:15, ~3h, or “unknown”"),
        reads="/read/time/?lines=yes",
        takes_note=True,
    )
    unattended = DurationField(
        label=gettext_lazy("Unattended"),
        help_text=gettext_lazy("Printer, furnace, machine overnight. Never added to bench hours."),
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 2, "maxlength": 4000}),
    )
    batch = forms.ModelChoiceField(label=gettext_lazy("Batch"), queryset=Batch.objects.none(), required=False)
    token = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)

    def __init__(
        self,
        *args: Any,
        choices: WorkChoices,
        picks: Sequence[Pick] = (),
        usual: Sequence[int] = USUAL_MINUTES,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.work_choices = choices
        self.picks = picks
        # What is offered is read when it is shown: an evening that is logged at once reads none of it.
        self.fields["work"].choices = lambda: [(pick.value, pick) for pick in picks]
        self.fields["other"].choices = lambda: self._others
        self.fields["usual"].choices = lambda: [(minutes, format_duration(minutes)) for minutes in usual]
        self.fields["batch"].queryset = choices.batches
        self.fields["batch"].choices = lambda: self._batches
        self.fields["time"].widget.attrs["data-instead-of-chip"] = "time"
        if not self.is_bound:
            self.initial.setdefault("token", new_token())
            if picks:
                self.initial.setdefault("work", picks[0].value)

    @cached_property
    def _others(self) -> list[Any]:
        groups = self.work_choices.grouped(self._given("find"), self._given("other"))
        return [("", _("choose …")), *groups]

    @property
    def _batches(self) -> list[Any]:
        listed = self.work_choices.batches_listed(self._given("batch"))
        return [("", "---------"), *((batch.pk, str(batch)) for batch in listed)]

    def _given(self, name: str) -> str:
        """What stands in a field, before anything is read of it."""
        return str((self.data.get(self.add_prefix(name)) if self.is_bound else self.initial.get(name)) or "")

    @property
    def untouched(self) -> bool:
        """Whether nothing was typed in this line that could be logged; the chosen work alone says nothing."""
        data = self.cleaned_data
        readings = (data.get("time"), data.get("unattended"))
        typed = [reading.text for reading in readings if reading is not None]
        return not any([*typed, *(data.get(name) for name in (*COUNTED, "done", "scrap_reason", "note", "usual"))])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.errors or self.untouched:
            return data
        self._refuse_two_times(data)
        try:
            self.chosen = self.work_choices.chosen(data.get("other") or data.get("work") or "")
        except ValidationError as error:
            self.add_error(None, error)
        alone: Reading = data["unattended"]
        if alone.meter:
            self.add_error("unattended", _("Give the time it ran, not a running total."))
        elif alone.text and alone.value is None:
            self.add_error("unattended", _("Give the time it ran, such as ~3 h, or leave it empty where it did not."))
        return data

    def _refuse_two_times(self, data: dict[str, Any]) -> None:
        """Without script a chip stays tapped beside a typed time: the chip is let go, and that is said."""
        reading: Reading = data["time"]
        usual: int | None = data.get("usual")
        if usual is None or not reading.text.strip() or reading.value == usual:
            return
        self.data = self.data.copy()
        del self.data[self.add_prefix("usual")]
        words = {"tapped": format_duration(usual), "typed": quote_input(reading.text)}
        self.add_error(
            "time", _("{tapped} was chosen and {typed} typed: the typed one stands now. Send it again.", **words)
        )

    def line(self, evening: dict[str, Any], ahead: Sequence[LogLine] = (), without: Collection[str] = ()) -> LogLine:
        """What the log is to hold. Raises ValidationError with a sentence a field.

        A running meter counts from the lines ahead and from the log without the entries of the tokens given.
        """
        data = self.cleaned_data
        part, operation, activity = self.chosen
        row = self.work_choices.row_of(part.pk) if part is not None else None
        minutes, sure = self._bench_time(
            _minutes_waiting(row, operation), lambda: self.work_choices.meter_on(evening["worked_on"], ahead, without)
        )
        lump = evening.get("since_on")
        if minutes is not None and minutes > DAY_MINUTES and not lump and not self.may_be_long(minutes):
            raise ValidationError(
                {
                    "time": _(
                        "That is more than a day has. For several days in one line, give the day it began under "
                        "“Since”."
                    )
                }
            )
        return LogLine(
            worked_on=evening["worked_on"],
            since_on=lump,
            builder=evening.get("builder"),
            part=part,
            operation=operation,
            activity=activity,
            batch=self.batch_of(row),
            bench_minutes=minutes,
            bench_is=sure,
            unattended_minutes=round(data["unattended"].value or 0),
            **self.counted_on(part),
            note=note_with_time(data.get("note") or "", data["time"]),
            token=data.get("token") or new_token(),
        )

    def _bench_time(self, waiting: int, meter_stood_at: Callable[[], int]) -> tuple[int | None, str]:
        """Minutes and how sure they are. waiting: minutes logged before for the pieces that this line counts."""
        reading: Reading = self.cleaned_data["time"]
        usual: int | None = self.cleaned_data.get("usual")
        if usual is not None and not reading.text.strip():
            return usual, TimeIs.EXACT
        if reading.meter:
            before = meter_stood_at()
            since = float(reading.value) - before
            if since < 0:
                stands = format_duration(before)
                raise ValidationError(
                    {"time": _("The log stands at {time} already, and a running total does not go back.", time=stands)}
                )
            reading = replace(reading, value=since)
        return bench_time(reading, untimed=self.settled and not waiting)

    def may_be_long(self, minutes: int) -> bool:
        """Whether more than a day's minutes need no "since": a running meter says itself that they are a lump."""
        reading: Reading = self.cleaned_data["time"]
        return reading.meter

    def batch_of(self, row: PartRow | None) -> Batch | None:
        """The batch that was chosen, or the part's only one."""
        chosen: Batch | None = self.cleaned_data.get("batch")
        if chosen is not None or row is None:
            return chosen
        return row.batches[0] if len(row.batches) == 1 else None


def _minutes_waiting(row: PartRow | None, operation: Operation | None) -> int:
    """Minutes that were logged on an operation for pieces not counted yet."""
    if row is None or operation is None:
        return 0
    return next((one.tally.open_minutes for one in row.operations if one.operation.pk == operation.pk), 0)


class EveningFormSet(BaseFormSet):
    """The lines of an evening. Only the first has the picks; what was typed decides which of the others count."""

    def __init__(
        self,
        *args: Any,
        choices: WorkChoices,
        picks: Sequence[Pick],
        usual: Sequence[int] = USUAL_MINUTES,
        builder: Builder | None = None,
        **kwargs: Any,
    ) -> None:
        self.work_choices = choices
        self.builder = builder
        self.picks = picks
        self.usual = usual
        super().__init__(*args, **kwargs)

    def get_form_kwargs(self, index: int | None) -> dict[str, Any]:
        picks = self.picks if index == 0 else ()
        given = {"choices": self.work_choices, "picks": picks, "usual": self.usual, "builder": self.builder}
        return {**super().get_form_kwargs(index), **given}

    def lines(self, evening: dict[str, Any]) -> list[LogLine]:
        """The lines to log. A refusal stands beside its field afterwards; then the list must not be used."""
        lines: list[LogLine] = []
        tokens = [self.token_of(form) for form in self.touched()]
        for form in self.touched():
            try:
                line = form.line(form.cleaned_data | evening, lines, tokens)
            except ValidationError as error:
                refuse(form, error)
            else:
                lines.append(replace(line, token=self.token_of(form)))
        return lines

    def token_of(self, form: LogLineForm) -> str:
        """A line's own token. One that the page added has none, and gets one that follows from the first line's."""
        first = self.forms[0].cleaned_data.get("token") or new_token()
        return form.cleaned_data.get("token") or f"{first[:56]}-{self.forms.index(form)}"

    def touched(self) -> list[LogLineForm]:
        return [form for form in self.forms if not form.untouched]


EveningLines = formset_factory(LogLineForm, formset=EveningFormSet, extra=0, min_num=1, max_num=30, absolute_max=30)
