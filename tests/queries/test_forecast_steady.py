"""Small moves of the dice do not reach visitors: only the plan and the log move a date, and an hour moves it little."""

from datetime import timedelta
from itertools import pairwise

import numpy as np
import pytest

from builds.management.demonstration import load_demonstration
from builds.models import Build
from builds.queries.forecast.build_forecast import forecast_of
from calcs.forecast import forecast
from calcs.forecast.result import FinishDates
from calcs.forecast.words import finish_range, finish_sentences, hours_range
from calcs.parts.plan import BuildPlan
from tests import factories

TODAY = factories.TODAY
MOST_DAYS = 10
"""What an hour of log may move the even chance by: a third of a month, of some three and a half years."""
MOST_DAYS_OVERNIGHT = 25
"""What a day may: it ends the week of the log elsewhere, and an idle week makes the pace slower."""
MOST_CHANCE = 8.0
"""What other dice move the even chance by, in days (standard deviation of a normal draw: ten before)."""


@pytest.fixture
def build(db: None) -> Build:
    build = load_demonstration(TODAY)
    assert build is not None
    return build


def dates(build: Build) -> FinishDates:
    found = forecast_of(build, TODAY).finish_on
    assert found is not None
    return found


def words(build: Build) -> tuple[str, ...]:
    found = forecast_of(build, TODAY)
    assert found.finish_on is not None
    assert found.forecast.hours_left is not None
    range_words = finish_range(found.finish_on, TODAY), hours_range(found.forecast.hours_left)
    return (*range_words, *finish_sentences(found.finish_on, TODAY))


def plan_of(build: Build) -> BuildPlan:
    return forecast_of(build, TODAY).snapshot.build_plan()


def test_the_words_stay_the_same_over_many_revisions_without_an_entry(build: Build) -> None:
    said = words(build)
    for revision in range(build.revision + 1, build.revision + 6):
        Build.objects.filter(pk=build.pk).update(revision=revision)
        assert words(Build.objects.get(pk=build.pk)) == said


def test_an_hour_on_any_part_moves_the_even_chance_by_days_and_no_word_of_the_board(build: Build) -> None:
    before, said = dates(build), finish_range(dates(build), TODAY)
    assert before.p50 is not None
    rows = [row for row in forecast_of(build, TODAY).snapshot.parts if not row.quantity_made and row.operations]
    assert len(rows) > 12
    for row in rows[::5]:
        operation = row.operations[0].operation
        entry = factories.make_entry(build, TODAY, 60, part=row.part, operation=operation)
        build.refresh_from_db()
        after = dates(build)
        assert after.p50 is not None
        assert abs((after.p50 - before.p50).days) <= MOST_DAYS, row.part.number
        assert finish_range(after, TODAY) == said, row.part.number
        entry.delete()


def test_a_day_without_an_entry_moves_the_even_chance_by_no_more_than_a_few_weeks(build: Build) -> None:
    found = []
    for days in range(8):
        finish = forecast_of(build, TODAY + timedelta(days=days)).finish_on
        assert finish is not None
        assert finish.p50 is not None
        found.append(finish.p50)
    assert max(abs((after - before).days) for before, after in pairwise(found)) <= MOST_DAYS_OVERNIGHT


def test_an_entry_on_one_part_leaves_what_is_left_of_the_others(build: Build) -> None:
    """More of the log teaches a little of every rate; the dice of the others must not be thrown again."""
    snapshot = forecast_of(build, TODAY).snapshot
    row = next(row for row in snapshot.parts if not row.quantity_made and row.operations)
    before = forecast_of(build, TODAY).by_part
    factories.make_entry(build, TODAY, 60, part=row.part, operation=row.operations[0].operation)
    build.refresh_from_db()
    after = forecast_of(build, TODAY).by_part
    for key, part in before.items():
        if key != row.part.pk and part.hours_left is not None and after[key].hours_left is not None:
            assert after[key].hours_left.p50 == pytest.approx(part.hours_left.p50, rel=0.01)


def test_other_dice_would_put_the_even_chance_days_away_not_weeks(build: Build) -> None:
    plan, found = plan_of(build), []
    for seed in range(16):
        finish = forecast(plan, TODAY, seed=seed).finish_on
        assert finish is not None
        assert finish.p50 is not None
        found.append((finish.p50 - TODAY) / timedelta(days=1))
    assert np.std(found, ddof=1) < MOST_CHANCE
