"""The page of components, for an owner of a server that runs with DEBUG; for anybody else there is none."""

from django.conf import settings
from django.contrib.staticfiles import finders
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from builds.models import Build, Photo
from builds.permissions import user_can_keep_people
from builds.static_files import SHEET
from builds.views.components import asked, drawn, inks, said
from builds.views.components.shown import Group, Shown
from builds.views.components.shown import drawn as as_drawn

NOT_SHOWN = {
    "boardcontrols": "shown by the board’s own script",
    "boardkey": "in the sheet of what is shown to visitors",
    "boardphoto": "in the sheet of what is shown to visitors",
    "signed_out": "takes the place of the page’s own messages",
}
"""Templates of components that do not stand on the page, and why."""
OF_ONE_PAGE = {
    "batchgrid": "repeats", "bench": "bench", "board": "board", "catchup": "catch_up", "facts": "facts",
    "forecast": "forecast", "measure": "repeats", "network": "holds", "placard": "placard", "plan": "page",
    "repeat": "repeats", "routecard": "parts", "talk": "talk", "tonight": "tonight", "turn": "repeats",
    "viewer": "parts", "whatif": "forecast", "worksheet": "parts",
}  # fmt: skip
"""Sheets of one page or of one kind of page, with where that is or what leads there."""
EVERYWHERE = {"found": "builds:find_all", "sum": "arithmetic:index", "signin": "sign_in", "refusal": "sign_in"}
"""The same of pages that belong to no build; a refusal looks the same whoever is refused."""
LOOKS = {
    "paper": (("@media print", "@media all"), ("@media screen and", "@media not all and")),
    "contrast": (("@media (prefers-contrast:more)", "@media all"),),
    "forced": (("@media (forced-colors:active)", "@media all"),),
}
"""How a sheet is changed so that a look that the device decides is seen on any."""


@require_safe
def components_page(request: HttpRequest) -> HttpResponse:
    _check(request)
    build = Build.objects.first() or Build(slug="none", name="Beam engine", scale="1:12")
    groups = (*asked.groups(), said.MESSAGES_AND_REFUSALS, said.WAYS, said.FIGURES, *drawn.groups(), *_photo())
    alone = {name: reverse(f"builds:{to}", args=[build.slug]) for name, to in OF_ONE_PAGE.items()}
    alone |= {name: reverse(to) for name, to in EVERYWHERE.items()}
    look = request.GET.get("look", "")
    context = {
        "build": build,
        "groups": [as_drawn(request, group, {"build": build}) for group in groups],
        "inks": inks.inks(),
        "ink_looks": inks.LOOKS,
        "pairs": inks.pairs(),
        "sizes": inks.sizes(),
        "alone": sorted(alone.items()),
        "not_shown": NOT_SHOWN,
        "looks": ("day", "evening", *LOOKS),
        "look": look if look in LOOKS else "",
    }
    if look in ("day", "evening"):
        context["theme"] = look
    return render(request, "developers/components.html", context)


@require_safe
def look_sheet(request: HttpRequest, look: str) -> HttpResponse:
    """The sheet of the pages of work as it is on paper, with more contrast, or in the device's own colours."""
    _check(request)
    if look not in LOOKS:
        raise Http404
    with open(str(finders.find(SHEET)), encoding="utf-8") as file:
        sheet = file.read()
    for words, others in LOOKS[look]:
        sheet = sheet.replace(words, others)
    return HttpResponse(sheet, content_type="text/css")


def _check(request: HttpRequest) -> None:
    if not (settings.DEBUG and user_can_keep_people(request.user)):
        raise Http404


def _photo() -> tuple[Group, ...]:
    photo = Photo.objects.first()
    given = {"photo": photo, "alt": "A photo"}
    return (Group("Photos", (Shown("developers/photo.html", "the first there is", given),)),) if photo else ()
