"""Who did what, and taking it back."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from builds.models import Event
from builds.models.choices import EventType
from builds.permissions import the_build, the_builder
from builds.queries.log.events import events_page as read_events
from builds.services.undo import undo as undo_event
from builds.views.back import back_to
from calcs.messages import _


def events_page(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    page = read_events(build, request.GET.get("page", 1))
    return render(request, "log/events.html", {"build": build, "page": page, "here": "plan"})


@require_POST
def undo(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    event = get_object_or_404(Event.objects.select_related("build"), build__slug=slug, pk=pk)
    try:
        undo_event(event=event, by=the_builder(request))
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
    else:
        messages.success(request, _("Undone: {event}.", event=event))
        if event.type == EventType.COPY_PART:
            # The page that this was sent from is the copy's, which is gone.
            return redirect("builds:page", slug)
    return back_to(request, reverse("builds:events", args=[slug]))
