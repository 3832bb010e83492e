"""What was measured at a piece, and with what."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from builds.models.batch import Batch
from builds.models.builder import Builder
from builds.models.choices import Gauged
from builds.models.constraints import must, one_of
from builds.models.history import Versioned, kept_history
from builds.models.operation import Operation
from builds.models.size import Size
from calcs.messages import _


class Instrument(models.Model):
    """A micrometer, a dial gauge, a plug: it serves every build."""

    name = models.CharField(gettext_lazy("name"), max_length=80, unique=True)
    # As typed; empty is not known, and then every figure is taken as it stands.
    uncertainty = models.CharField(gettext_lazy("uncertainty, each way"), max_length=40, blank=True)
    note = models.CharField(gettext_lazy("note"), max_length=200, blank=True)

    class Meta:
        ordering = ["name"]
        verbose_name = gettext_lazy("measuring instrument")
        constraints = [must("instrument_named", ~Q(name=""), gettext_lazy("Give it a name."))]

    def __str__(self) -> str:
        return self.name


class Measurement(Versioned):
    """One figure of one size of one piece, or that a gauge went or did not.

    Pieces are numbered within their batch, or within the part where there is none. The text stays as it was typed;
    `millimetres` is what it was read as.
    """

    size = models.ForeignKey(Size, models.CASCADE, verbose_name=gettext_lazy("size"), related_name="measurements")
    batch = models.ForeignKey(
        Batch, models.SET_NULL, verbose_name=gettext_lazy("batch"), null=True, blank=True, related_name="measurements"
    )
    piece = models.PositiveIntegerField(gettext_lazy("piece"))
    operation = models.ForeignKey(
        Operation,
        models.SET_NULL,
        verbose_name=gettext_lazy("after"),
        null=True,
        blank=True,
        related_name="measurements",
    )
    typed = models.CharField(gettext_lazy("figure"), max_length=40, blank=True)
    millimetres = models.FloatField(null=True, blank=True, editable=False)
    gauged = models.CharField(gettext_lazy("gauge"), max_length=8, choices=Gauged, blank=True)
    instrument = models.ForeignKey(
        Instrument,
        models.PROTECT,
        verbose_name=gettext_lazy("measured with"),
        null=True,
        blank=True,
        related_name="measurements",
    )
    measured_on = models.DateField(gettext_lazy("measured on"))
    by = models.ForeignKey(Builder, models.SET_NULL, null=True, blank=True, related_name="measurements")
    # A form that is sent twice makes one measurement.
    token = models.CharField(max_length=64, editable=False)
    history = kept_history()

    class Meta:
        ordering = ["piece", "pk"]
        verbose_name = gettext_lazy("measurement")
        indexes = [models.Index(fields=["size", "piece"], name="measurement_by_piece")]
        constraints = [
            one_of("gauged", Gauged, "measurement_gauged_known", blank=True),
            models.UniqueConstraint(fields=["size", "token"], name="measurement_token_once"),
            must("measurement_piece_counted", Q(piece__gte=1), gettext_lazy("Pieces are counted from 1.")),
            must(
                "measurement_says_one_thing",
                Q(millimetres__isnull=False, gauged="") | (Q(millimetres__isnull=True) & ~Q(gauged="")),
                gettext_lazy("Give a figure, or say whether the gauge went: one of the two."),
            ),
        ]

    def __str__(self) -> str:
        return _("piece {piece}: {size}", piece=self.piece, size=self.size.name)
