"""Photos of an evening, tied to it and to its part."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from builds.forms.log.photos import EntryPhotosForm
from builds.models import Entry
from builds.permissions import for_builders, the_builder
from builds.services.plan.photos import add_photo, caption_photo
from builds.views.refusals import refusals_on_top
from calcs.messages import _, ngettext
from calcs.typed.reading import quote_input


@for_builders
def entry_photos(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """The photos of an entry: more of them, and their captions."""
    entries = Entry.objects.kept().select_related("build", "part")
    entry = get_object_or_404(entries, build__slug=slug, pk=pk)
    sent = request.method == "POST"
    form = EntryPhotosForm(
        request.POST if sent else None, request.FILES if sent else None, photos=list(entry.photos.order_by("pk"))
    )
    if sent and form.is_valid():
        with refusals_on_top(request):
            for photo, caption in form.recaptioned():
                caption_photo(photo=photo, caption=caption, by=the_builder(request))
            _keep_all(request, entry, form.cleaned_data["images"])
        return redirect("builds:entry_photos", slug, pk)
    context = {"build": entry.build, "entry": entry, "form": form, "here": "log"}
    return render(request, "log/photos.html", context, status=422 if form.errors else 200)


def _keep_all(request: HttpRequest, entry: Entry, uploads: list[Any]) -> None:
    """Keep each picture that can be opened; what is refused of the others is said, each by its name."""
    kept = 0
    for upload in uploads:
        try:
            add_photo(
                build=entry.build,
                upload=upload,
                by=the_builder(request),
                part=entry.part,
                entry=entry,
                taken_on=entry.worked_on,
            )
            kept += 1
        except ValidationError as error:
            why = " ".join(error.messages)
            messages.error(request, _("{name}: {why}", name=quote_input(upload.name or ""), why=why))
    if kept:
        messages.success(request, ngettext("{n} photo is kept.", "{n} photos are kept.", kept))
