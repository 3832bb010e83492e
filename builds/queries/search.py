"""Looking something up by the beginnings of its words, over all that builders write."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import connection
from django.db.models import BooleanField, ExpressionWrapper, Model, Q, QuerySet, Value
from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy

from builds.models import (
    Assembly,
    Batch,
    Build,
    Entry,
    Machine,
    Material,
    Milestone,
    Operation,
    Part,
    Photo,
    Remark,
    Sheet,
)
from builds.models.searched import SEARCHED, Searched, words_in
from calcs.typed.search_words import extract, marked, spellings, words_sought

SHOWN_OF_A_KIND, SHOWN_OF_ONE_KIND = 6, 60
"""How many of each kind are shown, and how many where only that kind is asked for."""

Pieces = list[tuple[str, bool]]


@dataclass(frozen=True)
class Kind:
    """One kind of record that is looked through: its rows, and the way to their build (empty: the shop's)."""

    title: "str | Promise"
    rows: Callable[[], "QuerySet[Any]"]
    build: str = "build"
    newest: tuple[str, ...] = ()
    # What it is called where its own words do not say, the part that it belongs to, and its day.
    name: Callable[[Any], object] | None = None
    part: Callable[[Any], Part | None] = lambda record: getattr(record, "part", None)
    day: Callable[[Any], date | None] = lambda record: None


@dataclass(frozen=True)
class Hit:
    """A record with the words that were sought marked in what it is called and in what it tells."""

    record: Model
    called: Pieces
    told: Pieces
    part: Part | None
    day: date | None
    # Where it is another build's than the one that is looked through.
    elsewhere: Build | None


@dataclass(frozen=True)
class Group:
    key: str
    title: "str | Promise"
    hits: tuple[Hit, ...]
    more: bool


@dataclass(frozen=True)
class Found:
    words: tuple[str, ...]
    groups: tuple[Group, ...]
    only: str = ""


KINDS: dict[str, Kind] = {
    "parts": Kind(
        gettext_lazy("Parts"),
        lambda: Part.objects.select_related("build"),
        part=lambda part: None,
        day=lambda part: part.finished_on,
    ),
    "assemblies": Kind(
        gettext_lazy("Assemblies"), lambda: Assembly.objects.select_related("build"), part=lambda assembly: None
    ),
    "operations": Kind(
        gettext_lazy("Operations"),
        lambda: Operation.objects.select_related("part__build"),
        build="part__build",
        name=str,
    ),
    "entries": Kind(
        gettext_lazy("Log book"),
        lambda: Entry.objects.kept().select_related("build", "part", "operation"),
        newest=("-worked_on", "-pk"),
        name=lambda entry: entry.operation or entry.part or capfirst(entry.get_activity_display()),
        day=lambda entry: entry.worked_on,
    ),
    "sheets": Kind(gettext_lazy("Sheets"), lambda: Sheet.objects.select_related("build"), part=lambda sheet: None),
    "remarks": Kind(
        gettext_lazy("Remarks on sheets"),
        lambda: Remark.objects.select_related("sheet__build"),
        build="sheet__build",
        newest=("-pk",),
        name=lambda remark: remark.sheet,
        part=lambda remark: None,
        day=lambda remark: remark.noted_on,
    ),
    "photos": Kind(
        gettext_lazy("Photos"),
        lambda: Photo.objects.select_related("build", "part", "entry"),
        newest=("-pk",),
        day=lambda photo: photo.day,
    ),
    "batches": Kind(
        gettext_lazy("Batches"),
        lambda: Batch.objects.select_related("part__build"),
        build="part__build",
        newest=("-pk",),
        name=lambda batch: capfirst(str(batch)),
        day=lambda batch: batch.started_on,
    ),
    "milestones": Kind(
        gettext_lazy("Milestones"),
        lambda: Milestone.objects.select_related("build"),
        part=lambda milestone: None,
        day=lambda milestone: milestone.reached_on,
    ),
    "machines": Kind(gettext_lazy("Machines"), Machine.objects.all, build="", part=lambda machine: None),
    "materials": Kind(gettext_lazy("Materials"), Material.objects.all, build="", part=lambda material: None),
}


def find(typed: str, build: Build | None, only: str = "") -> Found:
    """All records that have every word of what is typed, by its beginning; those of `build` first.

    only: one kind of `KINDS`, of which more are shown. One query a kind, and none where no word is typed.
    """
    words = words_sought(typed)
    kinds = {only: KINDS[only]} if only in KINDS else KINDS
    shown = SHOWN_OF_ONE_KIND if only in KINDS else SHOWN_OF_A_KIND
    # No database takes a NUL or half a letter.
    whole = "".join(sign for sign in typed if sign.isprintable()).strip()
    groups = [_group(key, kind, whole, words, build, shown) for key, kind in kinds.items() if words]
    return Found(words, tuple(group for group in groups if group.hits), only if only in KINDS else "")


def _group(key: str, kind: Kind, typed: str, words: tuple[str, ...], build: Build | None, shown: int) -> Group:
    rows = kind.rows()
    searched = next(one for one in SEARCHED if one.model is rows.model)
    here = Q(**{kind.build: build}) if kind.build and build else None
    order = [*kind.newest] or ["worth", *(rows.model._meta.ordering or ["pk"])]
    rows = _matching(rows, searched, words, weighed=not kind.newest).alias(
        here=ExpressionWrapper(here, BooleanField()) if here else Value(True),
        exactly=ExpressionWrapper(Q(**{f"{searched.called[0]}__iexact": typed}), BooleanField()),
    )
    found = list(rows.order_by("-here", "-exactly", *order)[: shown + 1])
    hits = tuple(_hit(record, kind, searched, words, build) for record in found[:shown])
    return Group(key, kind.title, hits, len(found) > shown)


def _matching(rows: "QuerySet[Any]", searched: Searched, words: tuple[str, ...], *, weighed: bool) -> "QuerySet[Any]":
    """The rows that have all words. weighed: each with its `worth`; the less, the better."""
    if connection.vendor == "postgresql":
        sought = " & ".join("(" + " | ".join(f"{one}:*" for one in spellings(word)) + ")" for word in words)
        has, called = (words_in(searched, columns) for columns in (searched.columns, searched.called))
        worth = {"worth": f"CASE WHEN {called} @@ %s::tsquery THEN 0 ELSE 1 END"}
        return rows.extra(  # noqa: S610 - columns are of our own tables, and words are letters and figures alone
            select=worth if weighed else {},
            select_params=[sought] if weighed else [],
            where=[f"{has} @@ %s::tsquery"],
            params=[sought],
        )
    sought = " AND ".join("(" + " OR ".join(f'"{one}" *' for one in spellings(word)) + ")" for word in words)
    weights = ", ".join(["10"] * len(searched.called) + ["1"] * len(searched.told))
    index, table = searched.index, searched.table
    return rows.extra(  # noqa: S610
        select={"worth": f"bm25({index}, {weights})"} if weighed else {},
        tables=[index],
        where=[f"{index} MATCH %s", f"{index}.rowid = {table}.id"],
        params=[sought],
    )


def _hit(record: Any, kind: Kind, searched: Searched, words: tuple[str, ...], build: Build | None) -> Hit:
    called = [str(getattr(record, column)) for column in searched.called]
    told = [str(getattr(record, column)) for column in searched.told]
    if kind.name is not None:
        name = str(kind.name(record))
        called, told = [name], [text for text in (*called, *told) if text not in name]
    own = record
    for step in kind.build.split("__") if kind.build else ():
        own = getattr(own, step)
    told = [text for text in told if any(found for _piece, found in marked(text, words))]
    return Hit(
        record,
        marked(" ".join(called).strip(), words),
        marked(extract(" · ".join(told), words), words),
        kind.part(record),
        kind.day(record),
        own if kind.build and own != build else None,
    )
