"""What a record file says of a piece that was measured."""

from pydantic import Field

from builds import models
from builds.transfer.record import allowed
from builds.transfer.record.fields import Count, Day, Reference, optional, positive, text, whole
from builds.transfer.record.row import Row, Rule

# Millimetres; more is no reading of a workshop.
LARGEST_SIZE = 100_000


class Measurement(Row):
    """What was found at one piece. Pieces are numbered within their batch, or within the part where there is none."""

    part: Reference
    size: Reference
    batch: Count | None = optional()
    piece: whole(least=1)
    operation: Reference | None = optional(description="after which it was measured")
    measured_on: Day = Field(alias="date")
    typed: text(models.Measurement.typed) = optional("", alias="figure", description="as typed")
    millimetres: positive(LARGEST_SIZE) | None = optional(description="what that was read as")
    gauged: allowed.SaidByGauge = optional("", description="what a limit gauge said, in the place of a figure")
    instrument: Reference | None = optional()
    by: text(models.Builder.name) | None = optional(description="who")
    token: text(models.Measurement.token) = optional("", description="known again by it; left out, one is made")

    rules = [
        Rule("millimetres", allowed.ONE_FIGURE, lambda row: (row.millimetres is None) == (not row.gauged)),
        Rule("figure", allowed.ONE_FIGURE, lambda row: row.typed and row.gauged),
    ]
