"""The sign beside the glass case, laid out for the paper that is asked for."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from builds.language import language_of, speak, spoken_to_visitors
from builds.queries.visitors.facts import facts_of
from builds.queries.visitors.placard import Paper, letters_for, placard_of
from builds.views.kept import Shown, follows_its_build
from builds.views.visitors.facts import facts_code

# By the name in the address; each has its page in the style sheet, with 10 mm all round. The first is shown unasked.
PAPERS = {
    "a5": (gettext_lazy("A5"), Paper(190, 128, 40)),
    "a5-upright": (gettext_lazy("A5, upright"), Paper(128, 190, 40)),
    "a4": (gettext_lazy("A4"), Paper(277, 190, 52)),
    "a4-upright": (gettext_lazy("A4, upright"), Paper(190, 277, 52)),
    "letter": (gettext_lazy("Letter"), Paper(259, 195, 52)),
    "letter-upright": (gettext_lazy("Letter, upright"), Paper(195, 259, 52)),
}


@spoken_to_visitors
@require_safe
@follows_its_build
def placard_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    """The sign for the paper that `?paper=` names."""
    asked, build = request.GET.get("paper", ""), shown.build
    speak(request, language_of(request, shown.language))
    name = asked if asked in PAPERS else next(iter(PAPERS))
    sign, code = placard_of(facts_of(build, timezone.localdate())), facts_code(request, build)
    context = {"build": build, "sign": sign, "here": "board", **code}
    context |= {"paper": name, "papers": {key: label for key, (label, _paper) in PAPERS.items()}}
    context["letters"] = letters_for(sign, PAPERS[name][1], code=bool(code))
    context["this_machine_alone"] = build.on_board and not code
    return render(request, "visitors/placard.html", context)
