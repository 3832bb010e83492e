"""A drawing in few bytes is the same drawing: every place to a tenth of a pixel, in the order in which it covers."""

import re
from typing import Any
from xml.etree import ElementTree

import pytest

from builds.charts.lean import _steps, _written, leaned

Places = list[list[tuple[float, float]]]


def places(path: str) -> Places:
    """The corners of each line of a path, wherever it says them from."""
    here, lines = (0.0, 0.0), []
    for letter, figures in re.findall(r"([a-zA-Z])([^a-zA-Z]*)", path):
        numbers = [float(number) for number in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", figures)]
        if letter in "hv":
            numbers = [*numbers, 0.0] if letter == "h" else [0.0, *numbers]
        for x, y in zip(numbers[::2], numbers[1::2], strict=True):
            here = (here[0] + x, here[1] + y) if letter.islower() else (x, y)
            if letter == "M":
                lines.append([here])
            else:
                lines[-1].append(here)
        if letter in "zZ":
            here = lines[-1][0]
    return lines


def written(path: str) -> str:
    return _written(_steps(path))


@pytest.mark.parametrize(
    "path",
    [
        "M 58.04 372 L 65.76 363.07 L 73.26 361.3 L 73.26 10.55 L 20 10.55",
        "M 0.04 -0.04 L 1000.949 0.449 L -0.5 -0.25 M 3 4 L 5 6",
        "M 10 10 L 20 10 L 20 20 L 10 20 z M 5 5 L 6 7",
        "M 1e-05 2 L 3 4.5",
    ],
)
def test_every_corner_stands_where_it_stood(path: str) -> None:
    for exact, lean in zip(places(path.replace("1e-05", "0.00001")), places(written(path)), strict=True):
        assert [pytest.approx(corner, abs=0.051) for corner in exact] == lean


def test_small_steps_never_add_up_to_a_drift() -> None:
    corners = [(n * 0.033, n * 0.047) for n in range(2000)]
    [line] = places(written("M 0 0 " + " ".join(f"L {x} {y}" for x, y in corners[1:])))
    assert line[-1] == pytest.approx(corners[-1], abs=0.051)


def test_a_closed_shape_needs_no_way_back_to_where_it_began() -> None:
    assert written("M 10 10 L 20 10 L 20 20 L 10 20 L 10 10 z") == "M10 10h10v10h-10z"


def lean(inside: str) -> list[Any]:
    root = ElementTree.fromstring(f"<svg>{inside}</svg>")  # noqa: S314 - our own
    leaned(root)
    return list(root)


def test_lines_that_look_alike_become_one_and_letters_stand_on_top() -> None:
    rule = '<path d="M 0 {0} L 9 {0}" fill="none" stroke="#cdc3ae"/><text x="1" y="{0}" fill="#51555a">{0}</text>'
    bar = '<path d="M 0 0 L 5 0 L 5 5 z" fill="#c79a3a"/>'
    drawn = lean(rule.format(1) + rule.format(2) + bar + rule.format(3))
    assert [one.tag for one in drawn] == ["path", "path", "path", "g"]
    assert [one.get("d") for one in drawn[:3]] == ["M0 1h9M0 2h9", "M0 0h5v5z", "M0 3h9"]
    assert [text.text for text in drawn[3]] == ["1", "2", "3"]
    assert drawn[3].get("fill") == "#51555a"


def test_what_is_not_seen_goes_and_what_is_cut_off_stays_cut_off() -> None:
    field = '<defs><clipPath id="f"><rect x="0" y="0" width="10" height="10"/></clipPath></defs>'
    inside = '<path d="M 0 0 L 9 9" stroke="#1b2026" clip-path="url(#f)"/>'
    beyond = '<g clip-path="url(#f)"><path d="M 0 0 L 9 99" stroke="#1f459c"/></g>'
    unseen = '<path d="M 0 0 L 9 0 z" fill="none"/>'
    [within, across, defs] = lean(unseen + inside + beyond + field)
    assert "clip-path" not in within.attrib
    assert across.get("clip-path") == "url(#f)"
    assert defs[0].get("id") == "f"
    assert [one.tag for one in lean(inside + field)] == ["path"]


def test_round_marks_are_circles_where_they_stood() -> None:
    curves = "C 1 4 2 3.6 2.8 2.8 C 3.6 2 4 1 4 0 C 4 -1 3.6 -2 2.8 -2.8 C 2 -3.6 1 -4 0 -4 "
    curves += "C -1 -4 -2 -3.6 -2.8 -2.8 C -3.6 -2 -4 -1 -4 0 C -4 1 -3.6 2 -2.8 2.8 C -2 3.6 -1 4 0 4 z"
    mark = f'<path d="M 0 4 {curves}" fill="#1b2026" transform="translate(30 40.52)"/>'
    [circle] = lean(mark)
    assert circle.attrib == {"fill": "#1b2026", "cx": "30", "cy": "40.5", "r": "4"}
    [group] = lean(mark * 3)
    assert (group.get("fill"), len(group)) == ("#1b2026", 3)
