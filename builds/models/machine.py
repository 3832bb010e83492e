"""What the shop has, whichever build it serves."""

from datetime import date

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from builds.models.constraints import must


class Machine(models.Model):
    """A machine and the spindle speeds it really has: steps, or a range from low to high, in revolutions a minute."""

    name = models.CharField(
        gettext_lazy("name"),
        max_length=80,
        unique=True,
        error_messages={"unique": gettext_lazy("The shop has a machine of that name already.")},
    )
    kind = models.CharField(gettext_lazy("kind"), max_length=40, blank=True)
    speeds = models.JSONField(gettext_lazy("speed steps, rev/min"), default=list, blank=True)
    speed_low = models.FloatField(gettext_lazy("lowest speed, rev/min"), null=True, blank=True)
    speed_high = models.FloatField(gettext_lazy("highest speed, rev/min"), null=True, blank=True)
    power_watts = models.FloatField(gettext_lazy("power, watts"), null=True, blank=True)
    note = models.CharField(gettext_lazy("note"), max_length=300, blank=True)
    out_of_order_since_on = models.DateField(gettext_lazy("out of order since"), null=True, blank=True)
    out_of_order_note = models.CharField(gettext_lazy("what is wrong with it"), max_length=200, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            must(
                "machine_speed_range",
                Q(speed_low__isnull=True, speed_high__isnull=True)
                | Q(speed_low__isnull=False, speed_high__isnull=False, speed_low__gt=0, speed_high__gte=F("speed_low")),
                gettext_lazy("Give both the lowest and the highest speed, the lowest first, or neither."),
            ),
            must(
                "machine_power_positive",
                Q(power_watts__isnull=True) | Q(power_watts__gt=0),
                gettext_lazy("A machine's power is more than nothing."),
            ),
            must(
                "machine_out_of_order_since_a_date",
                Q(out_of_order_note="") | Q(out_of_order_since_on__isnull=False),
                gettext_lazy("Say since when it is out of order, or leave empty what is wrong with it."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def out_of_order_on(self, day: date) -> bool:
        """Whether nothing could be done on it that day."""
        return self.out_of_order_since_on is not None and self.out_of_order_since_on <= day
