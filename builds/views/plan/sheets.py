"""A drawing sheet: its scans, shown page by page, and the remarks at their places. Only for those who are signed in."""

from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

from django.contrib import messages
from django.core.files.images import get_image_dimensions
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_POST, require_safe

from builds.forms.drawings import DrawingForm, PinForm, ScanForm
from builds.models import Drawing, Remark, Sheet
from builds.models.choices import DrawingState
from builds.permissions import for_builders, the_build, the_builder
from builds.queries.background import background
from builds.queries.plan.sheet_page import SheetPage, sheet_page
from builds.services.plan import drawings as scans
from builds.services.plan import records as plan_services
from builds.services.plan.page_pictures import SIZES
from builds.views.put_back import say_removed
from builds.views.refusals import refusals_beside, refusals_on_top
from calcs.messages import _


@dataclass(frozen=True)
class Pin:
    """A remark on the picture of a page, in the picture's own pixels."""

    number: int
    remark: Remark
    across: int
    down: int


@dataclass(frozen=True)
class Viewer:
    """A page of a drawing on the screen."""

    page: SheetPage
    drawing: Drawing
    number: int

    @cached_property
    def pages_made(self) -> list[int]:
        return scans.pages_made(self.drawing)

    @property
    def wanting(self) -> bool:
        """Whether pictures are still to be made."""
        refused = self.drawing.state == DrawingState.REFUSED
        return not refused and not (self.drawing.pages and len(self.pages_made) == self.drawing.pages)

    @property
    def refusal(self) -> str:
        return scans.refusal_of(self.drawing) if self.drawing.state == DrawingState.REFUSED else ""

    @cached_property
    def size(self) -> tuple[int, int] | None:
        """Width and height of the picture in pixels; None where it is not made yet."""
        picture = scans.page_picture(self.drawing, self.number, "middle")
        return get_image_dimensions(str(picture)) if picture and self.number in self.pages_made else None

    @property
    def pins(self) -> list[Pin]:
        wide, high = self.size or (0, 0)
        found = self.page.pinned(self.number)
        return [Pin(n, one, round((one.across or 0) * wide), round((one.down or 0) * high)) for n, one in found]


def _the_sheet(slug: str, pk: int) -> Sheet:
    return get_object_or_404(Sheet.objects.select_related("build"), build__slug=slug, pk=pk)


def _the_drawing(slug: str, pk: int) -> Drawing:
    return get_object_or_404(Drawing.objects.select_related("sheet__build"), sheet__build__slug=slug, pk=pk)


def _whole(text: str) -> int | None:
    return int(text) if text.isdecimal() and len(text) < 10 else None


def sheet_view(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """A page of the newest scan, or of the one asked for; a remark that is sent stands at its place from then on."""
    sheet = _the_sheet(slug, pk)
    shown = sheet_page(sheet)
    drawing = shown.drawing(_whole(request.GET.get("scan", "")))
    number = min(max(1, _whole(request.GET.get("page", "")) or 1), max(1, drawing.pages if drawing else 1))
    viewer = Viewer(shown, drawing, number) if drawing else None
    if viewer is not None and viewer.wanting:
        background.ask(f"pictures of drawing {viewer.drawing.pk}", partial(scans.make_pictures, viewer.drawing.pk))
    form = PinForm(
        request.POST or None, build=sheet.build, instance=Remark(sheet=sheet), initial=_place(request, number)
    )
    if request.method == "POST" and form.is_valid():
        remark = form.save(commit=False)
        remark.by = the_builder(request)
        with refusals_beside(form):
            plan_services.save(record=remark, by=remark.by)
            messages.success(request, _("The remark is kept."))
            return redirect(f"{request.get_full_path()}#remark-{remark.pk}")
    context = {"build": sheet.build, "sheet": sheet, "page": shown, "viewer": viewer, "form": form, "here": "plan"}
    return render(request, "plan/sheet.html", context, status=422 if form.errors else 200)


def _place(request: HttpRequest, page: int) -> dict[str, Any]:
    given = {f"{name}_percent": request.GET.get(name) for name in ("across", "down") if name in request.GET}
    return {"page": page, "noted_on": timezone.localdate(), **given}


@for_builders
def scans_page(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """The scans of a sheet, and the form for one more."""
    sheet = _the_sheet(slug, pk)
    form = ScanForm(request.POST or None, request.FILES or None, initial={"revision": sheet.revision})
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        with refusals_beside(form):
            scans.add_drawing(
                sheet=sheet,
                upload=data["file"],
                revision=data["revision"],
                in_book=data["in_book"],
                by=the_builder(request),
            )
            return redirect("builds:sheet", slug, pk)
    context = {"build": sheet.build, "sheet": sheet, "page": sheet_page(sheet), "form": form, "here": "plan"}
    return render(request, "plan/scans.html", context, status=422 if form.errors else 200)


@for_builders
def edit_scan(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    build, drawing = the_build(slug), _the_drawing(slug, pk)
    form = DrawingForm(request.POST or None, build=build, instance=drawing)
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            plan_services.save(record=form.save(commit=False), by=the_builder(request))
            return redirect("builds:scans", slug, drawing.sheet_id)
    context = {"build": build, "form": form, "title": _("Edit this scan"), "doing": _("Save"), "record": drawing}
    context |= {"remove_to": reverse("builds:remove_scan", args=[slug, pk]), "here": "plan"}
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)


@require_POST
def remove_scan(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    drawing = _the_drawing(slug, pk)
    with refusals_on_top(request):
        event = scans.remove_drawing(drawing=drawing, by=the_builder(request))
        say_removed(request, _("The scan is removed."), event)
    return redirect("builds:scans", slug, drawing.sheet_id)


@require_safe
def page_picture(request: HttpRequest, slug: str, pk: int, page: int, size: str) -> HttpResponseBase:
    """The picture of a page. Its address goes on showing the same, so a browser keeps it for its person for a day."""
    drawing = _the_drawing(slug, pk)
    picture = scans.page_picture(drawing, page, size) if size in SIZES else None
    if picture is None:
        raise Http404
    return _private(FileResponse(picture.open("rb")), max_age=24 * 3600)


@require_safe
def scan_file(request: HttpRequest, slug: str, pk: int) -> HttpResponseBase:
    """The file as it was put here, to be kept and never opened beside our own pages."""
    drawing = _the_drawing(slug, pk)
    try:
        file = drawing.file.open("rb")
    except FileNotFoundError as error:
        raise Http404 from error
    return _private(FileResponse(file, as_attachment=True, filename=drawing.name or None), no_cache=True)


def _private(response: HttpResponseBase, **caching: Any) -> HttpResponseBase:
    patch_cache_control(response, private=True, **caching)
    return response
