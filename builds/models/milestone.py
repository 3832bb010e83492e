"""What happens for the first time once certain parts are made, or have come so far."""

from django.db import models
from django.utils.translation import gettext_lazy

from builds.models.assembly import Assembly
from builds.models.build import Build
from builds.models.constraints import once
from builds.models.history import kept_history
from builds.models.operation import Operation
from builds.models.part import Part


class Milestone(models.Model):
    """A set of parts and assemblies that together let something happen for the first time.

    An operation stands for the work of its part's route up to and with it: the first turn on air is one of erection.
    """

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="milestones")
    name = models.CharField(gettext_lazy("name"), max_length=120)
    position = models.PositiveIntegerField(default=0, editable=False)
    parts = models.ManyToManyField(Part, blank=True, related_name="milestones")
    assemblies = models.ManyToManyField(Assembly, blank=True, related_name="milestones")
    operations = models.ManyToManyField(Operation, blank=True, related_name="milestones")
    reached_on = models.DateField(null=True, blank=True)
    history = kept_history(m2m_fields=[parts, assemblies, operations])

    class Meta:
        ordering = ["position", "pk"]
        verbose_name = gettext_lazy("milestone")
        constraints = [
            once(
                "milestone_name_once",
                ["build", "name"],
                gettext_lazy("This build has a milestone of that name already."),
            )
        ]

    def __str__(self) -> str:
        return self.name
