"""Tables taken in: what would come of one is shown first, and nothing is stored until that is confirmed."""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext_lazy

from builds.forms.tables import LogReadAsForm, PartsReadAsForm, ReadAsForm, SourceForm, packed, unpacked
from builds.models import Build
from builds.permissions import for_builders, the_build, the_builder
from builds.transfer.complaints import LogError
from builds.views.refusals import refusals_beside
from calcs.messages import _

# Rows that are shown one by one.
ROWS_SHOWN = 200
# Letters of a pasted table that come back with the page.
LONGEST_PUT_RIGHT = 100_000
# What wants looking at comes first.
LOOKED_AT = ("refused", "changed", "new", "aside", "removed", "same")


@dataclass(frozen=True, kw_only=True)
class Way:
    """What tables of one kind go through. look: from the build, the raw table and what was chosen to what is seen.

    headed: gives a table that has no headings some, from what was sent.
    """

    kind: str
    title: Any
    explained: Any
    form: type[ReadAsForm]
    look: Callable[[Build, Any, dict[str, Any], dict[str, int | None]], Any]
    back: str
    here: str
    headed: Callable[[Any, dict[str, Any]], Any] = lambda raw, _sent: raw


@for_builders
def take_in(request: HttpRequest, slug: str, kind: str) -> HttpResponse:
    """Choose a table, look at what would come of it, confirm it."""
    build, way = the_build(slug), WAYS[kind]
    if request.method != "POST":
        return _source(request, build, way, SourceForm())
    if "kept" in request.POST:
        return _looked_at(request, build, way, dict(request.POST.items()))
    source = SourceForm(request.POST, request.FILES)
    if not source.is_valid():
        return _source(request, build, way, source)
    content, name = source.content()
    sent = {"kept": packed(content), "name": name[-255:], "builder": str(the_builder(request).pk)}
    return _looked_at(request, build, way, sent, source)


def _looked_at(
    request: HttpRequest, build: Build, way: Way, sent: dict[str, Any], source: SourceForm | None = None
) -> HttpResponse:
    """The preview of a table, or where to go on after it was taken in."""
    form, seen = way.form(sent), None
    try:
        raw = way.headed(_raw(sent), sent)
        form = way.form(sent, sheets=raw.sheets)
        if form.is_valid():
            seen = way.look(build, raw, form.cleaned_data, _columns(form, raw, way))
    except (LogError, ValidationError) as error:
        refused = source or form
        refused.add_error(None, error.messages if isinstance(error, ValidationError) else list(error.complaints))
        if source is not None:
            return _source(request, build, way, source)
    else:
        if seen is not None and "take" in sent and _taken(request, build, form, seen):
            return redirect(way.back, build.slug)
        if seen is not None:
            first_row = "headings" if raw.guessed is None else "part"
            form.show(shown=_mark(build, seen), head=_head_mark(raw), first_row=first_row)
            form.offer(seen.table.head, seen.table.places, seen.table.spread, seen.table.kind.columns)
    return _preview(request, build, way, form, seen)


def _taken(request: HttpRequest, build: Build, form: ReadAsForm, seen: Any) -> bool:
    """Whether a table was taken in, just as it was shown."""
    if not seen.to_take or form.data.get("shown") != _mark(build, seen):
        form.add_error(None, _("Something is otherwise than you were shown. Look once more, and confirm it then."))
        return False
    with refusals_beside(form):
        seen.take_in(the_builder(request))
        messages.success(request, _("The table is taken in. “Who did what” takes it back in one step."))
        return True
    return False


def _raw(sent: dict[str, Any]) -> Any:
    # Not at the top: what reads tables is no concern of an ordinary page.
    from builds.transfer.tables.raw import read_content

    return read_content(unpacked(sent["kept"]), sent.get("name") or _("the table"), sent.get("sheet", ""))


def _columns(form: ReadAsForm, raw: Any, way: Way) -> dict[str, int | None]:
    """Where our columns stand, as far as somebody chose that for just these headings. Raises ValidationError."""
    from builds.transfer.tables.table import find_columns

    chosen = form.chosen()
    if not chosen or form.data.get("head") != _head_mark(raw):
        return {}
    found = find_columns(raw, way.kind)
    columns: dict[str, int | None] = {name: None for name, at in found.places.items() if at in chosen}
    for place, name in chosen.items():
        if name in found.kind.columns:
            if columns.get(name) is not None:
                raise ValidationError(_("Two headings are taken for {column}.", column=found.kind.columns[name][0]))
            columns[name] = place
    return columns


def _head_mark(raw: Any) -> str:
    return _digest([cells for _number, cells in raw.rows[:10]])


def _mark(build: Build, seen: Any) -> str:
    """Another one for whatever would come of a table otherwise."""
    return _digest(build.revision, [(row.number, str(row.state), row.said, row.words) for row in seen.rows])


def _digest(*said: object) -> str:
    return hashlib.sha256(repr(said).encode(errors="replace")).hexdigest()[:32]


def _source(request: HttpRequest, build: Build, way: Way, form: SourceForm) -> HttpResponse:
    context = {"build": build, "way": way, "form": form, "here": way.here}
    return render(request, "tables/source.html", context, status=422 if form.errors else 200)


def _again(sent: Mapping[str, Any]) -> SourceForm | None:
    """The table as it was pasted, to be put right on the spot; None for a file, or where it is too long."""
    if sent.get("name") != _("the pasted table"):
        return None
    try:
        text = unpacked(sent.get("kept", "")).decode()
    except (UnicodeDecodeError, ValidationError):
        return None
    form = SourceForm(initial={"pasted": text})
    form.fields["pasted"].label = _("The table as it was pasted")
    return form if len(text) <= LONGEST_PUT_RIGHT else None


def _preview(request: HttpRequest, build: Build, way: Way, form: ReadAsForm, seen: Any) -> HttpResponse:
    rows = [] if seen is None else sorted(seen.rows, key=lambda row: (LOOKED_AT.index(row.state), row.number))
    context = {
        "build": build,
        "way": way,
        "form": form,
        "seen": seen,
        "counts": [] if seen is None else [(state.label, number) for state, number in seen.counts.items()],
        "rows": rows[:ROWS_SHOWN],
        "more": max(0, len(rows) - ROWS_SHOWN),
        "again": _again(form.data),
        "here": way.here,
    }
    return render(request, "tables/preview.html", context, status=422 if form.errors else 200)


def _look_at_log(build: Build, raw: Any, said: dict[str, Any], columns: dict[str, int | None]) -> Any:
    from builds.transfer.tables.log_file import ReadAs
    from builds.transfer.tables.log_in import look_at_log

    names = ("dates", "times", "first_reading", "backwards")
    read_as = ReadAs(columns=columns, **{name: said[name] for name in names if said[name]})
    return look_at_log(build, raw, read_as, builder=said["builder"], today=timezone.localdate())


def _headed(raw: Any, sent: dict[str, Any]) -> Any:
    from builds.transfer.tables.no_headings import headed

    return headed(raw, sent.get("first_row", ""))


def _look_at_parts(build: Build, raw: Any, _said: dict[str, Any], columns: dict[str, int | None]) -> Any:
    from builds.transfer.tables.parts_in import look_at_parts

    return look_at_parts(build, raw, columns, today=timezone.localdate())


WAYS = {
    "parts": Way(
        kind="parts",
        title=gettext_lazy("Take a parts list in"),
        explained=gettext_lazy(
            "A table with a part in each row, or an operation of its route: item, name, quantity, material, sheet, "
            "kind, minutes, with headings or without. Parts are known by their item, operations by their number; what "
            "the table does not speak of stays as it is. What would come of it is shown before anything is stored."
        ),
        form=PartsReadAsForm,
        headed=_headed,
        look=_look_at_parts,
        back="builds:page",
        here="plan",
    ),
    "log": Way(
        kind="log",
        title=gettext_lazy("Take a log in"),
        explained=gettext_lazy(
            "A table with headings, and a date, a time and a part or shop time in each row: evenings, several parts "
            "a line, several days “since”, a running total, or months. What would come of it is shown before anything "
            "is stored."
        ),
        form=LogReadAsForm,
        look=_look_at_log,
        back="builds:log",
        here="log",
    ),
}
