"""A reader answers while somebody types, whatever that is."""

import time
from collections.abc import Callable

import pytest

from calcs.typed.durations import read_duration
from calcs.typed.lengths import read_length

# Counting so far takes five milliseconds of a workshop's small computer; beside it, a busy machine is no failure.
COUNTED = 250_000
NONSENSE = ["xa ", "r ", "ø", "~", "+ ", "½", "1 and ", "half a ", "total ", "(", "1h 2m ", "about ", "2-1/2 ", "x1"]


def _count() -> int:
    total = 0
    for number in range(COUNTED):
        total += number
    return total


def _seconds(work: Callable[[], object]) -> float:
    """Of this thread's own work, the best of five turns."""
    times = []
    for _turn in range(5):
        begun = time.thread_time()
        work()
        times.append(time.thread_time() - begun)
    return min(times)


@pytest.mark.parametrize("read", [read_duration, lambda text: read_length(text, "mm")], ids=["time", "length"])
def test_two_hundred_characters_of_nonsense_are_answered_within_five_milliseconds(
    read: Callable[[str], object],
) -> None:
    slow = {}
    for piece in NONSENSE:
        text = (piece * 200)[:200]
        slow[piece] = _seconds(lambda text=text: read(text)) / _seconds(_count)
    assert max(slow.values()) < 1, slow
