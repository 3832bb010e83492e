"""Figures are written as a page's language writes them, and nothing else on the page is touched."""

import re
from typing import Any

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from builds.language import figures_as_in


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("1,283.5 h", "1.283,5 h"),
        ("1,283 h", "1.283 h"),
        ("0.25 in", "0,25 in"),
        ("−0.5 mm", "−0,5 mm"),
        ("12 × 3.5 = 42", "12 × 3,5 = 42"),
        ("finished in 2026.", "finished in 2026."),
        ("2026-11-28", "2026-11-28"),
        ("1.2.3", "1.2.3"),
        ("28.11.2026", "28.11.2026"),
        ("30, 60, 110, 200", "30, 60, 110, 200"),
        ("1-3-5-2-4", "1-3-5-2-4"),
        ("1 : 6", "1 : 6"),
        ("it took 12.5.", "it took 12,5."),
    ],
)
def test_a_figure_has_the_separators_of_its_language(english: str, german: str) -> None:
    assert figures_as_in("de", f"<p>{english}</p>") == f"<p>{german}</p>"
    assert figures_as_in("en-gb", f"<p>{english}</p>") == f"<p>{english}</p>"


@pytest.mark.parametrize(
    "kept",
    [
        '<path d="M 1.5 2.5"/>',
        '<input value="12.5">',
        "<script>x = 1.5</script>",
        "<textarea>1.5</textarea>",
        '<a href="?d=1.5">',
        "<style>p{margin:1.5em}</style>",
    ],
)
def test_what_is_no_text_stays(kept: str) -> None:
    assert figures_as_in("de", kept) == kept


def test_what_is_read_out_is_turned_as_well() -> None:
    assert figures_as_in("de", '<svg aria-label="1.5 m long">') == '<svg aria-label="1,5 m long">'


@given(number=st.decimals(min_value=0, max_value=10**9, places=3, allow_nan=False, allow_infinity=False))
def test_any_figure_can_be_read_back(number: object) -> None:
    turned = re.sub("<.*?>", "", figures_as_in("de", f"<b>{number:,}</b>"))
    assert turned.replace(".", "").replace(",", ".") == str(number)


@pytest.mark.django_db
def test_a_board_that_a_cache_may_hand_on_carries_nobodys_choice(client: Client, make_build: Any) -> None:
    build = make_build(on_board=True)
    answer = client.get(f"/board/{build.slug}/", {"language": "de"})
    assert '<html lang="de"' in answer.content.decode()
    assert not answer.cookies


@pytest.mark.django_db
def test_a_page_that_is_not_for_visitors_stays_in_one_language(signed_in: Client) -> None:
    answer = signed_in.get("/", headers={"Accept-Language": "de"})
    assert '<html lang="en-gb"' in answer.content.decode()


@pytest.mark.django_db
def test_the_arithmetic_speaks_what_the_address_asks_for_and_remembers_it(signed_in: Client) -> None:
    assert '<html lang="de"' in signed_in.get("/arithmetic/", {"language": "de"}).content.decode()
    assert '<html lang="de"' in signed_in.get("/arithmetic/scale/").content.decode()
    assert '<html lang="en-gb"' in signed_in.get("/arithmetic/scale/", {"language": "en-gb"}).content.decode()
    assert '<html lang="en-gb"' in signed_in.get("/arithmetic/", {"language": "klingon"}).content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize("language", ["de", "en-gb"])
def test_a_page_is_as_long_as_it_says_after_its_figures_were_turned(signed_in: Client, language: str) -> None:
    answer = signed_in.get("/arithmetic/scale/", {"language": language})
    assert int(answer.headers["Content-Length"]) == len(answer.content)
