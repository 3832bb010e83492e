"""The bench form: an evening, one line or several."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BaseFormSet, formset_factory

from builds.forms.fields import DateField, DurationField, refuse
from builds.models import Batch, Build, Builder, Entry, Operation, Part
from builds.models.choices import Activity, TimeIs
from builds.models.entry import new_token
from builds.queries.log.bench import Pick
from builds.queries.snapshot import BuildSnapshot
from builds.services.log.entries import LogLine
from calcs.typed.durations import format_duration
from calcs.typed.reading import Reading

# The usual lengths of an evening, one touch each.
USUAL_MINUTES = (30, 60, 90, 120, 150, 180)
# Beyond this an entry without a "since" date is more than a day has.
DAY_MINUTES = 24 * 60
# A clock that has run longer than this was forgotten, not worked by.
FORGOTTEN_MINUTES = 16 * 60


class EveningForm(forms.Form):
    """What all lines of an evening share."""

    worked_on = DateField(label="Date")
    since_on = DateField(
        label="Since",
        required=False,
        help_text="Only for a lump: the day it began, where one line stands for several days.",
    )
    builder = forms.ModelChoiceField(label="Who", queryset=Builder.objects.all(), required=False)


class WorkField(forms.ChoiceField):
    """One of the picks, or whatever else was offered when the page was opened: the picks move on with the log."""

    def valid_value(self, value: Any) -> bool:
        return True


class LogLineForm(forms.Form):
    """One line: what was worked on, how long, what came of it. Needs the build's snapshot for its choices."""

    work = WorkField(label="What", required=False)
    other = forms.ChoiceField(label="Something else", required=False)
    usual = forms.TypedChoiceField(
        label="Time",
        required=False,
        coerce=int,
        empty_value=None,
        choices=[(m, format_duration(m)) for m in USUAL_MINUTES],
        widget=forms.RadioSelect,
    )
    time = DurationField(
        label="or type it",
        help_text="2h30, 2:30, 2.5, 150m, 19:00-21:15, ~3h, or “unknown”",
        reads="/read/time/",
    )
    unattended = DurationField(
        label="Ran by itself", help_text="Printer, furnace, machine overnight. Never added to bench hours."
    )
    good = forms.IntegerField(label="Good", required=False, min_value=0, max_value=100_000)
    reworked = forms.IntegerField(label="Put right", required=False, min_value=0, max_value=100_000)
    scrap = forms.IntegerField(label="Scrap", required=False, min_value=0, max_value=100_000)
    scrap_reason = forms.CharField(label="Why scrap", required=False, max_length=120)
    note = forms.CharField(
        label="Note", required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 2, "maxlength": 4000})
    )
    batch = forms.ModelChoiceField(label="Batch", queryset=Batch.objects.none(), required=False)
    token = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)

    def __init__(self, *args: Any, choices: "WorkChoices", picked: Sequence[Pick] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.work_choices = choices
        self.fields["work"].widget = forms.RadioSelect()
        self.picked = list(picked)
        self.fields["work"].choices = [(pick.value, pick) for pick in picked]
        self.fields["other"].choices = [("", "choose …"), *choices.grouped]
        self.fields["batch"].queryset = Batch.objects.filter(part__build=choices.build).select_related("part")
        self.fields["scrap_reason"].widget.attrs["list"] = "scrap-reasons"
        for name in ("good", "reworked", "scrap"):
            self.fields[name].widget.attrs.update({"inputmode": "numeric", "min": 0})
        if not self.is_bound:
            self.initial.setdefault("token", new_token())
            if picked:
                self.initial.setdefault("work", picked[0].value)

    @property
    def picks(self) -> list[Pick]:
        """What to offer with one touch; only the first line has some."""
        return self.picked

    @property
    def counters(self) -> list[forms.BoundField]:
        return [self[name] for name in ("good", "reworked", "scrap")]

    @property
    def untouched(self) -> bool:
        """Whether nothing was said in this line that could be logged; the chosen work alone says nothing."""
        data = self.cleaned_data
        said = ("good", "reworked", "scrap", "scrap_reason", "note", "usual")
        time, alone = data.get("time"), data.get("unattended")
        return not any(data.get(name) for name in said) and not (time and time.text) and not (alone and alone.text)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.errors or self.untouched:
            return data
        if not (data.get("other") or data.get("work")):
            self.add_error("other", "Say what was worked on.")
        alone = data.get("unattended")
        if alone is not None and alone.meter:
            self.add_error("unattended", "Give the time it ran, not a running total.")
        elif alone is not None and alone.text and alone.value is None:
            self.add_error("unattended", "Give the time it ran, such as ~3 h, or leave it empty where it did not.")
        return data

    def line(self, evening: dict[str, Any], snapshot: BuildSnapshot, before_minutes: float) -> LogLine:
        """What the log is to hold. before_minutes: the build's headline minutes so far, for a running meter.

        Raises ValidationError with a sentence a field.
        """
        data = self.cleaned_data
        part, operation, activity = self.work_choices.chosen(data.get("other") or data.get("work") or "")
        minutes, sure = _bench_time(data, before_minutes, waiting=_minutes_waiting(snapshot, part, operation))
        lump = evening.get("since_on")
        if minutes is not None and minutes > DAY_MINUTES and not lump and not self.may_be_long(minutes):
            raise ValidationError(
                {"time": "That is more than a day has. For a lump, give the day it began under “Since”."}
            )
        alone: Reading | None = data.get("unattended")
        return LogLine(
            worked_on=evening["worked_on"],
            since_on=lump,
            builder=evening.get("builder"),
            part=part,
            operation=operation,
            activity=activity,
            batch=self.batch_of(part, snapshot),
            bench_minutes=minutes,
            bench_is=sure,
            unattended_minutes=round(alone.value) if alone is not None and alone.value is not None else 0,
            good=data.get("good") or 0,
            reworked=data.get("reworked") or 0,
            scrap=data.get("scrap") or 0,
            scrap_reason=data.get("scrap_reason") or "",
            note=data.get("note") or "",
            token=data.get("token") or new_token(),
        )

    def may_be_long(self, minutes: int) -> bool:
        """Whether more than a day's minutes need no "since": a running meter says itself that they are a lump."""
        reading: Reading | None = self.cleaned_data.get("time")
        return reading is not None and reading.meter

    def batch_of(self, part: Part | None, snapshot: BuildSnapshot) -> Batch | None:
        """The batch that was chosen, or the part's only one."""
        chosen: Batch | None = self.cleaned_data.get("batch")
        if chosen is not None or part is None:
            return chosen
        batches = snapshot.by_part[part.pk].batches
        return batches[0] if len(batches) == 1 else None


class WorkChoices:
    """Everything in a build that time can be logged on, as a form's choices: `o7` an operation, `p3` a part."""

    def __init__(self, snapshot: BuildSnapshot) -> None:
        self.build: Build = snapshot.build
        self._ledger = snapshot

    @property
    def grouped(self) -> list[tuple[str, list[tuple[str, str]]]]:
        groups: list[tuple[str, list[tuple[str, str]]]] = [
            ("Shop time", [(f"a{activity.value}", str(activity.label)) for activity in Activity])
        ]
        for line in self._ledger.parts:
            named = [(f"o{o.operation.pk}", f"{line.part.number} · {o.operation}") for o in line.operations]
            if len(named) != 1:
                named.append((f"p{line.part.pk}", f"{line.part.number} · {line.part.name}, no operation named"))
            groups.append((str(line.part), named))
        return groups

    def named(self, part_id: int | None) -> str:
        """How the choices name a part as a whole: by its operation, where it has just one."""
        line = self._ledger.by_part.get(part_id) if part_id is not None else None
        only = line is not None and len(line.operations) == 1
        return f"o{line.operations[0].operation.pk}" if line is not None and only else f"p{part_id}"

    def chosen(self, value: str) -> tuple[Part | None, Operation | None, str]:
        """The part, operation and activity that a value stands for. Raises ValidationError for none of them."""
        mark, rest = value[:1], value[1:]
        if mark == "a" and rest in Activity.values:
            return None, None, rest
        for line in self._ledger.parts:
            if mark == "p" and rest == str(line.part.pk):
                return line.part, None, ""
            for operation in line.operations:
                if mark == "o" and rest == str(operation.operation.pk):
                    return line.part, operation.operation, ""
        raise ValidationError({"other": "Say what was worked on."})


def _minutes_waiting(snapshot: BuildSnapshot, part: Part | None, operation: Operation | None) -> int:
    """Minutes that were logged on an operation for pieces not counted yet."""
    if part is None or operation is None:
        return 0
    tallies = (line.tally for line in snapshot.by_part[part.pk].operations if line.operation.pk == operation.pk)
    return next((tally.open_minutes for tally in tallies), 0)


def _bench_time(data: dict[str, Any], before_minutes: float, *, waiting: int = 0) -> tuple[int | None, str]:
    """Minutes and how sure they are. waiting: minutes logged before for the pieces that this line counts."""
    reading: Reading | None = data.get("time")
    if reading is None or not reading.text.strip():
        usual = data.get("usual")
        if usual is not None:
            return usual, TimeIs.EXACT
        # Pieces counted without any time for them took some, which nobody gave: that is unknown, and not zero.
        counted = data.get("good") or data.get("scrap")
        return (None, TimeIs.UNKNOWN) if counted and not waiting else (0, TimeIs.EXACT)
    if reading.value is None:
        return None, TimeIs.UNKNOWN
    minutes = float(reading.value)
    if reading.meter:
        minutes -= before_minutes
        if minutes < 0:
            stands = format_duration(round(before_minutes))
            raise ValidationError({"time": f"The log stands at {stands} already; a meter does not run back."})
    return round(minutes), TimeIs.EXACT if reading.status == "ok" else TimeIs.ROUGH


class ClockOffForm(forms.Form):
    """The time that was really worked, where it is not what the clock says."""

    worked = DurationField(
        label="Worked, if not all of it",
        help_text="Leave it empty for the clock's own time.",
        reads="/read/time/",
    )

    def bench_time(self, clock_minutes: int) -> tuple[int, str]:
        """Minutes and how sure they are. Raises ValidationError for a clock that was plainly forgotten."""
        reading: Reading = self.cleaned_data["worked"]
        if reading.value is not None and not reading.meter:
            return round(reading.value), TimeIs.EXACT if reading.status == "ok" else TimeIs.ROUGH
        if clock_minutes > FORGOTTEN_MINUTES:
            ran = format_duration(clock_minutes)
            raise ValidationError(f"The clock has run for {ran}. Say beside it how long you really worked.")
        return clock_minutes, TimeIs.EXACT


class EveningFormSet(BaseFormSet):
    """The lines of an evening. Only the first has the picks; what was typed decides which of the others count."""

    def __init__(self, *args: Any, choices: WorkChoices, picks: Sequence[Pick], **kwargs: Any) -> None:
        self.work_choices = choices
        self.picks = picks
        super().__init__(*args, **kwargs)

    def get_form_kwargs(self, index: int | None) -> dict[str, Any]:
        picked = self.picks if index == 0 else ()
        return {**super().get_form_kwargs(index), "choices": self.work_choices, "picked": picked}

    def lines(self, evening: dict[str, Any], snapshot: BuildSnapshot) -> list[LogLine]:
        """The lines to log. A refusal stands beside its field afterwards; then the list must not be used."""
        before = float(snapshot.headline_minutes)
        lines: list[LogLine] = []
        for form in self.touched():
            try:
                line = form.line(evening, snapshot, before)
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


class AmendForm(LogLineForm):
    """One entry, put right."""

    worked_on = DateField(label="Date")
    since_on = DateField(label="Since", required=False)
    builder = forms.ModelChoiceField(label="Who", queryset=Builder.objects.all(), required=False)
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)
    field_order = ["worked_on", "since_on", "builder", "other", "time", "unattended", "good", "reworked", "scrap"]

    def __init__(self, *args: Any, entry: Entry, **kwargs: Any) -> None:
        kwargs["initial"] = {**initial_of(entry), **kwargs.get("initial", {})}
        super().__init__(*args, **kwargs)
        self.entry = entry
        if self.initial["other"] == f"p{entry.part_id}":
            self.initial["other"] = self.work_choices.named(entry.part_id)
        for name in ("work", "usual", "token"):
            del self.fields[name]
        self.fields["other"].label = "What"
        self.fields["time"].label = "Time at the bench"

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        reading: Reading | None = data.get("time")
        if reading is not None and not reading.text:
            self.add_error("time", "Give the time at the bench, 0 where there was none, or “unknown”.")
        return data

    def may_be_long(self, minutes: int) -> bool:
        """A time that stands in the log already was found right then."""
        return super().may_be_long(minutes) or minutes == self.entry.bench_minutes

    def batch_of(self, part: Part | None, snapshot: BuildSnapshot) -> Batch | None:
        chosen: Batch | None = self.cleaned_data.get("batch")
        return chosen


def initial_of(entry: Entry) -> dict[str, Any]:
    """An entry as its form shows it."""
    if entry.activity:
        work = f"a{entry.activity}"
    else:
        work = f"o{entry.operation_id}" if entry.operation_id else f"p{entry.part_id}"
    time = "unknown" if entry.bench_minutes is None else format_duration(entry.bench_minutes)
    return {
        "worked_on": entry.worked_on,
        "since_on": entry.since_on,
        "builder": entry.builder_id,
        "other": work,
        "time": f"~{time}" if entry.bench_is == TimeIs.ROUGH else time,
        "unattended": format_duration(entry.unattended_minutes) if entry.unattended_minutes else "",
        "good": entry.good or None,
        "reworked": entry.reworked or None,
        "scrap": entry.scrap or None,
        "scrap_reason": entry.scrap_reason,
        "note": entry.note,
        "batch": entry.batch_id,
        "seen": entry.version,
    }


def reasons_used(reasons: Iterable[str]) -> list[str]:
    """Scrap reasons to offer: the build's own, then common ones."""
    common = ["measured wrong", "moved in the vice", "drill wandered", "warped in the heat", "fault in the material"]
    return list(dict.fromkeys([*reasons, *common]))


def evening_initial(on: date, builder: Builder | None) -> dict[str, Any]:
    return {"worked_on": on, "builder": builder}
