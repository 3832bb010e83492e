"""Something was removed: a message that says so, with the one button that puts it back."""

from django.contrib import messages
from django.http import HttpRequest
from django.urls import reverse

from builds.models import Event


def say_removed(request: HttpRequest, words: str, event: Event) -> None:
    """Say on the next page what was removed; what undoes the event stands beside it."""
    say_with_way_back(request, words, _undoing(event))


def say_done(request: HttpRequest, words: str, event: Event) -> None:
    """Say on the next page what was done to many records at once; what undoes the event stands beside it."""
    messages.info(request, words, extra_tags=_undoing(event))


def say_with_way_back(request: HttpRequest, words: str, way_back: str) -> None:
    """way_back: the address that puts it back, where something is sent to it."""
    messages.success(request, words, extra_tags=way_back)


def _undoing(event: Event) -> str:
    return reverse("builds:undo", args=[event.build.slug, event.pk])
