"""The page of a year in the shop: full, empty, the first and the running one, and while months are worked out."""

import re
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.models import Build, Photo
from builds.queries.background import background
from builds.queries.forecast.replay_work import replay_of
from tests.factories import TODAY, make_build, make_builder, make_entry, make_part
from tests.truth.shown import Element, read

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: TODAY)


@pytest.fixture(autouse=True)
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What the background is asked for; another thread would not see what a test has not committed."""
    asked: list[str] = []
    monkeypatch.setattr(background, "ask", lambda key, job: asked.append(key))
    return asked


def worked_build(parts: int = 4) -> Build:
    """A part a quarter from January 2025 on, a piece lost at each."""
    build = make_build(started_on=date(2024, 1, 1))
    for n in range(parts + 1):
        route = ({"kind": "turning", "setup_minutes": 30, "minutes_per_unit": 60.0},)
        part = make_part(build, str(n + 1), f"Ring {n + 1}", quantity=3, operations=route)
        if n < parts:
            day = date(2025, 1, 10) + timedelta(days=(600 // parts) * n)
            fields = {"operation": part.operations.get(), "good": 3, "scrap": 1, "scrap_reason": "broke"}
            make_entry(build, day, 240, part=part, builder=make_builder("Ada"), **fields)
    return build


def page(client: Client, build: Build, year: int = 2026) -> Element:
    response = client.get(reverse("builds:year", args=[build.slug, year]))
    assert response.status_code == 200
    return read(response.content.decode())


def test_a_year_tells_its_hours_and_what_was_made(signed_in: Client) -> None:
    build = worked_build()

    shown = page(signed_in, build, 2025)

    assert shown.first("h1").text == "2025 in the shop"
    assert shown.figure("Hours")[0] == "12 h"
    assert shown.figure("Evenings")[0] == "3"
    assert shown.figure("Mean evening")[0] == "4 h"
    assert shown.figure("Details finished")[0] == "3"
    assert shown.figure("Pieces finished")[0] == "9"
    assert shown.figure("Pieces scrapped")[0] == "3"
    rows = shown.rows()
    assert ["1 Ring 1 × 3", "10 Jan 2025"] in rows
    assert ["broke", "3", "100 %", "100 %"] in rows
    assert ["January", "4.0 h", "1"] in rows
    assert "The log begins on 10 Jan 2025." in shown.text
    assert "Friday 10 January: 4 h" in shown.text


def test_the_running_year_says_so_and_is_held_against_as_much_of_the_last(signed_in: Client) -> None:
    shown = page(signed_in, worked_build())

    assert "The year so far, up to 25 Nov 2026." in shown.text
    assert shown.figure("Hours") == ("4.0 h", "8.0 h fewer than by the same day of 2025")
    assert ["April", "4.0 h", "1", "0 h"] in shown.rows()
    assert ["January", "0 h", "0", "4.0 h"] in shown.rows()


def test_the_hours_are_drawn_with_the_year_before_and_their_table(signed_in: Client) -> None:
    shown = page(signed_in, worked_build())
    chart = shown.first("figure", "chart", id="hours-of-year")

    assert chart.first("figcaption").text == "Bench hours month by month, 2026"
    assert chart.rows()[0] == ["Month", "Bench hours", "Evenings", "Year before"]
    assert [row[0] for row in chart.rows()[1:]][:2] == ["January", "February"]
    assert len(chart.rows()) == 12


def test_a_year_without_an_entry_looks_like_one(signed_in: Client) -> None:
    build = worked_build()

    shown = page(signed_in, build, 2024)

    assert "Nothing stands in the records for 2024" in shown.text
    assert not list(shown.all("dl", "figures"))
    assert [one.text for one in shown.first("nav", **{"aria-label": "Years"}).all("a")] == [
        "2025",
        "Its entries in the log book",
        "All builds",
    ]


def test_an_empty_build_offers_the_bench_in_the_running_year(signed_in: Client) -> None:
    build = make_build()

    answer = signed_in.get(reverse("builds:years", args=[build.slug]), follow=True)

    assert answer.redirect_chain[0][0] == f"/builds/{build.slug}/years/2026/"
    html = answer.content.decode()
    assert "Log an evening" in html
    assert "months are worked out" not in html


@pytest.mark.parametrize("year", [0, 1, 2023, 2027, 99999])
def test_a_year_that_the_build_has_not_is_not_found(signed_in: Client, year: int) -> None:
    assert signed_in.get(reverse("builds:year", args=[worked_build().slug, year])).status_code == 404


def test_the_page_leads_to_the_year_of_the_last_entry(signed_in: Client) -> None:
    answer = signed_in.get(reverse("builds:years", args=[worked_build(1).slug]))

    assert answer.headers["Location"].endswith("/years/2025/")


def test_what_is_not_known_and_what_went_over_days_is_said(signed_in: Client) -> None:
    build = worked_build()
    make_entry(build, date(2025, 3, 1), None, activity="other")
    make_entry(build, date(2025, 5, 9), 300, activity="other", since_on=date(2025, 5, 1))

    text = page(signed_in, build, 2025).text

    assert "1 entry has no known time: there were at least these hours" in text
    assert "1 entry stands for several days: its hours are shared out among them" in text


def test_the_forecast_of_the_year_is_drawn_from_what_is_kept(signed_in: Client, asked: list[str]) -> None:
    build = worked_build()
    replay_of(build, TODAY)

    shown = page(signed_in, build, 2025)

    assert "How the forecast moved" in shown.text
    days = [row[0] for row in shown.first("figure", "chart", id="hours-foreseen").rows()[1:]]
    assert days[0] == "31 Dec 2025"
    assert {day[-4:] for day in days} == {"2025"}
    assert asked == []
    running = page(signed_in, build, 2026).first("figure", "chart", id="hours-foreseen").rows()
    assert (running[1][0], running[-1][0]) == ("25 Nov 2026", "31 Dec 2025")


def test_while_months_are_worked_out_the_rest_of_the_page_is_there(signed_in: Client, asked: list[str]) -> None:
    build = worked_build()
    where = reverse("builds:year", args=[build.slug, 2025])

    shown = page(signed_in, build, 2025)

    assert shown.figure("Hours")[0] == "12 h"
    waiting = shown.first("section", id="course")
    assert waiting.attributes["hx-get"] == f"{where}?look=1"
    assert re.search(r"0 of \d+ months are worked out", waiting.text)
    assert len(asked) == 1
    looked = signed_in.get(where, {"look": 1}, headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in looked
    assert "<h1" not in looked
    assert "?look=2" in looked
    replay_of(build, TODAY)
    ready = signed_in.get(where, {"look": 2}, headers={"HX-Request": "true"}).content.decode()
    assert ready.strip().startswith('<section class="section" id="course"')


def test_photos_of_the_year_are_shown_with_their_day(signed_in: Client) -> None:
    build = worked_build()
    Photo.objects.create(build=build, image="a.jpg", caption="Rings, all broken", taken_on=date(2025, 4, 1))
    Photo.objects.create(build=build, image="b.jpg", caption="No day")

    text = page(signed_in, build, 2025).text

    assert "Rings, all broken 1 Apr 2025" in text
    assert "1 photo of this build has no day and stands in no year." in text
    assert "Rings, all broken" not in page(signed_in, build, 2026).text


def test_it_is_shown_anew_after_a_line_of_the_log(signed_in: Client) -> None:
    build = worked_build()
    before = page(signed_in, build).figure("Hours")[0]
    make_entry(build, date(2026, 9, 4), 600, activity="other")

    assert (before, page(signed_in, build).figure("Hours")[0]) == ("4.0 h", "14 h")


def test_log_book_and_forecast_lead_to_it(signed_in: Client) -> None:
    build = worked_build()
    for name in ("log", "forecast"):
        html = signed_in.get(reverse(f"builds:{name}", args=[build.slug])).content.decode()
        assert f'href="/builds/{build.slug}/years/"' in html


def test_parts_and_photos_take_no_queries_of_their_own(signed_in: Client) -> None:
    def queries(parts: int) -> int:
        build = worked_build(parts)
        for part in build.parts.all():
            Photo.objects.create(build=build, image="a.jpg", part=part, taken_on=date(2025, 4, 1))
        with CaptureQueriesContext(connection) as captured:
            page(signed_in, build, 2025)
        return len(captured)

    assert queries(2) == queries(6)


def test_it_is_for_those_who_signed_in(client: Client) -> None:
    assert client.get(reverse("builds:year", args=[make_build().slug, 2026])).status_code == 302


# ---- all builds together ----


def test_the_shops_year_leads_to_that_of_each_build(signed_in: Client) -> None:
    build = worked_build()

    answer = signed_in.get(reverse("builds:shop_years"), follow=True)

    assert answer.redirect_chain[0][0] == "/years/2026/"
    shown = read(answer.content.decode())
    assert ["Beam engine", "4.0 h", "1", "1", "1"] in shown.rows()
    assert shown.figure("Evenings")[0] == "1"
    assert ["April", "4.0 h", "1", "0 h"] in shown.rows()
    assert f'href="/builds/{build.slug}/years/2026/"' in answer.content.decode()
    assert 'href="/years/"' in signed_in.get("/").content.decode()


def test_a_quiet_year_of_the_shop_says_so_and_one_without_builds_is_not_found(signed_in: Client) -> None:
    worked_build()

    assert "Nothing stands in the records for 2024" in signed_in.get("/years/2024/").content.decode()
    assert signed_in.get("/years/2023/").status_code == 404
    assert signed_in.get("/years/2027/").status_code == 404
