"""Work that is not in the plan yet, made at the bench from a name and nothing else."""

from datetime import date

from django.core.exceptions import ValidationError

from builds.models import Build, Builder, Operation, Part
from builds.models.choices import Kind
from builds.services.disk import stored
from builds.services.plan.records import add_operation, add_part
from calcs.messages import _
from calcs.typed.notebook_words import stem, words_of


def add_work(
    *, build: Build, part: Part | None, new_part: str, new_operation: str, by: Builder | None, today: date
) -> tuple[Part, Operation]:
    """Make a part of that name with one operation, or an operation of a part that there is. Each can be undone.

    A new part gets a number of its own, and an operation the kind that its name speaks of. Raises ValidationError
    with a sentence where neither is named.
    """
    with stored():
        if new_part:
            part = Part(build=build, number=_free_number(build), name=new_part)
            add_part(part=part, rough_minutes=None, by=by, today=today)
            making = part.operations.get()
            if not new_operation:
                return part, making
        else:
            making = None
        if part is None or not new_operation:
            raise ValidationError(_("Give the name of a new part, or choose a part and name its new operation."))
        operation = Operation(part=part, kind=_kind_of(new_operation), title=new_operation)
        return part, add_operation(operation=operation, by=by, today=today, instead_of=making)


def _free_number(build: Build) -> str:
    """The first number behind those that the build's parts have: N1, N2 and so on."""
    taken = set(Part.objects.filter(build=build, number__startswith="N").values_list("number", flat=True))
    return next(number for place in range(1, len(taken) + 2) if (number := f"N{place}") not in taken)


def _kind_of(title: str) -> Kind:
    """The kind whose name stands in a title; "making" where none does."""
    said = {stem(word.plain) for word in words_of(title)}
    return next((kind for kind in Kind if {stem(word) for word in kind.value.split()} <= said), Kind.MAKING)
