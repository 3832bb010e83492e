"""What a notebook line may be about: the open work of a build, the last used first."""

from collections.abc import Iterator

from builds.models import Operation, Part
from builds.models.choices import Activity
from builds.queries.log.bench import work_lately
from builds.queries.snapshot import PartRow, PartsAtHand
from calcs.typed.notebook_work import WorkName

# Whether it is closed, its place among what was used last, whether it is not what comes next.
Rank = tuple[bool, int, bool]

# Words for shop time in a notebook (common practice).
SHOP_TIME = {
    Activity.FIXTURES: "fixture jig tool tooling toolmaking sharpening",
    Activity.DRAWINGS: "drawing sums sketching calculations plans",
    Activity.FINISHING: "painting varnishing",
    Activity.TIDYING: "tidying tidied cleaning sweeping",
    Activity.BUYING: "buying ordering",
    Activity.OTHER: "",
}


def work_names(at_hand: PartsAtHand) -> list[WorkName]:
    """Operations with pieces to go, the last used first, then the rest of the plan, then shop time. Six queries."""
    keys = Part.objects.filter(build=at_hand.build).order_by("position", "pk").values_list("pk", flat=True)
    rows = at_hand.rows(keys)
    ranks = {worked: place for place, worked in reversed(list(enumerate(work_lately(at_hand.build, at_hand.as_of))))}
    ranked = sorted(
        (rank, place, name) for place, (rank, name) in enumerate(one for row in rows for one in _names_of(row, ranks))
    )
    shop = [WorkName(f"a{one.value}", aliases=f"{one.value} {words}") for one, words in SHOP_TIME.items() if words]
    return [name for _rank, _place, name in ranked] + shop


def _names_of(
    row: PartRow, ranks: dict[tuple[int, int | None], int]
) -> Iterator[tuple[tuple[bool, int, bool], WorkName]]:
    part, following = row.part, row.next_operation
    if not row.operations:
        yield (row.quantity_made, ranks.get((part.pk, None), len(ranks)), False), _name(part, None)
    for one, to_pass in zip(row.operations, row.to_pass, strict=True):
        operation = one.operation
        closed = row.quantity_made or to_pass == 0
        rank = ranks.get((part.pk, operation.pk), len(ranks))
        yield (closed, rank, operation != following), _name(part, operation)


def _name(part: Part, operation: Operation | None) -> WorkName:
    value = f"o{operation.pk}" if operation is not None else f"p{part.pk}"
    if operation is None:
        return WorkName(value, part.number, part.name)
    return WorkName(value, part.number, part.name, str(operation.number), f"{operation.title} {operation.kind}")
