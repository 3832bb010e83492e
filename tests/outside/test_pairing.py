"""Pairing against every way to pair, in whole microns."""

from itertools import combinations, permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.parts.pairing import pair

MICRONS = st.lists(st.integers(0, 60), min_size=1, max_size=5)


def best_of_all(outer: list[int], inner: list[int], least: int, most: int, wanted: int) -> tuple[int, int]:
    """Return the most pairs there can be, and the smallest sum of squares (µm²) of so many."""
    for number in range(min(len(outer), len(inner)), 0, -1):
        sums = [
            sum((o - i - wanted) ** 2 for o, i in zip(some, others, strict=True))
            for some in combinations(outer, number)
            for others in permutations(inner, number)
            if all(least <= o - i <= most for o, i in zip(some, others, strict=True))
        ]
        if sums:
            return number, min(sums)
    return 0, 0


@settings(deadline=None, max_examples=60)
@given(MICRONS, MICRONS, st.integers(-20, 20), st.integers(0, 30), st.data())
def test_no_other_pairing_is_better(outer, inner, least, width, data):
    wanted = data.draw(st.integers(least, least + width))
    # As readings come out of a sum: in millimetres, upon a bore of 12.5 mm.
    found = pair(
        [12.5 + size / 1000 for size in outer],
        [12.5 + size / 1000 for size in inner],
        least / 1000,
        (least + width) / 1000,
        wanted / 1000,
    )
    clearances = [round(clearance * 1000) for clearance in found.clearances]
    assert clearances == [outer[place] - inner[other] for place, other in found.pairs]
    assert all(least <= clearance <= least + width for clearance in clearances)
    reached = len(found.pairs), sum((clearance - wanted) ** 2 for clearance in clearances)
    assert reached == best_of_all(outer, inner, least, least + width, wanted)
    for places, left, given_sizes in (
        ([place for place, _ in found.pairs], found.outer_left, outer),
        ([other for _, other in found.pairs], found.inner_left, inner),
    ):
        assert sorted([*places, *left]) == list(range(len(given_sizes)))
