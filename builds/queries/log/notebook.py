"""What a notebook line may be about: the open work of a build, the last used first."""

from collections.abc import Iterator
from dataclasses import replace

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


def work_names(at_hand: PartsAtHand, *, with_batches: bool = True) -> list[WorkName]:
    """Operations with pieces to go, the last used first, then the rest of the plan, then shop time. Six queries.

    with_batches: whether a batch of them may be named as well.
    """
    keys = Part.objects.filter(build=at_hand.build).order_by("position", "pk").values_list("pk", flat=True)
    rows = at_hand.rows(keys)
    ranks = {worked: place for place, worked in reversed(list(enumerate(work_lately(at_hand.build, at_hand.as_of))))}
    ranked = sorted(
        (rank, place, name) for place, (rank, name) in enumerate(one for row in rows for one in _names_of(row, ranks))
    )
    shop = [WorkName(f"a{one.value}", aliases=f"{one.value} {words}") for one, words in SHOP_TIME.items() if words]
    named = [name if with_batches else replace(name, batches={}) for _rank, _place, name in ranked]
    return named + shop


def _names_of(
    row: PartRow, ranks: dict[tuple[int, int | None], int]
) -> Iterator[tuple[tuple[bool, int, bool], WorkName]]:
    part, following = row.part, row.next_operation
    if not row.operations:
        yield (row.quantity_made, ranks.get((part.pk, None), len(ranks)), False), _name(row, None)
    for one, to_pass in zip(row.operations, row.to_pass, strict=True):
        operation = one.operation
        closed = row.quantity_made or to_pass == 0
        rank = ranks.get((part.pk, operation.pk), len(ranks))
        yield (closed, rank, operation != following), _name(row, operation)


def _name(row: PartRow, operation: Operation | None) -> WorkName:
    part = row.part
    batches = {batch.number: str(batch.pk) for batch in row.batches}
    if operation is None:
        return WorkName(f"p{part.pk}", part.number, part.name, batches=batches)
    title = f"{operation.title} {operation.kind}"
    return WorkName(f"o{operation.pk}", part.number, part.name, str(operation.number), title, batches=batches)
