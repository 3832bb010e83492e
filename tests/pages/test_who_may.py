"""Who may do what: a walk over every address as nobody, an onlooker, a builder and an owner, against this one table."""

from typing import Any

import pytest
from django.test import Client

from builds.models import (
    Batch,
    Build,
    Builder,
    Clock,
    Drawing,
    Entry,
    Event,
    Machine,
    Measurement,
    Part,
    Photo,
    Remark,
)
from builds.services.shop.builders import add_builder
from tests import factories
from tests.pages.test_doors import address, every_pattern

NOBODY, ONLOOKER, BUILDER, OWNER = range(4)
NEVER = 9
PASSWORD = "swarf under the chuck"
MODELS = (Build, Part, Entry, Event, Batch, Machine, Measurement, Photo, Clock, Drawing, Remark)

# Every address: from which role on it may be asked for (GET), and sent to (POST). NEVER is "method not allowed".
# An evening and a batch that are asked for lead back to the page that they are sent from.
# A page that answers whatever is sent to it as if it were asked for takes a builder's POST, and changes nothing.
WHO: dict[str, tuple[int, int]] = {
    # The plan
    "builds:list": (ONLOOKER, BUILDER),
    "builds:new": (BUILDER, BUILDER),
    "builds:page": (ONLOOKER, NEVER),
    "builds:edit": (BUILDER, BUILDER),
    "builds:find": (ONLOOKER, NEVER),
    "builds:find_all": (ONLOOKER, NEVER),
    "builds:record": (ONLOOKER, BUILDER),
    "builds:book": (ONLOOKER, BUILDER),
    "builds:book_file": (ONLOOKER, NEVER),
    "builds:table": (ONLOOKER, NEVER),
    "builds:part": (ONLOOKER, BUILDER),
    "builds:new_part": (BUILDER, BUILDER),
    "builds:edit_part": (BUILDER, BUILDER),
    "builds:set_role": (NEVER, BUILDER),
    "builds:remove_part": (NEVER, BUILDER),
    "builds:waiting": (ONLOOKER, NEVER),
    "builds:needs": (ONLOOKER, BUILDER),
    "builds:remove_need": (NEVER, BUILDER),
    "builds:worksheet": (ONLOOKER, BUILDER),
    "builds:route_card": (ONLOOKER, NEVER),
    "builds:new_operation": (BUILDER, BUILDER),
    "builds:edit_operation": (BUILDER, BUILDER),
    "builds:move_operation": (NEVER, BUILDER),
    "builds:remove_operation": (NEVER, BUILDER),
    "builds:work_out": (BUILDER, BUILDER),
    "builds:records": (ONLOOKER, BUILDER),
    "builds:edit_record": (BUILDER, BUILDER),
    "builds:remove_record": (NEVER, BUILDER),
    "builds:sheet": (ONLOOKER, BUILDER),
    "builds:scans": (BUILDER, BUILDER),
    "builds:edit_scan": (BUILDER, BUILDER),
    "builds:remove_scan": (NEVER, BUILDER),
    "builds:scan_file": (ONLOOKER, NEVER),
    "builds:page_picture": (ONLOOKER, NEVER),
    "builds:photos": (ONLOOKER, BUILDER),
    "builds:remove_photo": (NEVER, BUILDER),
    "builds:show_photo": (NEVER, BUILDER),
    "builds:visitors": (BUILDER, BUILDER),
    "photo_file": (ONLOOKER, NEVER),
    # The log
    "builds:bench": (BUILDER, BUILDER),
    "builds:tonight": (ONLOOKER, NEVER),
    "builds:bench_at_hand": (BUILDER, NEVER),
    "builds:build_at_hand": (ONLOOKER, NEVER),
    "builds:log_evening": (BUILDER, BUILDER),
    "builds:left_after": (BUILDER, NEVER),
    "builds:find_work": (BUILDER, NEVER),
    "builds:catch_up": (BUILDER, BUILDER),
    "builds:clock_on": (NEVER, BUILDER),
    "builds:clock_start": (NEVER, BUILDER),
    "builds:clock_off": (NEVER, BUILDER),
    "builds:put_back_clock": (NEVER, BUILDER),
    "builds:discard_clock": (NEVER, BUILDER),
    "builds:log": (ONLOOKER, NEVER),
    "builds:years": (ONLOOKER, NEVER),
    "builds:shop_years": (ONLOOKER, NEVER),
    "builds:words": (ONLOOKER, NEVER),
    # Not there for anybody without DEBUG; with it for an owner alone.
    "builds:components": (ONLOOKER, NEVER),
    "builds:look_sheet": (ONLOOKER, NEVER),
    "builds:shop_year": (ONLOOKER, NEVER),
    "builds:year": (ONLOOKER, NEVER),
    "builds:take_in_log": (BUILDER, BUILDER),
    "builds:take_in_parts": (BUILDER, BUILDER),
    "builds:copy_part": (BUILDER, BUILDER),
    "builds:parts": (ONLOOKER, NEVER),
    "builds:set_order": (NEVER, BUILDER),
    "builds:amend": (BUILDER, BUILDER),
    "builds:entry_photos": (BUILDER, BUILDER),
    "builds:remove_entry": (NEVER, BUILDER),
    "builds:events": (ONLOOKER, BUILDER),
    "builds:undo": (NEVER, BUILDER),
    "builds:read_time": (ONLOOKER, BUILDER),
    "builds:read_size": (ONLOOKER, BUILDER),
    "builds:read_tolerance": (ONLOOKER, BUILDER),
    # What follows from them
    "builds:forecast": (ONLOOKER, NEVER),
    "builds:forecast_piece": (ONLOOKER, NEVER),
    "builds:rates": (ONLOOKER, NEVER),
    "builds:rates_operations": (ONLOOKER, NEVER),
    "builds:apply_rates": (NEVER, BUILDER),
    "builds:holds": (ONLOOKER, NEVER),
    "builds:ready": (ONLOOKER, NEVER),
    "builds:replay": (ONLOOKER, NEVER),
    "builds:repeats": (ONLOOKER, NEVER),
    "builds:part_yield": (ONLOOKER, BUILDER),
    "builds:spread": (ONLOOKER, NEVER),
    "builds:pairs": (ONLOOKER, NEVER),
    "builds:blanks": (ONLOOKER, BUILDER),
    "builds:start_batch": (BUILDER, BUILDER),
    "builds:batch_grid": (ONLOOKER, BUILDER),
    "builds:log_batch": (BUILDER, BUILDER),
    "builds:measure": (ONLOOKER, BUILDER),
    "builds:read_figure": (ONLOOKER, NEVER),
    "builds:remove_measurement": (NEVER, BUILDER),
    "builds:shop_counter": (ONLOOKER, BUILDER),
    "builds:to_buy": (ONLOOKER, NEVER),
    "builds:board": (NOBODY, NEVER),
    "builds:facts": (NOBODY, NEVER),
    "builds:placard": (ONLOOKER, NEVER),
    "builds:talk": (ONLOOKER, NEVER),
    "builds:boards": (NOBODY, NEVER),
    "builds:board_photo": (NOBODY, NEVER),
    # The shop
    "builds:shop": (ONLOOKER, BUILDER),
    "builds:edit_item": (BUILDER, BUILDER),
    "builds:remove_item": (NEVER, BUILDER),
    "builds:put_back_item": (NEVER, BUILDER),
    "builds:people": (OWNER, OWNER),
    "builds:shop_visitors": (OWNER, OWNER),
    "builds:backups": (OWNER, OWNER),
    "builds:edit_person": (OWNER, OWNER),
    "builds:sign_out_person": (NEVER, OWNER),
    "builds:shop_events": (OWNER, OWNER),
    "arithmetic:index": (ONLOOKER, BUILDER),
    "arithmetic:sheet": (ONLOOKER, BUILDER),
    # Oneself
    "set_theme": (NEVER, NOBODY),
    "sign_in": (NOBODY, NOBODY),
    "manifest": (NOBODY, NEVER),
    "worker": (NOBODY, NEVER),
    "kept_pages": (NOBODY, NEVER),
    "welcome": (NOBODY, NOBODY),
    "change_password": (ONLOOKER, ONLOOKER),
    "sign_out": (NEVER, ONLOOKER),
    "sign_out_everywhere": (NEVER, ONLOOKER),
}


@pytest.fixture
def people(db: None, signed_in_owner: Client) -> dict[int, Client]:
    clients = {NOBODY: Client(), OWNER: signed_in_owner}
    for level, role in ((ONLOOKER, "onlooker"), (BUILDER, "builder")):
        user = add_builder(username=role, password=PASSWORD, role=role)
        clients[level] = Client()
        clients[level].force_login(user, backend="builds.permissions.PeopleBackend")
    return clients


def walk() -> dict[str, str]:
    """An address for every name, of a record that there is; the admin's own aside, and the forecast's of before."""
    build = factories.make_build(on_board=True)
    part, machine = factories.make_part(build), factories.make_machine()
    entry, batch = factories.make_entry(build, part=part), factories.make_batch(part)
    owner, sheet = Builder.objects.get(name="owner"), factories.make_sheet(build)
    keys = {
        "amend": entry, "remove_entry": entry, "sign_out_person": owner,
        "batch_grid": batch, "log_batch": batch, "edit_person": owner,
        "edit_item": machine, "remove_item": machine, "edit_operation": part.operations.get(),
        "move_operation": part.operations.get(), "work_out": part.operations.get(), "undo": build.events.first(),
        "edit_record": factories.make_assembly(build), "entry_photos": entry,
        "remove_measurement": factories.make_measurements(factories.make_size(part), {1: "12.01"})[0],
        "sheet": sheet, "scans": sheet,
        **dict.fromkeys(("edit_scan", "remove_scan", "scan_file", "page_picture"), factories.make_drawing(sheet)),
        "remove_need": factories.make_need(part, factories.make_part(build, "15")),
        "spread": factories.make_size(part, "width", "3 ±0.05"),
    }  # fmt: skip
    found = {}
    for route, name in every_pattern():
        if not name.startswith("admin:") and not name.endswith("None"):
            one = keys.get(name.removeprefix("builds:"), part)
            kind = "machines" if route.startswith("shop/") else "assemblies"
            values = {"slug": build.slug, "pk": one.pk, "kind": kind, "name": "speeds", "year": 2026}
            values |= {"piece": "working"}
            found[name] = address(route, values)
    return found


def test_the_table_names_every_address(owner: Any) -> None:
    assert set(walk()) == set(WHO)


@pytest.mark.parametrize("level", [NOBODY, ONLOOKER, BUILDER, OWNER], ids=["nobody", "onlooker", "builder", "owner"])
def test_every_address_opens_to_whom_the_table_says(people: dict[int, Client], level: int) -> None:
    for name, where in walk().items():
        if name.startswith("sign_out") or name == "builds:sign_out_person":
            continue
        for method, from_level in zip(("get", "post"), WHO[name], strict=True):
            answer = getattr(people[level], method)(where)
            # A file that is read to its end is closed.
            list(getattr(answer, "streaming_content", ()))
            told = (name, method, answer.status_code)
            door = answer.headers.get("Location", "").startswith("/sign-in/")
            if level == NOBODY and NOBODY not in WHO[name]:
                assert answer.status_code == 302, told
                assert door, told
            elif from_level == NEVER:
                assert answer.status_code == 405 or (
                    method == "post" and level == ONLOOKER and answer.status_code == 403
                ), told
            elif level < from_level:
                assert answer.status_code == 403, told
            else:
                assert answer.status_code in (200, 302, 404, 422), told
                assert not door or name == "set_theme", told


def test_an_onlooker_changes_nothing_anywhere_and_is_told_why(people: dict[int, Client]) -> None:
    addresses = walk()
    before = [list(model.objects.order_by("pk").values()) for model in MODELS]
    sent = {"name": "x", "note": "x", "number": "9", "state": "finished", "blanks": "3", "started_on": "2026-01-01"}
    for name, where in addresses.items():
        if WHO[name][1] in (BUILDER, OWNER):
            answer = people[ONLOOKER].post(where, sent)
            assert answer.status_code == 403, name
            assert "onlooker" in answer.content.decode() or WHO[name][1] == OWNER, name
    assert [list(model.objects.order_by("pk").values()) for model in MODELS] == before


def test_whatever_is_sent_wants_its_token(owner: Any) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(owner, backend="builds.permissions.PeopleBackend")
    for name, where in walk().items():
        assert client.post(where, {"name": "x"}).status_code == 403, name


def test_an_onlooker_is_shown_no_door_that_is_closed(people: dict[int, Client]) -> None:
    _, _, build, _, part, _ = walk()["builds:part"].split("/")
    shut = ("/edit/", "/new/", "/take-in/", "/bench/", "/amend/", "/remove/", "/undo/", "/move/")
    of_build = ("", "log/", f"parts/{part}/", f"parts/{part}/yield/", "sheets/", "events/", "photos/")
    for where in ("/", "/shop/machines/", *(f"/builds/{build}/{page}" for page in of_build)):
        builders, onlookers = (people[level].get(where).content.decode() for level in (BUILDER, ONLOOKER))
        assert any(word in builders for word in shut), where
        assert not [word for word in shut if word in onlookers], where
        assert "data-once" not in onlookers, where


# ---- roles ----------------------------------------------------------------------------------------------------------
def test_an_owner_makes_a_builder_an_onlooker_and_back(people: dict[int, Client]) -> None:
    where = f"/shop/people/{Builder.objects.get(name='builder').pk}/"
    page = walk()["builds:page"]
    assert "Log an evening" in people[BUILDER].get(page).content.decode()
    etag = people[BUILDER].get(page).headers["ETag"]
    changed = people[OWNER].post(where, {"role": "onlooker", "may_sign_in": "on"})
    assert changed.headers["Location"] == "/shop/people/"
    # The browser holds the page of before, which had the buttons.
    again = people[BUILDER].get(page, headers={"If-None-Match": etag})
    assert again.status_code == 200
    assert "Log an evening" not in again.content.decode()
    people[OWNER].post(where, {"role": "builder", "may_sign_in": "on"})
    assert "Log an evening" in people[BUILDER].get(page).content.decode()


def test_who_is_barred_or_has_a_new_password_is_signed_out_everywhere(people: dict[int, Client]) -> None:
    where = f"/shop/people/{Builder.objects.get(name='builder').pk}/"
    people[OWNER].post(where, {"role": "builder", "may_sign_in": "on", "password": "turned between centres"})
    assert people[BUILDER].get("/").status_code == 302
    answer = people[BUILDER].post("/sign-in/", {"username": "builder", "password": "turned between centres"})
    assert answer.status_code == 302
    people[OWNER].post(where, {"role": "builder"})
    assert people[BUILDER].get("/").status_code == 302
    told = people[OWNER].get("/shop/people/").content.decode()
    assert "may not sign in now" in told


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"role": "builder", "may_sign_in": "on"}, "stays an owner"),
        ({"role": "owner"}, "must be able to sign in"),
        ({"role": "owner", "may_sign_in": "on", "password": "short"}, "too short"),
        ({"role": "king", "may_sign_in": "on"}, "king"),
    ],
)
def test_the_last_owner_stays_one(signed_in_owner: Client, owner: Any, sent: dict[str, str], said: str) -> None:
    answer = signed_in_owner.post(f"/shop/people/{owner.builder.pk}/", sent)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    owner.refresh_from_db()
    assert (owner.is_superuser, owner.is_active) == (True, True)


def test_an_owner_lets_somebody_try_again_at_once(signed_in_owner: Client, user: Any) -> None:
    stranger = Client()
    for _ in range(8):
        stranger.post("/sign-in/", {"username": "ada", "password": "wrong"})
    right = {"username": "ada", "password": "a long enough one"}
    assert stranger.post("/sign-in/", right).status_code == 429
    signed_in_owner.post(f"/shop/people/{user.builder.pk}/", {"role": "builder", "may_sign_in": "on"})
    assert stranger.post("/sign-in/", right).status_code == 302


def test_a_session_from_before_is_still_one(user: Any) -> None:
    client = Client()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    assert client.get("/").status_code == 200


def test_somebody_new_comes_as_what_the_owner_says(signed_in_owner: Client) -> None:
    made = {"username": "kit", "password": PASSWORD, "role": "onlooker"}
    assert signed_in_owner.post("/shop/people/", made).status_code == 302
    assert Builder.objects.get(name="kit").looks_on
