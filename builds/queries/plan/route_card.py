"""A part's route as a card to take along to the machine."""

from dataclasses import dataclass

from builds.models import Operation, Part
from builds.queries.plan.sizes import SizeRow, sizes_of


@dataclass(frozen=True)
class RouteCard:
    """A part with its operations in order and the drawing's sizes."""

    part: Part
    operations: tuple[Operation, ...]
    sizes: tuple[SizeRow, ...]


def route_card(part: Part) -> RouteCard:
    """The card of a part that came with its build, sheet, material and assembly. Two queries."""
    operations = part.operations.select_related("machine", "part")
    return RouteCard(part, tuple(one for one in operations if not one.kept_for_its_log), sizes_of(part))
