"""What stands in the rack, and what can be bought: bars and plates, whichever build they serve."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from builds.models.choices import Units
from builds.models.constraints import must, one_of
from builds.models.history import kept_history
from builds.models.material import Material
from calcs.units.registry import LengthUnit


class OfSection(models.Model):
    """Stock of a material, with its section and its length as they are typed."""

    material = models.ForeignKey(
        Material, models.PROTECT, verbose_name=gettext_lazy("material"), related_name="%(class)ss"
    )
    section = models.CharField(gettext_lazy("section"), max_length=60)
    length = models.CharField(gettext_lazy("length"), max_length=60)
    units = models.CharField(gettext_lazy("bare figures are in"), max_length=2, choices=Units, default=Units.MM)

    class Meta:
        abstract = True

    @property
    def length_unit(self) -> LengthUnit:
        return "in" if self.units == Units.INCH else "mm"

    def clean(self) -> None:
        """What is typed must be read, for it is cut up by its figures."""
        # Not at the top: it loads Pint, which an ordinary page does without.
        from calcs.shop.stock_texts import section_of_text, stock_of_texts

        named = "section"
        try:
            section_of_text(self.section, self.length_unit)
            named = "length"
            stock_of_texts(self.section, self.length, self.length_unit)
        except ValueError as error:
            raise ValidationError({named: str(error)}) from error


class Stock(OfSection):
    """So many pieces in the rack. None left is worth a row as well: it says that such stock is kept."""

    pieces = models.PositiveIntegerField(gettext_lazy("pieces"), default=1)
    note = models.CharField(gettext_lazy("note"), max_length=200, blank=True)
    # A batch takes its blanks off the rack, and undoing its event puts them back.
    history = kept_history()

    class Meta:
        ordering = ["material__name", "section", "pk"]
        verbose_name = gettext_lazy("stock on hand")
        constraints = [
            one_of("units", Units, "stock_units_known"),
            must("stock_pieces_sane", Q(pieces__lte=100_000), gettext_lazy("A rack holds at most 100,000 pieces.")),
        ]

    def __str__(self) -> str:
        return f"{self.pieces} × {self.section} × {self.length}, {self.material}"


class Offer(OfSection):
    """A length that can be bought, in any number. A price left out is not known; 0 is free."""

    price = models.DecimalField(gettext_lazy("price of one"), max_digits=9, decimal_places=2, null=True, blank=True)
    supplier = models.CharField(gettext_lazy("supplier"), max_length=120, blank=True)

    class Meta:
        ordering = ["material__name", "section", "pk"]
        verbose_name = gettext_lazy("length on sale")
        constraints = [
            one_of("units", Units, "offer_units_known"),
            must(
                "offer_price_not_negative",
                Q(price__isnull=True) | Q(price__gte=0),
                gettext_lazy("A price cannot be negative."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.section} × {self.length}, {self.material}"
