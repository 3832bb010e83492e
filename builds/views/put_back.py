"""Something was removed: a message that says so, with the one button that puts it back."""

from django.contrib import messages
from django.http import HttpRequest
from django.urls import reverse

from builds.models import Event


def say_removed(request: HttpRequest, words: str, event: Event) -> None:
    """Say on the next page what was removed; what undoes the event stands beside it."""
    say_with_way_back(request, words, reverse("builds:undo", args=[event.build.slug, event.pk]))


def say_with_way_back(request: HttpRequest, words: str, way_back: str) -> None:
    """way_back: the address that puts it back, where something is sent to it."""
    messages.success(request, words, extra_tags=way_back)
