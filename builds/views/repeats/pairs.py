"""Which measured piece goes with which."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from builds.forms.repeats.pairs import PairsForm
from builds.models import Build
from builds.queries.repeats.pairs import Paired, paired


@require_safe
def pairs_page(request: HttpRequest, slug: str) -> HttpResponse:
    """The two sizes and the clearances, and the pairs that follow."""
    build = get_object_or_404(Build, slug=slug)
    form = PairsForm(request.GET.dict(), build=build)
    context = {"build": build, "form": form, "found": _found(form, build), "here": "repeats"}
    context["measured"] = form.fields["outer"].queryset.exists()
    return render(request, "repeats/pairs.html", context, status=422 if form.errors else 200)


def _found(form: PairsForm, build: Build) -> Paired | None:
    if not form.is_valid():
        return None
    try:
        return paired(form.question, build)
    except ValueError as trouble:
        form.add_error(None, str(trouble))
        return None
