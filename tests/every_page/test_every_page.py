"""What every page of the demonstration weighs, photos apart, as it is and over the wire; and where it leads to."""

import gzip
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
import rjsmin
from django.contrib.staticfiles import finders
from django.test import Client
from django.utils import timezone

from builds.glossary import BY_KEY
from builds.management.demonstration import load_demonstration
from builds.models import Measurement
from builds.queries.log.bench import bench_of
from builds.static_files import SHEET, SHOWN_SHEET
from tests.every_page.walk import Page, every_page
from tests.every_page.ways import OF_A_BUILD, far_from, without_place
from tests.factories import make_user
from tests.test_chances_in_words import otherwise_told
from tests.truth.printed_sums import visible_text

HTML, CSS, OWN_SCRIPT, FIRST_VISIT, LATER_VISIT = 60_000, 60_000, 25_000, 60_000, 12_000
HTMX = "django_htmx/htmx-2.min.js"
STYLED = re.compile(r"\.([A-Za-z][\w-]*)")
LINKED = re.compile(r'<(?:link rel="stylesheet" href|script src)="/static/([^"]+)"')


@dataclass(frozen=True)
class Weights:
    """Bytes of one page. html, css and script uncompressed; the wire's as they travel, without headers."""

    html: int
    css: int
    own_script: int
    first_visit: int
    later_visit: int


@dataclass(frozen=True)
class Walked:
    """The pages, and the addresses of the work: the bench, the part that stands first on it, the forecast."""

    pages: list[Page]
    work: list[str]


@cache
def walked() -> Walked:
    """Walked once for all tests. Call it where there is a database."""
    build = load_demonstration(timezone.localdate())
    assert build is not None
    client = Client()
    client.force_login(make_user("owner", owner=True), backend="builds.permissions.PeopleBackend")
    at_work = bench_of(build, None, timezone.localdate()).picks[0].line.part
    of_build = f"/builds/{build.slug}/"
    work = [f"{of_build}bench/", f"{of_build}parts/{at_work.pk}/", f"{of_build}forecast/"]
    pages = list(every_page(lambda address: page_at(client, address)))
    # The one part that the walk looks at need not be the one with measured sizes.
    spread = f"{of_build}sizes/{Measurement.objects.values_list('size', flat=True)[0]}/spread/"
    if spread not in {page.address for page in pages}:
        pages.append(Page(spread, page_at(client, spread) or ""))
    return Walked(pages, work)


@pytest.fixture
def pages(db: None) -> list[Page]:
    return walked().pages


def page_at(client: Client, address: str) -> str | None:
    answer = client.get(address, follow=True)
    if not answer.headers["Content-Type"].startswith("text/html"):
        return None
    assert answer.status_code == 200, (address, answer.status_code)
    return answer.content.decode()


def weights_of(page: Page, static: dict[str, bytes]) -> Weights:
    linked = {name: static.setdefault(name, static_file(name)) for name in LINKED.findall(page.html)}
    wire = len(gzip.compress(page.html.encode()))
    return Weights(
        html=page.weight,
        css=sum(len(content) for name, content in linked.items() if name.endswith(".css")),
        own_script=sum(len(content) for name, content in linked.items() if name.endswith(".js")) - len(static[HTMX]),
        first_visit=wire + sum(len(gzip.compress(content)) for content in linked.values()),
        later_visit=wire,
    )


def static_file(name: str) -> bytes:
    return Path(str(finders.find(name))).read_bytes()


def test_every_page_of_the_demonstration_is_light(pages: list[Page]) -> None:
    assert len(pages) > 120
    static = {HTMX: rjsmin.jsmin(static_file(HTMX))}
    weighed = {page.address: weights_of(page, static) for page in pages}
    bars = Weights(HTML, CSS, OWN_SCRIPT, FIRST_VISIT, LATER_VISIT)
    for what in ("html", "css", "own_script", "first_visit", "later_visit"):
        bar, found = getattr(bars, what), {address: getattr(weights, what) for address, weights in weighed.items()}
        assert {address: weight for address, weight in found.items() if weight >= bar} == {}, what


def test_every_page_has_the_looks_of_its_components(pages: list[Page]) -> None:
    """A page links one of two sheets: what it shows must stand in that one."""
    sheets = {name: set(STYLED.findall(static_file(name).decode())) for name in (SHEET, SHOWN_SHEET)}
    styled = set().union(*sheets.values())
    for page in pages:
        (sheet,) = (name for name in LINKED.findall(page.html) if name.endswith(".css"))
        given = {name for names in re.findall(r' class="([^"]*)"', page.html) for name in names.split()}
        assert (given & styled) - sheets[sheet] == set(), (page.address, sheet)


def test_every_page_but_the_boards_leads_to_the_work_in_two_steps(pages: list[Page]) -> None:
    """A board stands for hours before visitors."""
    assert far_from(walked().work, [page for page in pages if not page.address.startswith("/board/")]) == {}


def test_every_page_of_a_build_says_where_it_belongs(pages: list[Page]) -> None:
    assert len([page for page in pages if OF_A_BUILD.match(page.address)]) > 60
    assert without_place(pages) == []


def test_every_word_of_the_glossary_is_asked_about_on_some_page_and_once_on_each(pages: list[Page]) -> None:
    asked = {page.address: re.findall(r'<a class="word" href="/words/#([\w-]+)"', page.html) for page in pages}
    assert {key for keys in asked.values() for key in keys} == set(BY_KEY)
    assert {address: keys for address, keys in asked.items() if len(set(keys)) < len(keys)} == {}


def test_no_page_says_a_chance_in_other_words(pages: list[Page]) -> None:
    told = {page.address: otherwise_told(" | ".join(visible_text(page.html))) for page in pages}
    assert {address: words for address, words in told.items() if words} == {}
