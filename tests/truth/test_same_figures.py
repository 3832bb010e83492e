"""Yield, pace, usual evening and ratio: one figure each wherever it stands, and another name for what is another."""

import json
import re
from collections.abc import Iterator

import pytest
from pytest_django.plugin import DjangoDbBlocker

from builds.models import Part
from tests.pictures.pages import digests, older_than_the_pages
from tests.truth.shown import BUILDS, Shown, hours_in, three_builds

pytestmark = pytest.mark.django_db

SHARE = r"((?:over |under )?\d+ %)"


@pytest.fixture(scope="module")
def builds(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[dict[str, Shown]]:
    with three_builds(django_db_blocker) as shown:
        yield shown


def share_in(text: str, words: str) -> set[str]:
    """The shares that stand where the words have a "#"."""
    return set(re.findall(re.escape(words).replace(r"\#", SHARE), text))


def counted_parts(shown: Shown) -> list[Part]:
    """Parts with counted pieces of which the build wants several, those that lost some first."""
    counted = {entry.part for entry in shown.build.entries.filter(part__quantity__gt=1, good__gt=0)}
    lossy = {entry.part for entry in shown.build.entries.filter(scrap__gt=0)}
    ordered = sorted(filter(None, counted), key=lambda part: (part not in lossy, part.pk))
    named = [part for part in ordered if part.number in ("206", "507")]
    return [*named, *(part for part in ordered if part not in named)][:5]


@pytest.mark.parametrize("name", BUILDS)
def test_a_part_has_one_yield_counted_so_far(builds: dict[str, Shown], name: str) -> None:
    shown = builds[name]
    repeats = {one.attributes["id"]: one for one in shown.page("repeats/").all("tr", "repeat")}
    for part in counted_parts(shown):
        page = shown.part(part, "yield/")
        told = share_in(page.text, "Counted so far: # came through")
        told |= {row[2] for row in page.rows() if row and row[0].startswith("Whole route, counted so far")}
        told |= share_in(shown.part(part).text, "Counted so far: # came through")
        told |= share_in(repeats[f"part-{part.pk}"].first("td", **{"data-label": "Yield"}).text, f"# yield of {part}")
        assert len(told) == 1, (part, told)


@pytest.mark.parametrize("name", ["demonstration", "young"])
def test_a_part_has_one_yield_expected_of_the_next_blank(builds: dict[str, Shown], name: str) -> None:
    shown = builds[name]
    counter = {row[0]: row[3] for row in shown.page("counter/").rows() if len(row) == 6} if name == "young" else {}
    asked = 0
    for part in counted_parts(shown):
        blanks = shown.part(part, "blanks/").text
        told = share_in(shown.part(part, "yield/").text, "Expected of the next blank: #")
        told |= share_in(blanks, "Expected of the next blank: #")
        told |= {counter[str(part)]} if counter else set()
        assert len(told) == 1, (part, told)
        asked += "Expected of the next blank" in blanks
    assert asked


def test_what_is_counted_and_what_is_expected_stand_side_by_side_under_their_names(builds: dict[str, Shown]) -> None:
    """The valve discs: 16 of 16, 13 of 16 and 7 of 13 came through; a whole route, and a shop that loses more."""
    page = builds["demonstration"].part(builds["demonstration"].build.parts.get(number="507"), "yield/")
    lede = page.first("p", "pagehead__lede").text
    assert lede.startswith("Counted so far: 44 % came through, by the yields of 3 operations multiplied. Expected of")
    assert share_in(lede, "Expected of the next blank: #, through the whole route.") not in (set(), {"44 %"})


@pytest.mark.parametrize("name", BUILDS)
def test_the_pace_is_one_and_the_mean_week_of_the_whole_log_has_its_own_name(
    builds: dict[str, Shown], name: str
) -> None:
    shown = builds[name]
    forecast, command = shown.page("forecast/"), shown.command()
    figure, note = forecast.figure("Pace")
    pace = json.loads(shown.command("--json"))["pace_hours_per_week"]
    shown_pace = hours_in(figure)
    assert shown_pace == pytest.approx(pace, abs=0.05 if pace < 10 else 0.5)
    assert note == "recent weeks weigh more, empty ones count"
    assert f"Pace: {pace:.1f} bench hours a week, recent weeks weighing more." in command
    if asked := re.search(r"your pace ([\d.]+ h) a week", forecast.text):
        assert hours_in(asked[1]) == shown_pace
    for way in list(shown.page("forecast/", evenings="1").all("div", "whatif__way"))[:1]:
        assert hours_in(way.first("p", "quiet").text.partition("left, ")[2]) == shown_pace
    by_week = shown.page("forecast/pace/")
    for page in (forecast, by_week):
        assert page.figure("Mean week") == ("", "")
    assert by_week.figure("Mean week of the whole log")[1] == "all weeks alike, empty ones included"
    assert "mean week" not in forecast.first("section", id="what-if").text


@pytest.mark.parametrize("name", ["demonstration", "young"])
def test_a_usual_evening_is_one_and_the_next_way_is_a_whole_number_of_them(builds: dict[str, Shown], name: str) -> None:
    """The young build's evenings last 3 h 13 min, which is three hours on every page."""
    shown = builds[name]
    asked = re.search(r"A usual evening of yours is ([\d.]+) h", shown.page("forecast/").text)
    assert asked is not None
    now, then = (
        hours_in(way.first("p", "quiet").text.partition("left, ")[2])
        for way in shown.page("forecast/", evenings="2").all("div", "whatif__way")
    )
    assert then == pytest.approx((now or 0) + 2 * float(asked[1]), abs=0.55)
    assert name != "young" or float(asked[1]) == 3.0


@pytest.mark.parametrize("name", ["demonstration", "young"])
def test_each_kind_has_one_ratio_and_so_have_all_kinds_together(builds: dict[str, Shown], name: str) -> None:
    shown = builds[name]
    ratios, rates = shown.page("forecast/ratios/"), shown.page("rates/")
    known = {row[0]: row[1:6] for row in ratios.rows()[1:]}
    own_page = {row[0]: row[1:6] for row in rates.first("div", id="rates-table").rows()[1:]}
    assert own_page == known
    assert "All kinds together" in known
    for chart in rates.all("p", "chart__words"):
        assert f"{known['All kinds together'][2]} of the plan" in chart.text
    for row in rates.rows():
        if len(row) == 5 and row[0] in known and row[1].startswith("×"):
            assert row[1] == known[row[0]][2], row
    for part in counted_parts(shown)[:3]:
        for ratio, kind in re.findall(r"(× [\d.]+) \(([a-z ]+)\)", shown.part(part, "yield/").text):
            assert ratio == known["All kinds together" if kind == "all work" else kind][2]


@pytest.mark.parametrize("name", ["demonstration", "young"])
def test_the_mean_ratio_of_the_work_left_is_named_for_what_it_is(builds: dict[str, Shown], name: str) -> None:
    told, command = builds[name].page("forecast/working/").first(css="working").text, builds[name].command()
    for text in (told, command):
        assert "at your ratios" in text
        assert "planned hours left × mean ratio of the work left, each kind at its own" in text
        assert "mean hours left" in text
        assert "hours left, even chance" in text


def test_the_pictures_of_the_readme_show_the_pages_as_they_are(builds: dict[str, Shown]) -> None:
    shown = builds["demonstration"]
    older = older_than_the_pages(digests(shown.client, shown.build))
    assert older == [], "The pictures are older than these: python -m tests.pictures makes them anew."
