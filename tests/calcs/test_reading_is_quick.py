"""A reader answers while somebody types, whatever that is."""

import time
from collections.abc import Callable

import pytest

from calcs.typed.durations import read_duration
from calcs.typed.lengths import read_length
from calcs.typed.reading import Reading

SLOWEST = 0.005
NONSENSE = ["xa ", "r ", "ø", "~", "+ ", "½", "1 and ", "half a ", "total ", "(", "1h 2m ", "about ", "2-1/2 ", "x1"]


def _best_of_five(read: Callable[[str], Reading], text: str) -> float:
    """Seconds of this thread's own work, since a busy machine is no failure."""
    times = []
    for _turn in range(5):
        begun = time.thread_time()
        read(text)
        times.append(time.thread_time() - begun)
    return min(times)


@pytest.mark.parametrize("read", [read_duration, lambda text: read_length(text, "mm")], ids=["time", "length"])
def test_two_hundred_characters_of_nonsense_are_answered_within_five_milliseconds(
    read: Callable[[str], Reading],
) -> None:
    slow = {piece: _best_of_five(read, (piece * 200)[:200]) for piece in NONSENSE}
    assert max(slow.values()) < SLOWEST, slow
