"""Forms of the plan: parts and the small records around them."""

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from django import forms
from django.forms.models import ModelChoiceIterator
from django.urls import reverse
from django.utils.translation import gettext_lazy

from builds.forms.fields import DateField, PlanMinutesField, said_as_one_types
from builds.forms.folds import FoldedMixin
from builds.forms.two_people import SeenMixin
from builds.models import Assembly, Batch, Build, Closure, Milestone, Operation, Part, Remark, Sheet, Size
from builds.models.choices import Role
from builds.queries.plan.sizes import size_in_words
from calcs.shop.limit_texts import read_limits

# Fields whose choices are those of the build at hand, and what the build calls them.
CHOICES = {
    "assembly": "assemblies",
    "assemblies": "assemblies",
    "parent": "assemblies",
    "part": "parts",
    "parts": "parts",
    "sheet": "sheets",
}


class OfBuild(SeenMixin, forms.ModelForm):
    """A form whose choices are those of one build."""

    def __init__(self, *args: Any, build: Build, **kwargs: Any) -> None:
        self.build = build
        super().__init__(*args, **kwargs)
        for name in CHOICES.keys() & self.fields.keys():
            self.fields[name].queryset = getattr(build, CHOICES[name]).all()

    def _also_made_with(self) -> dict[str, Any]:
        return {"build": self.build}


class AssemblyForm(OfBuild):
    class Meta:
        model = Assembly
        fields = ["name", "parent"]
        labels = {"parent": gettext_lazy("Stands inside")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["parent"].queryset = self.build.assemblies.exclude(pk=self.instance.pk)


class SheetForm(OfBuild):
    class Meta:
        model = Sheet
        fields = ["number", "title", "revision"]


class RemarkForm(OfBuild):
    noted_on = DateField(label=gettext_lazy("Noted on"), required=False)

    class Meta:
        model = Remark
        fields = ["sheet", "drawing_says", "we_made", "noted_on"]


# What only pieces have.
OF_PIECES = ("quantity", "spares", "blank", "blank_cost", "finished_mass_grams")
ROLES = [("", gettext_lazy("nobody has said: it counts as a detail")), *Role.choices]
WHAT_ROLES_MEAN = gettext_lazy(
    "Jigs have hours and are no part of the engine. Erection, painting and trial running are work on an assembly: "
    "hours, but no pieces, no blanks, no scrap."
)


class PartForm(FoldedMixin, OfBuild):
    """All of a part but its route."""

    folds = {
        gettext_lazy("What it is, and where it is drawn"): ("role", "sheet", "spares", "for_visitors", "note"),
        gettext_lazy("What it is made of"): ("material", "blank", "blank_cost", "finished_mass_grams"),
        gettext_lazy("What is ordered"): ("supplier", "ordered_on", "arrived_on"),
        gettext_lazy("What it waits for, or that it is finished"): (
            "waiting_for", "waiting_since_on", "waiting_note", "finished_on",
        ),
    }  # fmt: skip

    finished_on = DateField(
        label=gettext_lazy("Finished, said by hand"),
        required=False,
        help_text=gettext_lazy("For a part whose pieces nobody counted. Leave empty to let the counts decide."),
    )
    waiting_since_on = DateField(label=gettext_lazy("Waiting since"), required=False)
    ordered_on = DateField(label=gettext_lazy("Ordered on"), required=False)
    arrived_on = DateField(label=gettext_lazy("Arrived on"), required=False)

    class Meta:
        model = Part
        fields = [
            "number", "name", "role", "assembly", "sheet", "quantity", "spares", "material", "blank", "blank_cost",
            "finished_mass_grams", "supplier", "ordered_on", "arrived_on", "for_visitors", "note", "waiting_for",
            "waiting_since_on", "waiting_note", "finished_on",
        ]  # fmt: skip
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "blank": gettext_lazy("As you would write it on the rack: 2-1/2 in round × 4 in."),
            "blank_cost": gettext_lazy("Material for one, or the price of one bought. Empty is not known, 0 is free."),
            "supplier": gettext_lazy("Of what is ordered: a bought part, a casting, a blank cut to size."),
            "for_visitors": gettext_lazy("One plain sentence: what this part does in the engine."),
            "role": WHAT_ROLES_MEAN,
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].choices = ROLES
        if self.instance.is_work:
            for name in OF_PIECES:
                del self.fields[name]


class NewPartForm(FoldedMixin, OfBuild):
    """Enough to begin a part with. A rough figure will do, and none at all is allowed."""

    folds = {gettext_lazy("More about it"): ("role", "assembly", "sheet", "spares", "material")}
    rough = PlanMinutesField(
        label=gettext_lazy("Roughly how long for one piece"),
        help_text=gettext_lazy(
            "2 h, 45 min, ~3 h. Leave it empty where nobody knows: it then counts as not estimated, not as zero."
        ),
    )

    class Meta:
        model = Part
        fields = ["number", "name", "role", "assembly", "sheet", "quantity", "spares", "material"]
        help_texts = {"role": WHAT_ROLES_MEAN}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].choices = ROLES


class BatchForm(OfBuild):
    started_on = DateField(label=gettext_lazy("Started on"))

    class Meta:
        model = Batch
        fields = ["part", "number", "blanks", "started_on", "note"]


class SizeForm(OfBuild):
    """A size three times over; the scaled one is worked out. What is typed must be readable, with its limits."""

    class Meta:
        model = Size
        fields = ["part", "name", "full_size", "made", "reason"]
        help_texts = {
            "name": gettext_lazy("Bore, length over flanges, shaft diameter …"),
            "full_size": gettext_lazy("2-1/2 in, 5 ft, 63.5 mm. The build's scale makes the model's size of it."),
            "made": gettext_lazy(
                "What you work to, such as the nearest stock size; with its limits, such as 12 h6 or 0.500 +0.002 -0."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("full_size", "made"):
            self.fields[name].widget.attrs |= said_as_one_types(reverse("builds:read_size", args=[self.build.slug]))

    def offer(self, made: str) -> None:
        """Fill in what may be worked to, for somebody to keep or to change."""
        self.initial["made"] = made
        self.fields["made"].reading = size_in_words(self.build, made=made)  # type: ignore[attr-defined]

    def _length(self, name: str) -> str:
        text: str = self.cleaned_data[name]
        reading = read_limits(text, self.build.length_unit)
        if reading.status == "refused":
            raise forms.ValidationError(reading.message)
        return text

    def clean_full_size(self) -> str:
        return self._length("full_size")

    def clean_made(self) -> str:
        return self._length("made")


class ClosureForm(OfBuild):
    from_on = DateField(label=gettext_lazy("From"))
    to_on = DateField(label=gettext_lazy("To, that day included"))

    class Meta:
        model = Closure
        fields = ["from_on", "to_on", "reason", "hours_per_week"]
        help_texts = {
            "hours_per_week": gettext_lazy("0 where nothing will be done; otherwise the pace you expect in that time.")
        }


class MultipleModelField(forms.ModelMultipleChoiceField):
    """Several records; a key that no table can hold names none of them."""

    default_error_messages = {"invalid_choice": gettext_lazy("One of these has been removed.")}

    def clean(self, value: Any) -> Any:
        try:
            return super().clean(value)
        except OverflowError:
            raise forms.ValidationError(self.error_messages["invalid_choice"], "invalid_choice") from None


class ChoicesByPart(ModelChoiceIterator):
    """Operations in the order of the plan, each below its part, which is named once."""

    def __iter__(self) -> Iterator[Any]:
        for part, operations in groupby(self.queryset, lambda operation: operation.part):
            yield str(part), [self.choice(operation) for operation in operations]


class OperationsField(MultipleModelField):
    """Operations of several parts."""

    iterator = ChoicesByPart


class MilestoneForm(FoldedMixin, OfBuild):
    folds = {gettext_lazy("More about it"): ("operations", "reached_on")}
    reached_on = DateField(label=gettext_lazy("Reached on"), required=False)

    class Meta:
        model = Milestone
        fields = ["name", "assemblies", "parts", "operations", "reached_on"]
        field_classes = {
            "assemblies": MultipleModelField,
            "parts": MultipleModelField,
            "operations": OperationsField,
        }
        widgets = {
            "assemblies": forms.CheckboxSelectMultiple,
            "parts": forms.SelectMultiple(attrs={"size": 10}),
            "operations": forms.SelectMultiple(attrs={"size": 10}),
        }
        labels = {
            "assemblies": gettext_lazy("Needs these assemblies whole"),
            "parts": gettext_lazy("And these parts besides"),
            "operations": gettext_lazy("And other parts as far as an operation"),
        }
        help_texts = {
            "operations": gettext_lazy(
                "An operation stands for the work on its part up to and with it, "
                "such as the first turn on air for the erection."
            )
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        of_build = Operation.objects.filter(part__build=self.build).select_related("part")
        self.fields["operations"].queryset = of_build.order_by("part__position", "part", "number")  # type: ignore[attr-defined]
