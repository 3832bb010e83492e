"""What to do next, in a browser: from tonight to the bench, what comes first, what to buy, the working order."""

from collections.abc import Callable
from typing import Any

import pytest

from builds.models import Build, Entry, Need
from builds.models.choices import Role
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TURNED = ({"kind": "turning", "setup_minutes": 10.0, "minutes_per_unit": 10.0},)
ONE_WORD = "Gehäuseoberteilführungsschienenbefestigungsschraubensicherung"
WIDER = """() => {
  document.querySelectorAll('details').forEach((one) => { one.open = true });
  return document.documentElement.scrollWidth - document.documentElement.clientWidth;
}"""


@pytest.fixture
def build(transactional_db: None) -> Build:
    factories.make_user()
    build = factories.make_build()
    bronze = factories.make_material("Bronze", density=8800.0)
    for number, name in (("1", "Stud"), ("2", "Bush"), ("3", "Valve")):
        factories.make_part(build, number, name, operations=TURNED, quantity=3, material=bronze, blank="20 dia x 40")
    return build


def test_what_is_offered_for_tonight_is_one_tap_from_the_bench_and_two_from_the_log(
    opened: Callable[..., Any],
) -> None:
    page = opened("tonight/", dark=True)
    page.get_by_role("link", name="2 h", exact=True).click()
    page.get_by_role("heading", name="Tonight: 2 h").wait_for()
    page.locator("a.tonight__offer").first.click()
    page.wait_for_url("**/bench/**")
    page.get_by_label("Good", exact=True).fill("2")
    page.get_by_label("Another time").fill("40 min")
    page.get_by_role("button", name="Log it").click()
    page.wait_for_url("**logged=1**")
    entry = Entry.objects.get()
    assert (entry.part.number, entry.operation.kind, entry.good) == ("1", "turning", 2)


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_circle_is_refused_on_top_and_what_was_found_and_chosen_stays(
    opened: Callable[..., Any], build: Build, script: bool
) -> None:
    stud, bush = build.parts.get(number="1"), build.parts.get(number="2")
    factories.make_need(bush, stud)
    # Of a build as large as that, what comes first is searched for.
    factories.make_part(build, "4", "Plate", operations=[{"kind": "drilling"}] * 61)
    page = opened(f"parts/{stud.pk}/needs/", script=script, refused=True)
    page.locator("[name=find]").fill("bus")
    if not script:
        page.get_by_role("button", name="Find", exact=True).click()
    page.locator("[name=other] option", has_text="3 Valve as a whole").wait_for(state="detached")
    page.locator("[name=other]").select_option(label="2 Bush as a whole")
    page.get_by_role("button", name="Keep this").click()
    assert "2 Bush needs 1 Stud" in page.locator("#refused").inner_text()
    assert page.locator("[name=other]").input_value() == f"p{bush.pk}"
    assert page.locator("[name=find]").input_value() == "bus"
    assert Need.objects.count() == 1


def test_a_refused_saw_cut_keeps_the_other_figures_and_gives_the_list_once_mended(opened: Callable[..., Any]) -> None:
    page = opened("to-buy/", refused=True)
    page.get_by_text("How bars are cut").click()
    page.get_by_label("End that is held").fill("12 mm")
    page.get_by_label("Saw cut").fill("thick")
    page.get_by_role("button", name="Work it out").click()
    page.locator("#refused").wait_for()
    assert page.get_by_label("Saw cut").input_value() == "thick"
    assert page.get_by_label("End that is held").input_value() == "12 mm"
    page.get_by_label("Saw cut").fill("2 mm")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Cutting list for the saw").wait_for()
    assert page.get_by_label("End that is held").input_value() == "12 mm"
    page.go_back()
    assert page.get_by_label("Saw cut").input_value() == "thick"


def test_parts_are_put_in_order_on_a_phone_and_a_place_that_is_none_stays_typed(opened: Callable[..., Any]) -> None:
    page = opened("parts/", refused=True)
    page.get_by_label("Place of 3 Valve").fill("1")
    page.get_by_label("Place of 2 Bush").fill("soon")
    page.get_by_role("button", name="Put in order").click()
    page.locator("#refused").wait_for()
    assert page.get_by_label("Place of 2 Bush").input_value() == "soon"
    assert page.get_by_label("Place of 3 Valve").input_value() == "1"
    page.get_by_label("Place of 2 Bush").fill("2")
    page.keyboard.press("Enter")
    page.get_by_text("The working order is changed.").wait_for()
    assert page.locator(".tree__item").all_inner_texts() == ["3", "2", "1"]
    page.get_by_role("button", name="Move 2 Bush earlier").click()
    page.wait_for_url("**#part-**")
    assert page.locator(".tree__item").all_inner_texts() == ["2", "3", "1"]


def test_names_of_one_long_word_make_no_page_wider(opened: Callable[..., Any], build: Build) -> None:
    material = factories.make_material("m" * 60)
    needed, part = (
        factories.make_part(build, n * 20, ONE_WORD[:60], operations=TURNED, material=material, blank="20 dia x 40")
        for n in "89"
    )
    factories.make_need(part, needed)
    factories.make_part(build, "7" * 20, ONE_WORD[:60], role=Role.BOUGHT, supplier="s" * 60)
    page = opened("tonight/")
    paths = ("tonight/", "waiting/", "to-buy/", "parts/", f"parts/{part.pk}/needs/", f"parts/{part.pk}/copy/")
    for path in paths:
        page.goto(f"/builds/{build.slug}/{path}")
        for width in (390, 1280):
            page.set_viewport_size({"width": width, "height": 844})
            assert page.evaluate(WIDER) <= 0, (path, width)


def test_a_part_opens_beside_the_plan_at_the_desk_and_on_its_own_page_when_pressed_again(
    opened: Callable[..., Any], build: Build
) -> None:
    page = opened("", size=(1280, 900))
    bush, beside = page.locator(".tree").get_by_role("link", name="Bush"), page.locator("#beside")
    bush.click()
    beside.get_by_role("link", name="2 Bush").wait_for()
    key = build.parts.get(number="2").pk
    assert page.url.endswith(f"/?part={key}")
    assert page.evaluate("document.activeElement.textContent") == "Bush"
    assert bush.get_attribute("aria-current") == "true"
    page.locator(".tree").get_by_role("link", name="Stud").press("Enter")
    beside.get_by_role("link", name="1 Stud").wait_for()
    page.go_back()
    beside.get_by_role("link", name="2 Bush").wait_for()
    bush.click()
    page.wait_for_url(f"**/parts/{key}/")


def test_a_part_opens_on_its_own_page_on_a_phone(opened: Callable[..., Any], build: Build) -> None:
    page = opened("")
    page.locator(".tree").get_by_role("link", name="Bush").click()
    page.wait_for_url(f"**/parts/{build.parts.get(number='2').pk}/")
