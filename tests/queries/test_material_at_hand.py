"""Whether a part's material stands in the rack: yes, no, or nobody keeps such stock."""

from typing import Any

import pytest

from builds.models import Build, Material
from builds.queries.shop.stock import material_at_hand
from tests import factories


@pytest.fixture
def build(db: None) -> Build:
    return factories.make_build(units="in")


@pytest.fixture
def bronze(db: None) -> Material:
    return factories.make_material("Bronze")


@pytest.mark.parametrize(
    ("blank", "section", "length", "pieces", "at_hand"),
    [
        ("1-1/4 dia x 2", "31.75 mm round", "2.5 in", 1, True),
        ("1-1/4 dia x 2", "1-1/4 dia", "2 in", 1, True),  # cut to length already
        ("1-1/4 dia x 2", "1-1/4 dia", "2.05 in", 1, False),  # no room for the saw cut
        ("1-1/4 dia x 2", "1-1/4 dia", "36 in", 0, False),
        ("1-1/4 dia x 2", "1-1/8 dia", "36 in", 1, None),
        ("casting from the pattern", "1-1/4 dia", "36 in", 1, None),
        ("", "1-1/4 dia", "36 in", 1, None),
        ("7-1/4 x 4-1/4 x 1/2 plate", "1/2 plate", "12 x 8", 1, True),
        ("7-1/4 x 4-1/4 x 1/2 plate", "1/2 plate", "12 x 4", 1, False),
        ("3 x 1 x 1/4", "1/4 plate", "12 x 8", 1, True),  # says neither, so either will do
        ("3 x 1 x 1/4", "1 x 1/4 flat", "12", 1, True),
        ("3 x 1 x 1/4 plate", "1 x 1/4 flat", "12", 1, None),
    ],
)
def test_a_blank_is_there_or_not(
    build: Any, bronze: Any, blank: str, section: str, length: str, pieces: int, at_hand: Any
):
    factories.make_part(build, material=bronze, blank=blank)
    factories.make_stock(bronze, section, length, pieces, units="in")
    assert material_at_hand(build) == {"14": at_hand}


def test_another_material_is_no_material(build: Build, bronze: Material) -> None:
    factories.make_part(build, material=factories.make_material("Steel"), blank="1-1/4 dia x 2")
    factories.make_part(build, "15", blank="1-1/4 dia x 2")
    factories.make_stock(bronze, "1-1/4 dia", "36", units="in")
    assert material_at_hand(build) == {"14": None, "15": None}


def test_it_takes_two_queries_however_many_parts_and_stock(
    build: Build, bronze: Material, django_assert_num_queries: Any
) -> None:
    for number in range(12):
        factories.make_part(build, str(number), material=bronze, blank=f"{number + 1} dia x 2")
        factories.make_stock(bronze, f"{number + 1} dia", "36", units="in")
    with django_assert_num_queries(2):
        assert set(material_at_hand(build).values()) == {True}
