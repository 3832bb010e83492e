"""Ranges of milestone dates hold what they promise, whatever share of the evenings goes into what is liked.

The ordinary run takes a few builds; CALIBRATION=full takes 200, CALIBRATION=second the 200 that nothing is tuned on.
"""

from __future__ import annotations

import pytest

from tests.calibration.evenings import History, worked_off
from tests.calibration.test_calibration import CUTS, DRAWS, FULL, OF_ALL, within
from tests.calibration.towards import (
    MILESTONES,
    BenchWithMilestones,
    MilestoneCase,
    line_of_milestones,
    milestone_cases,
    of_liking,
    reached_days,
)
from tests.calibration.world import World, draw_shop

FEW = OF_ALL if FULL else OF_ALL[:10]


@pytest.fixture(scope="module")
def cases() -> list[MilestoneCase]:
    found = milestone_cases(FEW, DRAWS)
    print()
    for name, some in of_liking(found):
        print(line_of_milestones(name, some))
    return found


def test_ranges_of_milestone_dates_hold_eight_times_in_ten(cases: list[MilestoneCase]) -> None:
    assert len(cases) > 6 * len(FEW)
    # All milestones at all cuts of one build are alike, and count as its four cuts do.
    assert within(100 * sum(case.held for case in cases) / len(cases), 72, 88, len(FEW) * len(CUTS))


def test_a_simulated_builder_works_towards_the_next_milestone_when_not_at_what_is_liked() -> None:
    shop = draw_shop(World(growth=1e-9), 3)
    bench = BenchWithMilestones(shop, History(shop))
    bench.liking = 0.0
    history = worked_off(bench)
    days = reached_days(history, bench.group)
    assert days == sorted(days)
    assert 0 < days[0] < days[MILESTONES - 1] < history.last_day
    worked = [entry for entry in history.entries if entry.part is not None]
    for place in range(MILESTONES):
        before = [entry for entry in worked if entry.day < days[place] and bench.group[entry.part or 0] > place]
        assert before == []
