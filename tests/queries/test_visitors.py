"""What visitors are told of a build, as facts: what is hidden is not among them."""

import pytest

from builds.queries.visitors.headings import PANELS, heading


def test_a_shop_sets_its_own_headings() -> None:
    assert heading("bench", {"bench": "Tonight's job"}) == "Tonight's job"
    assert heading("bench", {"bench": ""}) == str(PANELS["bench"]) == "What is on the bench?"


def test_a_panel_that_there_is_not_has_no_heading() -> None:
    with pytest.raises(KeyError):
        heading("nothing", {})
