"""What each chart says and draws, from records."""

from datetime import date
from io import BytesIO
from typing import Any

import pytest
from PIL import Image

from builds.charts import Chart, hours_by_assembly, hours_by_week, hours_over_time, yield_by_operation
from builds.charts.forecast.hours_by_assembly import assembly_hours
from builds.charts.forecast.hours_over_time import _outline
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.forecast.weeks import weeks_of
from builds.queries.plan.build_page import plan_tree
from builds.queries.repeats.overview import repeated_part
from builds.queries.snapshot import read_snapshot
from tests.charts.parsing import parsed, rows_drawn, strokes
from tests.factories import TODAY, make_assembly, make_build, make_entry, make_operation, make_part

pytestmark = pytest.mark.django_db

LABELS = ("early", "even chance", "late")


def worked_build() -> Any:
    """Two assemblies, one nested; half of the pieces made."""
    build = make_build()
    cylinder = make_assembly(build, "Cylinder")
    rings = make_assembly(build, "Rings", parent=cylinder)
    frame = make_assembly(build, "Frame <b>$1$</b>")
    for number, assembly in (("1", rings), ("2", cylinder), ("3", frame)):
        route = ({"kind": "turning", "setup_minutes": 30, "minutes_per_unit": 60.0},)
        part = make_part(build, number, f"Part {number}", quantity=4, assembly=assembly, operations=route)
        if number != "3":
            operation = part.operations.get()
            make_entry(build, date(2026, 3, 2), 240, part=part, operation=operation, good=2, scrap=1)
            make_entry(build, date(2026, 6, 8), 120, part=part, operation=operation, good=1)
    return build


def build_forecast(build: Any, as_of: date = TODAY) -> BuildForecast:
    return forecast_of(build, as_of)


def texts(chart: Chart) -> list[str]:
    root = parsed(chart.drawings[0])
    return ["".join(element.itertext()) for element in root.iter() if element.tag.endswith("}text")]


def test_hours_over_time_draws_the_log_and_the_range() -> None:
    chart = hours_over_time(build_forecast(worked_build()))
    assert chart is not None
    assert chart.title == "Bench hours so far, and the range up to the finish"
    assert chart.description.startswith("12 h at the bench from March 2026 to November 2026.")
    assert "1 chance in 10" in chart.description
    assert chart.rows[0] == ("March 2026", "8.0 h", "8.0 h")
    assert chart.rows[3] == ("June 2026", "4.0 h", "12 h")
    assert [row[0] for row in chart.rows[-3:]] == ["Early (1 chance in 10)", "Even chance", "Late (9 chances in 10)"]
    assert [words for words in texts(chart) if words in LABELS] == ["early", "even chance", "late"]
    assert "12 h done" in texts(chart)
    assert all(len(rows_drawn(drawing)) == len(chart.rows) for drawing in chart.drawings)
    assert "pattern" in chart.drawings[0]
    assert "stroke-dasharray" in chart.drawings[0]


def test_hours_over_time_without_an_forecast_draws_the_log_alone() -> None:
    build = make_build()
    make_entry(build, date(2026, 3, 2), 90, activity="other")
    chart = hours_over_time(build_forecast(build))
    assert chart is not None
    assert chart.title == "Bench hours so far"
    assert chart.description == "1.5 h were logged at the bench from March 2026 to November 2026."
    assert "pattern" not in chart.drawings[0]
    assert len(chart.rows) == 9


def test_an_empty_log_has_no_charts_over_time() -> None:
    build = make_build()
    make_part(build)
    assert hours_over_time(build_forecast(build)) is None
    assert hours_by_week(weeks_of(read_snapshot(build, TODAY))) is None


def test_nothing_to_do_and_nothing_done_has_no_chart_by_assembly() -> None:
    build = make_build()
    make_assembly(build)
    assert hours_by_assembly(plan_tree(build_forecast(build))) is None


def test_an_assembly_holds_what_nests_in_it() -> None:
    now = build_forecast(worked_build())
    cylinder, frame = assembly_hours(plan_tree(now))
    assert (cylinder.name, cylinder.counts.words, cylinder.done) == ("Cylinder", "0 of 2", 12.0)
    assert frame.done == 0
    # The parts' own figures come from the same draws, so their means add up to their assembly's.
    lefts = {key: part.hours_left for key, part in now.by_part.items()}
    branch = plan_tree(now)[0]
    inner = [planned.line.part.pk for planned in branch.all_parts]
    assert branch.hours_left is not None
    assert branch.hours_left.mean == pytest.approx(sum(lefts[key].mean for key in inner if lefts[key]))
    assert cylinder.left == branch.hours_left.p50
    assert cylinder.low is not None
    assert cylinder.high is not None
    assert cylinder.left is not None
    assert cylinder.low < cylinder.left < cylinder.high


def test_an_assembly_without_a_figure_is_not_known_rather_than_nothing() -> None:
    build = make_build()
    make_part(build, operations=({"kind": "turning", "minutes_per_unit": None},))
    (line,) = assembly_hours(plan_tree(build_forecast(build)))
    assert line.left is None
    assert line.name == "Parts in no assembly"


def test_hours_by_assembly_shows_hostile_names_as_text() -> None:
    now = build_forecast(worked_build())
    chart = hours_by_assembly(plan_tree(now))
    assert chart is not None
    assert "Frame <b>$1$</b>" in texts(chart)
    assert any(words.startswith("12 h done, ") for words in texts(chart))
    assert [row[:2] for row in chart.rows] == [("Cylinder", "12 h"), ("Frame <b>$1$</b>", "0 h")]
    assert "Most was done on Cylinder, 12 h." in chart.description


def test_weeks_without_work_are_gaps() -> None:
    build = make_build()
    for worked_on in (date(2026, 11, 2), date(2026, 11, 16)):
        make_entry(build, worked_on, 120, activity="other")
    chart = hours_by_week(weeks_of(read_snapshot(build, TODAY)))
    assert chart is not None
    assert chart.description == "Work in 2 of 4 weeks; the fullest, from 2 November 2026, has 2.0 h."
    assert chart.rows == (("2026", "4", "2", "4.0 h"),)
    assert strokes(chart.drawings[0], fill="#c79a3a") == 2


def test_yield_by_operation_tells_first_time_and_after_rework() -> None:
    build = make_build()
    part = make_part(build, quantity=12, operations=({"kind": "turning", "minutes_per_unit": 10.0},))
    lapping = make_operation(part, "lapping", minutes_per_unit=5.0, title="Lap <to> $size$")
    make_entry(build, date(2026, 3, 2), 60, part=part, operation=part.operations.first(), good=20)
    make_entry(build, date(2026, 3, 3), 60, part=part, operation=lapping, good=14, reworked=6, scrap=6)
    snapshot = read_snapshot(build, TODAY)
    chart = yield_by_operation(repeated_part(snapshot, snapshot.parts[0]))
    assert chart is not None
    assert chart.rows[1][:6] == ("20 Lap <to> $size$", "14", "6", "6", "40 %", "70 %")
    assert "lowest yield is 70 % at 20 Lap <to> $size$ (14 good of 20, 40 % the first time)" in chart.description
    assert "20 Lap <to> $size$" in texts(chart)
    assert "70 %, 14 of 20 good" in texts(chart)
    assert texts(chart).count("the first time") == 1


def test_nothing_counted_has_no_yield() -> None:
    build = make_build()
    make_part(build, quantity=12)
    snapshot = read_snapshot(build, TODAY)
    assert yield_by_operation(repeated_part(snapshot, snapshot.parts[0])) is None


def test_a_chart_has_the_same_bytes_for_the_same_records() -> None:
    from django.core.cache import cache

    build = worked_build()
    first = hours_over_time(build_forecast(build))
    cache.clear()
    assert hours_over_time(build_forecast(build)) == first


def test_the_outline_encloses_its_points() -> None:
    corners = [(0, 0), (4, 0), (4, 4), (0, 4), (2, 2), (1, 3)]
    assert set(_outline(corners)) == {(0, 0), (4, 0), (4, 4), (0, 4)}
    on_one_line = [(1, 0), (1, 2), (1, 5)]
    assert _outline(on_one_line) == on_one_line


def test_a_drawing_for_paper_is_fine_and_on_white() -> None:
    chart = hours_by_assembly(plan_tree(build_forecast(worked_build())))
    assert chart is not None
    with Image.open(BytesIO(chart.for_print())) as drawing:
        assert drawing.format == "PNG"
        # 300 dots to an inch across the width of a page, and a little over.
        assert 1800 < drawing.width < 2600
        assert drawing.convert("RGB").getpixel((0, 0)) == (255, 255, 255)
    assert chart.for_print() == chart.for_print()
