"""One detail on a sheet."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from builds.models.assembly import Assembly
from builds.models.build import Build
from builds.models.choices import Role, WaitingFor
from builds.models.constraints import must, once, one_of
from builds.models.history import Versioned, kept_history
from builds.models.material import Material
from builds.models.sheet import Sheet
from calcs.messages import _

# What is a detail: nobody has said otherwise, or somebody has said so.
DETAIL_ROLES = ("", Role.DETAIL)


class Part(Versioned):
    """One detail on a sheet. What is bought, jigs, and work on an assembly stand among the parts too: see `Role`."""

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="parts")
    assembly = models.ForeignKey(
        Assembly, models.PROTECT, verbose_name=gettext_lazy("assembly"), null=True, blank=True, related_name="parts"
    )
    sheet = models.ForeignKey(
        Sheet, models.SET_NULL, verbose_name=gettext_lazy("sheet"), null=True, blank=True, related_name="parts"
    )
    number = models.CharField(gettext_lazy("item"), max_length=40)
    name = models.CharField(gettext_lazy("name"), max_length=160)
    quantity = models.PositiveIntegerField(gettext_lazy("needed"), default=1)
    spares = models.PositiveIntegerField(gettext_lazy("spares"), default=0)
    material = models.ForeignKey(
        Material, models.PROTECT, verbose_name=gettext_lazy("material"), null=True, blank=True, related_name="parts"
    )
    # Empty: nobody has said, and it counts as a detail.
    role = models.CharField(gettext_lazy("what it is"), max_length=20, choices=Role, blank=True)
    blank = models.CharField(gettext_lazy("blank, as typed"), max_length=120, blank=True)
    finished_mass_grams = models.FloatField(gettext_lazy("finished mass, grams"), null=True, blank=True)
    blank_cost = models.DecimalField(
        gettext_lazy("cost of one blank"), max_digits=9, decimal_places=2, null=True, blank=True
    )
    # Of what comes by post: a bought part, a casting, a blank that somebody cuts.
    supplier = models.CharField(gettext_lazy("supplier"), max_length=120, blank=True)
    ordered_on = models.DateField(gettext_lazy("ordered on"), null=True, blank=True)
    arrived_on = models.DateField(gettext_lazy("arrived on"), null=True, blank=True)
    for_visitors = models.CharField(gettext_lazy("what it does, for visitors"), max_length=300, blank=True)
    note = models.TextField(gettext_lazy("note"), blank=True, max_length=4000)
    finished_on = models.DateField(gettext_lazy("finished, said by hand"), null=True, blank=True)
    waiting_for = models.CharField(gettext_lazy("waiting for"), max_length=10, choices=WaitingFor, blank=True)
    waiting_since_on = models.DateField(gettext_lazy("waiting since"), null=True, blank=True)
    waiting_note = models.CharField(gettext_lazy("waiting note"), max_length=200, blank=True)
    position = models.PositiveIntegerField(default=0, editable=False)
    # Where it stands in the working order, which is put together by hand; None where nobody has said. Only which of two
    # is less counts, so that a part that moves leaves the others as they are.
    place = models.FloatField(null=True, editable=False)
    history = kept_history()

    class Meta:
        ordering = ["position", "pk"]
        verbose_name = gettext_lazy("part")
        constraints = [
            one_of("role", Role, "part_role_known", blank=True),
            one_of("waiting_for", WaitingFor, "part_waiting_known", blank=True),
            once(
                "part_number_once",
                ["build", "number"],
                gettext_lazy("This build has a part of that item number already."),
            ),
            must(
                "part_work_has_no_pieces",
                ~Q(role=Role.ASSEMBLY_WORK) | Q(quantity=1, spares=0),
                gettext_lazy("Work on an assembly has no pieces: it is needed once, without spares."),
            ),
            must("part_needed_at_all", Q(quantity__gte=1), gettext_lazy("A part is needed at least once.")),
            must(
                "part_waiting_since_a_date",
                Q(waiting_for="", waiting_since_on__isnull=True)
                | (~Q(waiting_for="") & Q(waiting_since_on__isnull=False)),
                gettext_lazy("Say what the part waits for and since when, or leave both empty."),
            ),
            must(
                "part_blank_cost_not_negative",
                Q(blank_cost__isnull=True) | Q(blank_cost__gte=0),
                gettext_lazy("A blank cannot have a negative cost."),
            ),
            must(
                "part_arrived_after_ordered",
                Q(ordered_on__isnull=True) | Q(arrived_on__isnull=True) | Q(arrived_on__gte=F("ordered_on")),
                gettext_lazy("It arrived before it was ordered."),
            ),
            must(
                "part_mass_positive",
                Q(finished_mass_grams__isnull=True) | Q(finished_mass_grams__gt=0),
                gettext_lazy("A mass is more than nothing."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"

    @property
    def is_work(self) -> bool:
        """Whether it is work on an assembly: hours and operations, but no pieces, blanks, batches or scrap."""
        return self.role == Role.ASSEMBLY_WORK

    @property
    def counts_as(self) -> Role:
        """What it is, a detail until somebody says otherwise."""
        return Role.DETAIL if self.is_detail else Role(self.role)

    @property
    def is_detail(self) -> bool:
        return self.role in DETAIL_ROLES

    def clean(self) -> None:
        """What was counted piece by piece cannot become work on an assembly, removed entries included.

        Where it is needed more than once, the constraint has its own sentence.
        """
        if self.is_work and self.pk is not None and self.quantity_with_spares == 1:
            pieces = Q(scrap__gt=0) | Q(reworked__gt=0) | Q(good__gt=1) | Q(batch__isnull=False)
            if self.batches.exists() or self.entries.filter(pieces).exists():
                message = _("Pieces or batches of {part} stand in the log, so it is no work on an assembly.", part=self)
                raise ValidationError({"role": message})

    @property
    def working_rank(self) -> tuple[bool, float, int, int]:
        """What parts are sorted by to stand in working order: those with a place first, then the order of the plan."""
        return self.place is None, self.place or 0.0, self.position, self.pk

    @property
    def quantity_with_spares(self) -> int:
        """Good pieces that the build wants of this part, spares included."""
        return self.quantity + self.spares
