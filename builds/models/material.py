"""What the shop cuts, whichever build it serves."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from builds.models.constraints import must


class Material(models.Model):
    """A material and the shop's own figures for it, where it has some."""

    name = models.CharField(
        gettext_lazy("name"),
        max_length=80,
        unique=True,
        error_messages={"unique": gettext_lazy("The shop has a material of that name already.")},
    )
    density = models.FloatField(gettext_lazy("density, kg/m³"), null=True, blank=True)
    cutting_speed = models.FloatField(gettext_lazy("cutting speed, high-speed steel, m/min"), null=True, blank=True)
    cutting_speed_carbide = models.FloatField(gettext_lazy("cutting speed, carbide, m/min"), null=True, blank=True)
    note = models.CharField(gettext_lazy("note"), max_length=300, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            must(
                "material_density_sane",
                Q(density__isnull=True) | Q(density__gt=0, density__lt=25_000),
                gettext_lazy("A density lies between 0 and 25,000 kg/m³ (osmium is 22,600)."),
            ),
            must(
                "material_speeds_positive",
                (Q(cutting_speed__isnull=True) | Q(cutting_speed__gt=0))
                & (Q(cutting_speed_carbide__isnull=True) | Q(cutting_speed_carbide__gt=0)),
                gettext_lazy("A cutting speed is more than nothing."),
            ),
        ]

    def __str__(self) -> str:
        return self.name
