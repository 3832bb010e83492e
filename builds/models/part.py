"""One detail on a sheet."""

from django.db import models
from django.db.models import Q

from builds.models.assembly import Assembly
from builds.models.build import Build
from builds.models.choices import Source, WaitingFor, one_of
from builds.models.history import Versioned, kept_history
from builds.models.material import Material
from builds.models.sheet import Sheet


class Part(Versioned):
    """One detail on a sheet. A jig or fixture is a part too."""

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="parts")
    assembly = models.ForeignKey(Assembly, on_delete=models.PROTECT, null=True, blank=True, related_name="parts")
    sheet = models.ForeignKey(Sheet, on_delete=models.SET_NULL, null=True, blank=True, related_name="parts")
    number = models.CharField("item", max_length=40)
    name = models.CharField(max_length=160)
    quantity = models.PositiveIntegerField("needed", default=1)
    spares = models.PositiveIntegerField(default=0)
    material = models.ForeignKey(Material, on_delete=models.PROTECT, null=True, blank=True, related_name="parts")
    source = models.CharField("made or bought", max_length=6, choices=Source, default=Source.MADE)
    blank = models.CharField("blank, as typed", max_length=120, blank=True)
    finished_mass_grams = models.FloatField("finished mass, grams", null=True, blank=True)
    blank_cost = models.DecimalField("cost of one blank", max_digits=9, decimal_places=2, null=True, blank=True)
    for_visitors = models.CharField("what it does, for visitors", max_length=300, blank=True)
    note = models.TextField(blank=True, max_length=4000)
    finished_on = models.DateField("finished, said by hand", null=True, blank=True)
    waiting_for = models.CharField(max_length=10, choices=WaitingFor, blank=True)
    waiting_since_on = models.DateField("waiting since", null=True, blank=True)
    waiting_note = models.CharField(max_length=200, blank=True)
    position = models.PositiveIntegerField(default=0, editable=False)
    history = kept_history()

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            one_of("source", Source, "part_source_known"),
            one_of("waiting_for", WaitingFor, "part_waiting_known", blank=True),
            models.UniqueConstraint(
                fields=["build", "number"],
                name="part_number_once",
                violation_error_message="This build has a part of that item number already.",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1),
                name="part_needed_at_all",
                violation_error_message="A part is needed at least once.",
            ),
            models.CheckConstraint(
                condition=Q(waiting_for="", waiting_since_on__isnull=True)
                | (~Q(waiting_for="") & Q(waiting_since_on__isnull=False)),
                name="part_waiting_since_a_date",
                violation_error_message="Say what the part waits for and since when, or leave both empty.",
            ),
            models.CheckConstraint(
                condition=Q(blank_cost__isnull=True) | Q(blank_cost__gte=0),
                name="part_blank_cost_not_negative",
                violation_error_message="A blank costs no less than nothing.",
            ),
            models.CheckConstraint(
                condition=Q(finished_mass_grams__isnull=True) | Q(finished_mass_grams__gt=0),
                name="part_mass_positive",
                violation_error_message="A mass is more than nothing.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"

    @property
    def quantity_with_spares(self) -> int:
        """Good pieces that the build wants of this part, spares included."""
        return self.quantity + self.spares
