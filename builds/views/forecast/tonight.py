"""What can be done with the time at hand."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.forms.tonight import TonightForm
from builds.permissions import the_build, the_builder, user_can_change
from builds.queries.forecast.tonight import tonight
from builds.queries.forecast.tonight_words import held_words, nothing_words
from builds.queries.log.bench import USUAL_MINUTES, usual_minutes

# So many can be taken in at a glance.
FIRST = 5


@require_safe
def tonight_page(request: HttpRequest, slug: str) -> HttpResponse:
    """The usual evening is asked about where no time is given."""
    build, today = the_build(slug), timezone.localdate()
    form = TonightForm(request.GET if "time" in request.GET else None)
    found = tonight(build, today, form.minutes)
    chips = usual_minutes(build, the_builder(request)) if user_can_change(request.user) else USUAL_MINUTES
    timed = [*found.fitting, *found.longer]
    first = timed[:FIRST] if found.fitting else []
    held = list(held_words(found))
    return render(
        request,
        "forecast/tonight.html",
        {
            "build": build,
            "form": form,
            "found": found,
            "first": first,
            "more": found.fitting[len(first) :],
            "longer": found.longer[max(0, len(first) - len(found.fitting)) :],
            "nothing": nothing_words(found),
            "more_work": reverse("builds:new_part", args=[slug]) if not (held or found.state.finished) else "",
            "held": held,
            "chips": sorted({*chips, found.minutes}),
            "here": "tonight",
        },
        status=422 if form.errors else 200,
    )
