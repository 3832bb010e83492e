"""A part's route as a card to take along to the machine."""

from dataclasses import dataclass

from django.db.models import Q

from builds.models import Operation, Part
from builds.models.need import named
from builds.queries.plan.needs import read_needs
from builds.queries.plan.sizes import SizeRow, sizes_of


@dataclass(frozen=True)
class RouteCard:
    """A part with its operations in order and the drawing's sizes.

    Each operation has the names of what comes before it; `first` are those of what comes before the part as a whole.
    """

    part: Part
    operations: tuple[tuple[Operation, tuple[str, ...]], ...]
    sizes: tuple[SizeRow, ...]
    first: tuple[str, ...]


def route_card(part: Part) -> RouteCard:
    """The card of a part that came with its build, sheet, material and assembly. Three queries."""
    needs = read_needs(part.build, Q(part=part))

    def first(operation: Operation | None) -> tuple[str, ...]:
        return tuple(named(one.needed_part, one.needed_operation) for one in needs if one.operation == operation)

    operations = [one for one in part.operations.select_related("machine", "part") if not one.kept_for_its_log]
    return RouteCard(part, tuple((one, first(one)) for one in operations), sizes_of(part), first(None))
