"""Days without work."""

from django.db import models
from django.db.models import F, Q

from builds.models.build import Build
from builds.models.history import kept_history


class Closure(models.Model):
    """A stretch of days without work, or with a pace of its own."""

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="closures")
    from_on = models.DateField("from")
    to_on = models.DateField("to")
    reason = models.CharField(max_length=160, blank=True)
    hours_per_week = models.FloatField("hours a week in that time", default=0)
    history = kept_history()

    class Meta:
        ordering = ["from_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(to_on__gte=F("from_on")),
                name="closure_runs_forward",
                violation_error_message="The last day lies before the first.",
            ),
            models.CheckConstraint(
                condition=Q(hours_per_week__gte=0, hours_per_week__lte=168),
                name="closure_pace_sane",
                violation_error_message="A week has between 0 and 168 hours.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.from_on} to {self.to_on} {self.reason}".strip()
