"""What the shop has, whichever build it serves."""

from django.db import models
from django.db.models import F, Q


class Machine(models.Model):
    """A machine and the spindle speeds it really has: steps, or a range from low to high, in revolutions a minute."""

    name = models.CharField(max_length=80, unique=True)
    kind = models.CharField(max_length=40, blank=True)
    speeds = models.JSONField("speed steps, rev/min", default=list, blank=True)
    speed_low = models.FloatField("lowest speed, rev/min", null=True, blank=True)
    speed_high = models.FloatField("highest speed, rev/min", null=True, blank=True)
    power_watts = models.FloatField("power, watts", null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=Q(speed_low__isnull=True, speed_high__isnull=True)
                | Q(speed_low__isnull=False, speed_high__isnull=False, speed_low__gt=0, speed_high__gte=F("speed_low")),
                name="machine_speed_range",
                violation_error_message="Give both the lowest and the highest speed, the lowest first, or neither.",
            ),
            models.CheckConstraint(
                condition=Q(power_watts__isnull=True) | Q(power_watts__gt=0),
                name="machine_power_positive",
                violation_error_message="A machine's power is more than nothing.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
