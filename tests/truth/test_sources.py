"""Where a figure comes from is told by titles and numbers, never by addresses, and what is remembered is a figure."""

import csv
import html
import re
from pathlib import Path

import pytest
from django.test import Client

import calcs
from builds.models.choices import Kind
from builds.queries.plan.worksheet import LEVELS
from tests import factories
from tests.pages.test_arithmetic import EVERY_SUM, Page, answered, ask

ADDRESS = re.compile(r"://|\bwww\.|\b[\w-]+\.[a-z]{2,}", re.IGNORECASE)
SEEN = re.compile(r"\(seen\)|\bseen;")
TABLES = sorted((Path(calcs.__file__).parent / "shop" / "tables").glob("*.csv"))


def amiss(text: str) -> list[str]:
    """Addresses in a text, and remarks about what was read."""
    return ADDRESS.findall(text) + SEEN.findall(text)


def clauses(text: str) -> list[str]:
    """The clauses of a text, without its tags: figures such as 1,283.5 stay whole."""
    return re.split(r"[.;]\s|\n", html.unescape(re.sub(r"<[^>]*>", "\n", text)))


def bare_memory(clause: str) -> bool:
    """Whether it speaks of memory without a figure beside it; a year and the number of a standard are none."""
    found = re.search(r"from memory|\bremembered\b", clause, re.IGNORECASE)
    return bool(found) and not re.search(
        r"\d", re.sub(r"\b(?:1[5-9]|20)\d\d\b(?! kg)|\b[A-Z]{2,}[ -]?[\w.-]*\d+", "", clause)
    )


@pytest.mark.parametrize(
    ("clause", "bare"),
    [
        ("formulae from memory", True),
        ("F. W. Taylor 1907, from memory", True),
        ("BS 84, from memory", True),
        ("Expansion of steel: 12 millionths for each °C, from memory", False),
        ("2700 of 6061 and 6082 from memory", False),
        ("ISO 261", False),
    ],
)
def test_a_remark_on_memory_wants_a_figure_beside_it(clause: str, bare: bool) -> None:
    assert bare_memory(clause) == bare


def test_an_address_is_known_from_a_title_and_a_number() -> None:
    assert all(map(ADDRESS.search, ("a chart (shop.example/a.htm)", "https://shop", "www.shop", "shop.org; BS 93")))
    assert not any(map(ADDRESS.search, ("ISO 286-1, p. 24", "29 CFR 1910.215(b)(9)", "T.O. 1-1A-9 §4-21", "0.5 in")))


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.stem)
def test_a_source_in_the_tables_holds_no_address_and_beside_what_is_remembered_stands_a_figure(table: Path) -> None:
    for row in csv.DictReader(table.read_text(encoding="utf-8").splitlines()):
        assert not ADDRESS.search(row["source"]), row
        before, remembered, _after = row["source"].partition("from memory")
        assert not remembered or re.search(r"\d", before.split(";")[-1]), row


def test_no_page_of_sums_shows_an_address_or_speaks_of_memory_without_a_figure(signed_in: Client) -> None:
    for name, what in EVERY_SUM:
        page = ask(signed_in, name, what=what)
        assert amiss(Page(page).answer) == [], (name, what)
        foot = page.partition('class="sum__sources')[2].partition("</ul>")[0]
        assert [one for one in clauses(foot) if bare_memory(one)] == [], (name, what)


@pytest.mark.parametrize("material", ["stainless steel", "aluminium 6061", "magnesium", "copper"])
def test_the_figures_of_a_material_are_cited_with_their_value(signed_in: Client, material: str) -> None:
    html_of = signed_in.get("/arithmetic/stock/", {"material": material}).content.decode()
    [cited] = re.findall(r"Density [\d,.]+ kg/m³: [^<]+\.</li>", html_of)
    assert amiss(html.unescape(cited).removesuffix("</li>")) == []


def test_the_cautions_cite_no_address_and_no_memory_without_a_figure(signed_in: Client) -> None:
    ptfe, graphite = (answered(signed_in, "stock", material=name) for name in ("PTFE", "graphite"))
    assert "250 °C" in ptfe
    assert ptfe.count("common practice (from memory)") == 2  # the density and the heat
    assert "do not breathe it. common practice" in graphite
    assert "(from memory)" not in graphite.partition("Graphite dust")[2]


def test_no_worksheet_shows_an_address(signed_in: Client) -> None:
    lathe = factories.make_machine(speeds=[60, 130, 200], power_watts=550)
    steps = [{"kind": kind.value, "minutes_per_unit": 20.0, "setup_minutes": 30.0, "machine": lathe} for kind in Kind]
    iron = factories.make_material(cutting_speed=20.0, density=7200.0)
    build = factories.make_build(units="in")
    says = {"blank": "1-1/4 dia x 2", "quantity": 6, "spares": 1, "finished_mass_grams": 120.0}
    part = factories.make_part(build, material=iron, operations=steps, **says)
    for level in LEVELS:
        address = f"/builds/{build.slug}/parts/{part.pk}/worksheet/"
        sheet = signed_in.get(address, {"level": level}).content.decode()
        words = html.unescape(re.sub(r"<[^>]*>", " ", sheet.partition("<main")[2]))
        assert words.count("Answer:") >= 5, level
        assert amiss(words) == [], level
        assert "memory" not in words, level
