"""A running clock."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from builds.models.build import Build
from builds.models.builder import Builder
from builds.models.choices import Activity
from builds.models.constraints import must, one_of
from builds.models.operation import Operation
from builds.models.part import Part


class Clock(models.Model):
    """A builder's running clock: on since a moment, at an operation or an activity. One a builder."""

    builder = models.OneToOneField(Builder, on_delete=models.CASCADE, related_name="clock")
    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="clocks")
    part = models.ForeignKey(Part, on_delete=models.CASCADE, null=True, blank=True)
    operation = models.ForeignKey(Operation, on_delete=models.CASCADE, null=True, blank=True)
    activity = models.CharField(max_length=20, choices=Activity, blank=True)
    started_at = models.DateTimeField()
    # What was typed on the bench before and while it runs, by the names of its form: a note, counts, a time.
    typed = models.JSONField(default=dict, blank=True)

    class Meta:
        constraints = [
            one_of("activity", Activity, "clock_activity_known", blank=True),
            must(
                "clock_part_or_activity",
                (Q(part__isnull=False) & Q(activity=""))
                | (Q(part__isnull=True) & Q(operation__isnull=True) & ~Q(activity="")),
                gettext_lazy("A clock runs on a part or on shop time: choose one of the two."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.builder} since {self.started_at:%Y-%m-%d %H:%M}"
