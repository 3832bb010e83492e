"""The page for looking something up, the field that is on every page, and where what is found leads to."""

from datetime import date
from typing import Any

import pytest
from django.test import Client

from builds.models import Batch, Build, Milestone, Photo, Remark
from builds.models.choices import PersonRole
from builds.services.plan import records as plan
from builds.services.shop.builders import add_builder
from tests import factories


@pytest.fixture
def build(make_build: Any) -> Build:
    return make_build("Tug")


def onlooker() -> Client:
    """A browser of somebody who may read everything and change nothing."""
    person = add_builder(username="olga", password="swarf under the chuck", role=PersonRole.ONLOOKER)
    client = Client()
    client.force_login(person, backend="builds.permissions.PeopleBackend")
    return client


def page(client: Client, build: Build, words: str, **more: Any) -> str:
    return client.get(f"/builds/{build.slug}/find/", {"words": words, **more}).content.decode()


def test_what_is_found_stands_under_its_kind_with_its_words_marked(signed_in: Client, build: Build) -> None:
    part = factories.make_part(build, "402", "Eccentric strap")
    html = page(signed_in, build, "ecc str")
    assert "<h2>Parts</h2>" in html
    assert f'<a href="/builds/tug/parts/{part.pk}/">402 <mark>Ecc</mark>entric <mark>str</mark>ap</a>' in html


def test_words_of_the_record_and_of_whoever_asks_are_never_markup(signed_in: Client, build: Build) -> None:
    factories.make_part(build, "1", "<b>strap</b> & <script>alert(1)</script>", note="<i>strap</i>")
    html = page(signed_in, build, "strap script")
    assert "&lt;b&gt;<mark>strap</mark>&lt;/b&gt; &amp; &lt;<mark>script</mark>&gt;alert(1)" in html
    html = page(signed_in, build, '"><script>alert(2)</script>')
    assert "alert(2)<" not in html
    assert "&quot;&gt;&lt;script&gt;alert(2)" in html


@pytest.mark.parametrize("words", ["", "x" * 5000, "\x00", '"', "NEAR(a b)", "%", "*", "'"])
def test_whatever_is_typed_gets_a_page(signed_in: Client, build: Build, words: str) -> None:
    for address in ("/find/", f"/builds/{build.slug}/find/"):
        assert signed_in.get(address, {"words": words}).status_code == 200


def test_every_hit_leads_to_a_page_on_which_it_stands(signed_in: Client, build: Build) -> None:
    part = factories.make_part(build, "1", "Zylinder", operations=[])
    factories.make_assembly(build, "Zylinder group")
    factories.make_operation(part, title="Zylinder three")
    sheet = factories.make_sheet(build, "9", title="Zylinder four")
    factories.make_entry(build, part=part, note="zylinder five")
    plan.save(record=Remark(sheet=sheet, drawing_says="zylinder six", we_made="seven"), by=None)
    plan.save(record=Batch(part=part, number=1, blanks=3, started_on=date(2026, 2, 1), note="zylinder eight"), by=None)
    plan.save(record=Milestone(build=build, name="Zylinder nine"), by=None)
    Photo.objects.create(build=build, image="x.jpg", caption="Zylinder ten")
    factories.make_machine("Zylinder lathe")
    factories.make_material("Zylinder iron")
    answer = signed_in.get(f"/builds/{build.slug}/find/", {"words": "zylinder"})
    places = {group.key: hits[0][1] for group, hits in answer.context["groups"]}
    assert len(places) == 11
    for key, place in places.items():
        address, _, anchor = place.partition("#")
        there = signed_in.get(address)
        assert there.status_code == 200, place
        assert "zylinder" in there.content.decode().lower(), place
        assert bool(anchor) == (key in {"operations", "entries", "remarks", "photos"}), place
        assert not anchor or f'id="{anchor}"' in there.content.decode(), place


def test_htmx_gets_what_is_found_and_nothing_around_it(signed_in: Client, build: Build) -> None:
    factories.make_part(build, "1", "Strap")
    html = signed_in.get(
        f"/builds/{build.slug}/find/", {"words": "str"}, headers={"HX-Request": "true"}
    ).content.decode()
    assert "<mark>Str</mark>ap" in html
    assert "<html" not in html
    assert "<form" not in html


def test_nothing_found_leads_on(signed_in: Client, build: Build) -> None:
    factories.make_part(build, "1", "Strap")
    html = page(signed_in, build, "strap nonsense")
    assert "Nothing has all of these words" in html
    assert 'href="?words=strap"' in html
    assert f'href="/builds/{build.slug}/parts/?state=all"' in html


def test_more_of_one_kind_is_a_step_away(signed_in: Client, build: Build) -> None:
    for n in range(8):
        factories.make_part(build, str(n), "Strap & bolt", operations=[])
    html = page(signed_in, build, "strap & bolt")
    assert 'href="?words=strap%20%26%20bolt&amp;only=parts"' in html
    html = page(signed_in, build, "strap & bolt", only="parts")
    assert html.count("<mark>Strap</mark>") == 8
    assert '<input type="hidden" name="only" value="parts">' in html


def test_another_builds_records_come_after_and_name_their_build(
    signed_in: Client, build: Build, make_build: Any
) -> None:
    factories.make_part(make_build("Dredger"), "1", "Strap")
    factories.make_part(build, "2", "Strap")
    html = page(signed_in, build, "strap")
    assert html.index("2 <mark>") < html.index("1 <mark>") < html.index("Dredger")


def test_an_onlooker_finds_what_a_builder_finds(build: Build) -> None:
    factories.make_part(build, "1", "Strap")
    assert "<mark>Strap</mark>" in page(onlooker(), build, "strap")


def test_the_field_stands_on_every_page_and_looks_in_the_build_that_is_shown(signed_in: Client, build: Build) -> None:
    assert 'role="search" action="/find/"' in signed_in.get("/").content.decode()
    assert f'role="search" action="/builds/{build.slug}/find/"' in signed_in.get("/builds/tug/log/").content.decode()


def test_a_page_without_a_build_leads_to_the_bench_and_an_onlooker_to_what_is_in_work(
    signed_in: Client, build: Build, make_entry: Any
) -> None:
    make_entry(build, part=factories.make_part(build))
    assert '<a href="/bench/">' in signed_in.get("/shop/machines/").content.decode()
    assert signed_in.get("/bench/").url == "/builds/tug/bench/"
    looking = onlooker()
    assert '<a href="/in-work/">' in looking.get("/shop/machines/").content.decode()
    assert looking.get("/in-work/").url == "/builds/tug/"


def test_the_trail_goes_by_the_assemblies(signed_in: Client, build: Build) -> None:
    pumps = factories.make_assembly(build, "Pumps")
    air = factories.make_assembly(build, "Air pump", parent=pumps)
    part = factories.make_part(build, "411", "Bucket", assembly=air)
    html = signed_in.get(f"/builds/tug/parts/{part.pk}/needs/").content.decode()
    trail = html[html.index('class="crumbs"') : html.index("</nav>", html.index('class="crumbs"'))]
    steps = ["/builds/tug/", f"?assembly={pumps.pk}&amp;", f"?assembly={air.pk}&amp;", f"/parts/{part.pk}/"]
    assert [trail.count(step) for step in steps[1:]] == [1, 1, 1]
    assert trail.index("Pumps") < trail.index("Air pump") < trail.index("411 Bucket") < trail.index("What comes first")


def test_the_trail_takes_one_query_however_deep_the_assemblies_nest(
    build: Build, django_assert_num_queries: Any
) -> None:
    from builds.queries.plan.assemblies import assemblies_above

    above = None
    for n in range(5):
        above = factories.make_assembly(build, f"Level {n}", parent=above)
    part = factories.make_part(build, assembly=above)
    with django_assert_num_queries(1):
        assert [one.name for one in assemblies_above(part)] == [f"Level {n}" for n in range(5)]
