"""A named group of parts; assemblies nest."""

from django.db import models
from django.db.models import F, Q

from builds.models.build import Build
from builds.models.history import kept_history


class Assembly(models.Model):
    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="assemblies")
    name = models.CharField(max_length=120)
    parent = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="children")
    position = models.PositiveIntegerField(default=0, editable=False)
    history = kept_history()

    class Meta:
        ordering = ["position", "pk"]
        verbose_name_plural = "assemblies"
        constraints = [
            models.UniqueConstraint(
                fields=["build", "name"],
                name="assembly_name_once",
                violation_error_message="This build has an assembly of that name already.",
            ),
            models.CheckConstraint(
                condition=Q(parent__isnull=True) | ~Q(parent=F("pk")),
                name="assembly_not_its_own_parent",
                violation_error_message="An assembly cannot stand inside itself.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
