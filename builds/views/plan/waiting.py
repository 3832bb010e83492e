"""What waits for what in a build."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.queries.plan.waiting import waiting_page as read_waiting
from builds.views.kept import Shown, follows_its_build


@require_safe
@follows_its_build
def waiting_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    main = shown.part(
        request, "plan/what_waits.html#main", lambda: {"page": read_waiting(shown.build, timezone.localdate())}
    )
    return render(request, "plan/what_waits.html", {"build": shown.build, "main": main, "here": "plan"})
