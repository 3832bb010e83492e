"""One step of a part's route."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from builds.models.choices import Basis, Kind, Origin
from builds.models.constraints import must, once, one_of
from builds.models.history import Versioned, kept_history
from builds.models.machine import Machine
from builds.models.part import Part

# Asked for each operation of a build: Django's own display makes the whole table anew every time.
KIND_LABELS = dict(Kind.choices)


class Operation(Versioned):
    """One step of a part's route. Planned minutes for n pieces: set-up + amount × minutes per unit × n."""

    part = models.ForeignKey(Part, models.CASCADE, verbose_name=gettext_lazy("part"), related_name="operations")
    number = models.PositiveIntegerField()
    kind = models.CharField(gettext_lazy("kind"), max_length=20, choices=Kind)
    title = models.CharField(gettext_lazy("title"), max_length=200, blank=True)
    machine = models.ForeignKey(
        Machine, models.PROTECT, verbose_name=gettext_lazy("machine"), null=True, blank=True, related_name="operations"
    )
    setup_minutes = models.FloatField(gettext_lazy("set-up, minutes"), default=0)
    basis = models.CharField(gettext_lazy("counted by"), max_length=20, choices=Basis, default=Basis.PIECE)
    amount = models.FloatField(gettext_lazy("amount per piece"), default=1)
    # None is "no figure yet", which is not zero.
    minutes_per_unit = models.FloatField(gettext_lazy("minutes for one"), null=True, blank=True)
    origin = models.CharField(
        gettext_lazy("where the figure came from"), max_length=14, choices=Origin, default=Origin.BY_HAND
    )
    unattended_share = models.FloatField(gettext_lazy("unattended share"), default=0)
    # Boring a finished block: it is put right, not cast anew.
    slip_costs_time = models.BooleanField(gettext_lazy("a slip costs time here, never the piece"), default=False)
    note = models.TextField(gettext_lazy("note"), blank=True, max_length=4000)
    # How the time was worked out: the process, the inputs as typed, the shop's figures they stood on, and the result.
    # None where the figure has another origin.
    worked = models.JSONField(null=True, blank=True, editable=False)
    # When it joined the plan; None for the plan as it stood at the start. The forecast learns from it how plans grow.
    added_on = models.DateField(null=True, blank=True, editable=False)
    history = kept_history()

    class Meta:
        ordering = ["part", "number"]
        verbose_name = gettext_lazy("operation")
        constraints = [
            one_of("kind", Kind, "operation_kind_known"),
            one_of("basis", Basis, "operation_basis_known"),
            one_of("origin", Origin, "operation_origin_known"),
            once(
                "operation_number_once",
                ["part", "number"],
                gettext_lazy("This route has an operation of that number already."),
            ),
            must(
                "operation_setup_not_negative",
                Q(setup_minutes__gte=0),
                gettext_lazy("A set-up takes no less than nothing."),
            ),
            must(
                "operation_amount_positive", Q(amount__gt=0), gettext_lazy("The amount per piece is more than nothing.")
            ),
            must(
                "operation_minutes_not_negative",
                Q(minutes_per_unit__isnull=True) | Q(minutes_per_unit__gte=0),
                gettext_lazy("A time is no less than nothing."),
            ),
            must(
                "operation_share_is_a_share",
                Q(unattended_share__gte=0, unattended_share__lte=1),
                gettext_lazy("The unattended share lies between 0 and 1."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title or KIND_LABELS.get(self.kind, self.kind)}"

    @property
    def rough_making(self) -> bool:
        """Whether it stands for all of a part's work, roughly."""
        return self.kind == Kind.MAKING and self.origin == Origin.ROUGH

    @property
    def kept_for_its_log(self) -> bool:
        """Whether it is a "making" whose place others took: it plans nothing, and stays for what was logged on it."""
        return self.rough_making and self.minutes_per_unit == 0 and self.setup_minutes == 0

    @property
    def never_scraps(self) -> bool:
        """Whether no piece is lost here: where it was said so, and at all work on an assembly."""
        return self.slip_costs_time or self.part.is_work

    @property
    def minutes_per_piece(self) -> float | None:
        return None if self.minutes_per_unit is None else self.amount * self.minutes_per_unit
