"""A part at a glance, beside the plan: where its pieces stand, what comes next and what was noted last."""

from dataclasses import dataclass
from datetime import date

from builds.models import Build, Entry, Operation
from builds.queries.forecast.build_forecast import forecast_by_part, left_of
from builds.queries.plan.needs import PlaceRow, part_needs
from builds.queries.plan.piece_row import PieceRow, piece_row
from builds.queries.snapshot import PartRow, read_parts
from calcs.forecast.result import Spread


@dataclass(frozen=True)
class PartBeside:
    """`next_to_go`: good pieces that have still to pass the next operation; `held`: what that one waits for.

    `last` is the newest entry, `noted` the newest with a note. `hours_left` is None where there is no figure.
    """

    line: PartRow
    row: PieceRow
    hours_left: Spread | None
    next_operation: Operation | None
    next_to_go: int
    held: tuple[PlaceRow, ...]
    last: Entry | None
    noted: Entry | None


def part_worked_on_last(build: Build) -> int | None:
    """The key of the part worked on last; None where nothing is logged on any. One query."""
    worked = Entry.objects.kept().filter(build=build, part__isnull=False)
    return worked.order_by("-worked_on", "-pk").values_list("part_id", flat=True).first()


def part_beside(build: Build, key: int, today: date) -> PartBeside:
    """What the plan shows beside it of one part. Seven queries, four more where something comes before it or after."""
    snapshot = read_parts(build, today, [key])
    line = snapshot.by_part[key]
    entries = Entry.objects.kept().filter(part=key).select_related("builder", "operation")
    following = None if snapshot.state.finished else line.next_operation
    needs = part_needs(snapshot, line)
    to_go = {step.operation.pk: pieces for step, pieces in zip(line.operations, line.to_pass, strict=True)}
    return PartBeside(
        line=line,
        row=piece_row(line.count, unit_name=line.part.name),
        hours_left=left_of(forecast_by_part(build, today).get(key)),
        next_operation=following,
        next_to_go=to_go[following.pk] if following else 0,
        held=(*needs.missing, *needs.missing_at(following.number)) if following else (),
        last=entries.first(),
        noted=entries.exclude(note="").first(),
    )
