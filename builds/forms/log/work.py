"""What time can be logged on, as the choices of a form: `o7` an operation, `p3` a part, `atidying` shop time."""

from collections.abc import Callable, Collection, Iterable
from datetime import date
from functools import cached_property
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q, QuerySet
from django.utils.translation import gettext_lazy

from builds.models import Batch, Operation, Part
from builds.models.choices import Activity, Role
from builds.queries.log.bench import headline_minutes, work_lately
from builds.queries.log.notebook import work_names
from builds.queries.snapshot import PartRow, PartsAtHand
from builds.services.log.entries import LogLine
from calcs.messages import _
from calcs.typed.notebook_words import words_of
from calcs.typed.notebook_work import near_work

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

    def __init__(self, at_hand: PartsAtHand, near: Callable[[], Collection[int]] = tuple) -> None:
        self.build = at_hand.build
        self._at_hand = at_hand
        self._asked_near = near

    @cached_property
    def _near(self) -> tuple[int, ...]:
        return tuple(self._asked_near())

    @cached_property
    def searchable(self) -> bool:
        """Whether there is more than is listed."""
        return Operation.objects.filter(part__build=self.build)[MOST_LISTED:].exists()

    @cached_property
    def has_work(self) -> bool:
        """Whether the build has any work on an assembly, which is done or not."""
        return Part.objects.filter(build=self.build, role=Role.ASSEMBLY_WORK).exists()

    def grouped(self, sought: str = "", value: str = "") -> list[Group]:
        """Shop time, and the parts with their operations: all, or those that are near, sought or chosen already."""
        if self.searchable:
            near = self._found(sought) if sought.strip() else self._near
            return [self._shop_time, *self._groups([*self._holding(value), *near])]
        keys = Part.objects.filter(build=self.build).order_by("position", "pk").values_list("pk", flat=True)
        return [self._shop_time, *self._groups(keys)]

    def found(self, sought: str, value: str = "") -> list[Group]:
        """The parts and operations that a text is about, what was chosen before ahead of them, and shop time."""
        return [*self._groups([*self._holding(value), *self._found(sought)]), self._shop_time]

    @property
    def _shop_time(self) -> Group:
        return _("Shop time"), [(f"a{activity.value}", str(activity.label)) for activity in Activity]

    def _found(self, sought: str) -> list[int]:
        """Keys of the parts that a text is about, the last used first; those of a near spelling where none is exact."""
        words = sought.split()[:6]
        if not words:
            return []
        parts = Part.objects.filter(build=self.build)
        for word in words:
            of_a_step = Q(operations__title__icontains=word) | Q(operations__kind__icontains=word)
            where = Q(sheet__number__iexact=word) | Q(sheet__title__icontains=word) | Q(assembly__name__icontains=word)
            parts = parts.filter(Q(number__icontains=word) | Q(name__icontains=word) | of_a_step | where)
        found = list(parts.order_by("position", "pk").values_list("pk", flat=True).distinct())
        used = dict.fromkeys(part for part, _operation in work_lately(self.build, self._at_hand.as_of))
        found = [*(key for key in used if key in found), *(key for key in found if key not in used)]
        return found[:MOST_FOUND] or self._found_near(sought)

    def _found_near(self, sought: str) -> list[int]:
        values = near_work(words_of(sought), work_names(self._at_hand))
        return list(dict.fromkeys(key for value in values[:MOST_FOUND] for key in self._holding(value)))

    def _holding(self, value: str) -> list[int]:
        """The key of the part that a value stands for."""
        mark, rest = value[:1], value[1:]
        if mark not in ("o", "p") or not rest.isdecimal() or len(rest) >= 19:
            return []
        meant = Q(operations=int(rest)) if mark == "o" else Q(pk=int(rest))
        return list(Part.objects.filter(meant, build=self.build).values_list("pk", flat=True))

    def _groups(self, keys: Iterable[int]) -> list[Group]:
        """Parts with their routes, in the order of the keys."""
        return [self._group(row) for row in self._at_hand.rows(keys)]

    def _group(self, row: PartRow) -> Group:
        part = row.part
        named = [(f"o{one.operation.pk}", f"{part.number} · {one.operation}") for one in row.operations]
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
        row = next(iter(self._at_hand.rows(self._holding(value))), None)
        if row is not None and mark == "p":
            return row.part, None, ""
        named = [one.operation for one in row.operations if rest == str(one.operation.pk)] if row is not None else []
        if row is not None and named:
            return row.part, named[0], ""
        raise ValidationError({"other": SAY_WHAT})

    def label_of(self, value: str) -> str:
        """What a value stands for, in words; empty for none of the build."""
        try:
            part, operation, activity = self.chosen(value)
        except ValidationError:
            return ""
        named = [str(one) for one in (part, operation) if one is not None]
        return " · ".join(named) if named else str(Activity(activity).label)

    def of_same_part(self, value: str, words: str) -> str:
        """The one operation, of the part that a value stands for, that words name; empty for none and for several."""
        row = next(iter(self._at_hand.rows(self._holding(value))), None)
        said = {one.lower() for one in words.split()}
        steps = [one.operation for one in row.operations] if row is not None and said else []
        found = [step for step in steps if said <= set(f"{step.kind} {step.title}".lower().split())]
        return f"o{found[0].pk}" if len(found) == 1 else ""

    def row_of(self, part_id: int | None) -> PartRow | None:
        """A part as it stands, read once; None for none of this build."""
        return self._at_hand.row(part_id)

    @property
    def batches(self) -> QuerySet[Batch]:
        """All batches of the build."""
        return Batch.objects.filter(part__build=self.build).select_related("part")

    def batches_listed(self, value: str) -> QuerySet[Batch]:
        """Those that are offered: of the parts that are listed, and the one that was chosen."""
        if not self.searchable:
            return self.batches
        chosen = Q(pk=int(value)) if value.isdecimal() and len(value) < 19 else Q(pk__in=())
        return self.batches.filter(Q(part__in=self._near) | chosen)

    def meter_on(self, day: date, ahead: Iterable[LogLine], without: Collection[str]) -> int:
        """What a running meter stood at before a line of a day: what counts by then, in the log and of the lines ahead.

        without: tokens of entries that are not counted, since they are what is being logged.
        """
        by_then = [line for line in ahead if line.worked_on <= day]
        counted = [line for line in by_then if not line.activity or line.activity in self.build.counted]
        return headline_minutes(self.build, day, without) + sum(line.bench_minutes or 0 for line in counted)
