"""The time of an operation from the drawing."""

from dataclasses import asdict

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms.utils import ErrorDict
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone

from builds.arithmetic.speeds_form import SpeedsForm
from builds.arithmetic.views import worked_out
from builds.models import Operation
from builds.permissions import for_builders, the_builder
from builds.queries.plan.work_out import begin_with, figures_of, gone_stale
from builds.services.plan.records import keep_worked
from builds.views.plan.parts import the_operation
from calcs.messages import _

# What the address holds beside the inputs of the sum.
NOT_INPUTS = {"csrfmiddlewaretoken", "seen", "offered"}


@for_builders
def work_out(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Work the time out beside the operation (GET), and keep it with everything it stands on (POST)."""
    operation = the_operation(slug, pk)
    form, asked = _form(request, operation)
    shown = worked_out(form) if asked else None
    minutes = shown.answer.minutes if shown is not None else None
    if request.method == "POST" and minutes is not None and _is_another(request.POST.get("offered", ""), minutes):
        messages.warning(request, _("With what stands here now the time is another. Nothing is kept yet: press again."))
    elif request.method == "POST" and minutes is not None:
        try:
            keep_worked(
                operation=operation,
                inputs=_inputs(request.POST),
                minutes=minutes,
                figures=asdict(figures_of(operation)),
                by=the_builder(request),
                today=timezone.localdate(),
                seen=int(request.POST["seen"]) if request.POST.get("seen", "").isdecimal() else None,
            )
        except ValidationError as error:
            # What somebody else made of it meanwhile is shown beside the button, which then goes by that.
            operation = the_operation(slug, pk)
            form.add_error(None, error)
        else:
            messages.success(request, _("The time of {operation} is kept, with its working.", operation=operation))
            return redirect("builds:part", slug, operation.part_id)
    context = {
        "build": operation.part.build,
        "part": operation.part,
        "operation": operation,
        "form": form,
        "answer": shown,
        "asked": asked,
        "stale": gone_stale(operation),
        "here": "plan",
    }
    template = "plan/work_out_beside.html" if request.htmx else "plan/work_out.html"  # type: ignore[attr-defined]
    return render(request, template, context, status=422 if request.method == "POST" else 200)


def _is_another(offered: str, minutes: float) -> bool:
    """Whether a time is not the one that the pressed button named, since more was typed after it was drawn."""
    return bool(offered) and offered != repr(minutes)


def _form(request: HttpRequest, operation: Operation) -> tuple[SpeedsForm, bool]:
    """The form of the address, or of what the operation knows where the address says nothing.

    The second is whether there is a sum to do: not before somebody has given the sizes.
    """
    typed = request.POST if request.method == "POST" else request.GET
    if typed:
        return SpeedsForm(typed), True
    choices = SpeedsForm.base_fields["material"].choices  # type: ignore[attr-defined]
    known = begin_with(operation, tuple(str(value) for value, _label in choices))
    # The form by itself fills in example sizes. Here they would pass for the drawing's, so they stay empty.
    form = SpeedsForm({**dict.fromkeys(SpeedsForm.base_fields, ""), **known})
    if "material" not in known and "material" in form.fields and operation.part.material is not None:
        words = _("The tables do not know “{name}”: choose what comes near it.", name=operation.part.material.name)
        form.fields["material"].reading = words
    if (operation.worked or {}).get("inputs"):
        return form, True
    # Nobody has been asked for anything yet, so nothing is refused yet.
    form._errors = ErrorDict()
    return form, False


def _inputs(data: QueryDict | dict[str, str]) -> dict[str, str]:
    """What was typed, without what belongs to the form itself."""
    return {name: str(data[name])[:200] for name in data if name not in NOT_INPUTS and data[name]}
