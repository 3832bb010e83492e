"""What the shop as a whole shows visitors."""

from builds.models import Builder, Shop
from builds.models.choices import EventType
from builds.services.changes import note
from builds.services.disk import stored


def keep_for_visitors(*, shop: Shop, by: Builder | None) -> Shop:
    """Keep whether the arithmetic is open to anybody, and the shop's own headings. Raises ValidationError."""
    with stored():
        shop.full_clean()
        Shop.raise_revision()
        Shop.objects.filter(pk=shop.pk).update(
            arithmetic_for_visitors=shop.arithmetic_for_visitors, headings=shop.headings
        )
        note(by=by, type=EventType.EDIT, record="shop", name=str(Shop._meta.verbose_name))
    return shop
