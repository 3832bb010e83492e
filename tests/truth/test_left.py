"""What is left is one figure: the even chance, the same on every page, with the headline inside its range."""

import json
from collections.abc import Iterator

import pytest
from pytest_django.plugin import DjangoDbBlocker

from calcs.forecast.words import nearest_two_figures
from tests.truth.shown import BUILDS, Element, Shown, hours_in, range_in, three_builds

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def builds(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[dict[str, Shown]]:
    with three_builds(django_db_blocker) as shown:
        yield shown


@pytest.fixture(autouse=True)
def kept(builds: dict[str, Shown], nothing_kept_from_the_last_test: None) -> None:
    """A forecast is worked out before the bench is asked, which would else say that it is still being worked out."""
    for shown in builds.values():
        shown.page()


def tree(plan: Element) -> dict[str, float | None]:
    """Hours left by part or assembly, as the plan's tree has them."""
    told = {row.first("a").text: row.first(css="tree__hours").text for row in plan.all("li", "tree__part")}
    for branch in plan.all("details", "tree__assembly"):
        summary = branch.first("summary")
        name = next(one for one in summary.first(css="tree__name").inside if isinstance(one, str) and one.strip())
        told[name.strip()] = summary.first(css="tree__hours").text
    return {name: hours_in(text) for name, text in told.items()}


def section_of(shown: Shown, headed: str) -> list[list[str]]:
    """The rows of the last table of a section of the forecast, without their head; none where it is not there."""
    for section in shown.page("forecast/").all("section", **{"aria-labelledby": headed}):
        *_before, table = section.all("table")
        return table.rows()[1:]
    return []


@pytest.mark.parametrize("name", BUILDS)
def test_a_part_has_the_same_hours_left_in_the_plan_on_its_page_and_at_the_bench(
    builds: dict[str, Shown], name: str
) -> None:
    shown = builds[name]
    planned = tree(shown.page())
    # Of what is done a few are enough.
    parts = [part for part in shown.parts if planned[part.name] != 0] + shown.parts[:3]
    told = {part.name: shown.part(part).figure("Left at the bench") for part in parts}
    assert {name: hours_in(figure) for name, (figure, _note) in told.items()} == {name: planned[name] for name in told}
    for name, (figure, note) in told.items():
        if ends := range_in(note):
            assert ends[0] <= (hours_in(figure) or 0) <= ends[1], name


@pytest.mark.parametrize("name", BUILDS)
def test_the_bench_tells_of_a_part_just_logged_what_the_plan_tells(builds: dict[str, Shown], name: str) -> None:
    shown = builds[name]
    planned = {f"{part}": tree(shown.page())[part.name] for part in shown.parts[:30]}
    after = shown.page("bench/evening/left/", parts=",".join(str(part.pk) for part in shown.parts[:30]))
    told = {line.first("strong").text: line.text for line in after.all("p") if "left, " in line.text}
    assert {part: hours_in(text) for part, text in told.items()} == {part: planned[part] for part in told}
    assert told or name == "finished"


@pytest.mark.parametrize("name", BUILDS)
def test_an_assembly_has_the_same_hours_left_in_the_plan_the_forecast_and_its_chart(
    builds: dict[str, Shown], name: str
) -> None:
    shown = builds[name]
    planned, rows = tree(shown.page()), section_of(shown, "assemblies-head")
    assert rows
    for assembly, _made, _done, left, between in rows:
        assert hours_in(left) == planned[assembly], assembly
        if ends := range_in(between):
            assert ends[0] <= planned[assembly] <= ends[1], assembly  # type: ignore[operator]
    in_words = shown.page("forecast/").text
    most = max(rows, key=lambda row: hours_in(row[3]) or 0)
    if hours_in(most[3]):
        assert f"Most is left on {most[0]}, {most[3]}" in in_words


def all_that_tell_of_the_whole(shown: Shown) -> Iterator[tuple[str, str]]:
    """Where the hours left of the whole build stand, and what stands there."""
    forecast = shown.page("forecast/")
    yield "forecast", " ".join(forecast.figure("Hours left"))
    yield "title block", shown.page().figure("Hours left")[0]
    yield "command", shown.command().partition("Left: ")[2].partition(" at the bench")[0]
    if ways := list(shown.page("forecast/", evenings="1").all("div", "whatif__way")):
        yield "what if", ways[0].first("p", "quiet").text


@pytest.mark.parametrize("name", BUILDS)
def test_the_whole_build_has_the_same_hours_left_everywhere(builds: dict[str, Shown], name: str) -> None:
    shown = builds[name]
    told = dict(all_that_tell_of_the_whole(shown))
    figures = json.loads(shown.command("--json"))["hours_left"]
    if figures["p90"]:
        assert {place: hours_in(text) for place, text in told.items()} == dict.fromkeys(
            told, nearest_two_figures(figures["p50"])
        )
        assert {"forecast", "title block", "command", "what if"} == set(told)
    else:
        assert not [text for text in told.values() if hours_in(text)]
    ranges = {place: range_in(text) for place, text in told.items() if range_in(text)}
    assert len(set(ranges.values())) <= 1
    for low, high in filter(None, ranges.values()):
        assert low <= nearest_two_figures(figures["p50"]) <= high


@pytest.mark.parametrize("name", BUILDS)
def test_wherever_a_range_stands_beside_an_even_chance_it_holds_it(builds: dict[str, Shown], name: str) -> None:
    beside = [row[-1] for row in section_of(builds[name], "milestones-head")]
    beside += [" ".join(row[1:3]) for row in section_of(builds[name], "widest-head")]
    for text in beside:
        even, ends = hours_in(text), range_in(text)
        assert ends is None or (even is not None and ends[0] <= even <= ends[1]), text
    assert any(map(range_in, beside)) or name == "finished"


def test_an_assembly_s_even_chance_is_that_of_the_sum_and_its_nested_parts_are_in_it(builds: dict[str, Shown]) -> None:
    planned = tree(builds["young"].page())
    inner, outer = planned["Displacer"], planned["Hot end"]
    assert inner is not None
    assert outer is not None
    assert inner < outer
    assert "the lines do not add up to the whole" in builds["young"].page().text
