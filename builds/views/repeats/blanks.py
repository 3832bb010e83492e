"""How many blanks to start."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from builds.charts.repeats.blanks import chance_by_blanks, hours_by_blanks
from builds.forms.repeats.blanks import BlanksForm
from builds.models import Part
from builds.queries.repeats.blanks import blanks_page as read_blanks
from builds.queries.repeats.material import material_for
from builds.views.plan.parts import the_part


def blanks_page(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """The question and its answer; for htmx the two without the page around them."""
    part = the_part(slug, pk)
    form = BlanksForm(request.GET, part=part)
    context = {"build": part.build, "part": part, "form": form, "here": "repeats"}
    if form.is_valid():
        context |= _answered(part, form)
    template = "repeats/blanks.html#blanks" if request.htmx else "repeats/blanks.html"  # type: ignore[attr-defined]
    return render(request, template, context, status=422 if form.errors else 200)


def _answered(part: Part, form: BlanksForm) -> dict[str, object]:
    page = read_blanks(part, form.question, timezone.localdate(), tried=form.cleaned_data["blanks"])
    sure = page.answer.sure
    return {
        "material": material_for(page.line.part, part.build.length_unit, sure.blanks) if sure is not None else None,
        "page": page,
        "answer": page.answer,
        "question": page.question,
        "charts": [
            chart
            for chart in (chance_by_blanks(page.answer, page.question.confidence), hours_by_blanks(page.answer))
            if chart
        ],
    }
