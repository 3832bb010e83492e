"""The list of parts as a page: asked for by its address, put in order without script."""

import re
from typing import Any

import pytest
from django.test import Client

from builds.models import Build
from tests import factories


@pytest.fixture
def build(make_build: Any) -> Build:
    build: Build = make_build()
    for number in ("1", "2", "3", "4"):
        factories.make_part(build, number, f"Stud {number}")
    return build


def items_of(page: Any) -> list[str]:
    return re.findall(r'tree__item">([^<]+)<', page.content.decode())


def shown_order(page: Any) -> str:
    found = re.search(r'name="shown"\s+value="([^"]*)"', page.content.decode())
    assert found is not None
    return found[1]


def send(client: Client, build: Build, query: str = "", **sent: str) -> Any:
    """Send the form as the page shows it, with other places or a button."""
    page = client.get(f"/builds/{build.slug}/parts/{query}")
    fields = dict(re.findall(r'name="(place-\d+)"\s+value="([^"]*)"', page.content.decode()))
    fields |= {"shown": shown_order(page)} | {name.replace("_", "-"): value for name, value in sent.items()}
    return client.post(f"/builds/{build.slug}/parts/order/{query}", fields, follow=True)


def key_of(build: Build, number: str) -> int:
    return int(build.parts.get(number=number).pk)


def test_the_plan_leads_to_it(signed_in: Client, build: Build) -> None:
    assert f'href="/builds/{build.slug}/parts/"' in signed_in.get(f"/builds/{build.slug}/").content.decode()


def test_typed_places_put_parts_in_order(signed_in: Client, build: Build) -> None:
    places = {f"place_{key_of(build, '4')}": "1", f"place_{key_of(build, '2')}": " 2 "}
    page = send(signed_in, build, **places)
    assert items_of(page) == ["4", "2", "1", "3"]
    assert "The working order is changed." in page.content.decode()
    assert "Undo this" in page.content.decode()


def test_two_of_the_same_place_stand_one_behind_the_other_and_an_empty_one_takes_out(
    signed_in: Client, build: Build
) -> None:
    keys = [key_of(build, number) for number in "321"]
    send(signed_in, build, **{f"place_{keys[0]}": "1", f"place_{keys[1]}": "1", f"place_{keys[2]}": "70"})
    assert items_of(send(signed_in, build)) == ["2", "3", "1", "4"]
    assert items_of(send(signed_in, build, **{f"place_{keys[1]}": ""})) == ["3", "1", "2", "4"]


@pytest.mark.parametrize(
    ("button", "number", "order"),
    [
        ("later", "1", ["2", "1", "3", "4"]),
        ("earlier", "3", ["1", "3", "2", "4"]),
        ("earlier", "1", ["1", "2", "3", "4"]),
        ("later", "3", ["1", "2", "3", "4"]),
        ("last", "4", ["1", "2", "3", "4"]),
    ],
)
def test_a_button_moves_one_part(signed_in: Client, build: Build, button: str, number: str, order: list[str]) -> None:
    for one in "123":
        send(signed_in, build, last=str(key_of(build, one)))
    page = send(signed_in, build, **{button: str(key_of(build, number))})
    assert items_of(page) == order
    assert page.redirect_chain[0][0].endswith(f"/parts/?#part-{key_of(build, number)}")


def test_one_undoing_puts_back_all_that_was_typed_at_once(signed_in: Client, build: Build) -> None:
    page = send(signed_in, build, **{f"place_{key_of(build, '4')}": "1", f"place_{key_of(build, '3')}": "2"})
    way_back = re.search(r'action="([^"]+/undo/)"', page.content.decode())
    assert way_back is not None
    signed_in.post(way_back[1])
    assert items_of(signed_in.get(f"/builds/{build.slug}/parts/")) == ["1", "2", "3", "4"]


@pytest.mark.parametrize("typed", ["0", "-1", "first", "1.5", "9" * 400, "<b>", "²"])
def test_what_is_no_place_is_refused_and_everything_typed_stays(signed_in: Client, build: Build, typed: str) -> None:
    four, two = key_of(build, "4"), key_of(build, "2")
    page = send(signed_in, build, "?sort=name", **{f"place_{four}": typed, f"place_{two}": "1"})
    text = page.content.decode()
    assert page.status_code == 422
    assert "is no place. Write 1 for the first, or nothing." in text
    assert f'href="#id_place-{four}"' in text
    assert re.search(rf'name="place-{two}"\s+value="1"', text)
    assert 'aria-invalid="true"' in text
    assert '<option value="name" selected>' in text
    assert items_of(signed_in.get(f"/builds/{build.slug}/parts/")) == ["1", "2", "3", "4"]


def test_what_somebody_else_put_in_order_meanwhile_stays_unless_it_was_typed_anew(
    signed_in: Client, build: Build
) -> None:
    one, two, three = (key_of(build, number) for number in "123")
    before = {f"place-{one}": "", f"place-{two}": "", f"place-{three}": "", "shown": ""}
    send(signed_in, build, last=str(three))
    address = f"/builds/{build.slug}/parts/order/"
    page = signed_in.post(address, {**before, f"place-{one}": "1"}, follow=True)
    assert items_of(page)[:2] == ["1", "3"]


def test_a_filter_stays_in_the_address_through_a_move(signed_in: Client, build: Build) -> None:
    page = send(signed_in, build, "?state=all", last=str(key_of(build, "2")))
    assert "/parts/?state=all#" in page.redirect_chain[0][0]
    assert items_of(page) == ["2", "1", "3", "4"]


@pytest.mark.parametrize("query", ["?state=x", "?assembly=999", "?machine=" + "9" * 30, "?material=x&sort=%00"])
def test_a_filter_that_is_none_is_said_and_shows_all(signed_in: Client, build: Build, query: str) -> None:
    page = signed_in.get(f"/builds/{build.slug}/parts/{query}")
    assert items_of(page) == ["1", "2", "3", "4"]
    assert "not in the list" in page.content.decode()


def test_where_nothing_answers_the_way_back_to_all_is_there(signed_in: Client, build: Build) -> None:
    page = signed_in.get(f"/builds/{build.slug}/parts/?state=waiting").content.decode()
    assert "0 parts of 4" in page
    assert "Show them all" in page


def test_a_build_without_parts_leads_to_the_first(signed_in: Client, make_build: Any) -> None:
    page = signed_in.get(f"/builds/{make_build().slug}/parts/").content.decode()
    assert "No parts yet" in page
    assert "Show them all" not in page


def test_each_address_is_kept_for_itself(signed_in: Client, build: Build) -> None:
    address = f"/builds/{build.slug}/parts/"
    for _again in range(2):
        assert len(items_of(signed_in.get(address))) == 4
        assert items_of(signed_in.get(f"{address}?state=waiting")) == []
        assert items_of(signed_in.get(f"{address}?material=1")) != []


def test_an_onlooker_reads_the_places_and_has_nothing_to_type(build: Build, signed_in: Client) -> None:
    from builds.services.shop.builders import add_builder

    send(signed_in, build, last=str(key_of(build, "3")))
    onlooker = Client()
    onlooker.force_login(
        add_builder(username="kit", password="swarf under the chuck", role="onlooker"),
        backend="builds.permissions.PeopleBackend",
    )
    page = onlooker.get(f"/builds/{build.slug}/parts/").content.decode()
    assert "place-" not in page
    assert re.search(r'tree__place" id="part-\d+">\s+1\s', page)
