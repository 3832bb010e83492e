"""A part's route on paper, with a code that opens the bench on that part."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from builds.models import Part
from builds.queries.plan.route_card import route_card
from builds.views.codes import drawn_code, this_machine_alone

# By the name in the address; each has its page in the style sheet. The first is what is shown unasked.
PAPERS = {
    "a5": gettext_lazy("A5, both sides"),
    "a4": gettext_lazy("A4"),
    "letter": gettext_lazy("Letter"),
    "card": gettext_lazy("Card, 100 × 150 mm"),
}


@require_safe
def card_page(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """The card, laid out for the paper that `?paper=` names."""
    related = ("build", "sheet", "material", "assembly")
    part = get_object_or_404(Part.objects.select_related(*related), build__slug=slug, pk=pk)
    asked = request.GET.get("paper", "")
    paper = asked if asked in PAPERS else next(iter(PAPERS))
    address = request.build_absolute_uri(f"{reverse('builds:bench', args=[slug])}?part={pk}")
    context = {"build": part.build, "part": part, "card": route_card(part), "code": drawn_code(address)}
    context |= {"paper": paper, "papers": PAPERS, "address": address, "here": "plan"}
    context["this_machine_alone"] = this_machine_alone(request)
    return render(request, "plan/route_card.html", context)
