"""What the shop cuts, whichever build it serves."""

from django.db import models
from django.db.models import Q


class Material(models.Model):
    """A material and the shop's own figures for it, where it has some."""

    name = models.CharField(max_length=80, unique=True)
    density = models.FloatField("density, kg/m³", null=True, blank=True)
    cutting_speed = models.FloatField("cutting speed, high-speed steel, m/min", null=True, blank=True)
    cutting_speed_carbide = models.FloatField("cutting speed, carbide, m/min", null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=Q(density__isnull=True) | Q(density__gt=0, density__lt=25_000),
                name="material_density_sane",
                violation_error_message="A density lies between 0 and 25,000 kg/m³ (osmium is 22,600).",
            ),
            models.CheckConstraint(
                condition=(Q(cutting_speed__isnull=True) | Q(cutting_speed__gt=0))
                & (Q(cutting_speed_carbide__isnull=True) | Q(cutting_speed_carbide__gt=0)),
                name="material_speeds_positive",
                violation_error_message="A cutting speed is more than nothing.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
