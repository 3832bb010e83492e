"""Blanks that go through a route together."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from builds.models.constraints import must, once
from builds.models.history import kept_history
from builds.models.part import Part
from calcs.messages import _


class Batch(models.Model):
    """Blanks of one part that go through its route together."""

    part = models.ForeignKey(Part, models.CASCADE, verbose_name=gettext_lazy("part"), related_name="batches")
    number = models.PositiveIntegerField(gettext_lazy("number"))
    blanks = models.PositiveIntegerField(gettext_lazy("blanks"))
    started_on = models.DateField()
    note = models.CharField(gettext_lazy("note"), max_length=300, blank=True)
    history = kept_history()

    class Meta:
        ordering = ["part", "number"]
        verbose_name = gettext_lazy("batch")
        verbose_name_plural = gettext_lazy("batches")
        constraints = [
            once(
                "batch_number_once", ["part", "number"], gettext_lazy("This part has a batch of that number already.")
            ),
            must("batch_has_blanks", Q(blanks__gte=1), gettext_lazy("A batch starts with at least one blank.")),
        ]

    def __str__(self) -> str:
        return _("batch {number} of {part}", number=self.number, part=self.part)

    def clean(self) -> None:
        if self.part_id is not None and self.part.is_work:
            message = _("{part} is work on an assembly: it has no blanks, so it starts no batch.", part=self.part)
            raise ValidationError({"blanks": message})
