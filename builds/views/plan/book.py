"""The build book: asked for, on its way, and to be fetched."""

from typing import Any

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from builds.book.kept import ask_for_book, book_progress, kept_book, went_wrong
from builds.forms.book import SIZES, BookForm
from builds.models import Build
from builds.permissions import the_build
from builds.views.looks import LOOKS, looks_of
from calcs.messages import _


def book_page(request: HttpRequest, slug: str) -> HttpResponse:
    build, form = the_build(slug), BookForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        ask_for_book(build, timezone.localdate(), form.cleaned_data["size"])
        return redirect("builds:book", slug)
    books = [_book(build, size, str(label)) for size, label in SIZES]
    context = {
        "build": build,
        "form": form,
        "books": books,
        "made": any(book["kept"] for book in books),
        "on_its_way": any(book["progress"] for book in books),
        "next_look": looks_of(request) + 1,
        "looks": LOOKS,
        "here": "plan",
    }
    template = "plan/book.html#books" if request.htmx else "plan/book.html"  # type: ignore[attr-defined]
    return render(request, template, context, status=422 if form.errors else 200)


def _book(build: Build, size: str, label: str) -> dict[str, Any]:
    """What there is of a book on one paper."""
    return {
        "size": size,
        "label": label,
        "kept": kept_book(build, size),
        "progress": book_progress(build, size),
        "went_wrong": went_wrong(build, size),
    }


@require_safe
def book_file(request: HttpRequest, slug: str, size: str) -> FileResponse:
    build = the_build(slug)
    kept = kept_book(build, size) if size in dict(SIZES) else None
    if kept is None:
        raise Http404(_("There is no such book yet."))
    try:
        return FileResponse(kept.file.open("rb"), filename=f"{build.slug}-{size}.pdf")
    except OSError as error:
        # Thrown away, or put out of the way by a newer one, since it was looked for.
        raise Http404(_("There is no such book yet.")) from error
