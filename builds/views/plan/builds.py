"""The builds, and one build with its plan."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.forms.build import BuildForm
from builds.models import Build, Part
from builds.models.choices import EventType
from builds.permissions import for_builders, the_build, the_builder, user_can_keep_people
from builds.queries.plan.beside import part_beside, part_worked_on_last
from builds.queries.plan.build_page import build_page as read_build_page
from builds.queries.plan.builds_list import builds_list as read_builds
from builds.queries.plan.titleblock import title_block
from builds.services.changes import note
from builds.services.plan import records as plan_services
from builds.transfer.backup.kept import places
from builds.views.kept import Shown, follows_its_build
from builds.views.refusals import refusals_beside
from calcs.messages import _


def builds_list(request: HttpRequest) -> HttpResponse:
    of_owner = places(timezone.now()) if user_can_keep_people(request.user) else ()
    context = {"lines": read_builds(timezone.localdate()), "backups": of_owner, "here": "builds"}
    return render(request, "plan/builds.html", context)


@for_builders
def new_build(request: HttpRequest) -> HttpResponse:
    form = BuildForm(request.POST or None, initial={"started_on": timezone.localdate()})
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            build = plan_services.add_build(build=form.save(commit=False), by=the_builder(request))
            return redirect("builds:new_part", build.slug)
    first = not Build.objects.exists()
    title = _("Begin your first build") if first else _("Begin a build")
    words = _("These three will do. The title block takes the rest whenever you have it.")
    context = {"form": form, "title": title, "words": words, "doing": _("Begin this build")}
    context |= {"step": 2, "instead": [(reverse("builds:list"), _("Not now"))]} if first else {}
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)


@require_safe
@follows_its_build
def build_page(request: HttpRequest, shown: Shown) -> HttpResponse:
    main = shown.part(request, "plan/build.html#main", lambda: _build_context(shown.build))
    chosen = _chosen(shown.build, request.GET.get("part", ""))
    beside = shown.part(
        request, "plan/beside.html", lambda: beside_context(shown.build, chosen), None if chosen else ""
    )
    return render(request, "plan/build.html", {"build": shown.build, "main": main, "beside": beside, "here": "plan"})


def _chosen(build: Build, asked: str) -> int:
    """The key of the part that the address names; 0 where it names none of this build."""
    # Longer than any key, and int() refuses what is very long.
    key = int(asked) if asked.isdecimal() and len(asked) < 20 else 0
    return key if key and Part.objects.filter(build=build, pk=key).exists() else 0


def _build_context(build: Build) -> dict[str, object]:
    page = read_build_page(build, timezone.localdate())
    return {"page": page, "titleblock": title_block(page.build_forecast)}


def beside_context(build: Build, chosen: int) -> dict[str, object]:
    """What stands beside the plan: the part that was chosen by its key, or else (0) the one worked on last."""
    key = chosen or part_worked_on_last(build)
    return {"build": build, "chosen": key and part_beside(build, key, timezone.localdate())}


@for_builders
def edit_build(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    form = BuildForm(request.POST or None, instance=build)
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            plan_services.edit_build(
                build=form.save(commit=False), by=the_builder(request), seen=form.cleaned_data["seen"]
            )
            return redirect("builds:page", slug)
    context = {"form": form, "build": Build.objects.get(pk=build.pk), "title": _("Title block"), "doing": _("Save")}
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)


def download_record(request: HttpRequest, slug: str) -> HttpResponse:
    """The whole build as one file."""
    from builds.transfer.record.writer import export_text

    build = the_build(slug)
    # Not at the top: what a record file holds is no concern of an ordinary page.

    note(by=the_builder(request), type=EventType.HAND_OVER, name=build.name)
    response = HttpResponse(export_text(build), content_type="application/json; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{build.slug}.swarfbook.json"'
    return response
