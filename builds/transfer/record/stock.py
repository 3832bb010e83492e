"""What a record file says of the rack and of the lengths on sale."""

from builds import models
from builds.models.choices import Units
from builds.transfer.record import allowed
from builds.transfer.record.fields import Reference, money, optional, text, whole
from builds.transfer.record.row import Row


class OfSection(Row):
    """Stock of a material, with its section and its length as typed. Of plate the length is the two sides of a face."""

    material: Reference
    section: text(models.Stock.section, needed=True)
    length: text(models.Stock.length, needed=True)
    units: allowed.UnitsOfBuild = optional(Units.MM.value, description="of bare figures")


class Stock(OfSection):
    """Stock on hand of a material that the build names. What the shop has in its rack already stays as it is."""

    pieces: whole(most=100_000) = 1
    note: text(models.Stock.note) = optional("")


class Offer(OfSection):
    """A length that can be bought. One that the shop knows already keeps the shop's price."""

    price: money(9_999_999) | None = optional(description="of one; left out is not known, 0 is free")
    supplier: text(models.Offer.supplier) = optional("")
