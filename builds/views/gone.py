"""A form whose record somebody else removed while it was open: what was typed is shown, instead of a page not found."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views import defaults
from django_htmx.http import reswap, retarget

from builds.forms.log.amend import AmendForm
from builds.forms.plan import PartForm
from builds.forms.route import OperationForm
from builds.forms.two_people import typed_in
from builds.views.plan import records
from builds.views.shop import items

if TYPE_CHECKING:
    from django import forms

# The form behind each address that is about one record.
FORMS: dict[str, Callable[[str], "type[forms.BaseForm] | None"]] = {
    "edit_part": lambda _kind: PartForm,
    "edit_operation": lambda _kind: OperationForm,
    "amend": lambda _kind: AmendForm,
    "edit_record": lambda kind: records.KINDS[kind].form if kind in records.KINDS else None,
    "edit_item": lambda kind: items.KINDS[kind].form if kind in items.KINDS else None,
}


def page_not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Django's own, but for a form that was sent to a record of before."""
    asked = request.resolver_match
    form_of = FORMS.get(asked.url_name or "") if asked and request.method == "POST" and request.POST else None
    form = form_of(asked.kwargs.get("kind", "")) if asked and form_of else None
    if form is None or not request.user.is_authenticated:
        return defaults.page_not_found(request, exception)
    context = {"typed": typed_in(form, request.POST), "slug": asked.kwargs.get("slug") if asked else None}
    if not request.htmx:  # type: ignore[attr-defined]
        return render(request, "gone.html", context, status=422)
    return retarget(reswap(render(request, "gone.html#main", context, status=422), "innerHTML"), "#main")
