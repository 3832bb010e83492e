"""Photos of a build and its parts."""

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import SuspiciousFileOperation
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_POST, require_safe
from django.views.static import serve

from builds.forms.shop import PhotoForm
from builds.models import Photo
from builds.permissions import the_build, the_builder
from builds.services.plan.photos import add_photo, remove_photo
from builds.services.plan.visitors import show_photo
from builds.views.put_back import say_removed
from builds.views.refusals import refusals_beside, refusals_on_top
from calcs.messages import _


def photos_page(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    form = PhotoForm(
        request.POST or None, request.FILES or None, build=build, initial={"part": request.GET.get("part")}
    )
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        with refusals_beside(form):
            add_photo(
                build=build,
                upload=data["image"],
                by=the_builder(request),
                part=data["part"],
                caption=data["caption"],
                taken_on=data["taken_on"],
            )
            messages.success(request, _("The photo is kept."))
            return redirect("builds:photos", slug)
    photos = build.photos.select_related("part")
    context = {"build": build, "form": form, "photos": photos, "here": "plan"}
    return render(request, "plan/photos.html", context, status=422 if form.errors else 200)


@require_safe
def photo_file(request: HttpRequest, path: str) -> HttpResponseBase:
    """The picture itself, for those who are signed in; the middleware sees to that."""
    # Drawings have a door of their own.
    if path.startswith("drawings/") and path.count("/") > 2:
        raise Http404
    response = served(request, path)
    # It is asked for again each time, and answered "not modified".
    patch_cache_control(response, private=True, no_cache=True)
    return response


def served(request: HttpRequest, path: str) -> HttpResponseBase:
    """A picture's file, or a page not found."""
    try:
        response = serve(request, path, document_root=settings.MEDIA_ROOT)
    except (OSError, ValueError, SuspiciousFileOperation) as error:
        # A name that no file can have.
        raise Http404 from error
    return response


@require_POST
def show_to_visitors(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Tick a photo for visitors, or take the tick away."""
    photo = get_object_or_404(Photo.objects.select_related("build"), build__slug=slug, pk=pk)
    with refusals_on_top(request):
        show_photo(photo=photo, shown=request.POST.get("shown") == "yes", by=the_builder(request))
    return redirect("builds:photos", slug)


@require_POST
def remove(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    photo = get_object_or_404(Photo.objects.select_related("build"), build__slug=slug, pk=pk)
    with refusals_on_top(request):
        event = remove_photo(photo=photo, by=the_builder(request))
        say_removed(request, _("The photo is removed."), event)
    return redirect("builds:photos", slug)
