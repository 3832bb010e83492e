"""The form of what a part, or one of its operations, needs first."""

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from builds.forms.log.work import MOST_FOUND, Group, WorkChoices, WorkField
from builds.models import Need, Operation, Part
from builds.queries.snapshot import PartRow, PartsAtHand
from calcs.messages import _


class PlaceChoices(WorkChoices):
    """The parts of a build and their operations, each part as a whole as well; without the part that waits."""

    def __init__(self, part: Part, today: date) -> None:
        super().__init__(PartsAtHand(part.build, today), self._of_its_assembly)
        self.part = part

    def _of_its_assembly(self) -> list[int]:
        parts = Part.objects.filter(build=self.build, assembly=self.part.assembly_id)
        return list(parts.order_by("position", "pk").values_list("pk", flat=True)[:MOST_FOUND])

    def listed(self, sought: str, value: str) -> list[Group]:
        """All of a small build, else what is near or sought, and what was chosen."""
        _shop_time, *groups = self.grouped(sought, value)
        return [group for group in groups if group[0] != str(self.part)]

    def _group(self, row: PartRow) -> Group:
        whole = (f"p{row.part.pk}", _("{part} as a whole", part=row.part))
        route = [(f"o{one.operation.pk}", f"{row.part.number} · {one.operation}") for one in row.operations]
        return str(row.part), [whole, *route] if len(route) > 1 else [whole]


class NeedForm(forms.Form):
    """What waits, and what comes before it."""

    operation = forms.ModelChoiceField(
        label=gettext_lazy("What waits"), queryset=Operation.objects.none(), required=False
    )
    find = forms.CharField(label=gettext_lazy("Find by item, name, sheet or assembly"), required=False, max_length=80)
    other = WorkField(label=gettext_lazy("What comes before it"), required=False)

    def __init__(self, *args: Any, part: Part, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.part, self.choices = part, PlaceChoices(part, today)
        # With the part at hand: each operation asks whether it is work on an assembly.
        self.fields["operation"].queryset = part.operations.select_related("part").order_by("number")
        self.fields["operation"].empty_label = _("{part} as a whole", part=part)
        self.fields["other"].choices = self._listed

    def _listed(self) -> list[Any]:
        groups = self.choices.listed(self._given("find"), self._given("other"))
        return [("", _("choose …") if groups else _("nothing found")), *groups]

    def _given(self, name: str) -> str:
        return str((self.data if self.is_bound else self.initial).get(name) or "")[:80]

    def clean_other(self) -> tuple[Part, Operation | None]:
        """The part or the operation that comes first."""
        try:
            part, operation, _activity = self.choices.chosen(self.cleaned_data["other"])
        except ValidationError:
            part, operation = None, None
        if part is None:
            raise ValidationError(_("Choose the part or the operation that comes first."))
        return part, operation

    def need(self) -> Need:
        """What was said, not kept yet."""
        needed_part, needed_operation = self.cleaned_data["other"]
        return Need(
            part=self.part,
            operation=self.cleaned_data["operation"],
            needed_part=needed_part,
            needed_operation=needed_operation,
        )
