"""Who did what to a build."""

from typing import cast

from django.core.paginator import Page, Paginator
from django.db.models import Exists, OuterRef, QuerySet

from builds.models import Build, Event

EVENTS_A_PAGE = 60


def events_page(build: Build, number: str | int = 1) -> "Page[Event]":
    """The events of a build, the newest first. Two queries."""
    undone = Exists(Event.objects.filter(undoes=OuterRef("pk")))
    events = Event.objects.filter(build=build).select_related("by").annotate(undone=undone)
    return Paginator(cast("QuerySet[Event]", events), EVENTS_A_PAGE).get_page(number)
