"""The parts of a build as one list, and the working order."""

from urllib.parse import urlencode

from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from builds.forms.parts_list import STEPS, PartsListForm, WorkingOrderForm
from builds.permissions import the_build, the_builder
from builds.queries.plan.parts_list import PartsAsked, PartsList
from builds.queries.plan.parts_list import parts_list as read_parts_list
from builds.services.plan.working_order import set_working_order
from builds.views.kept import Shown, follows_its_build
from builds.views.put_back import say_done
from builds.views.refusals import refusals_beside
from calcs.messages import _


@require_safe
@follows_its_build
def parts_list(request: HttpRequest, shown: Shown) -> HttpResponse:
    build, form = shown.build, PartsListForm(request.GET or None, build=shown.build)
    asked = form.asked()
    # What is kept is of few: the states, each in each order.
    of_few = not (asked.assembly or asked.material or asked.machine)
    main = shown.part(
        request,
        "plan/parts_list.html#main",
        lambda: _context(form, asked, read_parts_list(build, timezone.localdate(), asked)),
        _query(asked) if of_few else None,
    )
    return render(request, "plan/parts_list.html", {"build": build, "main": main, "form": form, "here": "plan"})


@require_POST
def set_order(request: HttpRequest, slug: str) -> HttpResponse:
    """Put parts in working order: by the places typed, then the button pressed, as one event."""
    build = the_build(slug)
    form = PartsListForm(request.GET or None, build=build)
    asked = form.asked()
    page = read_parts_list(build, timezone.localdate(), asked)
    order = WorkingOrderForm(request.POST, order=[part.line.part.pk for part in page.order], names=page.names)
    if order.is_valid():
        with refusals_beside(order):
            event = set_working_order(build=build, keys=order.keys, by=the_builder(request))
            if event is not None:
                say_done(request, _("The working order is changed."), event)
            return redirect(_back(request, slug, asked))
    context = {"build": build, "form": form, "order": order, "here": "plan"}
    main = render_to_string("plan/parts_list.html#main", context | _context(form, asked, page, order), request)
    return render(request, "plan/parts_list.html", {**context, "main": main}, status=422)


def _back(request: HttpRequest, slug: str, asked: PartsAsked) -> str:
    """The list as it was asked for, at the part whose button was pressed."""
    pressed = next((request.POST[name] for name in STEPS if name in request.POST), "")
    at = f"#part-{pressed}" if pressed.isdecimal() else ""
    return f"{reverse('builds:parts', args=[slug])}?{_query(asked)}{at}"


def _query(asked: PartsAsked) -> str:
    """What is asked for, as it stands in an address: the same for the same."""
    said = {name: value.pk if isinstance(value, Model) else value for name, value in vars(asked).items()}
    return urlencode({name: value for name, value in said.items() if value})


def _context(
    form: PartsListForm, asked: PartsAsked, page: PartsList, order: WorkingOrderForm | None = None
) -> dict[str, object]:
    """order: what was refused, so that what was typed stands in its fields again."""
    typed, refused = (order.typed, order.errors) if order else ({}, {})
    texts = ((part, typed.get(part.line.part.pk, part.place or "")) for part in page.rows)
    return {
        "form": form,
        "page": page,
        "rows": [(part, text, f"place-{part.line.part.pk}" in refused) for part, text in texts],
        "query": _query(asked),
        "by_order": not asked.sort,
    }
