"""From a record file: the log, and the photos that belong to it."""

import hashlib
import json

from builds.models import Batch, Builder, Entry, Operation, Part
from builds.models.choices import Activity, TimeIs
from builds.transfer.complaints import known, quoted
from builds.transfer.draft import Draft
from builds.transfer.fields import MOST_MINUTES, Fields


def read_entries(file: Fields, draft: Draft) -> None:
    rows = file.rows("entries")
    names = {name for fields in rows if isinstance(name := fields.raw("builder"), str)}
    draft.builders = {builder.name: builder for builder in Builder.objects.filter(name__in=names)}
    for place, fields in enumerate(rows):
        entry = _read_entry(fields, draft, place)
        _check(fields, entry, draft)
        if entry.token in draft.entries:
            fields.refuse("token", f"{quoted(entry.token)} stands twice; each entry has its own token.")
        draft.entries[entry.token] = entry
        fields.done()


def _read_entry(fields: Fields, draft: Draft, place: int) -> Entry:
    part = draft.parts.find(fields, "part")
    minutes = fields.whole("bench_minutes", None, most=MOST_MINUTES)
    return Entry(
        build=draft.build,
        worked_on=fields.needed_day("date"),
        since_on=fields.day("since"),
        builder=_builder(fields, draft),
        part=part,
        operation=_operation(fields, draft, part),
        batch=_batch(fields, draft, part),
        activity=fields.choice("activity", Activity, "shop time", "activities", ""),
        bench_minutes=minutes,
        bench_is=fields.choice("bench_is", TimeIs, "how a time can be known", "ways", TimeIs.EXACT),
        unattended_minutes=fields.count("unattended_minutes", most=MOST_MINUTES),
        good=fields.count("good"),
        reworked=fields.count("reworked"),
        scrap=fields.count("scrap"),
        scrap_reason=fields.of_model("scrap_reason", Entry),
        note=fields.of_model("note", Entry),
        token=fields.of_model("token", Entry) or _token(fields, place),
    )


def _token(fields: Fields, place: int) -> str:
    """The same entry at the same place of a file has the same token, however often the file is read."""
    content = json.dumps(fields.as_read(), sort_keys=True)
    return "record-" + hashlib.sha256(f"{place}|{content}".encode()).hexdigest()[:40]


def _builder(fields: Fields, draft: Draft) -> Builder | None:
    name = fields.of_model("builder", Builder, "name")
    return draft.builders.setdefault(name, Builder(name=name)) if name.strip() else None


def _operation(fields: Fields, draft: Draft, part: Part | None) -> Operation | None:
    named = fields.raw("operation")
    if part is None:
        if named is not None:
            fields.refuse("operation", "An operation belongs to a part: say which part.")
        return None
    route = draft.routes[part.number]
    if named is None:
        # Left out, a route of one operation leaves no doubt which it was. Null says that it was none in particular.
        return route[0] if len(route) == 1 and not fields.has("operation") else None
    if isinstance(named, bool) or not isinstance(named, str | int):
        fields.refuse("operation", f"The number, kind or title of an operation is wanted, not {quoted(named)}.")
    for names in (_numbers, _titles, _kinds):
        same = [operation for operation in route if names(operation) == str(named).casefold()]
        if len(same) == 1:
            return same[0]
        if same:
            fields.refuse("operation", f"{quoted(named)} stands {len(same)} times in this route: give the number.")
    sentence = f"Part {part.number} has no operation {quoted(named)}. Its route: {known([str(o) for o in route])}."
    return fields.refuse("operation", sentence)


def _numbers(operation: Operation) -> str:
    return str(operation.number)


def _titles(operation: Operation) -> str:
    return operation.title.casefold()


def _kinds(operation: Operation) -> str:
    return operation.kind


def _batch(fields: Fields, draft: Draft, part: Part | None) -> Batch | None:
    number = fields.whole("batch", None)
    if number is None:
        return None
    of_part = draft.batches.get(part.number, {}) if part is not None else {}
    if number not in of_part:
        fields.refuse("batch", f"There is no batch {number} of this part. Its batches: {known(list(of_part))}.")
    return of_part[number]


def _check(fields: Fields, entry: Entry, draft: Draft) -> None:
    """The rules of the log, with the path of the field that breaks one."""
    if entry.worked_on > draft.today:
        fields.refuse("date", f"{entry.worked_on.isoformat()} has not come yet.")
    if entry.since_on is not None and entry.since_on > entry.worked_on:
        fields.refuse("since", "The day it began lies after the date of the entry.")
    if entry.part is not None and entry.activity:
        fields.refuse("activity", "An entry is for a part or for shop time: give one of the two.")
    if entry.part is None and not entry.activity:
        fields.refuse("part", "An entry is for a part or for shop time: give one of the two.")
    if entry.bench_is == TimeIs.UNKNOWN and entry.bench_minutes is not None:
        fields.refuse("bench_minutes", "The time is said to be unknown, so there can be no minutes.")
    if entry.bench_is != TimeIs.UNKNOWN and entry.bench_minutes is None:
        fields.refuse("bench_minutes", 'Give the bench time, or say "bench_is": "unknown".')
    if entry.reworked > entry.good:
        fields.refuse("reworked", "The pieces put right are some of the good ones, so they cannot be more.")
    if (entry.good or entry.scrap) and entry.part is None:
        fields.refuse("good" if entry.good else "scrap", "Pieces are counted at a part's operation, not in shop time.")
    if (entry.good or entry.scrap) and entry.operation is None:
        fields.refuse("operation", "Say at which operation the pieces were counted.")
    if entry.scrap_reason and not entry.scrap:
        fields.refuse("scrap", "There is a reason for scrap, but no scrap: give the number of pieces.")
