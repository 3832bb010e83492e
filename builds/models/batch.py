"""Blanks that go through a route together."""

from django.db import models
from django.db.models import Q

from builds.models.history import kept_history
from builds.models.part import Part


class Batch(models.Model):
    """Blanks of one part that go through its route together."""

    part = models.ForeignKey(Part, on_delete=models.CASCADE, related_name="batches")
    number = models.PositiveIntegerField()
    blanks = models.PositiveIntegerField()
    started_on = models.DateField()
    note = models.CharField(max_length=300, blank=True)
    history = kept_history()

    class Meta:
        ordering = ["part", "number"]
        verbose_name_plural = "batches"
        constraints = [
            models.UniqueConstraint(
                fields=["part", "number"],
                name="batch_number_once",
                violation_error_message="This part has a batch of that number already.",
            ),
            models.CheckConstraint(
                condition=Q(blanks__gte=1),
                name="batch_has_blanks",
                violation_error_message="A batch starts with at least one blank.",
            ),
        ]

    def __str__(self) -> str:
        return f"batch {self.number} of {self.part}"
