"""The board in a browser: it fills its screen, is read from three metres, goes on by itself and stands for days."""

import random
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from typing import Any

import pytest

from builds.management.demonstration import load_demonstration
from builds.models import Build, Exhibit
from builds.services.plan.records import edit_build
from builds.services.plan.visitors import keep_exhibit
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SIZES = [(1920, 1080), (1080, 1920), (1024, 768), (1280, 720), (1600, 1200), (390, 844)]
READING, LARGEST = 32, 56
"""Least pixels of what is read, and of a panel's largest line, at 1920 × 1080: see the look of the board."""
EMPTY = 0.40

# What stands on the screen as tight boxes: each line of text, each drawing by its lines, each picture and mark.
SEEN = """() => {
  const board = document.querySelector(".board"), boxes = [], sizes = [];
  const seen = (element) => element.checkVisibility() && !element.closest(".unseen");
  const words = document.createTreeWalker(board, NodeFilter.SHOW_TEXT);
  while (words.nextNode()) {
    const node = words.currentNode, holder = node.parentElement;
    if (!node.textContent.trim() || holder.closest("svg") || !seen(holder)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    boxes.push(...[...range.getClientRects()].map((one) => [one.left, one.top, one.right, one.bottom]));
    if (!holder.closest(".board__controls")) sizes.push(parseFloat(getComputedStyle(holder).fontSize));
  }
  for (const svg of [...board.querySelectorAll("svg")].filter(seen)) {
    const box = svg.getBBox(), at = svg.getScreenCTM();
    boxes.push([box.x * at.a + at.e, box.y * at.d + at.f,
                (box.x + box.width) * at.a + at.e, (box.y + box.height) * at.d + at.f]);
  }
  for (const one of [...board.querySelectorAll("img, .piece")].filter(seen)) {
    const box = one.getBoundingClientRect();
    boxes.push([box.left, box.top, box.right, box.bottom]);
  }
  const cell = 4, across = Math.ceil(innerWidth / cell), down = Math.ceil(innerHeight / cell);
  const full = new Uint8Array(across * down);
  for (const [left, top, right, bottom] of boxes) {
    for (let y = Math.max(0, Math.floor(top / cell)); y < Math.min(down, bottom / cell); y += 1) {
      for (let x = Math.max(0, Math.floor(left / cell)); x < Math.min(across, right / cell); x += 1) {
        full[y * across + x] = 1;
      }
    }
  }
  const panel = document.querySelector("[data-shown]"), area = panel.getBoundingClientRect();
  const controls = document.querySelector(".board__controls").getBoundingClientRect();
  return {
    panel: panel.dataset.panel,
    empty: 1 - full.reduce((sum, one) => sum + one, 0) / full.length,
    smallest: Math.min(...sizes), largest: Math.max(...sizes),
    wider: Math.max(document.documentElement.scrollWidth - innerWidth, panel.scrollWidth - panel.clientWidth),
    higher: document.documentElement.scrollHeight - innerHeight,
    sticksOut: panel.scrollHeight - panel.clientHeight,
    behind: controls.height ? area.bottom - controls.top : 0,
  };
}"""


def panels(page: Any) -> Iterator[dict[str, Any]]:
    """What is seen of each panel, one after the other."""
    for _panel in range(page.locator("[data-panel]").count()):
        yield page.evaluate(SEEN)
        page.keyboard.press("ArrowRight")


def still(page: Any) -> Any:
    page.emulate_media(reduced_motion="reduce")
    return page


def test_each_panel_of_the_demonstration_fills_the_screen_and_is_read_from_three_metres(
    open_page: Callable[..., Any], db: None
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    build = load_demonstration(factories.TODAY)
    assert build is not None
    page = still(open_page(size=(1920, 1080)))
    page.goto(f"/board/{build.slug}/")
    seen = list(panels(page))
    assert len(seen) >= 8
    assert {one["panel"]: round(one["empty"], 3) for one in seen if one["empty"] > EMPTY} == {}
    assert {one["panel"]: one["smallest"] for one in seen if one["smallest"] < READING} == {}
    assert {one["panel"]: one["largest"] for one in seen if one["largest"] < LARGEST} == {}
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        for _panel in seen:
            found = Axe().run(page).response["violations"]
            assert not found, [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in found]
            page.keyboard.press("ArrowRight")


def words(length: int, chance: random.Random) -> str:
    """A name of so many letters in words of two to fourteen."""
    text = ""
    while len(text) < length:
        text += "".join(chance.choices("aceimnorst", k=chance.randint(2, 14))) + " "
    return text[:length].strip().capitalize()


def build_of(assemblies: int, letters: int) -> Build:
    """A build whose names are as long as that, with something to say on most panels."""
    chance = random.Random(assemblies)
    build = factories.make_build(
        words(letters, chance), on_board=True, scale="1:6", subject=words(letters, chance),
        for_visitors=words(2 * letters, chance),
    )  # fmt: skip
    exhibit = Exhibit(build=build, real_length="8.4 m", real_height="3 m", what_it_did=words(2 * letters, chance))
    keep_exhibit(exhibit=exhibit, for_visitors=build.for_visitors, on_board=True, date_on_board=True, by=None)
    for n in range(assemblies):
        part = factories.make_part(
            build, str(n), words(letters, chance), quantity=1 + n * 5,
            assembly=factories.make_assembly(build, words(min(letters, 100), chance) + str(n)),
            material=factories.make_material(words(min(letters, 60), chance) + str(n), density=7800),
            blank="20 mm dia x 30", finished_mass_grams=20.0 + n, for_visitors=words(2 * letters, chance),
            operations=[{"kind": "turning", "minutes_per_unit": 30.0}, {"kind": "heat treatment"}],
        )  # fmt: skip
        if n < 4:
            factories.make_entry(build, date(2026, 3, 2) + timedelta(days=n), 90, part=part,
                                 operation=part.operations.first(), good=1, scrap=n,
                                 scrap_reason=words(40, chance) if n else "")  # fmt: skip
            build.milestones.create(name=words(min(letters, 100), chance), position=n).parts.add(part)
    return build


def test_no_panel_sticks_out_or_hides_a_line_on_six_screens_whatever_the_names_are(
    open_page: Callable[..., Any], db: None
) -> None:
    page = still(open_page())
    wrong = []
    for assemblies, letters in ((0, 8), (14, 120), (20, 60)):
        page.goto(f"/board/{build_of(assemblies, letters).slug}/")
        for wide, high in SIZES:
            page.set_viewport_size({"width": wide, "height": high})
            page.wait_for_timeout(50)
            for seen in panels(page):
                phone = wide < 768
                stuck = max(seen["wider"], seen["sticksOut"], *((seen["higher"], seen["behind"]) if not phone else ()))
                if stuck > 1:
                    wrong.append((assemblies, letters, wide, high, seen["panel"].split()[-1], stuck))
    assert wrong == []


@pytest.fixture
def board(db: None) -> Build:
    """A build with a few panels, and an hour in its log."""
    build = factories.make_build(on_board=True, subject="a beam engine")
    part = factories.make_part(build, material=factories.make_material("Brass"), quantity=3)
    factories.make_entry(build, part=part, operation=part.operations.get(), good=1)
    return build


@pytest.fixture
def away(browser: Any, live_server: Any) -> Iterator[Any]:
    """A screen whose server will be away on purpose, which a browser's console remarks on."""
    context = browser.new_context(base_url=live_server.url, viewport={"width": 1280, "height": 720})
    context.set_default_timeout(10_000)
    yield still(context.new_page())
    context.close()


def where(page: Any) -> str:
    return str(page.evaluate("document.querySelector('[data-shown]').dataset.panel.split(' ').at(-1)"))


def test_panels_take_turns_until_somebody_holds_one(open_page: Callable[..., Any], board: Build) -> None:
    page = open_page(size=(1280, 720))
    page.clock.install()
    page.goto(f"/board/{board.slug}/")
    order = page.evaluate(
        "[...document.querySelectorAll('[data-panel]')].map((p) => p.dataset.panel.split(' ').at(-1))"
    )
    assert where(page) == order[0]
    page.clock.run_for(19_000)
    assert where(page) == order[1]
    page.keyboard.press("Space")
    assert page.get_by_role("button", name="Hold").get_attribute("aria-pressed") == "true"
    page.clock.run_for(60_000)
    assert where(page) == order[1]
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.get_by_role("button", name="Back").click()
    assert where(page) == order[2]
    page.keyboard.press("Space")
    page.clock.run_for(19_000)
    # The button has the focus, so the bar pressed it and nothing else.
    assert where(page) == order[1]


def test_a_board_stands_still_for_those_who_asked_for_no_motion(open_page: Callable[..., Any], board: Build) -> None:
    page = still(open_page(size=(1280, 720)))
    page.clock.install()
    page.goto(f"/board/{board.slug}/")
    first = where(page)
    page.clock.run_for(90_000)
    assert where(page) == first
    page.get_by_role("button", name="Next").click()
    assert where(page) != first


def test_fresh_figures_come_without_a_word_of_a_server_that_was_away(away: Any, board: Build) -> None:
    page = away
    page.clock.install()
    page.goto(f"/board/{board.slug}/")
    page.keyboard.press("ArrowRight")
    assert where(page) == "hours"
    page.route("**/board/**", lambda route: route.fulfill(status=502, body="Bad gateway"))
    page.clock.run_for(31_000)
    page.wait_for_timeout(200)
    assert "1 hour so far" in page.locator("main").inner_text()
    page.unroute("**/board/**")
    factories.make_entry(board, minutes=120, activity="other")
    page.clock.run_for(31_000)
    page.get_by_text("3 hours so far").wait_for()
    assert where(page) == "hours"
    assert page.locator("[data-board]").count() == page.locator("[data-shown]").count() == 1


def test_the_same_answer_leaves_the_screen_alone(open_page: Callable[..., Any], board: Build) -> None:
    page = still(open_page(size=(1280, 720)))
    page.clock.install()
    page.goto(f"/board/{board.slug}/")
    for _time in range(2):
        with page.expect_response(f"**/board/{board.slug}/"):
            page.clock.run_for(31_000)
        page.wait_for_timeout(200)
    page.evaluate("document.querySelector('[data-board]').marked = true")
    for _time in range(3):
        with page.expect_response(f"**/board/{board.slug}/"):
            page.clock.run_for(31_000)
        page.wait_for_timeout(100)
    assert page.evaluate("document.querySelector('[data-board]').marked") is True


def test_a_board_that_is_taken_down_leaves_nothing_on_the_screen(away: Any, board: Build) -> None:
    page = away
    page.clock.install()
    page.goto(f"/board/{board.slug}/")
    page.route("**/board/**", lambda route: route.fulfill(status=404, body="Not found"))
    page.clock.run_for(31_000)
    page.get_by_role("paragraph").get_by_text("This board is not shown at present.").wait_for()
    assert board.name not in page.locator("main").inner_text()
    page.unroute("**/board/**")
    page.clock.run_for(31_000)
    page.get_by_text("A beam engine").wait_for()


def test_without_script_and_on_paper_every_panel_stands_there(open_page: Callable[..., Any], board: Build) -> None:
    page = open_page(script=False, size=(1280, 720))
    page.goto(f"/board/{board.slug}/")
    all_of_them = page.locator("[data-panel]").count()
    assert all_of_them >= 4
    assert page.locator("[data-panel]:visible").count() == all_of_them
    turning = open_page(size=(1280, 720))
    turning.goto(f"/board/{board.slug}/")
    assert turning.locator("[data-panel]:visible").count() == 1
    turning.emulate_media(media="print")
    assert turning.locator("[data-panel]:visible").count() == all_of_them
    opacity = "[...document.querySelectorAll('[data-panel]')].map((one) => getComputedStyle(one).opacity)"
    assert set(turning.evaluate(opacity)) == {"1"}


def test_hidden_hours_leave_no_gap_on_a_resting_board(open_page: Callable[..., Any], board: Build) -> None:
    board.state = "resting"
    edit_build(build=board, by=None)
    exhibit = Exhibit(build=board, hours_shown=False, scrap_shown=False)
    keep_exhibit(exhibit=exhibit, for_visitors="", on_board=True, date_on_board=False, by=None)
    page = still(open_page(size=(1920, 1080)))
    page.goto(f"/board/{board.slug}/")
    seen = list(panels(page))
    assert [one["panel"].split()[-1] for one in seen] == ["size", "counts", "bench", "masses", "way"]
    assert max(one["sticksOut"] for one in seen) <= 1


def test_on_a_phone_no_row_of_controls_lies_on_the_other(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], db: None
) -> None:
    build = load_demonstration(factories.TODAY)
    assert build is not None
    factories.make_user(owner=True)
    page = open_page()
    sign_in(page)
    page.goto(f"/board/{build.slug}/")
    page.get_by_role("button", name="Next").wait_for()
    buttons, links = (row.bounding_box() for row in page.locator(".board__controls").all())
    assert buttons["y"] + buttons["height"] <= links["y"]
    assert links["y"] + links["height"] <= 844
