"""What time can be logged on, as the choices of a form."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from builds.models import Build, Operation, Part
from builds.models.choices import Activity
from builds.queries.snapshot import BuildSnapshot
from calcs.messages import _

SAY_WHAT = gettext_lazy("Say what was worked on.")


class WorkField(forms.ChoiceField):
    """One of the picks, or whatever else was offered when the page was opened: the picks move on with the log."""

    def valid_value(self, value: Any) -> bool:
        return True


class WorkChoices:
    """Everything in a build that time can be logged on, as a form's choices: `o7` an operation, `p3` a part."""

    def __init__(self, snapshot: BuildSnapshot) -> None:
        self.build: Build = snapshot.build
        self._snapshot = snapshot

    @property
    def grouped(self) -> list[tuple[str, list[tuple[str, str]]]]:
        groups: list[tuple[str, list[tuple[str, str]]]] = [
            (_("Shop time"), [(f"a{activity.value}", str(activity.label)) for activity in Activity])
        ]
        for row in self._snapshot.parts:
            number, part = row.part.number, row.part.name
            named = [(f"o{one.operation.pk}", f"{number} · {one.operation}") for one in row.operations]
            if len(named) != 1:
                whole = _("{number} · {part}, no operation named", number=number, part=part)
                named.append((f"p{row.part.pk}", whole))
            groups.append((str(row.part), named))
        return groups

    def named(self, part_id: int | None) -> str:
        """How the choices name a part as a whole: by its operation, where it has just one."""
        row = self._snapshot.by_part.get(part_id) if part_id is not None else None
        only = row is not None and len(row.operations) == 1
        return f"o{row.operations[0].operation.pk}" if row is not None and only else f"p{part_id}"

    def chosen(self, value: str) -> tuple[Part | None, Operation | None, str]:
        """The part, operation and activity that a value stands for. Raises ValidationError for none of them."""
        mark, rest = value[:1], value[1:]
        if mark == "a" and rest in Activity.values:
            return None, None, rest
        for row in self._snapshot.parts:
            if mark == "p" and rest == str(row.part.pk):
                return row.part, None, ""
            for one in row.operations:
                if mark == "o" and rest == str(one.operation.pk):
                    return row.part, one.operation, ""
        raise ValidationError({"other": SAY_WHAT})
