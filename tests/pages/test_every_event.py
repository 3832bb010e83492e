"""What everybody did, for the owner: in all builds, at the doors, to people, machines and backups."""

import re
from typing import Any

import pytest
from django.test import Client

from builds.models import Builder, Event
from builds.models.choices import EventType
from builds.queries.log.events import EVENT_GROUPS
from builds.services.shop.builders import add_builder
from tests import factories

PASSWORD = "swarf under the chuck"
DOOR = {"username": "ada", "password": "a long enough one"}


def told(owner: Client, **asked: Any) -> str:
    page = owner.get("/shop/events/", asked).content.decode()
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page[page.index("</form>") :]))


def test_every_kind_of_event_is_found_in_one_group() -> None:
    types = [one for words, group in EVENT_GROUPS.values() for one in group]
    assert sorted(types) == sorted(EventType)


def test_the_owner_reads_what_was_done_at_the_doors_and_to_people(signed_in_owner: Client, user: Any) -> None:
    stranger = Client()
    stranger.post("/sign-in/", {**DOOR, "password": "wrong"})
    stranger.post("/sign-in/", DOOR)
    stranger.post("/sign-out/")
    new = {"username": "kit", "password": PASSWORD, "role": "builder"}
    signed_in_owner.post("/shop/people/", new)
    where = f"/shop/people/{Builder.objects.get(name='kit').pk}/"
    signed_in_owner.post(where, {"role": "onlooker", "password": "turned between centres"})
    signed_in_owner.post(where, {"role": "onlooker", "may_sign_in": "on"})
    all_of_it = told(signed_in_owner)
    for sentence in (
        "could not sign in as ada", "signed in as ada", "signed out as ada", "let in kit as builder",
        "made kit onlooker", "set a new password for kit", "barred kit from signing in", "let kit sign in again",
    ):  # fmt: skip
        assert sentence in all_of_it, sentence


def test_what_is_changed_in_the_shop_and_in_builds_stands_in_one_list(
    signed_in_owner: Client, signed_in: Client, make_build: Any
) -> None:
    build = make_build()
    signed_in.post("/shop/machines/", {"name": "Drummond lathe", "kind": "", "note": ""})
    signed_in.get(f"/builds/{build.slug}/record.json")
    all_of_it = told(signed_in_owner)
    for sentence in ("began the build Beam engine", "added machine Drummond lathe", "wrote out the record of Beam"):
        assert sentence in all_of_it, sentence


def test_it_is_looked_through_by_person_and_by_kind(signed_in_owner: Client, user: Any, make_build: Any) -> None:
    make_build()
    Client().post("/sign-in/", DOOR)
    ada = Builder.objects.get(name="ada").pk
    assert "signed in as ada" in told(signed_in_owner, by=ada)
    assert "began the build" not in told(signed_in_owner, by=ada)
    assert "began the build" in told(signed_in_owner, by=0)
    assert "began the build" in told(signed_in_owner, group="plan")
    assert "signed in as ada" not in told(signed_in_owner, group="plan")
    assert "signed in as ada" in told(signed_in_owner, by="nonsense", group="nonsense")


def test_it_is_leafed_through_with_its_filter(signed_in_owner: Client, owner: Any) -> None:
    for number in range(130):
        Event.objects.create(type=EventType.SIGN_IN, details={"name": f"n{number}"}, undoable=False)
    page = signed_in_owner.get("/shop/events/", {"group": "doors"}).content.decode()
    assert "group=doors&amp;page=2" in page
    assert "n0 " in told(signed_in_owner, group="doors", page=3)


def test_nobody_fills_the_list_at_a_shut_door(user: Any) -> None:
    for _ in range(40):
        Client().post("/sign-in/", {**DOOR, "password": "wrong"})
    assert Event.objects.filter(type=EventType.SIGN_IN_REFUSED).count() <= 8


# ---- signing out everywhere -----------------------------------------------------------------------------------------
def browsers(number: int) -> list[Client]:
    clients = [Client() for _ in range(number)]
    for client in clients:
        client.post("/sign-in/", DOOR)
        assert client.get("/").status_code == 200
    return clients


def test_somebody_signs_out_on_every_machine_and_nobody_else_is(user: Any, signed_in_owner: Client) -> None:
    phone, desk = browsers(2)
    assert "Sign out everywhere" in desk.get("/password/").content.decode()
    assert desk.post("/sign-out/everywhere/").headers["Location"] == "/sign-in/"
    assert [client.get("/").status_code for client in (phone, desk)] == [302, 302]
    assert signed_in_owner.get("/").status_code == 200


def test_the_owner_signs_somebody_out_everywhere(user: Any, signed_in_owner: Client) -> None:
    (phone,) = browsers(1)
    where = f"/shop/people/{user.builder.pk}/"
    assert f"{where}sign-out/" in signed_in_owner.get(where).content.decode()
    signed_in_owner.post(f"{where}sign-out/")
    assert phone.get("/").status_code == 302
    assert "signed out ada everywhere" in told(signed_in_owner)
    assert phone.post("/sign-in/", DOOR).status_code == 302


# ---- what an onlooker is shown --------------------------------------------------------------------------------------
@pytest.mark.parametrize("empty", [False, True], ids=["a build with everything", "an empty build"])
def test_every_link_and_form_that_an_onlooker_is_shown_opens(db: None, data_dir: Any, empty: bool) -> None:
    """From page to page along whatever leads somewhere, until there is nothing new; forms are sent as they stand."""
    build = factories.make_build(on_board=True)
    if not empty:
        part = factories.make_part(build, quantity=6, assembly=factories.make_assembly(build))
        factories.make_part(build, number="15", name="Cross head", operations=())
        batch = factories.make_batch(part)
        factories.make_entry(build, part=part, operation=part.operations.get(), batch=batch, good=3, scrap=1)
        factories.make_sheet(build)
        factories.make_machine(), factories.make_material()
    client = Client()
    onlooker = add_builder(username="looker", password=PASSWORD, role="onlooker")
    client.force_login(onlooker, backend="builds.permissions.PeopleBackend")
    waiting, seen = ["/"], {"/"}
    while waiting:
        here = waiting.pop()
        page = client.get(here).content.decode()
        for where, method in doors_of(page, here):
            kind = f"{method} {re.sub('=[^&]*', '', where)}" if "?" in where else f"{method} {where}"
            if kind in seen or len(seen) > 400:
                continue
            seen.add(kind)
            answer = getattr(client, method)(where)
            assert answer.status_code not in (403, 404, 405), (here, method, where)
            if method == "get" and answer.headers.get("Content-Type", "").startswith("text/html"):
                waiting.append(where)
    assert len(seen) > (15 if empty else 25)


def doors_of(page: str, here: str) -> list[tuple[str, str]]:
    """Where the links and the forms of a page lead, and how; the way out aside."""
    links = [(where, "get") for where in re.findall(r'<a\s[^>]*?href="([^"#]+)"', page)]
    forms = []
    for form in re.findall(r"<form\b[^>]*>", page):
        action, method = re.search(r'action="([^"]*)"', form), re.search(r'method="(\w+)"', form)
        forms.append((action[1] if action else here, method[1].lower() if method else "get"))
    found = [(where.replace("&amp;", "&"), method) for where, method in links + forms]
    found = [(here.split("?")[0] + where if where.startswith("?") else where, method) for where, method in found]
    return [door for door in found if door[0].startswith("/") and not door[0].startswith("/sign-out/")]
