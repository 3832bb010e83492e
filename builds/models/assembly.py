"""A named group of parts; assemblies nest."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from builds.models.build import Build
from builds.models.constraints import must, once
from builds.models.history import kept_history


class Assembly(models.Model):
    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="assemblies")
    name = models.CharField(gettext_lazy("name"), max_length=120)
    parent = models.ForeignKey(
        "self", models.PROTECT, verbose_name=gettext_lazy("parent"), null=True, blank=True, related_name="children"
    )
    position = models.PositiveIntegerField(default=0, editable=False)
    history = kept_history()

    class Meta:
        ordering = ["position", "pk"]
        verbose_name = gettext_lazy("assembly")
        verbose_name_plural = gettext_lazy("assemblies")
        constraints = [
            once(
                "assembly_name_once",
                ["build", "name"],
                gettext_lazy("This build has an assembly of that name already."),
            ),
            must(
                "assembly_not_its_own_parent",
                Q(parent__isnull=True) | ~Q(parent=F("pk")),
                gettext_lazy("An assembly cannot stand inside itself."),
            ),
        ]

    def __str__(self) -> str:
        return self.name
