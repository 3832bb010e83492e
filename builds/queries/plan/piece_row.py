"""A repeated part drawn as its pieces, and the same in one sentence."""

from dataclasses import dataclass

from calcs.parts.count import PieceCount

# Above this many pieces they are drawn by tens.
SINGLY_UP_TO = 60

WORDS = {
    "good": "good",
    "reworked": "good after being put right",
    "work": "in work",
    "make": "still to make",
    "scrap": "scrapped",
    "spare": "spare",
}


@dataclass(frozen=True)
class PieceGroup:
    """Pieces of one state, drawn one mark each in `marks`, or as `tens` and `rest`."""

    state: str
    count: int
    by_tens: bool

    @property
    def marks(self) -> range:
        return range(0 if self.by_tens else self.count)

    @property
    def tens(self) -> range:
        return range(self.count // 10 if self.by_tens else 0)

    @property
    def rest(self) -> range:
        return range(self.count % 10 if self.by_tens else 0)


@dataclass(frozen=True)
class PieceRow:
    groups: tuple[PieceGroup, ...]
    sentence: str

    @property
    def by_tens(self) -> bool:
        return any(group.by_tens for group in self.groups)


def piece_row(count: PieceCount, *, unit_name: str) -> PieceRow:
    """The row of a part's pieces: good, good after rework, in work, to make, then spares and scrap apart.

    unit_name: the part's name, for the sentence.
    """
    reworked = min(count.reworked, count.had)
    numbers = {
        "good": count.had - reworked + count.uncounted,
        "reworked": reworked,
        "work": count.in_work,
        "make": count.to_make,
        "spare": count.spares_had + count.over,
        "scrap": count.scrap,
    }
    by_tens = sum(numbers.values()) > SINGLY_UP_TO
    groups = tuple(PieceGroup(state, n, by_tens) for state, n in numbers.items() if n)
    return PieceRow(groups, _sentence(count, numbers, unit_name))


def _sentence(count: PieceCount, numbers: dict[str, int], name: str) -> str:
    told = [f"{n} {WORDS[state]}{'s' * (state == 'spare' and n > 1)}" for state, n in numbers.items() if n]
    needed = f"{count.quantity} needed" + (
        f" and {count.spares} spare{'s' * (count.spares > 1)}" if count.spares else ""
    )
    if count.spares_to_make:
        told.append(f"{count.spares_to_make} spare{'s' * (count.spares_to_make > 1)} to make")
    if not told:
        return f"{name}: {needed}."
    listed = ", ".join(told[:-1]) + (" and " if len(told) > 1 else "") + told[-1]
    return f"{name}, {needed}: {listed}."
