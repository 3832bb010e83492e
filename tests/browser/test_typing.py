"""While an answer is on its way, what is typed meanwhile stays, and what was typed in the end is what was asked."""

import itertools
import time
from collections.abc import Callable
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest

from builds.arithmetic.sheets import SHEETS
from builds.models import Operation
from builds.views.middleware import HtmxResponseMiddleware
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# Milliseconds between keys and seconds until an answer, taken in turns.
BETWEEN_KEYS = itertools.cycle([90, 200, 140, 110, 170])
UNTIL_ANSWERED = itertools.cycle([0.4, 0.0, 0.25, 0.1, 0.33])
QUIET = 700


@pytest.fixture(autouse=True)
def slow_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    """Answers to htmx take as long as on a line to the cellar."""
    answer = HtmxResponseMiddleware.__call__

    def slowly(self: HtmxResponseMiddleware, request: Any) -> Any:
        if "HX-Request" in request.headers:
            time.sleep(next(UNTIL_ANSWERED))
        return answer(self, request)

    monkeypatch.setattr(HtmxResponseMiddleware, "__call__", slowly)


@pytest.fixture
def shop(transactional_db: None) -> Any:
    factories.make_user()
    steel = factories.make_material("Stainless 303")
    build = factories.make_build(for_counter=True, hourly_figure=20)
    route = [{"kind": "turning", "minutes_per_unit": 10.0}, {"kind": "milling", "minutes_per_unit": 5.0}]
    part = factories.make_part(build, quantity=6, material=steel, operations=route)
    factories.make_entry(build, part=part, operation=part.operations.get(number=10), good=2)
    return part


class Sent:
    """What htmx asked for, the newest last; and waiting until nothing is under way."""

    def __init__(self, page: Any) -> None:
        self.page, self.asked, self.under_way = page, [], set()
        page.on("request", self._begin)
        page.on("requestfinished", lambda request: self.under_way.discard(request))
        page.on("requestfailed", lambda request: self.under_way.discard(request))

    def _begin(self, request: Any) -> None:
        if "hx-request" in request.headers:
            self.under_way.add(request)
            self.asked.append(request)

    def settle(self) -> None:
        self.page.wait_for_timeout(QUIET)
        while self.under_way:
            self.page.wait_for_timeout(QUIET)

    def last(self) -> dict[str, str]:
        query = parse_qs(urlsplit(self.asked[-1].url).query, keep_blank_values=True)
        return {name: values[-1] for name, values in query.items()}


def type_over(page: Any, field: Any, text: str) -> None:
    field.focus()
    page.keyboard.press("Control+a")
    page.keyboard.type(text, delay=next(BETWEEN_KEYS))


def type_all(page: Any, form: str, sent: Sent, most: int = 5) -> None:
    """Type into one field after the other, and hold what stands there and what was asked last against it."""
    fields = page.locator(f"{form} input:is([type=text], [type=number], :not([type])):visible")
    names = [fields.nth(n).get_attribute("name") for n in range(min(most, fields.count()))]
    assert names
    typed = {}
    for name in names:
        field = page.locator(f"{form} [name={name}]")
        typed[name] = "14" if field.get_attribute("inputmode") == "numeric" else "12.5"
        type_over(page, field, typed[name])
        page.keyboard.press("Tab")
    sent.settle()
    assert {name: page.locator(f"{form} [name={name}]").input_value() for name in names} == typed
    last = sent.last()
    assert {name: last[name] for name in names} == typed


def test_no_sum_loses_what_is_typed(open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any) -> None:
    page = open_page(refused=True, size=(1280, 900))
    sign_in(page)
    sent = Sent(page)
    for name in SHEETS:
        page.goto(f"/arithmetic/{name}/")
        type_all(page, ".sum__question", sent, most=3)


@pytest.mark.parametrize("place", ["blanks", "counter", "what-if", "work-out", "work-out beside the route"])
def test_no_question_about_a_build_loses_what_is_typed(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, place: str
) -> None:
    page = open_page(refused=True, size=(1280, 900))
    sign_in(page)
    sent, base = Sent(page), f"/builds/{shop.build.slug}"
    step = shop.operations.get(number=10)
    address, form = {
        "blanks": (f"{base}/parts/{shop.pk}/blanks/", "#blanks form"),
        "counter": (f"{base}/counter/", "#price form"),
        "what-if": (f"{base}/forecast/", ".whatif"),
        "work-out": (f"{base}/operations/{step.pk}/work-out/", "#work-out-form"),
    }.get(place, (f"{base}/parts/{shop.pk}/", "#work-out-form"))
    page.goto(address)
    if "beside" in place:
        page.locator("a", has_text="Work it out").first.click()
        page.locator(form).wait_for()
    type_all(page, form, sent)


def test_what_is_typed_while_another_process_brings_its_fields_stays(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(refused=True, size=(1280, 900))
    sign_in(page)
    sent = Sent(page)
    for address, form in (
        ("/arithmetic/speeds/", ".sum__question"),
        (f"/builds/{shop.build.slug}/operations/{shop.operations.get(number=10).pk}/work-out/", "#work-out-form"),
    ):
        page.goto(address)
        page.locator(f"{form} [name=material]").select_option("mild steel")
        page.locator(f"{form} [name=what]").select_option("drilling")
        type_over(page, page.locator(f"{form} [name=speed]"), "23.5 m/min")
        page.keyboard.press("Tab")
        sent.settle()
        assert page.locator(f"{form} [name=speed]").input_value() == "23.5 m/min"
        assert (sent.last()["speed"], sent.last()["what"]) == ("23.5 m/min", "drilling")
        assert page.locator(f"{form} [name=depth]").count() == 1


def test_a_time_is_kept_as_it_stands_or_asked_about_and_never_another(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(refused=True, size=(1280, 900))
    sign_in(page)
    step = shop.operations.get(number=10)
    page.goto(f"/builds/{shop.build.slug}/operations/{step.pk}/work-out/")
    # A material of the shop that the tables do not know is asked for.
    assert page.locator("[name=material]").input_value() == ""
    page.get_by_text("The tables do not know “Stainless 303”").wait_for()
    sizes = {"speed": "30 m/min", "diameter": "20 mm", "length": "50 mm", "feed": "0.1 mm", "total_depth": "1 mm",
             "depth_per_pass": "1 mm"}  # fmt: skip
    for name, text in sizes.items():
        page.locator(f"[name={name}]").fill(text)
        page.keyboard.press("Tab")
    keep = page.get_by_role("button", name="Keep")
    keep.wait_for()
    page.locator("[name=length]").focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("250 mm", delay=90)
    # Pressed at once: the button still names the time of 50 mm.
    keep.click()
    page.wait_for_load_state("networkidle")
    step.refresh_from_db()
    offered = page.get_by_role("button", name="Keep")
    if offered.count():
        assert step.minutes_per_unit == 10.0
        assert page.locator("[name=length]").input_value() == "250 mm"
        offered.click()
        page.wait_for_url("**/parts/**")
    step.refresh_from_db()
    assert step.worked["inputs"]["length"] == "250 mm"


def test_a_reading_never_touches_the_time_that_is_typed(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page()
    sign_in(page)
    sent = Sent(page)
    page.goto(f"/builds/{shop.build.slug}/bench/")
    time_field = page.get_by_label("Another time")
    type_over(page, time_field, "19:00-21:15")
    sent.settle()
    assert time_field.input_value() == "19:00-21:15"
    assert sent.last() == {"form-0-time": "19:00-21:15", "lines": "yes"}
    page.get_by_text("2 h 15 min").nth(0).wait_for()


def test_a_route_form_keeps_what_is_typed_while_it_is_refused_and_while_another_is_asked_for(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(refused=True, size=(1280, 900))
    sign_in(page)
    sent = Sent(page)
    page.goto(f"/builds/{shop.build.slug}/parts/{shop.pk}/")
    page.get_by_label("Edit 10 turning").click()
    page.get_by_label("Time for one").wait_for()
    type_over(page, page.get_by_label("Title"), "Rough the blank")
    # Another operation is asked for, and one is moved: the open form is not taken away.
    page.get_by_label("Edit 20 milling").click()
    page.get_by_text("What is typed here is not saved yet").wait_for()
    page.get_by_label("Move 20 milling earlier").click()
    sent.settle()
    assert page.get_by_label("Title").input_value() == "Rough the blank"
    # Refused while the note is being typed.
    type_over(page, page.get_by_label("Time for one"), "12")
    page.keyboard.press("Enter")
    type_over(page, page.get_by_label("Note"), "soft jaws")
    page.locator("#refused").wait_for()
    sent.settle()
    assert page.evaluate("document.activeElement.name") == "note"
    page.keyboard.type(", twice", delay=next(BETWEEN_KEYS))
    assert page.get_by_label("Note").input_value() == "soft jaws, twice"
    assert page.get_by_label("Title").input_value() == "Rough the blank"
    type_over(page, page.get_by_label("Time for one"), "12 min")
    page.get_by_role("button", name="Save this operation").click()
    page.get_by_label("Edit 10 Rough the blank").wait_for()
    kept = Operation.objects.get(part=shop, number=10)
    assert (kept.title, kept.minutes_per_unit) == ("Rough the blank", 12.0)
    assert kept.note == "soft jaws, twice"


def test_the_search_in_the_log_keeps_its_words(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(size=(1280, 900))
    sign_in(page)
    sent = Sent(page)
    page.goto(f"/builds/{shop.build.slug}/log/")
    page.locator(".filters").get_by_text("More", exact=True).click()
    page.get_by_label("Removed entries").check()
    type_over(page, page.get_by_label("Words in the note"), "boring bar")
    page.keyboard.press("Tab")
    sent.settle()
    assert page.get_by_label("Words in the note").input_value() == "boring bar"
    assert sent.last()["words"] == "boring bar"


def test_a_search_never_takes_away_what_was_chosen_meanwhile(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(f"{__name__}.UNTIL_ANSWERED", itertools.cycle([0.4]))
    for number in range(62):
        factories.make_part(shop.build, f"R{number}", f"Rivet {number}")
    page = open_page()
    sign_in(page)
    sent = Sent(page)
    page.goto(f"/builds/{shop.build.slug}/bench/")
    search, others = page.get_by_label("Find by item, name, sheet or assembly"), page.get_by_label("Something else")
    type_over(page, search, "rivet 4")
    with page.expect_request("**/bench/find/**"):
        pass
    others.select_option("atidying")
    sent.settle()
    assert others.input_value() == "atidying"
    assert search.input_value() == "rivet 4"
    type_over(page, search, "rivet 41")
    sent.settle()
    assert others.input_value() == "atidying"
    assert others.get_by_text("R41 · 10 making").count() == 1
