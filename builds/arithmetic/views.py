"""The pages of shop arithmetic. Each question is a GET form: its address can be kept, sent and printed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from builds.arithmetic.answers import Answer
from builds.arithmetic.forms import SumForm
from builds.arithmetic.sheets import GROUPS, SHEETS
from builds.language import spoken_to_visitors
from builds.permissions import visitors_may_if_ticked
from calcs.shop.cautions import Cautions, cautions_for


@spoken_to_visitors
@visitors_may_if_ticked
def index(request: HttpRequest) -> HttpResponse:
    """What there is, a sentence each."""
    return render(request, "arithmetic/index.html", {"groups": GROUPS, "here": "arithmetic"})


@spoken_to_visitors
@visitors_may_if_ticked
def sheet(request: HttpRequest, name: str) -> HttpResponse:
    """One page of sums. For htmx the question and the answer alone, of which the page takes what it needs."""
    if name not in SHEETS:
        raise Http404
    page = SHEETS[name]
    form = page.form(request.GET)
    context = {"sheet": page, "form": form, "here": "arithmetic", "answer": worked_out(form)}
    context["open"] = request.GET.get("working") == "open"
    htmx: Any = request.htmx  # type: ignore[attr-defined]
    template = "arithmetic/sheet.html#question" if htmx else "arithmetic/sheet.html"
    return render(request, template, context)


@dataclass(frozen=True)
class Shown:
    """An answer as its page shows it."""

    answer: Answer
    cautions: Cautions | None


def worked_out(form: SumForm) -> Shown | None:
    """The answer, or None where the form says why there is none. What a sum refuses stands at the form's top."""
    if not form.is_valid():
        return None
    try:
        answer = form.kind.work_out(form)
    except ValueError as refusal:
        form.add_error(None, str(refusal))
        return None
    return Shown(answer, cautions_of(answer))


def cautions_of(answer: Answer) -> Cautions | None:
    """The usual cautions of the operation and the material, where a sum belongs to one."""
    return cautions_for(answer.operation, answer.material) if answer.operation else None
