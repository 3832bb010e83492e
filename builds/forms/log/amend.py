"""One entry of the log, put right."""

from collections.abc import Collection, Mapping
from typing import Any

from builds.forms.log.bench import EveningForm, LogLineForm
from builds.forms.log.counts import COUNTED
from builds.forms.two_people import SeenMixin
from builds.models import Batch, Entry
from builds.models.choices import TimeIs
from builds.queries.snapshot import PartRow
from calcs.messages import _
from calcs.typed.durations import format_duration
from calcs.typed.reading import Reading

LONGEST_REASON, LONGEST_NOTE = (Entry._meta.get_field(name).max_length for name in ("scrap_reason", "note"))


class AmendForm(SeenMixin, LogLineForm, EveningForm):
    """The line and its evening in one."""

    field_order = [
        "worked_on",
        "since_on",
        "builder",
        "find",
        "other",
        "time",
        "unattended",
        "done",
        "good",
        "reworked",
        "scrap",
    ]

    def __init__(self, *args: Any, entry: Entry, **kwargs: Any) -> None:
        self.entry = entry
        given = {**kwargs, "builder": entry.builder, "initial": initial_of(entry)}
        super().__init__(*args, entry=entry, **given)
        if self.initial["other"] == f"p{entry.part_id}":
            self.initial["other"] = self.work_choices.named(entry.part_id)
        work = entry.part is not None and entry.part.is_work
        for name in (
            "work",
            "usual",
            "token",
            "new_part",
            "new_operation",
            *((*COUNTED, "scrap_reason", "batch") if work else ("done",)),
        ):
            del self.fields[name]
        self.fields["other"].label = _("What")
        self.fields["time"].label = _("Time at the bench")
        self.fields["time"].widget.attrs["hx-get"] = "/read/time/"
        self.fields["since_on"].help_text = ""

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        reading: Reading | None = data.get("time")
        if reading is not None and not reading.text:
            self.add_error("time", _("Give the time at the bench, 0 where there was none, or “unknown”."))
        return data

    def may_be_long(self, minutes: int) -> bool:
        """A time that stands in the log already was found right then."""
        return super().may_be_long(minutes) or minutes == self.entry.bench_minutes

    def batch_of(self, row: PartRow | None) -> Batch | None:
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
        "done": entry.good > 0,
        "good": entry.good or None,
        "reworked": entry.reworked or None,
        "scrap": entry.scrap or None,
        "scrap_reason": entry.scrap_reason,
        "note": entry.note,
        "batch": entry.batch_id,
    }


def initial_counted(asked: Mapping[str, str], picked: Collection[str]) -> dict[str, Any] | None:
    """Pieces that another page found, to be looked over at the bench; None where the address tells of none.

    asked: the counts by name, "operation" and "batch" as keys, "why". picked: what the bench offers.
    """
    counts = {name: int(asked[name]) for name in COUNTED if asked.get(name, "").isdecimal() and len(asked[name]) < 6}
    if not any(counts.values()):
        return None
    operation, batch, why = asked.get("operation", ""), asked.get("batch", ""), asked.get("why", "")
    work = f"o{operation}" if operation.isdecimal() else ""
    initial = {**counts, "batch": batch if batch.isdecimal() else None}
    initial |= {"scrap_reason": why[:LONGEST_REASON]} if counts.get("scrap") else {"note": why[:LONGEST_NOTE]}
    return initial | ({"work": work, "other": ""} if work in picked else {"work": "", "other": work})


def initial_again(entry: Entry, picked: Collection[str]) -> dict[str, Any]:
    """An entry to be logged once more, without its note, which was about its own day. picked: what the bench offers."""
    of_its_day = ("worked_on", "since_on", "builder", "note")
    initial = {name: value for name, value in initial_of(entry).items() if name not in of_its_day}
    work = initial["other"]
    return initial | ({"work": work, "other": ""} if work in picked else {"work": ""})
