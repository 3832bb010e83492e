"""Against falling back: ratios of a small long record, each to a floor of the same run. Not part of the ordinary run.

`python -m tests.speed` prints how far each is from its bar. Here a ratio may be twice its bar.
"""

from typing import Any

import pytest

from tests.speed import table
from tests.speed.measuring import Measure
from tests.speed.pages import WHAT_NEXT
from tests.speed.shop import work

HELD = (
    "bench page",
    "part page",
    "amend",
    "logging, and the page after",
    "kept forecast",
    "log book",
    *WHAT_NEXT,
    "what comes first",
    "build page",
    "rates page",
    "board 304",
    "fresh forecast",
    "export",
    "import",
)


@pytest.fixture(scope="module")
def figures(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Any]]:
    folder = tmp_path_factory.mktemp("speed")
    work(folder, "fill", "0.1")
    return {figure["name"]: figure for figure in work(folder, "figures")}


def test_everything_that_has_a_bar_is_measured_and_held(figures: dict[str, dict[str, Any]]) -> None:
    assert set(HELD) == {name for name, figure in figures.items() if figure["bar"] is not None}


@pytest.mark.parametrize("name", HELD)
def test_the_ratio_to_the_floor_has_not_fallen_back(figures: dict[str, dict[str, Any]], name: str) -> None:
    assert figures[name]["ratio"] <= 2 * figures[name]["bar"]


def test_a_page_of_many_rows_may_cost_its_share_for_each() -> None:
    measure = Measure("build page", 0.06, "empty view", 0.001, bar=0.15, rows=600)
    assert measure.ratio == pytest.approx(0.1)
    assert "met a row (600 rows)" in table.line(measure.plain())
    assert "NOT MET" in table.line(Measure("board 304", 0.002, "empty view", 0.001, bar=1.3).plain())


def test_time_in_proportion_to_size_is_a_slope_of_one() -> None:
    found = {size: [Measure("import", 0.2 * size, "json", 0.1).plain()] for size in (0.1, 1.0, 4.0)}
    (told,) = table.growth(found)
    assert "1.00  (1.00, 1.00)  ≤ 1.05 met" in told
