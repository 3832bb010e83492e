"""A drawing sheet, and where it proved wrong."""

from django.db import models

from builds.models.build import Build
from builds.models.history import kept_history


class Sheet(models.Model):
    """A drawing sheet."""

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="sheets")
    number = models.CharField(max_length=40)
    title = models.CharField(max_length=160, blank=True)
    revision = models.CharField(max_length=20, blank=True)
    history = kept_history()

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(
                fields=["build", "number"],
                name="sheet_number_once",
                violation_error_message="This build has a sheet of that number already.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}".strip()


class Remark(models.Model):
    """Drawings have errors: what the sheet says, and what was made."""

    sheet = models.ForeignKey(Sheet, on_delete=models.CASCADE, related_name="remarks")
    drawing_says = models.CharField("the drawing says", max_length=300)
    we_made = models.CharField("we made", max_length=300)
    noted_on = models.DateField(null=True, blank=True)
    history = kept_history()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.drawing_says} / {self.we_made}"
