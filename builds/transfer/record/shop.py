"""What a record file says of the shop: machines, materials, the rack and the lengths on sale."""

from builds import models
from builds.models.choices import Units
from builds.transfer.record import allowed
from builds.transfer.record.fields import Day, Reference, money, optional, positive, rows, text, whole
from builds.transfer.record.row import Row, Rule


class Machine(Row):
    """A machine of the shop. Where the shop has one of that name already, its own figures stay."""

    name: text(models.Machine.name, needed=True)
    kind: text(models.Machine.kind) = ""
    speeds: rows(positive()) = optional([], description="steps, rev/min")
    speed_low: positive() | None = optional(description="instead of steps: from this one")
    speed_high: positive() | None = optional(description="to this one, rev/min")
    power_watts: positive() | None = optional()
    note: text(models.Machine.note) = optional("")
    out_of_order_since_on: Day | None = optional(alias="out_of_order_since")
    out_of_order_note: text(models.Machine.out_of_order_note) = optional("", description="what is wrong with it")

    rules = [
        Rule("out_of_order_since", allowed.OUT_OF_ORDER_SINCE,
             lambda row: row.out_of_order_note and row.out_of_order_since_on is None),
        Rule("speed_low", allowed.BOTH_SPEEDS, lambda row: row.speed_low is None and row.speed_high is not None),
        Rule("speed_high", allowed.BOTH_SPEEDS, lambda row: row.speed_low and row.speed_low > (row.speed_high or 0)),
    ]  # fmt: skip


class Material(Row):
    """A material of the shop. Where the shop has one of that name already, its own figures stay."""

    name: text(models.Material.name, needed=True)
    density: positive(24_999) | None = optional(description="kg/m³")
    cutting_speed: positive() | None = optional(description="high-speed steel, m/min")
    cutting_speed_carbide: positive() | None = optional(description="m/min")
    note: text(models.Material.note) = optional("")


class Instrument(Row):
    """What the shop measures with. Where the shop has one of that name already, its own figures stay."""

    name: text(models.Instrument.name, needed=True)
    uncertainty: text(models.Instrument.uncertainty) = optional("", description="each way, as typed: `0.002 mm`")
    note: text(models.Instrument.note) = optional("")


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
