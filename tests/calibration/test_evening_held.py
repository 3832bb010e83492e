"""What is offered for an evening fits into it as often as is stated, on simulated builds."""

import pytest

from tests.calibration.evening_held import Held, held_of
from tests.calibration.scoring import coverage_band
from tests.calibration.test_calibration import FULL, OF_ALL
from tests.calibration.world import World

BUILDS = OF_ALL if FULL else OF_ALL[:10]
EVENING = 90.0
FEW_HOURS, MANY_HOURS = 5.0, 20.0
"""Hours logged at operations of the same kind: of these and fewer the rate is hardly known, of those and more it is."""


@pytest.fixture(scope="module")
def cases() -> list[Held]:
    found = list(held_of(World(), BUILDS, EVENING))
    print(f"\nfits: {share(found):.1%} of {len(found)} operations in an evening of 4 chances in 5")
    return found


def share(cases: list[Held]) -> float:
    return sum(one.held_at_four_in_five for one in cases) / len(cases)


def test_four_chances_in_five_hold_of_whatever_can_be_begun(cases: list[Held]) -> None:
    assert 0.75 <= share(cases) <= 0.9


def test_they_hold_where_little_was_logged_of_a_kind_and_where_much_was(cases: list[Held]) -> None:
    few = [one for one in cases if one.hours_of_kind < FEW_HOURS]
    many = [one for one in cases if one.hours_of_kind >= MANY_HOURS]
    assert min(len(few), len(many)) > 100
    assert 0.7 <= share(few) <= 0.92
    assert 0.7 <= share(many) <= 0.92


def test_they_hold_of_what_is_in_hand(cases: list[Held]) -> None:
    in_hand = [one for one in cases if one.in_hand]
    print(f"of what is in hand {share(in_hand):.1%} of {len(in_hand)}")
    fewest, _ = coverage_band(len(in_hand), 0.75)
    _, most = coverage_band(len(in_hand), 0.9)
    assert fewest <= sum(one.held_at_four_in_five for one in in_hand) <= most
    assert not FULL or 0.75 <= share(in_hand) <= 0.9


def test_what_is_offered_fits_as_often_as_its_chances_say(cases: list[Held]) -> None:
    offered = [one for one in cases if one.offered]
    stated = sum(one.stated for one in offered) / len(offered)
    assert sum(one.held for one in offered) / len(offered) == pytest.approx(stated, abs=0.05)


def test_what_just_fits_holds_with_the_chance_of_what_just_fits(cases: list[Held]) -> None:
    tight = [one for one in cases if 0.8 <= one.stated < 0.9]
    assert 0.75 <= sum(one.held for one in tight) / len(tight) <= 0.9
