"""Whatever a page prints as a sum can be done again from the figures that it prints."""

from collections import Counter
from collections.abc import Iterable
from itertools import chain, product
from urllib.parse import urlencode

import pytest
from django.test import Client

from builds.models import Build
from tests.pages.test_arithmetic import EVERY_SUM, Page
from tests.truth.printed_sums import PrintedSum, printed_sums, sums_of
from tests.truth.walk import kind_of, pages_from


def wrong_and_found(pages: Iterable[tuple[str, str]]) -> tuple[list[tuple[str, PrintedSum]], Counter[str]]:
    """The sums that do not come out, and how many there were by kind of page."""
    wrong, found = [], Counter[str]()
    for address, html in pages:
        kind = kind_of(address)
        for one in printed_sums(html):
            found[kind[0] if kind else ""] += 1
            if not one.right:
                wrong.append((address, one))
    return wrong, found


def test_every_printed_sum_of_the_demonstration_comes_out(demonstration: Build, signed_in_owner: Client) -> None:
    wrong, found = wrong_and_found(pages_from(signed_in_owner))
    assert wrong == [], "\n".join(f"{address}: {one.text}, but {one.worked_out}" for address, one in wrong)
    least = {"builds:worksheet": 670, "builds:blanks": 115, "builds:part": 75, "arithmetic:sheet": 90}
    assert {kind: found[kind] for kind in least if found[kind] < least[kind]} == {}
    assert found["builds:forecast_piece"] >= 6


def harder_worksheets(client: Client, build: Build) -> Iterable[tuple[str, str]]:
    """The sums for beginners that no link of the walk leads to: each part's second and third sheet."""
    for part, level in product(build.parts.all(), (2, 3)):
        address = f"/builds/{build.slug}/parts/{part.pk}/worksheet/"
        yield address, client.get(address, {"level": level}).content.decode()


def test_every_printed_sum_of_a_young_build_comes_out(young_build: Build, signed_in_owner: Client) -> None:
    wrong, found = wrong_and_found(chain(pages_from(signed_in_owner), harder_worksheets(signed_in_owner, young_build)))
    assert wrong == [], "\n".join(f"{address}: {one.text}, but {one.worked_out}" for address, one in wrong)
    least = {"builds:worksheet": 300, "builds:blanks": 55, "builds:part": 10, "builds:shop_counter": 48}
    assert {kind: found[kind] for kind in least if found[kind] < least[kind]} == {}


def test_every_printed_sum_of_shop_arithmetic_comes_out(signed_in_owner: Client) -> None:
    def answers() -> Iterable[tuple[str, str]]:
        for (sheet, what), unit in product(EVERY_SUM, ("mm", "in")):
            address = f"/arithmetic/{sheet}/"
            sent = Page(signed_in_owner.get(address, {"what": what, "unit": unit}).content.decode()).sent
            whole = f"{address}?{urlencode({**sent, 'what': what, 'unit': unit})}"
            yield whole, signed_in_owner.get(whole).content.decode()

    wrong, found = wrong_and_found(answers())
    assert wrong == [], "\n".join(f"{address}: {one.text}, but {one.worked_out}" for address, one in wrong)
    assert found["arithmetic:sheet"] >= 550


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("36 × 7.5 min = 4 h 30 min", True),
        ("36 × 8 min = 4 h 30 min", False),
        ("4 h 30 min = 36 × 7.5 min a hole", True),
        ("work = hours × what an hour costs = 76.4621 h × €24.00 an hour = €1,835.09", True),
        ("work = 76.5 h × €24.00 an hour = €1,835.09", False),
        ("t = 40 × 1.3 = 52 h", True),
        ("t = 40 × 1.3 = 53 h", False),
        ("c = √(30² + 40²) = 50 mm", True),
        ("x = 0 + 30 × cos(150°) = −25.981 mm", True),
        ("0.19 min = 12 s", False),
        ("0.195 min = 12 s", True),
        ("share = 0.5 ÷ 2 × 100 = 25 %", True),
        ("share = 1 ÷ 3 = 33 %", True),
        ("1,090 h + 850 h = about 1,900 h", True),
        ("1,090 h + 850 h = 1,900 h", False),
        ("25 mm = about 0.9843 in", True),
        ("25 mm = about 0.9943 in", False),
        ("size = 2 + 5/8 = 21/8 in", True),
        ("half = 21/8 ÷ 2 = 1 5/16 in", True),
        ("half = 21/8 ÷ 2 = 1 3/16 in", False),
        ("6 × (7 + 1/2) = 45 min", True),
    ],
)
def test_a_printed_sum_is_worked_out_with_its_units(text: str, right: bool) -> None:
    assert [one.right for one in sums_of(text)][-1:] == [right]


@pytest.mark.parametrize("text", ["t = passes × (travel ÷ f)", "brass 10 mm × 30 mm", "N held = 60 rev/min", "a = b"])
def test_what_is_no_sum_is_left_alone(text: str) -> None:
    assert list(sums_of(text)) == []
