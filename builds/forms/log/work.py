"""What time can be logged on, as the choices of a form: `o7` an operation, `p3` a part, `atidying` shop time."""

from collections.abc import Callable, Collection
from datetime import date
from functools import cached_property
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Prefetch, Q, QuerySet
from django.utils.translation import gettext_lazy

from builds.models import Batch, Build, Operation, Part
from builds.models.choices import Activity
from builds.queries.log.bench import headline_minutes
from builds.queries.snapshot import PartRow, read_parts
from calcs.messages import _

SAY_WHAT = gettext_lazy("Say what was worked on.")
# A build of so many operations is listed whole; of a larger one what is near, and the rest is searched for.
MOST_LISTED = 60
MOST_FOUND = 25

Group = tuple[str, list[tuple[str, str]]]


class WorkField(forms.ChoiceField):
    """One of what is offered, or whatever else was offered when the page was opened: the picks move on with the log."""

    def valid_value(self, value: Any) -> bool:
        return True


class WorkChoices:
    """Everything in a build that time can be logged on. Reads what is asked for, and no more of the build.

    near: gives the keys of the parts that are listed at once in a large build; asked when they are to be shown.
    """

    def __init__(self, build: Build, as_of: date, near: Callable[[], Collection[int]] = tuple) -> None:
        self.build = build
        self._as_of = as_of
        self._asked_near = near
        self._rows: dict[int, PartRow | None] = {}

    @cached_property
    def _near(self) -> tuple[int, ...]:
        return tuple(self._asked_near())

    @cached_property
    def searchable(self) -> bool:
        """Whether there is more than is listed."""
        return Operation.objects.filter(part__build=self.build)[MOST_LISTED:].exists()

    def grouped(self, sought: str = "", value: str = "") -> list[Group]:
        """Shop time, and the parts with their operations: all, or those that are near, sought or chosen already."""
        shop = (_("Shop time"), [(f"a{activity.value}", str(activity.label)) for activity in Activity])
        parts = Part.objects.filter(build=self.build)
        if self.searchable:
            parts = parts.filter(self._found(sought)) | parts.filter(Q(pk__in=self._near) | _holding(value))
        return [shop, *(self._group(part) for part in _with_routes(parts))]

    def found(self, sought: str, value: str = "") -> list[Group]:
        """The parts and operations that a text is about, by item, name, title or kind, and what was chosen before."""
        parts = Part.objects.filter(build=self.build)
        parts = parts.filter(self._found(sought)) | parts.filter(_holding(value))
        shop = [(f"a{activity.value}", str(activity.label)) for activity in Activity if value == f"a{activity.value}"]
        groups = [self._group(part) for part in _with_routes(parts)]
        return [(_("Shop time"), shop), *groups] if shop else groups

    def _found(self, sought: str) -> Q:
        words = sought.split()[:6]
        if not words:
            return Q(pk__in=())
        parts = Part.objects.filter(build=self.build)
        for word in words:
            of_a_step = Q(operations__title__icontains=word) | Q(operations__kind__icontains=word)
            parts = parts.filter(Q(number__icontains=word) | Q(name__icontains=word) | of_a_step)
        return Q(pk__in=list(parts.order_by("position", "pk").values_list("pk", flat=True).distinct()[:MOST_FOUND]))

    def _group(self, part: Part) -> Group:
        operations = [one for one in part.operations.all() if one.added_on is None or one.added_on <= self._as_of]
        named = [(f"o{one.pk}", f"{part.number} · {one}") for one in operations]
        if len(named) != 1:
            whole = _("{number} · {part}, no operation named", number=part.number, part=part.name)
            named.append((f"p{part.pk}", whole))
        return str(part), named

    def named(self, part_id: int | None) -> str:
        """How the choices name a part as a whole: by its operation, where it has just one."""
        row = self.row_of(part_id)
        only = row is not None and len(row.operations) == 1
        return f"o{row.operations[0].operation.pk}" if row is not None and only else f"p{part_id}"

    def chosen(self, value: str) -> tuple[Part | None, Operation | None, str]:
        """The part, operation and activity that a value stands for. Raises ValidationError for none of them."""
        mark, rest = value[:1], value[1:]
        if mark == "a" and rest in Activity.values:
            return None, None, rest
        part = Part.objects.filter(_holding(value), build=self.build).first() if mark in ("o", "p") else None
        row = self.row_of(part.pk) if part is not None else None
        if row is not None and mark == "p":
            return row.part, None, ""
        named = [one.operation for one in row.operations if rest == str(one.operation.pk)] if row is not None else []
        if row is not None and named:
            return row.part, named[0], ""
        raise ValidationError({"other": SAY_WHAT})

    def row_of(self, part_id: int | None) -> PartRow | None:
        """A part as it stands, read once; None for none of this build."""
        if part_id is None:
            return None
        if part_id not in self._rows:
            self._rows[part_id] = read_parts(self.build, self._as_of, [part_id]).by_part.get(part_id)
        return self._rows[part_id]

    def batches(self, value: str) -> QuerySet[Batch]:
        """The batches that may be meant: of what is listed, and the one that was chosen."""
        batches = Batch.objects.filter(part__build=self.build).select_related("part")
        if not self.searchable:
            return batches
        chosen = Q(pk=int(value)) if value.isdecimal() and len(value) < 19 else Q(pk__in=())
        return batches.filter(Q(part__in=self._near) | chosen)

    @property
    def headline_minutes(self) -> int:
        """What a running meter stands at."""
        return headline_minutes(self.build, self._as_of)


def _holding(value: str) -> Q:
    """The part that a value stands for."""
    mark, rest = value[:1], value[1:]
    if not (rest.isdecimal() and len(rest) < 19):
        return Q(pk__in=())
    return Q(operations=int(rest)) if mark == "o" else Q(pk=int(rest)) if mark == "p" else Q(pk__in=())


def _with_routes(parts: QuerySet[Part]) -> QuerySet[Part]:
    route = Prefetch("operations", Operation.objects.order_by("number"))
    return parts.order_by("position", "pk").distinct().prefetch_related(route)
