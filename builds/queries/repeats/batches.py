"""One batch on its way: what was counted where, where its pieces stand, and where the log has holes."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from builds.models import Batch, Operation
from builds.queries.plan.piece_row import IN_WORDS, PieceRow, groups_of
from builds.queries.snapshot import LogRow, PartRow, PartsSnapshot, Tally
from calcs.messages import _, ngettext
from calcs.parts.count import PieceCount, count_pieces


@dataclass(frozen=True)
class BatchStep:
    """One operation as the batch sees it. `waiting` pieces stand before it; `passed` have gone through, seen from the
    later operations as well; `missing` of those counted here the log does not account for."""

    operation: Operation
    tally: Tally
    waiting: int
    passed: int
    missing: int

    @property
    def words(self) -> str:
        """What was counted here so far."""
        tally = self.tally
        by_later = self.passed - tally.good
        if not tally.good and not tally.scrap:
            if not self.passed:
                return _("nothing counted yet")
            return ngettext("{n} passed, counted further on", "{n} passed, counted further on", self.passed)
        words = [ngettext("{n} good", "{n} good", tally.good)]
        if tally.reworked:
            words.append(ngettext("{n} of them reworked", "{n} of them reworked", tally.reworked))
        if tally.scrap:
            words.append(ngettext("{n} scrap", "{n} scrap", tally.scrap))
        if by_later and tally.good:
            words.append(ngettext("{n} more counted further on", "{n} more counted further on", by_later))
        return ", ".join(words)


@dataclass(frozen=True)
class BatchRow:
    """A batch with its counts. `elsewhere` is what was counted on the part without naming a batch."""

    batch: Batch
    line: PartRow
    steps: tuple[BatchStep, ...]
    count: PieceCount
    elsewhere: Tally

    @property
    def good(self) -> int:
        """Pieces that came out good at the end of the route."""
        return self.count.finished_good

    @property
    def scrap(self) -> int:
        return self.count.scrap

    @property
    def settled(self) -> int:
        """Pieces whose fate is known."""
        return self.good + self.scrap

    @property
    def on_the_way(self) -> int:
        return sum(self.count.standing)

    @property
    def row(self) -> PieceRow:
        """The batch's pieces, one mark each: out good, on the way, not begun, scrapped."""
        reworked = min(self.count.reworked, self.good)
        groups = groups_of(
            {
                "good": self.good - reworked,
                "reworked": reworked,
                "work": self.count.in_work,
                "make": self.count.blanks_waiting,
                "scrap": self.scrap,
            }
        )
        return PieceRow(
            groups,
            ngettext(
                "Batch {batch}, {n} blank: {pieces}.",
                "Batch {batch}, {n} blanks: {pieces}.",
                self.batch.blanks,
                batch=self.batch.number,
                pieces=", ".join(
                    IN_WORDS["begin" if group.state == "make" else group.state](group.count) for group in groups
                ),
            ),
        )

    @property
    def remarks(self) -> tuple[str, ...]:
        """What does not add up in the log of this batch. Nothing is refused for it: real logs have holes."""
        remarks = [
            ngettext(
                "{n} piece is counted at {operation}, {missing} more than the log lets reach it. A count may be "
                "missing further up.",
                "{n} pieces are counted at {operation}, {missing} more than the log lets reach it. A count may be "
                "missing further up.",
                step.tally.good + step.tally.scrap,
                operation=step.operation,
                missing=step.missing,
            )
            for step in self.steps
            if step.missing
        ]
        if self.settled > self.batch.blanks:
            remarks.append(
                ngettext(
                    "{pieces} pieces came out of {n} blank: more were started than the batch says, or a piece was "
                    "counted twice.",
                    "{pieces} pieces came out of {n} blanks: more were started than the batch says, or a piece was "
                    "counted twice.",
                    self.batch.blanks,
                    pieces=self.settled,
                )
            )
        return tuple(remarks)


def batches_of(snapshot: PartsSnapshot, line: PartRow) -> tuple[BatchRow, ...]:
    """All batches of a part, in the order they were started."""
    ordered = sorted(line.batches, key=lambda batch: (batch.started_on, batch.number))
    return tuple(batch_row(snapshot, line, batch) for batch in ordered)


def batch_row(snapshot: PartsSnapshot, line: PartRow, batch: Batch) -> BatchRow:
    rows = [row for row in snapshot.rows if row.part_id == line.part.pk]
    tallies = _by_operation(row for row in rows if row.batch_id == batch.pk)
    elsewhere = Tally()
    for row in rows:
        if row.batch_id is None:
            elsewhere.take(row)
    plan = replace(
        line.plan,
        quantity=batch.blanks,
        spares=0,
        marked_finished=False,
        blanks_started=batch.blanks,
        operations=tuple(
            replace(one.plan, good=tally.good, reworked=tally.reworked, scrap=tally.scrap)
            for one in line.operations
            for tally in (tallies[one.operation.pk],)
        ),
    )
    count = count_pieces(plan)
    missing = {gap.place: gap.missing for gap in count.gaps}
    first = next((place for place, one in enumerate(plan.operations) if one.counted), None)
    if first is not None and plan.operations[first].counted > batch.blanks:
        missing[first] = plan.operations[first].counted - batch.blanks
    steps = tuple(
        BatchStep(one.operation, tallies[one.operation.pk], standing, passed, missing.get(place, 0))
        for place, (one, standing, passed) in enumerate(zip(line.operations, count.standing, count.passed, strict=True))
    )
    return BatchRow(batch, line, steps, count, elsewhere)


def _by_operation(rows: Iterable[LogRow]) -> dict[int, Tally]:
    tallies: dict[int, Tally] = defaultdict(Tally)
    for row in rows:
        if row.operation_id is not None:
            tallies[row.operation_id].take(row)
    return tallies
