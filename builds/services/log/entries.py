"""Changes to the log: entries are recorded, amended and removed, and never lost."""

from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.utils import timezone

from builds.models import Batch, Build, Builder, Entry, Event, Operation, Part
from builds.models.choices import EventType, TimeIs
from builds.models.entry import new_token
from builds.services.changes import change, write
from calcs.messages import _


@dataclass(frozen=True, kw_only=True)
class LogLine:
    """One line for the log, as a form or a file gives it. Minutes are whole; bench_minutes None is "not known"."""

    worked_on: date
    since_on: date | None = None
    builder: Builder | None = None
    part: Part | None = None
    operation: Operation | None = None
    batch: Batch | None = None
    activity: str = ""
    bench_minutes: int | None = None
    bench_is: str = TimeIs.EXACT
    unattended_minutes: int = 0
    good: int = 0
    reworked: int = 0
    scrap: int = 0
    scrap_reason: str = ""
    note: str = ""
    oddities: list[dict[str, Any]] = field(default_factory=list)
    token: str = field(default_factory=new_token)


@dataclass(frozen=True)
class Recorded:
    """What came of recording: the entries, and whether they had been recorded before by the same form."""

    entries: tuple[Entry, ...]
    again: bool = False


def record_entry(*, build: Build, line: LogLine, by: Builder | None, today: date) -> Entry:
    """Record one line. See `record_entries`."""
    return record_entries(build=build, lines=[line], by=by, today=today).entries[0]


def record_entries(*, build: Build, lines: Sequence[LogLine], by: Builder | None, today: date) -> Recorded:
    """Record an evening, one line or several, all or none.

    A token that the build's log has already means that the form was sent twice: its entry is returned and not made
    again, and where all of them are known nothing changes. Raises ValidationError with a sentence a field; for several
    lines it carries the line's index as `.line`.
    """
    if not lines:
        raise ValidationError(_("There is nothing to log yet: give a time, or count some pieces."))
    lines = [_renewed(build, line) for line in lines]
    known = _already(build, lines)
    fresh = {index: entry_for(build, line) for index, line in enumerate(lines) if line.token not in known}
    if fresh:
        try:
            _write_all(build, fresh, by, today)
        except (IntegrityError, ValidationError):
            if len(_already(build, lines)) == len(known):
                raise
            # The same form, sent twice at the same moment: the other request won.
            return record_entries(build=build, lines=lines, by=by, today=today)
    entries = [fresh.get(index) or known[line.token] for index, line in enumerate(lines)]
    return Recorded(tuple(entries), again=not fresh)


def _write_all(build: Build, entries: dict[int, Entry], by: Builder | None, today: date) -> None:
    with change(build=build, by=by, type=EventType.LOG, details=_all_details(entries.values())):
        for index, entry in entries.items():
            with _of_line(index):
                check_entry(entry, today)
                write(entry)


def check_entries(entries: Sequence[Entry], today: date) -> None:
    """Refuse what recording these would refuse, before anything is asked about them. See `record_entries`."""
    for index, entry in enumerate(entries):
        with _of_line(index):
            check_entry(entry, today)
            # A line that the log has already is no mistake.
            entry.full_clean(exclude={"token"})


@contextmanager
def _of_line(index: int) -> Iterator[None]:
    """Have what is refused inside say which line it was."""
    try:
        yield
    except ValidationError as error:
        error.line = index  # type: ignore[attr-defined]
        raise


def amend_entry(*, entry: Entry, line: LogLine, by: Builder | None, today: date, seen: int | None = None) -> Entry:
    """Put an entry right. What it was before stays in its history, and the event can be undone."""
    before = _details(entry)
    for name in LogLine.__dataclass_fields__:
        if name != "token":
            setattr(entry, name, getattr(line, name))
    _complete(entry)
    with change(build=entry.build, by=by, type=EventType.AMEND_ENTRY, details=before):
        check_entry(entry, today)
        write(entry, seen=seen)
    return entry


def remove_entry(*, entry: Entry, by: Builder | None) -> Event | None:
    """Take an entry out of every sum. It stays in the table, and undoing the event that is returned brings it back.

    Twice is the same as once; the second time returns None.
    """
    entry.refresh_from_db(fields=["removed_at"])
    if entry.removed_at is not None:
        return None
    entry.removed_at = timezone.now()
    with change(build=entry.build, by=by, type=EventType.REMOVE_ENTRY, details=_details(entry)) as event:
        write(entry)
    return event


def entry_for(build: Build, line: LogLine) -> Entry:
    """The entry that a line makes, not saved."""
    entry = Entry(build=build, **{name: getattr(line, name) for name in LogLine.__dataclass_fields__})
    _complete(entry)
    return entry


def _complete(entry: Entry) -> None:
    """Fill in what follows: an operation tells its part, and a part with one operation tells that."""
    if entry.operation is not None and entry.part is None:
        entry.part = entry.operation.part
    if entry.part is not None and entry.operation is None:
        only = list(entry.part.operations.all()[:2])
        if len(only) == 1:
            entry.operation = only[0]


def check_entry(entry: Entry, today: date) -> None:
    """What the table's own constraints cannot see. Raises ValidationError with a sentence a field."""
    if entry.worked_on > today:
        raise ValidationError({"worked_on": _("That day has not come yet.")})
    if entry.part is not None and entry.part.build_id != entry.build_id:
        raise ValidationError({"part": _("That part belongs to another build.")})
    if entry.operation is not None and entry.part is not None and entry.operation.part_id != entry.part.pk:
        message = _("{operation} is not on the route of {part}.", operation=entry.operation, part=entry.part)
        raise ValidationError({"operation": message})
    if entry.batch is not None and entry.part is not None and entry.batch.part_id != entry.part.pk:
        raise ValidationError({"batch": _("That batch is not one of {part}.", part=entry.part)})
    if (entry.good or entry.scrap) and entry.operation is None:
        raise ValidationError({"operation": _("Say at which operation the pieces were counted.")})
    entry.clean()
    if entry.scrap_reason and not entry.scrap:
        raise ValidationError({"scrap": _("There is a reason for scrap, but no scrap: give the number of pieces.")})


def _already(build: Build, lines: Sequence[LogLine]) -> dict[str, Entry]:
    tokens = [line.token for line in lines]
    return {entry.token: entry for entry in Entry.objects.filter(build=build, token__in=tokens)}


def _renewed(build: Build, line: LogLine) -> LogLine:
    """A form sent again after its entry was removed is meant, so its token gives way to one that follows from it."""
    while Entry.objects.filter(build=build, token=line.token, removed_at__isnull=False).exists():
        line = replace(line, token=f"{line.token}'")
    return line


def _details(entry: Entry) -> dict[str, Any]:
    """What an event says of one entry: its day and what was worked at."""
    return {"day": entry.worked_on.isoformat(), **_work(entry, entry.operation or entry.part)}


def _all_details(entries: Collection[Entry]) -> dict[str, Any]:
    """What an event says of entries that were logged at once."""
    # A time below nothing is refused a moment later, in words; until then it counts for nothing here.
    minutes = sum(max(0, entry.bench_minutes or 0) for entry in entries)
    first, *others = (_work(entry, entry.part) for entry in entries)
    one = all(other == first for other in others)
    return {"minutes": minutes, **(first if one else {"lines": len(entries)})}


def _work(entry: Entry, record: Part | Operation | None) -> dict[str, str]:
    return {"activity": entry.activity} if record is None else {"work": str(record)}
