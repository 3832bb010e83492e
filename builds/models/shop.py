"""The shop as a whole."""

from django.db import models
from django.db.models import F
from django.db.models.expressions import RawSQL
from django.db.models.functions import Greatest
from django.utils.translation import gettext_lazy

# Read beside a build in one query; as plain text, since making the text anew would take longer than the answer.
SHOP_REVISION = RawSQL("SELECT revision FROM builds_shop", (), models.IntegerField(null=True))


class Shop(models.Model):
    """One row, made on first need: what serves every build (machines, materials, headings) raises its revision."""

    revision = models.PositiveIntegerField(default=0, editable=False)
    arithmetic_for_visitors = models.BooleanField(
        gettext_lazy("visitors may use the shop arithmetic without signing in"), default=False
    )
    # By panel of the board, what the shop writes over it in the place of our question.
    headings = models.JSONField(default=dict, blank=True)

    class Meta:
        verbose_name = gettext_lazy("shop")

    def __str__(self) -> str:
        return f"r{self.revision}"

    @classmethod
    def the_one(cls) -> "Shop":
        """As it is kept, or with the defaults where nothing has been said yet. One query."""
        return cls.objects.filter(pk=1).first() or cls(pk=1)

    @classmethod
    def raise_revision(cls, above: int = 0) -> None:
        """Call in the transaction that changes a machine or a material. above: a revision that was already used."""
        shop, _made = cls.objects.get_or_create(pk=1)
        cls.objects.filter(pk=shop.pk).update(revision=Greatest(F("revision"), above) + 1)
