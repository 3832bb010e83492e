"""The page of own rates: what it shows, what it refuses, and taking the rates over."""

import re
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.models import Build, Material, Operation
from builds.services.shop.items import keep
from tests.factories import TODAY, make_build, make_entry, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch, today: date) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: today)


def worked_build(parts: int = 8, done: int = 6) -> Build:
    build = make_build()
    brass, steel = (Material.objects.get_or_create(name=name)[0] for name in ("Brass", "Mild steel"))
    for n in range(parts):
        route = (
            {"kind": "turning", "setup_minutes": 20, "minutes_per_unit": 30.0},
            {"kind": "drilling", "basis": "hole", "amount": 4, "minutes_per_unit": 2.0, "origin": "worked out"},
        )
        material = brass if n % 2 else steel
        part = make_part(build, str(n), f"Stud {n}", quantity=4, operations=route, material=material)
        turning, drilling = part.operations.order_by("number")
        if n < done:
            day = TODAY - timedelta(weeks=n + 1)
            make_entry(build, day, 280 + 20 * n, part=part, operation=turning, good=4, note=f"chatter at {n}")
            make_entry(build, day, 48, part=part, operation=drilling, good=4)
    return build


def page(client: Client, build: Build, **query: str) -> str:
    response = client.get(reverse("builds:rates", args=[build.slug]), query)
    assert response.status_code == 200
    return response.content.decode()


def take(client: Client, build: Build, **data: str) -> str:
    response = client.post(reverse("builds:apply_rates", args=[build.slug]), data, follow=True)
    assert response.status_code == 200
    return response.content.decode()


def figures(build: Build, kind: str) -> set[tuple[float | None, str]]:
    open_ones = Operation.objects.filter(part__build=build, kind=kind, entries__isnull=True)
    return {(round(one.minutes_per_unit or 0, 1), one.origin) for one in open_ones}


def test_an_empty_build_says_what_would_be_compared(signed_in: Client) -> None:
    html = page(signed_in, make_build())

    assert "Nothing to compare yet" in html
    assert "So far no operation has been logged against a plan" in html
    assert "Use my rates" not in html


def test_a_material_that_is_renamed_has_its_new_name_here_too(signed_in: Client) -> None:
    build = worked_build()
    assert "Brass" in page(signed_in, build, by="material")
    brass = Material.objects.get(name="Brass")
    brass.name = "Gunmetal"
    keep(item=brass)
    html = page(signed_in, build, by="material")
    assert "Gunmetal" in html
    assert "Brass" not in html


@pytest.mark.parametrize(
    ("cut", "heads"),
    [
        ("kind", ["turning", "drilling"]),
        ("basis", ["by the piece", "by the hole"]),
        ("material", ["Mild steel", "Brass"]),
        ("all", ["turning, by the piece, Brass", "drilling, by the hole, Mild steel"]),
    ],
)
def test_it_is_cut_by_kind_basis_and_material(signed_in: Client, cut: str, heads: list[str]) -> None:
    html = page(signed_in, worked_build(), by=cut)

    for head in heads:
        assert f'<th scope="row">{head}</th>' in html


def test_hours_ratio_and_range_stand_beside_each_other(signed_in: Client) -> None:
    html = page(signed_in, worked_build())
    row = html[html.index('<th scope="row">drilling</th>') :].split("</tr>")[0]

    # Six times 4 pieces of 4 holes of 2 min: 3.2 h planned; six times 48 min: 4.8 h taken.
    assert ">3.2 h<" in row
    assert ">4.8 h<" in row
    assert "× 1." in row
    assert " to " in row
    assert row.count(">6<") == 1


def test_the_points_are_drawn_and_told(signed_in: Client) -> None:
    build = worked_build()
    html = page(signed_in, build)

    assert "12 operations, a cross each: 12 took longer than planned" in html
    assert "Stud 0, 10 turning" in html
    assert " style=" not in html

    to = reverse("builds:rates_operations", args=[build.slug])
    assert f'hx-get="{to}"' in html
    assert f'<a href="{to}">' in html
    alone = signed_in.get(to, headers={"HX-Request": "true"}).content.decode()
    assert "Stud 0, 10 turning" in alone
    assert "<html" not in alone
    assert alone in signed_in.get(to).content.decode()


def test_the_table_of_operations_is_whole_with_the_furthest_first(signed_in: Client) -> None:
    build = worked_build(parts=30, done=30)
    html = signed_in.get(reverse("builds:rates_operations", args=[build.slug])).content.decode()

    assert html.count('<th scope="row">') == 60
    assert "20 more, nearer to their plan" in html
    assert html.index("Stud 29, 10 turning") < html.index("Stud 0, 10 turning")


def test_the_ratio_of_the_whole_shop_stands_first(signed_in: Client) -> None:
    html = page(signed_in, worked_build())
    head, table = html.split('id="rates-table"')
    ratio = re.search(r"Your work takes (× [\d.]+) of its plan", head)
    assert ratio is not None
    assert f">{ratio[1]}</td>" in table[table.index("All kinds together") :].split("</tr>")[0]
    assert "From 12 operations, planned at" in " ".join(head.split())


def test_the_rates_with_fewer_hours_are_folded_and_none_is_left_out(signed_in: Client) -> None:
    build = make_build()
    for n in range(28):
        material = Material.objects.create(name=f"Alloy {n}")
        part = make_part(
            build, str(n), f"Stud {n}", material=material, operations=[{"kind": "turning", "minutes_per_unit": 30.0}]
        )
        make_entry(build, TODAY, 60 + n, part=part, operation=part.operations.get(), good=1)
    html = page(signed_in, build, by="material")
    assert "4 more, with fewer hours" in html
    shown, folded = html.split("more, with fewer hours")
    assert shown.count('<th scope="row">Alloy') == 24
    assert [f'<th scope="row">Alloy {n}</th>' in folded for n in range(5)] == [True] * 4 + [False]
    assert html.count(">All kinds together<") == 1


def test_an_empty_shop_has_no_operations_to_compare(signed_in: Client) -> None:
    html = signed_in.get(reverse("builds:rates_operations", args=[make_build().slug])).content.decode()
    assert "Nothing to compare yet" in html


def test_the_parts_furthest_astray_come_with_their_notes(signed_in: Client) -> None:
    html = page(signed_in, worked_build())
    astray = html[html.index("Furthest from the plan") :]

    assert astray.index("5 Stud 5") < astray.index("0 Stud 0")
    assert "chatter at 5" in astray


def test_a_cut_that_is_none_is_by_kind(signed_in: Client) -> None:
    assert '<th scope="row">turning</th>' in page(signed_in, worked_build(), by="<moon>")


def test_htmx_gets_the_table_alone(signed_in: Client) -> None:
    response = signed_in.get(
        reverse("builds:rates", args=[worked_build().slug]),
        {"by": "material"},
        headers={"HX-Request": "true", "HX-Target": "rates-table"},
    )
    html = response.content.decode()

    assert html.strip().startswith('<div class="stack" id="rates-table">')
    assert "Brass" in html
    assert "<html" not in html


def test_taking_over_is_previewed_done_and_undone(signed_in: Client) -> None:
    build = worked_build()
    html = page(signed_in, build)
    assert "Use my rates for 4 operations" in html
    assert figures(build, "drilling") == {(2.0, "worked out")}

    html = take(signed_in, build, seen=str(Build.objects.get(pk=build.pk).revision))
    assert "4 operations brought to your own rates." in html
    [(minutes, origin)] = figures(build, "drilling")
    assert minutes is not None
    # Of a first piece: those after it go a little quicker, as the usual curve has it.
    assert 2.7 < minutes < 3.4
    assert origin == "own rate"
    assert "at your own rate already" in html

    event = build.events.get(type="apply rates")
    signed_in.post(reverse("builds:undo", args=[build.slug, event.pk]))
    assert figures(build, "drilling") == {(2.0, "worked out")}


def test_times_worked_out_from_the_drawing_may_stay(signed_in: Client) -> None:
    build = worked_build()
    html = page(signed_in, build, leave_worked_out="on")
    assert "Use my rates for 2 operations" in html
    assert "2 worked out from the drawing, and left alone as you chose" in html

    take(signed_in, build, leave_worked_out="on")

    assert figures(build, "drilling") == {(2.0, "worked out")}
    assert {origin for _, origin in figures(build, "turning")} == {"own rate"}


def test_a_log_that_grew_since_the_preview_is_refused(signed_in: Client) -> None:
    build = worked_build()
    seen = str(Build.objects.get(pk=build.pk).revision - 1)

    assert "Somebody else changed this" in take(signed_in, build, seen=seen)
    assert figures(build, "turning") == {(30.0, "by hand")}


@pytest.mark.parametrize("seen", ["", "abc", "-5", "1e9", "9" * 5000])
def test_a_seen_that_is_none_is_no_crash(signed_in: Client, seen: str) -> None:
    build = worked_build()

    html = take(signed_in, build, seen=seen)

    assert "operations brought to your own rates" in html


def test_too_little_to_go_by_is_refused_in_a_sentence(signed_in: Client) -> None:
    build = worked_build(parts=4, done=1)
    assert "So far 2 operations have been logged against a plan" in page(signed_in, build)

    assert "So far 2 operations have been logged against a plan" in take(signed_in, build)
    assert figures(build, "turning") == {(30.0, "by hand")}


def test_looking_does_not_change_anything_and_only_post_takes(signed_in: Client) -> None:
    build = worked_build()

    assert signed_in.get(reverse("builds:apply_rates", args=[build.slug])).status_code == 405


def test_what_runs_by_itself_has_no_figure_or_is_said_to_be_own_stays(signed_in: Client) -> None:
    build = worked_build()
    route = (
        {"kind": "turning", "minutes_per_unit": 60.0, "unattended_share": 0.5},
        {"kind": "turning"},
        {"kind": "turning", "minutes_per_unit": 60.0, "origin": "own rate"},
        {"kind": "lapping", "minutes_per_unit": 60.0},
    )
    make_part(build, "70", "Odd one", operations=route)

    html = page(signed_in, build)

    assert "Use my rates for 4 operations" in html
    assert "1 unattended for a share of the time" in html
    assert "1 without a figure" in html
    assert "1 said to be at your own rate" in html
    assert "1 of a kind with fewer than 3 logged operations" in html


def test_parts_take_no_queries_of_their_own(signed_in: Client) -> None:
    def queries(parts: int, done: int) -> int:
        build = worked_build(parts, done)
        page(signed_in, build, by="all")
        with CaptureQueriesContext(connection) as captured:
            page(signed_in, build, by="all")
        return len(captured)

    assert queries(6, 4) == queries(12, 9)


def test_it_is_for_those_who_signed_in(client: Client) -> None:
    build: Any = make_build()
    assert client.get(reverse("builds:rates", args=[build.slug])).status_code == 302
    assert client.post(reverse("builds:apply_rates", args=[build.slug])).status_code == 302
