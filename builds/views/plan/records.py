"""The small records of a build: assemblies, sheets, remarks, batches, closures, milestones. One page for all."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db.models import Model, QuerySet
from django.forms import ModelForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST

from builds.forms.plan import AssemblyForm, BatchForm, ClosureForm, MilestoneForm, RemarkForm, SheetForm, SizeForm
from builds.models import Assembly, Batch, Build, Builder, Milestone, Remark, Size
from builds.permissions import for_builders, the_build, the_builder
from builds.services.plan import records as plan_services
from builds.views.put_back import say_removed
from builds.views.refusals import refusals_beside, refusals_on_top
from calcs.messages import _


@dataclass(frozen=True)
class RecordKind:
    """How one kind of record is shown and edited."""

    title: Promise
    one: Promise
    words: Promise
    form: type[ModelForm]
    of_build: Callable[[Build], "QuerySet[Any]"]
    hangs_on_build: bool = True
    # What there must be before one can be added, as the build and the pages call it; empty: nothing.
    stands_on: str = ""
    # Words of the glossary, their keys with spaces between.
    speaks_of: str = ""


KINDS = {
    "assemblies": RecordKind(
        gettext_lazy("Assemblies"),
        gettext_lazy("assembly"),
        gettext_lazy("Named groups of parts. They may stand inside one another."),
        AssemblyForm,
        lambda build: build.assemblies.select_related("parent"),
    ),
    "sheets": RecordKind(
        gettext_lazy("Drawing sheets"),
        gettext_lazy("sheet"),
        gettext_lazy("The sheets that the parts are drawn on."),
        SheetForm,
        lambda build: build.sheets.prefetch_related("remarks"),
        speaks_of="sheet title-block",
    ),
    "remarks": RecordKind(
        gettext_lazy("Remarks on the drawings"),
        gettext_lazy("remark"),
        gettext_lazy("What a drawing says, and what was made: it saves the next one who builds from it."),
        RemarkForm,
        lambda build: Remark.objects.filter(sheet__build=build).select_related("sheet", "by"),
        hangs_on_build=False,
        stands_on="sheets",
        speaks_of="remark sheet",
    ),
    "sizes": RecordKind(
        gettext_lazy("Sizes"),
        gettext_lazy("size"),
        gettext_lazy("Each as drawn full size, as scaled, and as made, with the reason where it was made otherwise."),
        SizeForm,
        lambda build: Size.objects.filter(part__build=build).select_related("part"),
        hangs_on_build=False,
        stands_on="parts",
        speaks_of="full-size limits deviation",
    ),
    "batches": RecordKind(
        gettext_lazy("Batches"),
        gettext_lazy("batch"),
        gettext_lazy("Blanks of one part that go through its route together."),
        BatchForm,
        lambda build: Batch.objects.filter(part__build=build).select_related("part"),
        hangs_on_build=False,
        stands_on="parts",
        speaks_of="batch blank spare",
    ),
    "closures": RecordKind(
        gettext_lazy("Closures"),
        gettext_lazy("closure"),
        gettext_lazy("Days on which nothing will be done, or less. The forecast leaves them out of the calendar."),
        ClosureForm,
        lambda build: build.closures.all(),
        speaks_of="closure pace",
    ),
    "milestones": RecordKind(
        gettext_lazy("Milestones"),
        gettext_lazy("milestone"),
        gettext_lazy("What happens for the first time once certain parts are made, in the order you mean to work."),
        MilestoneForm,
        lambda build: build.milestones.prefetch_related("parts", "assemblies", "operations"),
        speaks_of="milestone",
    ),
}


def the_kind(kind: str) -> RecordKind:
    if kind not in KINDS:
        raise Http404
    return KINDS[kind]


def records_page(request: HttpRequest, slug: str, kind: str) -> HttpResponse:
    """All records of a kind, and the form for one more."""
    build, what = the_build(slug), the_kind(kind)
    record = what.form._meta.model(**({"build": build} if what.hangs_on_build else {}))
    form = what.form(request.POST or None, build=build, instance=record, initial=_initial(request, kind))
    if request.method == "POST" and form.is_valid() and _saved(form, the_builder(request)):
        messages.success(request, _("The {record} is kept.", record=what.one))
        return redirect(request.path)
    context = {"build": build, "kind": kind, "what": what, "form": form, "records": what.of_build(build)}
    context |= {"here": "plan"}
    if what.stands_on and not context["records"] and not getattr(build, what.stands_on).exists():
        kinds = [] if what.stands_on == "parts" else [what.stands_on]
        context["first"] = reverse("builds:records" if kinds else "builds:new_part", args=[slug, *kinds])
        return render(request, "plan/records_first.html", context)
    return render(request, "plan/records.html", context, status=422 if form.errors else 200)


@for_builders
def edit_record(request: HttpRequest, slug: str, kind: str, pk: int) -> HttpResponse:
    build, what = the_build(slug), the_kind(kind)
    record = get_object_or_404(what.of_build(build), pk=pk)
    form = what.form(request.POST or None, build=build, instance=record)
    if isinstance(form, SizeForm) and not form.is_bound and (made := request.GET.get("made")):
        form.offer(made)
    if request.method == "POST" and form.is_valid() and _saved(form, the_builder(request)):
        return redirect("builds:records", slug, kind)
    title = _("Edit this {record}", record=what.one)
    context = {"build": build, "kind": kind, "form": form, "title": title, "doing": _("Save")}
    context |= {"remove_to": reverse("builds:remove_record", args=[slug, kind, pk]), "record": record, "here": "plan"}
    context |= {"what": what, "part": getattr(record, "part", None), "within": _within(record)}
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)


@require_POST
def remove_record(request: HttpRequest, slug: str, kind: str, pk: int) -> HttpResponse:
    build, what = the_build(slug), the_kind(kind)
    record = get_object_or_404(what.of_build(build), pk=pk)
    with refusals_on_top(request):
        event = plan_services.remove(record=record, by=the_builder(request))
        say_removed(request, _("The {record} is removed.", record=what.one), event)
    return redirect("builds:records", slug, kind)


def _within(record: Model) -> Assembly | None:
    return record if isinstance(record, Assembly) else None


def _saved(form: ModelForm, by: Builder) -> bool:
    record = form.save(commit=False)
    with refusals_beside(form):
        if isinstance(record, Milestone):
            chosen = form.cleaned_data
            needed = {name: chosen[name] for name in ("parts", "assemblies", "operations")}
            plan_services.save_milestone(milestone=record, **needed, by=by)
        else:
            if isinstance(record, Remark) and record.pk is None:
                record.by = by
            plan_services.save(record=record, by=by)
        return True
    return False


def _initial(request: HttpRequest, kind: str) -> dict[str, Any]:
    """What the address asks for beforehand, such as the part of a batch."""
    initial: dict[str, Any] = {name: request.GET[name] for name in ("part", "sheet", "parent") if name in request.GET}
    if kind == "batches":
        part = initial.get("part", "")
        initial |= {"started_on": timezone.localdate(), "number": plan_services.next_batch_number(part)}
    return initial
