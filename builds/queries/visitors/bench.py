"""What is on the bench, in plain words."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from builds.models import Exhibit, Part, Photo
from builds.models.operation import KIND_LABELS
from builds.queries.plan.piece_row import NO_PIECES, PieceRow, groups_of, piece_row
from builds.queries.snapshot import BuildSnapshot, OperationRow, PartRow
from builds.queries.visitors.exhibit import bench_words_of
from builds.queries.visitors.meanings import meaning_of
from calcs.messages import _


@dataclass(frozen=True)
class StepTold:
    """A step of the part's route, with the pieces that have passed it, those that stand at it, and those to come."""

    kind: str
    done: bool
    row: PieceRow

    @property
    def name(self) -> str:
        return str(KIND_LABELS[self.kind])

    @property
    def meaning(self) -> str:
        return meaning_of(self.kind)


@dataclass(frozen=True)
class BenchTold:
    """`words` are the builder's own of the day; empty where none were set. `part` None: only words."""

    words: str
    part: Part | None
    today: bool
    worked_on: date | None
    row: PieceRow
    steps: tuple[StepTold, ...]
    photo: Photo | None

    @property
    def title(self) -> str:
        """What the builder says of the day, else the part's name."""
        return self.words or (self.part.name if self.part else "")

    @property
    def what_it_does(self) -> str:
        """The part's word for visitors, else where it belongs; empty where neither is known."""
        if self.part is None:
            return ""
        belongs = _("It belongs to: {assembly}.", assembly=self.part.assembly.name) if self.part.assembly else ""
        return self.part.for_visitors or belongs

    @property
    def when(self) -> str:
        return _("On the bench today") if self.today else _("Last on the bench")

    @property
    def steps_done(self) -> int:
        return sum(step.done for step in self.steps)

    @property
    def steps_words(self) -> str:
        return _("{done} of {all} steps are done.", done=self.steps_done, all=len(self.steps))


def latest_parts(snapshot: BuildSnapshot) -> tuple[PartRow, ...]:
    """The parts that were worked on, the last one first."""
    worked = dict.fromkeys(row.part_id for row in reversed(snapshot.rows) if row.part_id is not None)
    return tuple(snapshot.by_part[pk] for pk in worked)


def bench_told(snapshot: BuildSnapshot, exhibit: Exhibit, photos: Sequence[Photo], *, scrap: bool) -> BenchTold | None:
    """None where there is neither work nor a word. photos: those that visitors may see, the newest first. No query."""
    words = bench_words_of(exhibit, snapshot.as_of)
    latest = latest_parts(snapshot)
    if not latest:
        return BenchTold(words, None, True, None, NO_PIECES, (), None) if words else None
    line = latest[0]
    worked_on = next(row.worked_on for row in reversed(snapshot.rows) if row.part_id == line.part.pk)
    today = bool(words) or worked_on == snapshot.as_of
    photo = next((one for one in photos if one.part_id == line.part.pk), None)
    return BenchTold(words, line.part, today, worked_on, _row(line, scrap=scrap), _steps(line), photo)


def _row(line: PartRow, *, scrap: bool) -> PieceRow:
    if line.part.is_work or line.part.quantity_with_spares == 1:
        return NO_PIECES
    # What was put right counts as a slip too: where nothing is told of scrap, good is good.
    count = line.count if scrap else replace(line.count, scrap=0, reworked=0)
    return piece_row(count, unit_name=line.part.name)


def _steps(line: PartRow) -> tuple[StepTold, ...]:
    """The route, what keeps its place for its log alone left out."""
    count = line.count
    at_each = zip(line.operations, count.passed, count.standing, strict=True)
    return tuple(
        _step(line, step, line.part.quantity if line.quantity_made else passed, standing)
        for step, passed, standing in at_each
        if not step.operation.kept_for_its_log
    )


def _step(line: PartRow, step: OperationRow, passed: int, standing: int) -> StepTold:
    """passed, standing: pieces that are through, and that wait to go through; work that was begun has one in it."""
    wanted, kind = line.part.quantity, step.operation.kind
    done = min(passed, wanted)
    begun = min(max(standing, bool(step.tally.entries)), wanted - done)
    groups = groups_of({"good": done, "work": begun, "make": wanted - done - begun})
    words = _("{step}: {done} of {all} done", step=KIND_LABELS[kind], done=done, all=wanted)
    return StepTold(kind, done == wanted, PieceRow(groups, words, words))
