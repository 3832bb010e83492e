"""What comes before what."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy

from builds.models.constraints import must
from builds.models.history import kept_history
from builds.models.operation import Operation
from builds.models.part import Part
from calcs.messages import _
from calcs.parts.needs import Place


class Need(models.Model):
    """A part, or one of its operations, can only be begun once another part, or one operation of it, is done.

    Where no operation is named, the part as a whole is meant: begun with its first, done with its last.
    """

    part = models.ForeignKey(Part, models.CASCADE, verbose_name=gettext_lazy("part"), related_name="needs")
    operation = models.ForeignKey(
        Operation, models.CASCADE, verbose_name=gettext_lazy("operation"), null=True, blank=True, related_name="needs"
    )
    needed_part = models.ForeignKey(
        Part, models.CASCADE, verbose_name=gettext_lazy("part that comes first"), related_name="needed_by"
    )
    needed_operation = models.ForeignKey(
        Operation,
        models.CASCADE,
        verbose_name=gettext_lazy("operation that comes first"),
        null=True,
        blank=True,
        related_name="needed_by",
    )
    history = kept_history()

    class Meta:
        ordering = ["pk"]
        verbose_name = gettext_lazy("order of work")
        constraints = [
            # Zero is no key: two needs that name no operation are the same one too.
            models.UniqueConstraint(
                F("part"),
                Coalesce("operation", 0),
                F("needed_part"),
                Coalesce("needed_operation", 0),
                name="need_once",
                violation_error_message=gettext_lazy("That is said already."),
            ),
            must(
                "need_of_another_part",
                ~Q(part=F("needed_part")),
                gettext_lazy("The order within a part is that of its route. Name another part."),
            ),
        ]

    def __str__(self) -> str:
        return _(
            "{needed} before {waiting}",
            needed=named(self.needed_part, self.needed_operation),
            waiting=named(self.part, self.operation),
        )

    def clean(self) -> None:
        """An operation belongs to the part that it is named with, and all of it to one build."""
        for part, operation in ((self.part, self.operation), (self.needed_part, self.needed_operation)):
            if operation is not None and operation.part_id != part.pk:
                raise ValidationError(_("That operation belongs to another part."))
        if self.part.build_id != self.needed_part.build_id:
            raise ValidationError(_("That part belongs to another build."))

    @property
    def waiting(self) -> Place:
        """What cannot be begun before `needed` is done."""
        return place_of(self.part, self.operation)

    @property
    def needed(self) -> Place:
        return place_of(self.needed_part, self.needed_operation)


def place_of(part: Part, operation: Operation | None) -> Place:
    return Place(part.number, None if operation is None else operation.number)


def named(part: Part, operation: Operation | None) -> str:
    """A part, or one of its operations, as people say it: "2 Cylinder", "2 Cylinder, 20 Bore"."""
    return str(part) if operation is None else _("{part}, {operation}", part=part, operation=operation)
