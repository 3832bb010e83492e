"""One model under construction."""

import uuid
from typing import TYPE_CHECKING, Any

from django.db import models
from django.utils.translation import gettext_lazy

from builds.models.choices import Activity, BuildState, Units
from builds.models.constraints import must, one_of
from builds.models.history import Versioned, kept_history
from calcs.units.registry import LengthUnit

if TYPE_CHECKING:
    from builds.models.machine import Machine
    from builds.models.material import Material


def every_activity() -> list[str]:
    return list(Activity.values)


class Build(Versioned):
    """One model under construction."""

    # Tells this build from another that had its number in an earlier database: what is kept for it is keyed by it.
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    slug = models.SlugField(max_length=60, unique=True)
    name = models.CharField(gettext_lazy("name"), max_length=120)
    subject = models.CharField(gettext_lazy("subject"), max_length=200, blank=True)
    scale = models.CharField(gettext_lazy("scale"), max_length=40, blank=True)
    units = models.CharField(gettext_lazy("drawings are in"), max_length=2, choices=Units, default=Units.MM)
    started_on = models.DateField(gettext_lazy("started on"), null=True, blank=True)
    wished_finish_on = models.DateField(gettext_lazy("wished finish"), null=True, blank=True)
    state = models.CharField(gettext_lazy("state"), max_length=10, choices=BuildState, default=BuildState.ACTIVE)
    # Only of a finished build. Left empty, the last day in the log stands for it.
    finished_on = models.DateField(gettext_lazy("finished on"), null=True, blank=True)
    for_visitors = models.TextField(gettext_lazy("for visitors"), blank=True, max_length=600)
    on_board = models.BooleanField(gettext_lazy("shown on the progress board"), default=False)
    date_on_board = models.BooleanField(gettext_lazy("the board tells when it may run"), default=True)
    # A list of activities: which shop time counts in the headline hours differs from builder to builder.
    activities_counted = models.JSONField(gettext_lazy("shop time that counts"), default=every_activity, blank=True)
    # A thing made in batches for the shop's counter, rather than one model.
    for_counter = models.BooleanField(gettext_lazy("made in batches for the counter"), default=False)
    hourly_figure = models.DecimalField(
        gettext_lazy("the shop's figure for an hour"), max_digits=8, decimal_places=2, null=True, blank=True
    )
    budget = models.DecimalField(
        gettext_lazy("budget for material and bought parts"), max_digits=10, decimal_places=2, null=True, blank=True
    )
    # What a size without limits of its own keeps: a class of ISO 2768, or so much each way; as typed.
    general_tolerance = models.CharField(gettext_lazy("general tolerance"), max_length=40, blank=True)
    currency = models.CharField(gettext_lazy("currency sign"), max_length=3, blank=True)
    machines: "models.ManyToManyField[Machine, models.Model]" = models.ManyToManyField(
        "Machine", blank=True, related_name="builds"
    )
    materials: "models.ManyToManyField[Material, models.Model]" = models.ManyToManyField(
        "Material", blank=True, related_name="builds"
    )
    revision = models.PositiveIntegerField(default=0, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    history = kept_history(excluded_fields=["revision", "created_at", "uid"])

    class Meta:
        ordering = ["name"]
        constraints = [
            one_of("units", Units, "build_units_known"),
            one_of("state", BuildState, "build_state_known"),
            models.CheckConstraint(condition=~models.Q(name=""), name="build_named"),
            must(
                "build_hourly_figure_not_negative",
                models.Q(hourly_figure__isnull=True) | models.Q(hourly_figure__gte=0),
                gettext_lazy("An hour cannot have a negative cost."),
            ),
            must(
                "build_budget_not_negative",
                models.Q(budget__isnull=True) | models.Q(budget__gte=0),
                gettext_lazy("A budget cannot be negative."),
            ),
            must(
                "build_finished_on_when_finished",
                models.Q(finished_on__isnull=True) | models.Q(state=BuildState.FINISHED),
                gettext_lazy("Only a finished build has a day on which it was: set the state, or leave the day empty."),
            ),
            must(
                "build_finished_after_start",
                models.Q(started_on__isnull=True)
                | models.Q(finished_on__isnull=True)
                | models.Q(finished_on__gte=models.F("started_on")),
                gettext_lazy("The build was finished before its start."),
            ),
            must(
                "build_wish_after_start",
                models.Q(started_on__isnull=True)
                | models.Q(wished_finish_on__isnull=True)
                | models.Q(wished_finish_on__gte=models.F("started_on")),
                gettext_lazy("The wished finish lies before the start."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def __repr__(self) -> str:
        return f"<Build {self.slug} r{self.revision}>"

    @property
    def length_unit(self) -> LengthUnit:
        """What a bare figure on these drawings is in, as the readers of lengths take it."""
        return "in" if self.units == Units.INCH else "mm"

    @property
    def counted(self) -> frozenset[str]:
        """The activities that count in the headline hours."""
        return frozenset(self.activities_counted)

    def counts(self, activity: str) -> bool:
        """Whether it is of the headline hours: work on a part, which names no activity, or shop time that counts."""
        return not activity or activity in self.activities_counted

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.activities_counted = [a for a in Activity.values if a in set(self.activities_counted)]
        super().save(*args, **kwargs)
