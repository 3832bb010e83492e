"""Days without work."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from builds.models.build import Build
from builds.models.constraints import must
from builds.models.history import kept_history
from calcs.messages import _


class Closure(models.Model):
    """A stretch of days without work, or with a pace of its own."""

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="closures")
    from_on = models.DateField(gettext_lazy("from"))
    to_on = models.DateField(gettext_lazy("to"))
    reason = models.CharField(gettext_lazy("reason"), max_length=160, blank=True)
    hours_per_week = models.FloatField(gettext_lazy("hours a week in that time"), default=0)
    history = kept_history()

    class Meta:
        ordering = ["from_on"]
        verbose_name = gettext_lazy("closure")
        constraints = [
            must(
                "closure_runs_forward", Q(to_on__gte=F("from_on")), gettext_lazy("The last day lies before the first.")
            ),
            must(
                "closure_pace_sane",
                Q(hours_per_week__gte=0, hours_per_week__lte=168),
                gettext_lazy("A week has between 0 and 168 hours."),
            ),
        ]

    def __str__(self) -> str:
        return _("{first} to {last} {reason}", first=self.from_on, last=self.to_on, reason=self.reason).strip()
