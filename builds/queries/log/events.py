"""Who did what to a build, and in the whole shop."""

from collections.abc import Sequence
from typing import cast

from django.core.paginator import Page, Paginator
from django.db.models import Exists, OuterRef, QuerySet
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from builds.models import Build, Event
from builds.models.choices import EventType

EVENTS_A_PAGE = 60
_LOG = {EventType.LOG, EventType.AMEND_ENTRY, EventType.REMOVE_ENTRY, EventType.MEASURE, EventType.IMPORT_LOG}
_DOORS = {EventType.SIGN_IN, EventType.SIGN_OUT, EventType.SIGN_IN_REFUSED, EventType.SIGN_OUT_EVERYWHERE}
_PEOPLE = {EventType.ADD_PERSON, EventType.SET_ROLE, EventType.SET_PASSWORD, EventType.BAR, EventType.LET_IN}
_FILES = {EventType.BACK_UP, EventType.RESTORE, EventType.HAND_OVER, EventType.IMPORT_RECORD}
# What one looks for together.
EVENT_GROUPS: dict[str, tuple[Promise, set[EventType]]] = {
    "plan": (gettext_lazy("plans, machines and materials"), set(EventType) - _LOG - _DOORS - _PEOPLE - _FILES),
    "log": (gettext_lazy("log"), _LOG),
    "doors": (gettext_lazy("signing in and out"), _DOORS),
    "people": (gettext_lazy("people, roles and passwords"), _PEOPLE),
    "files": (gettext_lazy("backups and records"), _FILES),
}


def events_page(build: Build, number: str | int = 1) -> "Page[Event]":
    """The events of a build, the newest first. Two queries, and one a step to what was undone before the page."""
    undone = Exists(Event.objects.filter(undoes=OuterRef("pk")))
    events = Event.objects.filter(build=build).select_related("by").annotate(undone=undone)
    page = Paginator(cast("QuerySet[Event]", events), EVENTS_A_PAGE).get_page(number)
    page.object_list = list(page.object_list)
    _join_what_they_undid(page.object_list)
    return page


def every_events_page(*, by: int | None = None, group: str = "", number: str | int = 1) -> "Page[Event]":
    """What was done in all builds and to the shop as a whole, the newest first; two queries and those of undoings.

    by: the key of a builder; 0 for what nobody who was signed in did. group: one of `EVENT_GROUPS`. Else all of it.
    """
    events = Event.objects.select_related("by", "build").order_by("-happened_at", "-pk")
    if by is not None:
        events = events.filter(by=by or None)
    if group:
        events = events.filter(type__in=EVENT_GROUPS[group][1])
    page = Paginator(events, EVENTS_A_PAGE).get_page(number)
    page.object_list = list(page.object_list)
    _join_what_they_undid(page.object_list)
    return page


def _join_what_they_undid(events: Sequence[Event]) -> None:
    """Give each undoing the event whose words it holds, and that one the event that it undid itself."""
    known = {event.pk: event for event in events}
    latest = list(events)
    while missing := {event.undoes_id for event in latest if event.undoes_id is not None} - known.keys():
        latest = list(Event.objects.filter(pk__in=missing))
        known |= {event.pk: event for event in latest}
    for event in known.values():
        if event.undoes_id is not None:
            event.undoes = known[event.undoes_id]
