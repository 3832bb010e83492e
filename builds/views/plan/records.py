"""The small records of a build: assemblies, sheets, remarks, batches, closures, milestones. One page for all."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.forms import ModelForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from builds.forms.fields import refuse
from builds.forms.plan import AssemblyForm, BatchForm, ClosureForm, MilestoneForm, RemarkForm, SheetForm, SizeForm
from builds.models import Assembly, Batch, Build, Builder, Closure, Milestone, Remark, Sheet, Size
from builds.permissions import the_build, the_builder
from builds.services.plan import records as plan_services


@dataclass(frozen=True)
class RecordKind:
    """How one kind of record is shown and edited."""

    title: str
    one: str
    words: str
    form: type[ModelForm]
    model: type[Any]
    of_build: Callable[[Build], "QuerySet[Any]"]
    hangs_on_build: bool = True


KINDS = {
    "assemblies": RecordKind(
        "Assemblies",
        "assembly",
        "Named groups of parts. They may stand inside one another.",
        AssemblyForm,
        Assembly,
        lambda build: build.assemblies.select_related("parent"),
    ),
    "sheets": RecordKind(
        "Drawing sheets",
        "sheet",
        "The sheets that the parts are drawn on.",
        SheetForm,
        Sheet,
        lambda build: build.sheets.prefetch_related("remarks"),
    ),
    "remarks": RecordKind(
        "Remarks on the drawings",
        "remark",
        "What a drawing says, and what was made: it saves the next one who builds from it.",
        RemarkForm,
        Remark,
        lambda build: Remark.objects.filter(sheet__build=build).select_related("sheet"),
        hangs_on_build=False,
    ),
    "sizes": RecordKind(
        "Sizes",
        "size",
        "Each as drawn full size, as scaled, and as made, with the reason where the made one departs.",
        SizeForm,
        Size,
        lambda build: Size.objects.filter(part__build=build).select_related("part"),
        hangs_on_build=False,
    ),
    "batches": RecordKind(
        "Batches",
        "batch",
        "Blanks of one part that go through its route together.",
        BatchForm,
        Batch,
        lambda build: Batch.objects.filter(part__build=build).select_related("part"),
        hangs_on_build=False,
    ),
    "closures": RecordKind(
        "Closures",
        "closure",
        "Days on which nothing will be done, or less. The forecast leaves them out of the calendar.",
        ClosureForm,
        Closure,
        lambda build: build.closures.all(),
    ),
    "milestones": RecordKind(
        "Milestones",
        "milestone",
        "What happens for the first time once certain parts are made, in the order you mean to work.",
        MilestoneForm,
        Milestone,
        lambda build: build.milestones.prefetch_related("parts", "assemblies"),
    ),
}


def the_kind(kind: str) -> RecordKind:
    if kind not in KINDS:
        raise Http404
    return KINDS[kind]


def records_page(request: HttpRequest, slug: str, kind: str) -> HttpResponse:
    """All records of a kind, and the form for one more."""
    build, what = the_build(slug), the_kind(kind)
    record = what.model(build=build) if what.hangs_on_build else what.model()
    form = what.form(request.POST or None, build=build, instance=record, initial=_initial(request, kind))
    if request.method == "POST" and form.is_valid() and _saved(form, the_builder(request)):
        messages.success(request, f"The {what.one} is kept.")
        return redirect(request.path)
    context = {
        "build": build,
        "kind": kind,
        "what": what,
        "form": form,
        "records": what.of_build(build),
        "here": "plan",
    }
    return render(request, "plan/records.html", context, status=422 if form.errors else 200)


def edit_record(request: HttpRequest, slug: str, kind: str, pk: int) -> HttpResponse:
    build, what = the_build(slug), the_kind(kind)
    record = get_object_or_404(what.of_build(build), pk=pk)
    form = what.form(request.POST or None, build=build, instance=record)
    if request.method == "POST" and form.is_valid() and _saved(form, the_builder(request)):
        return redirect("builds:records", slug, kind)
    context = {"build": build, "kind": kind, "form": form, "title": f"Edit this {what.one}", "doing": "Save"}
    context |= {"remove_to": reverse("builds:remove_record", args=[slug, kind, pk]), "record": record, "here": "plan"}
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)


@require_POST
def remove_record(request: HttpRequest, slug: str, kind: str, pk: int) -> HttpResponse:
    build, what = the_build(slug), the_kind(kind)
    record = get_object_or_404(what.of_build(build), pk=pk)
    try:
        plan_services.remove(record=record, by=the_builder(request))
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
    else:
        messages.success(request, f"The {what.one} is removed. The events page can bring it back.")
    return redirect("builds:records", slug, kind)


def _saved(form: ModelForm, by: Builder) -> bool:
    record = form.save(commit=False)
    try:
        if isinstance(record, Milestone):
            chosen = form.cleaned_data
            plan_services.save_milestone(
                milestone=record, parts=chosen["parts"], assemblies=chosen["assemblies"], by=by
            )
        else:
            plan_services.save(record=record, by=by)
    except ValidationError as error:
        refuse(form, error)
        return False
    return True


def _initial(request: HttpRequest, kind: str) -> dict[str, Any]:
    """What the address asks for beforehand, such as the part of a batch."""
    initial: dict[str, Any] = {name: request.GET[name] for name in ("part", "sheet", "parent") if name in request.GET}
    if kind == "batches":
        part = initial.get("part", "")
        initial |= {"started_on": timezone.localdate(), "number": plan_services.next_batch_number(part)}
    return initial
