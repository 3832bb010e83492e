"""Every component in every state, as a browser shows it."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.every_page.look import WIDER, WIDTHS
from tests.factories import make_user

# The colours of a thing that is chosen, or that stands on the opposite of the page's own ground.
COLOURS = "(one) => { const seen = getComputedStyle(one); return [seen.color, seen.backgroundColor]; }"


@pytest.fixture
def components(open_page: Callable[..., Any], sign_in: Callable[..., None], settings: Any, bench: str) -> Any:
    make_user("owner", owner=True)
    page = open_page()
    sign_in(page, "owner")
    settings.DEBUG = True
    page.goto("/components/")
    return page


def test_axe_finds_nothing_and_no_width_is_too_small(components: Any) -> None:
    from axe_playwright_python.sync_playwright import Axe

    for width, scheme in ((390, "dark"), (1280, "light")):
        components.set_viewport_size({"width": width, "height": 900})
        components.emulate_media(color_scheme=scheme)
        found = Axe().run(components).response["violations"]
        assert not found, (width, [(one["id"], [node["html"][:120] for node in one["nodes"][:3]]) for one in found])
    for width in WIDTHS:
        components.set_viewport_size({"width": width, "height": 900})
        assert components.evaluate(WIDER) <= 0, width


@pytest.mark.parametrize("chosen", [".chip[aria-current]", ".chips label:has(:checked)", ".skip"])
def test_letters_differ_from_their_ground_where_the_device_has_its_own_colours(components: Any, chosen: str) -> None:
    components.emulate_media(forced_colors="active")
    one = components.locator(chosen).first
    letters, ground = one.evaluate(COLOURS)
    assert letters != ground
    # Otherwise the browser lays a strip of the page's ground below the letters.
    assert one.evaluate("(one) => getComputedStyle(one).forcedColorAdjust") == "none"
