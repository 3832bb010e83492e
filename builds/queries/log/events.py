"""Who did what to a build."""

from collections.abc import Sequence
from typing import cast

from django.core.paginator import Page, Paginator
from django.db.models import Exists, OuterRef, QuerySet

from builds.models import Build, Event

EVENTS_A_PAGE = 60


def events_page(build: Build, number: str | int = 1) -> "Page[Event]":
    """The events of a build, the newest first. Two queries, and one a step to what was undone before the page."""
    undone = Exists(Event.objects.filter(undoes=OuterRef("pk")))
    events = Event.objects.filter(build=build).select_related("by").annotate(undone=undone)
    page = Paginator(cast("QuerySet[Event]", events), EVENTS_A_PAGE).get_page(number)
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
