"""From the rows of a log file to entries of a build: which part, which operation, and which rows are there already."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from itertools import count

from django.core.exceptions import ValidationError
from django.db import transaction

from builds.models import Build, Builder, Entry, Operation, Part
from builds.models.choices import Activity, EventType, Kind
from builds.models.oddity import Oddity
from builds.queries.log.oddities import oddities_of
from builds.queries.snapshot import PartsAtHand
from builds.services.changes import change
from builds.services.log.entries import check_entry
from builds.transfer.complaints import Complaint, LogError, known, plain_name, quoted
from builds.transfer.saving import save_all
from builds.transfer.tables.log_file import FileRow, LogFile
from calcs.messages import _

# Which column of a file a model's field came from, for complaints.
COLUMN_OF = {"operation": "operation", "scrap": "scrap", "worked_on": "date", "part": "part"}


@dataclass
class Intake:
    """What a file brings that the build does not have yet; nothing of it is saved."""

    entries: list[Entry] = field(default_factory=list)
    again: int = 0
    removed: int = 0
    # Row of the file and what is odd about it, where something is: it is taken in with that as its remark.
    odd: list[tuple[int, Oddity]] = field(default_factory=list)
    new_parts: list[Part] = field(default_factory=list)
    new_operations: list[Operation] = field(default_factory=list)
    new_builders: list[Builder] = field(default_factory=list)


class _Places:
    """The parts of a build with their routes, and those that a file adds."""

    def __init__(self, build: Build, intake: Intake) -> None:
        self.build = build
        self.intake = intake
        parts = list(build.parts.prefetch_related("operations"))
        self.routes = {part.number: list(part.operations.all()) for part in parts}
        self.by_number = {part.number.casefold(): part for part in parts}
        self.by_name: dict[str, list[Part]] = defaultdict(list)
        for part in parts:
            self.by_name[plain_name(part.name)].append(part)
        self.position = max((part.position for part in parts), default=-1) + 1
        self.log_begun = build.entries.exists()
        self.free_numbers = (str(n) for n in count(len(parts) + 1) if str(n) not in self.by_number)

    def part(self, row: FileRow) -> Part | None:
        """The part that a row is about, a new one where its name is new; None for shop time."""
        if row.activity:
            return None
        wanted = plain_name(row.part)
        if wanted in self.by_number:
            return self.by_number[wanted]
        same = self.by_name.get(wanted, [])
        if len(same) > 1:
            figures = {"name": quoted(row.part), "count": len(same), "known": known([part.number for part in same])}
            raise _Wrong("part", _("{name} is the name of {count} parts: give the number ({known}).", **figures))
        if same:
            return same[0]
        return None if wanted in Activity.values else self._new_part(row)

    def _new_part(self, row: FileRow) -> Part:
        part = Part(build=self.build, number=next(self.free_numbers), name=row.part, position=self.position)
        # In a log that has begun already, the part joins the plan with the first row that speaks of it.
        making = Operation(part=part, number=10, kind=Kind.MAKING, added_on=row.worked_on if self.log_begun else None)
        self.position += 1
        self.by_number[part.number.casefold()] = part
        self.by_name[plain_name(part.name)].append(part)
        self.routes[part.number] = [making]
        self.intake.new_parts.append(part)
        self.intake.new_operations.append(making)
        return part

    def operation(self, row: FileRow, part: Part | None) -> Operation | None:
        if part is None:
            if row.operation:
                raise _Wrong("operation", _("Shop time has no operation."))
            return None
        route = self.routes[part.number]
        if not row.operation:
            return route[0] if len(route) == 1 else None
        wanted = plain_name(row.operation)
        for name in ("number", "title", "kind"):
            same = [o for o in route if plain_name(str(getattr(o, name))) == wanted]
            if len(same) == 1:
                return same[0]
            if same:
                figures = {"name": quoted(row.operation), "count": len(same), "part": part}
                raise _Wrong("operation", _("{name} stands {count} times in the route of {part}.", **figures))
        figures = {"part": part, "route": known(route)}
        raise _Wrong("operation", _("{part} has no such operation. Its route: {route}.", **figures))


class _Wrong(ValueError):
    def __init__(self, column: str, sentence: str) -> None:
        self.column = column
        super().__init__(sentence)


def plan_rows(build: Build, file: LogFile, *, by: Builder | None, today: date) -> Intake:
    """Turn rows into entries that are not saved. Raises LogError with all that do not fit the build."""
    intake = Intake()
    places = _Places(build, intake)
    there = dict(build.entries.values_list("token", "removed_at"))
    builders = {builder.name.casefold(): builder for builder in Builder.objects.all()}
    complaints: list[Complaint] = []
    rows: list[int] = []
    # The oldest first, so that a new part joins the plan on the first day of work on it.
    for row in sorted(file.rows, key=lambda row: row.worked_on):
        if row.token in there:
            intake.again += 1
            intake.removed += there[row.token] is not None
            continue
        try:
            entry = _entry(row, places, builders, by)
            check_entry(entry, today)
            intake.entries.append(entry)
            rows.append(row.row)
        except _Wrong as error:
            complaints.append(file.table.complaint(row.row, error.column, error))
        except ValidationError as error:
            for name, sentences in error.message_dict.items():
                complaints.append(file.table.complaint(row.row, COLUMN_OF.get(name, name), " ".join(sentences)))
    if complaints:
        raise LogError(complaints)
    odd = oddities_of(PartsAtHand(build, today), intake.entries)
    for number, entry, found in zip(rows, intake.entries, odd, strict=True):
        entry.oddities = [one.kept() for one in found]
        intake.odd.extend((number, one) for one in found)
    return intake


def _entry(row: FileRow, places: _Places, builders: dict[str, Builder], by: Builder | None) -> Entry:
    part = places.part(row)
    if part is None and (row.good or row.scrap):
        sentence = _("Pieces are counted at a part's operation, not in shop time.")
        raise _Wrong("good" if row.good else "scrap", sentence)
    return Entry(
        build=places.build,
        worked_on=row.worked_on,
        since_on=row.since_on,
        builder=_builder(row, places.intake, builders, by),
        part=part,
        operation=places.operation(row, part),
        activity=(row.activity or plain_name(row.part)) if part is None else "",
        bench_minutes=row.time.minutes,
        bench_is=row.time.bench_is,
        unattended_minutes=row.unattended,
        good=row.good,
        reworked=row.reworked,
        scrap=row.scrap,
        scrap_reason=row.reason,
        note=row.note,
        token=row.token,
    )


def _builder(row: FileRow, intake: Intake, builders: dict[str, Builder], by: Builder | None) -> Builder | None:
    if not row.builder:
        return by
    name = " ".join(row.builder.split())
    if name.casefold() not in builders:
        builders[name.casefold()] = Builder(name=name)
        intake.new_builders.append(builders[name.casefold()])
    return builders[name.casefold()]


def save(build: Build, intake: Intake, *, by: Builder | None, name: str) -> None:
    """Write an intake, all or nothing, each record with the history row that undoing goes by.

    New parts are an event of their own: taking the entries back leaves the parts that they speak of.
    """
    with transaction.atomic():
        for builder in intake.new_builders:
            builder.save()
        if intake.new_parts:
            details = {"parts": len(intake.new_parts), "file": name}
            with change(build=build, by=by, type=EventType.IMPORT_PARTS, details=details) as event:
                save_all(Part, intake.new_parts, event)
                save_all(Operation, intake.new_operations, event)
        details = {"entries": len(intake.entries), "file": name}
        with change(build=build, by=by, type=EventType.IMPORT_LOG, details=details) as event:
            save_all(Entry, intake.entries, event)
