"""What the events of a build say: one table from the type to a sentence without a name, made anew for each reader."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from django.apps import apps

from builds.models.choices import Activity, EventType, PersonRole
from calcs.messages import _, gettext_noop, ngettext
from calcs.typed.durations import format_logged

if TYPE_CHECKING:
    from builds.models.event import Event

Details = dict[str, Any]


def event_text(event: "Event") -> str:
    """The sentence of an event, such as "logged 2 h 30 min on 14 Piston ring".

    An undoing holds the words of what it undid, which may be an undoing itself.
    """
    undoings = 0
    while event.undoes is not None:
        event, undoings = event.undoes, undoings + 1
    message = MESSAGES[event.type]
    text = _(message, **event.details) if isinstance(message, str) else message(event.details)
    for _undoing in range(undoings):
        text = _("undid: {event}", event=text)
    return text


def _record_words(message: str) -> Callable[[Details], str]:
    """A message about a record of the plan, which is kept as the name of its model and its own name."""
    return lambda d: _(message, record=apps.get_model("builds", d["record"])._meta.verbose_name, name=d["name"])


def _work_words(message: str) -> Callable[[Details], str]:
    """A message about work logged: at a part or an operation, named as it was then, or for an activity of the shop."""
    return lambda d: _(message, **{"work": d.get("work") or Activity(d["activity"]).label, **d})


def _person_words(message: str) -> Callable[[Details], str]:
    return lambda d: _(message, name=d["name"], role=PersonRole(d["role"]).label)


def _logged(d: Details) -> str:
    time = format_logged(d["minutes"])
    if "lines" in d:
        return ngettext("logged {time} on {n} line", "logged {time} on {n} lines", d["lines"], time=time)
    return _work_words(gettext_noop("logged {time} on {work}"))({**d, "time": time})


def _record_imported(d: Details) -> str:
    parts = ngettext("{parts} part", "{parts} parts", d["parts"], parts=d["parts"])
    entries = ngettext("{entries} entry", "{entries} entries", d["entries"], entries=d["entries"])
    return _("took in the record of {name}: {parts}, {entries}", name=d["name"], parts=parts, entries=entries)


def _parts_imported(d: Details) -> str:
    if "operations" not in d:
        return ngettext("added {n} part named in {file}", "added {n} parts named in {file}", d["parts"], **d)
    return _(
        "took in the parts list {file}: {parts} parts and {operations} operations new, {changed} records changed", **d
    )


def _log_imported(d: Details) -> str:
    text = ngettext("took in {n} entry from {file}", "took in {n} entries from {file}", d["entries"], **d)
    if d.get("changed"):
        text = ngettext("{text}, {n} changed by it", "{text}, {n} changed by it", d["changed"], text=text)
    if d.get("parts"):
        text = ngettext("{text}, with {n} new part", "{text}, with {n} new parts", d["parts"], text=text)
    return text


MESSAGES: dict[str, str | Callable[[Details], str]] = {
    EventType.BEGIN_BUILD: gettext_noop("began the build {name}"),
    EventType.EDIT_BUILD: gettext_noop("edited the title block of the build"),
    EventType.ADD: _record_words(gettext_noop("added {record} {name}")),
    EventType.EDIT: _record_words(gettext_noop("edited {record} {name}")),
    EventType.REMOVE: _record_words(gettext_noop("removed {record} {name}")),
    EventType.ADD_OPERATION: lambda d: (
        _("added operation {operation} to {part}, in the place of {instead_of}", **d)
        if "instead_of" in d
        else _("added operation {operation} to {part}", **d)
    ),
    EventType.MOVE_OPERATION: gettext_noop("moved operation {operation} of {part}"),
    EventType.COPY_PART: gettext_noop("copied {part} as {copy}"),
    EventType.COPY_ROUTE: gettext_noop("copied the route of {part} to {to}"),
    EventType.WORKING_ORDER: gettext_noop("changed the working order"),
    EventType.WORK_OUT: gettext_noop("worked out the time of {operation} of {part}"),
    EventType.APPLY_RATES: lambda d: ngettext(
        "took own rates for {operations} operation not begun",
        "took own rates for {operations} operations not begun",
        d["operations"],
        **d,
    ),
    EventType.ADD_PHOTO: gettext_noop("added a photo of {name}"),
    EventType.REMOVE_PHOTO: gettext_noop("removed the photo {name}"),
    EventType.LOG: _logged,
    EventType.AMEND_ENTRY: _work_words(gettext_noop("amended the entry {day}: {work}")),
    EventType.REMOVE_ENTRY: _work_words(gettext_noop("removed the entry {day}: {work}")),
    EventType.MEASURE: lambda d: ngettext(
        "measured {n} piece: {size} of {part}", "measured {n} pieces: {size} of {part}", d["pieces"], **d
    ),
    EventType.IMPORT_RECORD: _record_imported,
    EventType.IMPORT_PARTS: _parts_imported,
    EventType.IMPORT_LOG: _log_imported,
    EventType.SIGN_IN: gettext_noop("signed in as {name}"),
    EventType.SIGN_OUT: gettext_noop("signed out as {name}"),
    EventType.SIGN_IN_REFUSED: gettext_noop("could not sign in as {name}"),
    EventType.SIGN_OUT_EVERYWHERE: gettext_noop("signed out {name} everywhere"),
    EventType.ADD_PERSON: _person_words(gettext_noop("let in {name} as {role}")),
    EventType.SET_ROLE: _person_words(gettext_noop("made {name} {role}")),
    EventType.SET_PASSWORD: gettext_noop("set a new password for {name}"),
    EventType.BAR: gettext_noop("barred {name} from signing in"),
    EventType.LET_IN: gettext_noop("let {name} sign in again"),
    EventType.BACK_UP: gettext_noop("made the backup {name}"),
    EventType.RESTORE: gettext_noop("put back the backup {name}"),
    EventType.HAND_OVER: gettext_noop("wrote out the record of {name}"),
    # Reached only where what was undone is no longer there.
    EventType.UNDO: gettext_noop("undid: {note}"),
    EventType.OTHER: gettext_noop("{note}"),
}
