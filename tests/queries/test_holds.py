"""What holds each milestone: its open work, the chain with the most hours, the drawing, and a part that comes late."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.charts.network import NetworkDrawing, network_drawing
from builds.models import Build, Milestone, Part
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.forecast.holds import MilestoneWork, milestones_held
from builds.services.plan import records as plan
from tests import factories
from tests.factories import TODAY

DAYS_OF_A_MONTH = 30


def route(hours: float, *kinds: str) -> list[dict[str, Any]]:
    return [{"kind": kind, "minutes_per_unit": 60 * hours} for kind in kinds]


@pytest.fixture
def build(db: None) -> Any:
    """About three hours an evening, once a week."""
    build = factories.make_build()
    other = factories.make_part(build, "9", "Stand", operations=route(1, "making"))
    for week in range(20):
        factories.make_entry(build, TODAY - timedelta(weeks=week), 180, part=other, operation=other.operations.get())
    return build


def milestone(build: Build, name: str, parts: list[Part], operations: list[Any] | None = None) -> Milestone:
    record = Milestone(build=build, name=name)
    return plan.save_milestone(milestone=record, parts=parts, assemblies=[], operations=operations or [], by=None)


def held(build: Build) -> list[MilestoneWork]:
    return list(milestones_held(forecast_of(build, TODAY)))


def wait(part: Part) -> None:
    part = Part.objects.get(pk=part.pk)
    part.waiting_for, part.waiting_since_on = "post", date(2026, 10, 6)
    plan.save(record=part, by=None)


def test_open_work_stands_in_order_with_what_it_needs_and_what_waits_first(build: Any) -> None:
    bush, rod, pin, valve = (factories.make_part(build, n, f"Part {n}") for n in ("4", "3", "2", "1"))
    factories.make_need(pin, rod)
    factories.make_need(rod, bush)
    milestone(build, "First turn", [pin, valve])
    milestone(build, "Steam", [rod])
    wait(pin)
    first, second = held(build)

    assert [one.row.part.number for one in first.work] == ["2", "4", "1", "3"]
    assert [one.waits for one in first.work] == [True, False, False, False]
    assert [[lacking.words for lacking in one.missing] for one in first.work] == [["3 Part 3"], [], [], ["4 Part 4"]]
    assert [one.row.part.number for one in second.work] == ["4", "3"]


def test_the_chain_adds_up_to_the_means_of_its_parts(build: Any) -> None:
    long, short = (
        factories.make_part(build, "1", "Long", operations=route(9, "turning", "boring")),
        factories.make_part(build, "2", "Short", operations=route(2, "turning")),
    )
    last = factories.make_part(build, "3", "Last", operations=route(4, "fitting"))
    factories.make_need(last, long.operations.first())
    factories.make_need(last, short)
    milestone(build, "First turn", [last])
    (found,) = held(build)
    by_part = forecast_of(build, TODAY).by_part

    assert [link.words for link in found.chain] == ["1 Long, 10 turning", "3 Last, 10 fitting"]
    means = [by_part[part.pk].hours_left.mean for part in (long, last)]
    assert found.chain_hours == pytest.approx(means[0] / 2 + means[1])
    # Of the first part only the operation that is needed counts, at its share of the part's hours.
    left = {one.row.part.number: one.left for one in found.work}
    assert left["1"].p50 == pytest.approx(by_part[long.pk].hours_left.p50 / 2)
    assert left["3"] == by_part[last.pk].hours_left


def test_a_milestone_that_names_an_operation_needs_its_route_as_far_as_that(build: Any) -> None:
    erection = factories.make_part(build, "802", operations=route(5, "fitting", "fitting", "inspecting"))
    pipes, valve = factories.make_part(build, "1"), factories.make_part(build, "2")
    _first, second, third = erection.operations.all()
    factories.make_need(second, pipes)
    factories.make_need(third, valve)
    milestone(build, "First turn", [], [second])
    (found,) = held(build)
    assert [one.row.part.number for one in found.work] == ["802", "1"]


def test_a_part_that_comes_late_moves_the_date_only_where_nothing_else_fills_the_time(build: Any) -> None:
    valve = factories.make_part(build, "1", "Valve", operations=route(2, "fitting"))
    milestone(build, "First turn", [valve])
    wait(valve)
    (alone,) = held(build)
    assert alone.forecast.finish_on.p50 < TODAY + timedelta(days=DAYS_OF_A_MONTH)
    late = alone.work[0].late
    assert 10 < late.days <= DAYS_OF_A_MONTH
    assert late.words == f"If it came a month from now, the even chance would move by about {told(late.days)}."

    build = Build.objects.get(pk=build.pk)
    large = factories.make_part(build, "2", "Block", operations=route(200, "boring"))
    milestone(build, "First steam", [large, valve])
    late = held(build)[1].work[0].late
    assert (late.days, late.words) == (0, "If it came a month from now, the even chance would stay where it is.")


def told(days: int) -> str:
    return f"{days} days" if days < 21 else f"{round(days / 7)} weeks"


def test_the_month_counts_from_what_follows_the_part(build: Any) -> None:
    valve = factories.make_part(build, "1", "Valve", operations=route(1, "fitting"))
    trial = factories.make_part(build, "2", "Trial", operations=route(3, "fitting"))
    factories.make_need(trial, valve)
    milestone(build, "First turn", [trial])
    wait(valve)
    (found,) = held(build)
    steps = {step.symbol: step for step in found.work[0].late.working.steps}
    by_part = forecast_of(build, TODAY).by_part
    assert steps["hours from then on"].result == pytest.approx(
        sum(by_part[part.pk].hours_left.mean for part in (valve, trial))
    )
    assert steps["it comes"].result == "25 December 2026"


def drawing(build: Build) -> NetworkDrawing:
    found = network_drawing(held(build)[0])
    assert found is not None
    return found


def test_boxes_stand_from_left_to_right_and_do_not_cover_one_another(build: Any) -> None:
    parts = [factories.make_part(build, str(n), f"Part {n}", operations=route(1, "boring")) for n in range(8)]
    for first, second in ((0, 3), (1, 3), (2, 4), (3, 5), (0, 5), (4, 5)):
        factories.make_need(parts[second], parts[first])
    milestone(build, "First turn", parts)
    wait(parts[2])
    drawn = drawing(build)

    at = {box.name: (box.x, box.y) for box in drawn.boxes}
    assert at["Part 0"][0] < at["Part 3"][0] < at["Part 5"][0]
    assert len(set(at.values())) == 8
    for box in drawn.boxes:
        assert box.x + drawn.box_width < drawn.width
        assert box.y + drawn.box_height < drawn.height
    assert [box.name for box in drawn.boxes if box.waits] == ["Part 2"]
    assert len(drawn.lines) == 6
    for kind, all_of_it in (("line", drawn.lines), ("box", drawn.boxes)):
        assert sum(one.path.count("M") for one in drawn.strokes if one.kind == kind) == len(all_of_it)
    assert sum(line.on_chain for line in drawn.lines) == sum(box.on_chain for box in drawn.boxes) - 1 == 2


def test_what_is_done_is_drawn_as_done_where_open_work_follows_it(build: Any) -> None:
    done, old, waiting = (factories.make_part(build, str(n), f"Part {n}") for n in range(3))
    factories.make_need(waiting, done)
    factories.make_need(done, old)
    for part in (done, old):
        factories.make_entry(build, part=part, operation=part.operations.get(), good=1)
    milestone(build, "First turn", [waiting])
    drawn = drawing(build)
    assert {box.name: box.done for box in drawn.boxes} == {"Part 0": True, "Part 2": False}
    assert [line.done for line in drawn.lines] == [True]


@pytest.mark.parametrize("size", [1, 5])
def test_what_holds_milestones_takes_eleven_queries(build: Any, django_assert_num_queries: Any, size: int) -> None:
    for n in range(size):
        first, second = (factories.make_part(build, f"{n}{which}") for which in "ab")
        factories.make_need(second, first)
        milestone(build, f"Milestone {n}", [second])
    forecast_of(build, TODAY)
    with django_assert_num_queries(11):
        assert [network_drawing(work) for work in held(build)]


def test_the_page_tells_each_milestone_and_says_so_where_there_is_none(signed_in: Client, build: Any) -> None:
    where = f"/builds/{build.slug}/holds/"
    assert "No milestone is ahead." in signed_in.get(where).content.decode()

    bore, piston = factories.make_part(build, "1", "Bore <b>"), factories.make_part(build, "2", "Piston")
    milestone(build, "First turn", [piston])
    assert "so it can be taken on in any order" in signed_in.get(where).content.decode()
    factories.make_need(piston, bore)
    wait(bore)
    page = signed_in.get(where).content.decode()
    for words in ("The chain with the most hours", "Bore &lt;b&gt;", "first:", "If it came a month from now", "<desc"):
        assert words in page
    assert "2 parts (waiting: 1)" in page
    assert "style=" not in page


def test_the_next_milestone_is_open_and_the_others_are_fetched_when_they_are_opened(
    signed_in: Client, build: Any
) -> None:
    piston, valve = factories.make_part(build, "1", "Piston"), factories.make_part(build, "2", "Valve")
    factories.make_need(valve, piston)
    first, second = milestone(build, "First turn", [piston]), milestone(build, "Steam", [valve])
    where = f"/builds/{build.slug}/holds/"
    page = signed_in.get(where).content.decode()
    assert '<h2 id="holds-head">First turn</h2>' in page
    assert "2 Valve" not in page
    assert f'hx-get="{where}?milestone={second.pk}"' in page
    assert f'<a href="{where}?milestone={second.pk}">' in page
    asked = {"milestone": second.pk}
    alone = signed_in.get(where, asked, headers={"HX-Request": "true"}).content.decode()
    assert "2 Valve" in alone
    assert "<html" not in alone
    whole = signed_in.get(where, asked).content.decode()
    assert alone.strip() in whole
    assert '<h2 id="holds-head">Steam</h2>' in whole
    assert f"?milestone={first.pk}" in whole
    for nonsense in ("0", "x", "-1", "9" * 400):
        assert '<h2 id="holds-head">First turn</h2>' in signed_in.get(where, {"milestone": nonsense}).content.decode()


def test_folded_milestones_take_no_queries_of_their_own(signed_in: Client, build: Any) -> None:
    where, counted = f"/builds/{build.slug}/holds/", []
    for number in range(4):
        milestone(build, f"Milestone {number}", [factories.make_part(build, str(number))])
        signed_in.get(where)
        with CaptureQueriesContext(connection) as captured:
            # What is asked for is never kept.
            signed_in.get(where, {"milestone": "0"})
        counted.append(len(captured))
    assert len(set(counted)) == 1


def test_a_finished_build_holds_nothing(build: Any) -> None:
    milestone(build, "First turn", [factories.make_part(build, "1")])
    build.state = "finished"
    plan.edit_build(build=build, by=None)
    assert held(build) == []
