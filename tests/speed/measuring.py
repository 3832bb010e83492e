"""Medians of processor time, taken in turns so that a work and its floor see the same machine."""

import statistics
import time
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass

ROUNDS, FEWEST = 7, 3
Work = Callable[[], object]


@dataclass(frozen=True)
class Measure:
    """One line of the table. Times in seconds of processor, `bytes` the size of the answer.

    `ratio` is to the floor of the same run, and `bar` what it may be at most; None where none is set.
    """

    name: str
    seconds: float
    floor_name: str = ""
    floor: float = 0.0
    queries: int | None = None
    bytes: int | None = None
    bar: float | None = None
    rows: int | None = None
    """Rows shown, where the bar is a share of the floor for each of them."""

    @property
    def ratio(self) -> float | None:
        return self.seconds / self.floor / (self.rows or 1) if self.floor else None

    def plain(self) -> dict[str, object]:
        return {**asdict(self), "ratio": self.ratio}


def medians(
    works: Mapping[str, Work], clock: Callable[[], float] = time.thread_time, at_most: float = 60.0
) -> dict[str, float]:
    """The median seconds of each work after one warm-up; seven rounds, or three where a round takes long.

    The clock is the processor time of this thread: what a page waits for, and not what goes on behind it. Give
    `time.process_time` for works that have threads of their own. at_most: seconds after which three rounds are enough.
    """
    for work in works.values():
        work()
    taken: dict[str, list[float]] = {name: [] for name in works}
    begun = time.monotonic()
    for number in range(ROUNDS):
        if number >= FEWEST and time.monotonic() - begun > at_most:
            break
        for name, work in works.items():
            before = clock()
            work()
            taken[name].append(clock() - before)
    return {name: statistics.median(times) for name, times in taken.items()}
