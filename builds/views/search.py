"""Looking something up, in one build first or in all of them."""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from builds.models import Batch, Entry, Operation, Part, Photo, Remark, Sheet
from builds.permissions import the_build
from builds.queries.search import find
from calcs.typed.search_words import LONGEST_TEXT


def _of_build(name: str, slug: str, *args: object) -> str:
    return reverse(f"builds:{name}", args=[slug, *args])


def _part(part: Part) -> str:
    return _of_build("part", part.build.slug, part.pk)


def _operation(operation: Operation) -> str:
    return f"{_of_build('part', operation.part.build.slug, operation.part_id)}#operation-{operation.pk}"


def _entry(entry: Entry) -> str:
    return f"{_of_build('log', entry.build.slug)}?since={entry.worked_on}&until={entry.worked_on}#entry-{entry.pk}"


def _sheet(sheet: Sheet) -> str:
    return _of_build("sheet", sheet.build.slug, sheet.pk)


def _remark(remark: Remark) -> str:
    return f"{_sheet(remark.sheet)}#remark-{remark.pk}"


def _photo(photo: Photo) -> str:
    return f"{_of_build('photos', photo.build.slug)}#photo-{photo.pk}"


def _batch(batch: Batch) -> str:
    return _of_build("batch_grid", batch.part.build.slug, batch.pk)


# Where a record of each kind stands.
PLACES: dict[str, Callable[[Any], str]] = {
    "parts": _part,
    "assemblies": lambda assembly: f"{_of_build('parts', assembly.build.slug)}?assembly={assembly.pk}&state=all",
    "operations": _operation,
    "entries": _entry,
    "sheets": _sheet,
    "remarks": _remark,
    "photos": _photo,
    "batches": _batch,
    "milestones": lambda milestone: _of_build("records", milestone.build.slug, "milestones"),
    "machines": lambda machine: reverse("builds:shop", args=["machines"]),
    "materials": lambda material: reverse("builds:shop", args=["materials"]),
}


@require_safe
def find_page(request: HttpRequest, slug: str = "") -> HttpResponse:
    """What is found by the beginnings of words; of the build at the address first. htmx gets what is found alone."""
    build = the_build(slug) if slug else None
    typed = request.GET.get("words", "")[:LONGEST_TEXT]
    found = find(typed, build, request.GET.get("only", ""))
    groups = [(group, [(hit, PLACES[group.key](hit.record)) for hit in group.hits]) for group in found.groups]
    shown = {"found": found, "groups": groups, "typed": typed, "build": build, "here": "find"}
    part = "#found" if request.htmx else ""  # type: ignore[attr-defined]
    return render(request, f"search/find.html{part}", shown)
