"""The page of a core in its frame: its verdicts, its refusals beside the field, and a drawing true to the sizes."""

import re

import numpy as np
import pytest
from django.test import Client

from builds.arithmetic.captive_drawing import EDGE, drawing_of
from calcs.shop.captive_core import Core, Frame
from tests.outside.test_captive_core import frame_holds, inside_core
from tests.pages.test_arithmetic import answered, ask

NAME = "core-in-its-frame"


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (
            {"what": "ball"},
            ["Held, and free to turn", "1.495 mm", "6 mm (0.2362 in)", "over 15.858 mm", "from 40.01 mm to 48.98 mm"],
        ),
        ({"what": "ball", "core": "39"}, ["Free, but it comes out", "Narrower than the window by 1 mm"]),
        ({"what": "ball", "core": "40"}, ["Free, but it comes out"]),
        ({"what": "ball", "core": "40.01"}, ["Held, and free to turn"]),
        ({"what": "ball", "core": "48.98"}, ["Held, and free to turn"]),
        ({"what": "ball", "core": "48.99"}, ["Still joined to the frame"]),
        ({"what": "ball", "core": "49"}, ["Still joined to the frame", "Clearance while it turns none"]),
        ({"what": "cube"}, ["Held, and free to turn", "8 mm (0.315 in)", "from 21.22 mm to 32.52 mm along an edge"]),
        (
            {"what": "cube", "widened": "", "wall": "", "core": "22"},
            ["Still joined", "needs an undercut", "hatchings cross"],
        ),
        (
            {"what": "star", "window": "43", "core": "58", "widened": "52", "wall": "3"},
            ["Free, but perhaps not held", "make them less than 42.426 mm"],
        ),
        ({"what": "cube", "widened": "", "wall": "", "core": "21"}, ["Free, but it comes out"]),
        ({"what": "star"}, ["Held, and free to turn", "from 42.43 mm to 56.33 mm from point to point"]),
        (
            {"what": "star", "widened": "", "wall": ""},
            ["Held, but it only rocks", "an undercut of more than 34.641 mm"],
        ),
        ({"what": "star", "widened": "", "wall": "", "core": "40"}, ["Free, but perhaps not held", "tilted, it might"]),
        (
            {"what": "cube", "unit": "in"},
            ["Held, and free to turn", "0.1739 in (4.418 mm)", "from 0.884 in to 1.325 in"],
        ),
    ],
)
def test_the_verdict_and_its_figures(signed_in: Client, asked: dict[str, str], said: list[str]) -> None:
    answer = answered(signed_in, NAME, **asked)
    for words in said:
        assert words in answer, (words, answer[:900])


@pytest.mark.parametrize(
    ("asked", "field", "sentence"),
    [
        ({"window": "60"}, "window", "cut the frame apart"),
        ({"core": "60"}, "core", "nothing to cut it out of"),
        ({"core": "7 in"}, "core", "larger than the block of 60 mm"),
        ({"wall": "4"}, "widened", "leave the wall empty"),
        ({"widened": "45"}, "wall", "How thick is the wall"),
        ({"widened": "45", "wall": "0"}, "wall", "more than zero"),
        ({"widened": "30", "wall": "4"}, "widened", "no narrower than the window"),
        ({"widened": "59", "wall": "4"}, "widened", "It can be at most 52 mm"),
        ({"block": "a brick"}, "block", "not understood as a length"),
        ({"window": ""}, "window", "needed for the sum"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field(
    signed_in: Client, asked: dict[str, str], field: str, sentence: str
) -> None:
    html = ask(signed_in, NAME, **asked)
    beside = re.search(rf'id="id_{field}_field"(.*?)</div>\s*</div>', html, re.DOTALL)
    assert beside
    assert sentence in beside[1]
    assert "answer__number" not in html
    assert all(f'value="{text}"' in html for text in asked.values() if text)


def test_the_order_of_the_faces_and_what_holds_the_core_stand_there_with_the_cautions(signed_in: Client) -> None:
    answer = answered(signed_in, NAME)
    assert "6 4 face 3, cut already only what fills the five other windows" in answer
    assert answer.count("the faces that are not cut yet") == 5
    for words in ("wax", "plaster", "plugs", "Beeswax melts at 62 to 65 °C", "common practice", "be thrown out",
                  "double boiler", "chuck key", "not a risk assessment"):  # fmt: skip
        assert words in answer, words


def inside_paths(paths: str, points: np.ndarray) -> np.ndarray:
    """Whether points lie inside the closed outlines of an SVG path: an odd number of sides on their right."""
    inside = np.zeros(len(points), dtype=bool)
    for outline in re.findall(r"M([^Z]*)Z", paths):
        corners = np.array([[float(size) for size in pair.split()] for pair in outline.split("L")])
        for (x1, y1), (x2, y2) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
            if y1 == y2:
                continue
            across = (y1 > points[:, 1]) != (y2 > points[:, 1])
            inside ^= across & (points[:, 0] < x1 + (points[:, 1] - y1) * (x2 - x1) / (y2 - y1))
    return inside


@pytest.mark.parametrize("core", [Core("ball", 46), Core("cube", 28), Core("star", 50)])
@pytest.mark.parametrize("frame", [Frame(60, 40, 40, 0), Frame(60, 30, 46, 5), Frame(60, 24, 32, 14)])
def test_both_sections_are_drawn_where_the_metal_is(frame: Frame, core: Core) -> None:
    random = np.random.default_rng(3)
    views = drawing_of(frame, core, "A core.").sections
    for view, wide in zip(views, (30, 30 * np.sqrt(2)), strict=True):
        flat = random.uniform((-wide, -30), (wide, 30), size=(4000, 2))
        along = flat[:, 0] if view is views[0] else flat[:, 0] / np.sqrt(2)
        beside = np.zeros(4000) if view is views[0] else along
        metal = np.stack([along, beside, flat[:, 1]], axis=-1)
        on_sheet = flat * [1, -1] * EDGE / 60
        # A curve drawn in short steps may pass a point or two on its wrong side.
        assert np.count_nonzero(inside_paths(view.frame, on_sheet) != frame_holds(frame, metal)) <= 8
        assert np.count_nonzero(inside_paths(view.core, on_sheet) != inside_core(core, metal)) <= 8
