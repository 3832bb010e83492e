"""Words on a drawing stand beside what they name and never on one another."""

from itertools import combinations
from typing import Any

import pytest

from builds.charts.drawing import NARROW, WIDE, Layout, new_figure
from builds.charts.labels import beside, end_labels, end_margin, foot_labels, width_of

NAMES = ("early", "even chance", "late")
Box = tuple[float, float, float, float]


def field(layout: Layout, right: float = 16) -> Any:
    _figure, axes = new_figure(layout, 280, left=layout.left, right=right, top=24, bottom=46)
    axes.set_xlim(0, 100)
    axes.set_ylim(0, 100)
    return axes


def boxes(axes: Any, layout: Layout) -> list[Box]:
    """Left, right, bottom and top of each label, in pixels."""
    found = []
    for text in axes.texts:
        x, y = axes.transData.transform(text.get_position())
        wide, high = width_of(layout, text.get_text()), layout.letters
        left = x - wide if text.get_ha() == "right" else x
        low = {"center": y - high / 2, "top": y - high}.get(text.get_va(), y)
        found.append((left, left + wide, low, low + high))
    return found


def apart(found: list[Box]) -> bool:
    return not any(
        one[0] < other[1] and other[0] < one[1] and one[2] < other[3] and other[2] < one[3]
        for one, other in combinations(found, 2)
    )


@pytest.mark.parametrize("layout", [WIDE, NARROW])
@pytest.mark.parametrize(
    "places", [(30, 50, 100), (1, 2, 100), (97, 98, 100), (50, 50, 50), (48, 53, 57), (0, 60, 100), (90, 99, 100)]
)
def test_upright_lines_are_named_at_their_feet(layout: Layout, places: tuple[float, ...]) -> None:
    axes = field(layout)
    foot_labels(axes, layout, list(zip(places, NAMES, strict=True)))
    found, inside = boxes(axes, layout), axes.get_window_extent()
    assert [text.get_text() for text in axes.texts] == list(NAMES)
    assert apart(found)
    for place, (left, right, low, _high) in zip(places, found, strict=True):
        line = axes.transData.transform((place, 0))[0]
        assert min(abs(left - line), abs(right - line)) < 7
        assert inside.x0 - 1 <= left
        assert right <= inside.x1 + 3
        assert low > inside.y0


@pytest.mark.parametrize("layout", [WIDE, NARROW])
@pytest.mark.parametrize("ends", [(10, 50, 60, 95), (60, 61, 62, 63), (0, 0, 0, 0), (100, 100, 100, 140)])
def test_lines_are_named_where_they_end_in_their_order(layout: Layout, ends: tuple[float, ...]) -> None:
    names = ("the day itself", *NAMES)
    axes = field(layout, end_margin(layout, names))
    end_labels(axes, layout, list(zip(ends, names, strict=True)))
    found, inside = boxes(axes, layout), axes.get_window_extent()
    assert " ".join(text.get_text() for text in axes.texts) == " ".join(names)
    assert apart(found)
    assert all(inside.x1 < left and right <= layout.width for left, right, _low, _high in found)
    assert all(inside.y0 - 2 <= low and high <= inside.y1 + 24 for _left, _right, low, high in found)


@pytest.mark.parametrize(("place", "named"), [((90, 90), 1), ((5, 60), 1), ((1, 1), 0)])
def test_the_end_of_a_line_is_named_where_there_is_room(place: tuple[float, float], named: int) -> None:
    axes = field(NARROW)
    beside(axes, NARROW, place, "1,090 h done")
    assert len(axes.texts) == named
    inside = axes.get_window_extent()
    assert all(inside.x0 <= left and right <= inside.x1 for left, right, _low, _high in boxes(axes, NARROW))
