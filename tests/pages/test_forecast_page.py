"""The forecast page: with much, little and nothing in the records."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.charts.forecast.assembly_bars import assembly_bars
from builds.charts.forecast.hours_by_assembly import AssemblyHours
from builds.models import Milestone
from builds.models.choices import Role
from builds.queries.plan.role_counts import PartCounts, RoleCount
from builds.views.forecast.pieces import PIECES
from calcs.forecast.trust import trust_lines
from tests.factories import make_assembly, make_build, make_entry, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch, today: date) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: today)


def address(build: Any) -> str:
    return reverse("builds:forecast", args=[build.slug])


def page(client: Client, build: Any, **query: str) -> str:
    response = client.get(address(build), query)
    assert response.status_code == 200
    return response.content.decode()


def worked_build(parts: int = 2) -> Any:
    build = make_build()
    assembly = make_assembly(build)
    route = ({"kind": "turning", "setup_minutes": 30, "minutes_per_unit": 60.0},)
    for n in range(parts):
        part = make_part(build, str(n + 1), f"Part {n + 1}", quantity=3, assembly=assembly, operations=route)
        make_entry(
            build, date(2026, 10, 5) + timedelta(days=n), 150, part=part, operation=part.operations.get(), good=1
        )
    return build


def test_an_empty_build_says_what_is_missing_and_where_to_begin(signed_in: Client) -> None:
    build = make_build()
    html = page(signed_in, build)
    assert "How much is left cannot be told yet." in html
    assert "No hours are logged yet" in html
    assert "No part has a figure yet" in html
    assert reverse("builds:bench", args=[build.slug]) in html
    assert '<svg class="drawing' not in html


def test_a_log_without_figures_shows_the_log(signed_in: Client) -> None:
    build = make_build()
    make_part(build, name="Odd & <end>", operations=())
    make_entry(build, minutes=90, activity="other")
    html = page(signed_in, build)
    assert "Bench hours so far" in html
    assert "No part has a figure yet" in html
    assert "14 Odd &amp; &lt;end&gt;</a>" in html


def test_figures_without_a_log_tell_hours_but_no_date(signed_in: Client) -> None:
    build = make_build()
    make_part(build)
    html = page(signed_in, build)
    assert "when they are worked cannot be told yet" in html
    assert "chance that it is finished" not in html
    assert "No hours are logged yet" in html


def test_a_worked_build_has_a_range_with_its_chance(signed_in: Client) -> None:
    html = page(signed_in, worked_build())
    assert "4 chances in 5 that the finish falls there." in html
    assert "There is an even chance that it is finished by" in html
    assert "Bench hours so far, and the range up to the finish" in html


def piece(client: Client, build: Any, key: str, headers: dict[str, str] | None = None, **query: str) -> str:
    response = client.get(reverse("builds:forecast_piece", args=[build.slug, key]), query, headers=headers)
    assert response.status_code == 200
    return response.content.decode()


SAID = {
    "working": '<ol class="working__steps">',
    "ratios": "All kinds together",
    "pace": "Bench hours week by week",
    "trust": "Hours in the range",
}


@pytest.mark.parametrize("key", SAID)
def test_what_lies_behind_the_figures_is_fetched_by_a_fold_and_has_a_page_of_its_own(
    signed_in: Client, key: str
) -> None:
    build = worked_build()
    html, to = page(signed_in, build), reverse("builds:forecast_piece", args=[build.slug, key])
    assert SAID[key] not in html
    assert f'hx-get="{to}"' in html
    assert f'<a href="{to}">' in html
    alone = piece(signed_in, build, key, {"HX-Request": "true"})
    assert SAID[key] in alone
    assert "<html" not in alone
    whole = piece(signed_in, build, key)
    assert alone in whole
    assert "<html" in whole
    assert str(PIECES[key].title) in whole


def test_what_lies_behind_an_earlier_day_is_of_that_day(signed_in: Client) -> None:
    build = worked_build()
    make_entry(build, date(2026, 11, 20), 600, part=build.parts.first())
    to = reverse("builds:forecast_piece", args=[build.slug, "pace"])
    assert f'hx-get="{to}?as_of=2026-10-31"' in page(signed_in, build, as_of="2026-10-31")
    assert "15 h" in piece(signed_in, build, "pace")
    earlier = piece(signed_in, build, "pace", as_of="2026-10-31")
    assert "15 h" not in earlier
    assert f'href="{address(build)}?as_of=2026-10-31"' in earlier
    assert "As of 31 Oct 2026." in earlier


def test_the_forecast_has_no_other_pieces(signed_in: Client) -> None:
    assert signed_in.get(f"{address(worked_build())}weather/").status_code == 404


def test_an_assembly_has_a_bar_on_the_scale_of_the_longest() -> None:
    counts = PartCounts(RoleCount(Role.DETAIL, 0, 1), ())
    frame, stand, lamp = assembly_bars(
        (
            AssemblyHours("Frame", counts, 30.0, 50.0, 40.0, 70.0),
            AssemblyHours("Stand", counts, 25.0, 0.0, 0.0, 0.0),
            AssemblyHours("Lamp", counts, 0.0, None, None, None),
        )
    )
    assert (frame.done, frame.left, frame.low, frame.high) == ("30.0%", "80.0%", "70.0%", "100.0%")
    assert (stand.done, stand.left, stand.low, stand.high) == ("25.0%", "", "", "")
    assert (lamp.done, lamp.left, lamp.low, lamp.high) == ("0.0%", "", "", "")


def test_no_style_attribute_and_no_inline_script_reach_the_page(signed_in: Client) -> None:
    html = page(signed_in, worked_build())
    assert " style=" not in html
    assert "<style" not in html
    assert "<script>" not in html


def test_milestones_ahead_have_a_range_and_reached_ones_their_date(signed_in: Client) -> None:
    build = worked_build()
    ahead = Milestone.objects.create(build=build, name="First run", position=0)
    ahead.parts.add(build.parts.first())
    Milestone.objects.create(build=build, name="Frame stands", position=1, reached_on=date(2026, 5, 4))
    html = page(signed_in, build)
    assert "First run" in html
    assert "reached on 4 May 2026" in html
    assert html.count("reached on") == 1
    assert "Other work goes on meanwhile: of ten hours about" in html
    assert "go into what “First run” needs." in html


def test_other_work_is_not_spoken_of_where_no_milestone_lies_ahead(signed_in: Client) -> None:
    build = worked_build()
    Milestone.objects.create(build=build, name="Frame stands", reached_on=date(2026, 5, 4))
    assert "Other work goes on meanwhile" not in page(signed_in, build)


def test_an_earlier_day_knows_only_what_was_logged_by_then(signed_in: Client) -> None:
    build = worked_build()
    make_entry(build, date(2026, 11, 20), 600, part=build.parts.first())
    assert "<dd>15 h</dd>" in page(signed_in, build)
    earlier = page(signed_in, build, as_of="2026-10-31")
    assert "<dd>5.0 h</dd>" in earlier
    assert "As it looked on 31 Oct 2026" in earlier


@pytest.mark.parametrize(("typed", "refusal"), [("2027-01-01", "still to come"), ("yesterday", "not a date")])
def test_a_day_that_cannot_be_shown_is_refused_beside_todays_forecast(
    signed_in: Client, typed: str, refusal: str
) -> None:
    html = page(signed_in, worked_build(), as_of=typed)
    assert refusal in html
    assert "As it looked on 1 Jan" not in html
    assert "<dd>5.0 h</dd>" in html


def test_parts_take_no_queries_of_their_own(signed_in: Client) -> None:
    assert queries(signed_in, lambda: worked_build(1)) == queries(signed_in, lambda: worked_build(3))


def queries(client: Client, build_of: Callable[[], Any]) -> int:
    build = build_of()
    page(client, build)
    with CaptureQueriesContext(
        connection,
    ) as captured:
        page(client, build)
    return len(captured)


def test_the_forecast_is_for_those_who_signed_in(client: Client) -> None:
    response = client.get(address(make_build()))
    assert response.status_code == 302
    assert reverse("sign_in") in response["Location"]


def test_it_says_how_far_it_is_to_be_trusted_with_the_measured_figures(signed_in: Client) -> None:
    html = piece(signed_in, worked_build(), "trust")
    together = trust_lines()[-1].measured
    said = f"{together.held} had the hours in their range, {together.under_safe} stayed under the fairly safe figure"
    assert said in " ".join(html.split())
    assert all(line.title in html for line in trust_lines())
