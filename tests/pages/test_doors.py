"""Who may see what: signed out there are few open doors, and no others."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

# What stands open to anybody: the boards with their facts, the sign-in page, the welcome page while nobody owns the
# place, the look, and what a device asks for without being signed in.
BOARDS = {"builds:board", "builds:boards", "builds:board_photo", "builds:facts"}
OPEN = BOARDS | {"sign_in", "welcome", "set_theme", "manifest", "worker", "kept_pages"}


def every_pattern(resolver: URLResolver | None = None, within: str = "", space: str = "") -> Iterator[tuple[str, str]]:
    """The route and the full name of every address that the program answers to."""
    for pattern in (resolver or get_resolver()).url_patterns:
        route = within + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from every_pattern(pattern, route, inner)
        elif isinstance(pattern, URLPattern):
            yield route, f"{space}{pattern.name}"


def address(route: str, values: dict[str, Any]) -> str:
    filled = re.sub(r"<(?:\w+:)?(\w+)>", lambda match: str(values.get(match[1], "1")), route)
    filled = re.sub(r"\(\?P<\w+>[^)]*\)", "x", filled)
    return "/" + filled.replace("^", "").replace("$", "").replace("\\", "")


@pytest.fixture
def everything(make_build: Any, make_part: Any, make_entry: Any) -> dict[str, Any]:
    build = make_build(on_board=True)
    part = make_part(build)
    make_entry(build, part=part, note="told in confidence")
    return {"slug": build.slug, "pk": part.pk, "kind": "assemblies", "app_label": "builds"}


def test_signed_out_only_the_board_and_the_sign_in_page_are_open(
    client: Client, owner: Any, everything: dict[str, Any]
) -> None:
    walked = 0
    for route, name in every_pattern():
        response = client.get(address(route, everything))
        walked += 1
        if name in OPEN:
            assert response.status_code in (200, 404, 405), name
            continue
        assert response.status_code == 302, (name, route, response.status_code)
        if response.headers["Location"].startswith("/admin/login/"):
            response = client.get(response.headers["Location"])
        assert response.headers["Location"].startswith("/sign-in/"), (name, response.headers["Location"])
    assert walked > 40


def test_signed_out_nothing_can_be_changed(client: Client, owner: Any, everything: dict[str, Any]) -> None:
    from builds.models import Build, Entry, Event, Part

    before = [model.objects.count() for model in (Build, Part, Entry, Event)]
    for route, name in every_pattern():
        if name not in OPEN:
            response = client.post(address(route, everything), {"name": "x", "note": "x"})
            # The sign-in page itself holds what was typed.
            door = response.status_code == 200 and 'name="kept"' in response.content.decode()
            assert door or response.status_code in (302, 405), (name, response.status_code)
    assert [model.objects.count() for model in (Build, Part, Entry, Event)] == before


def test_every_page_opens_for_a_builder_or_says_that_it_is_not_there(
    signed_in: Client, everything: dict[str, Any]
) -> None:
    for route, name in every_pattern():
        if name.startswith("admin:") or name == "sign_out":
            continue
        status = signed_in.get(address(route, everything)).status_code
        assert status in (200, 302, 403, 404, 405), (name, status)


def test_the_welcome_page_is_gone_once_there_is_an_owner(client: Client, owner: Any) -> None:
    assert client.get("/welcome/").status_code == 404


def test_the_first_owner_is_made_with_the_code_and_signed_in(client: Client, db: None, data_dir: Any) -> None:
    from builds.services.shop.builders import first_owner_code

    code = first_owner_code()
    wrong = client.post("/welcome/", {"code": "nope", "username": "mo", "password": "brass and steel"})
    assert wrong.status_code == 422
    assert "not the code" in wrong.content.decode()
    right = client.post("/welcome/", {"code": code, "username": "mo", "password": "brass and steel"})
    assert right.status_code == 302
    assert client.get("/builds/new/").status_code == 200
    assert client.get("/shop/people/").status_code == 200


def test_only_the_owner_lets_people_in(signed_in: Client, signed_in_owner: Client) -> None:
    assert signed_in.get("/shop/people/").status_code == 403
    made = signed_in_owner.post("/shop/people/", {"username": "kit", "role": "builder", "password": "brass and steel"})
    assert made.status_code == 302
    answer = Client().post("/sign-in/", {"username": "kit", "password": "brass and steel"})
    assert answer.headers["Location"] == "/"


def test_a_weak_password_is_refused_beside_its_field(signed_in_owner: Client) -> None:
    response = signed_in_owner.post("/shop/people/", {"username": "kit", "role": "builder", "password": "12345"})
    assert response.status_code == 422
    assert "too short" in response.content.decode()


def test_the_pages_forbid_inline_script_and_style(signed_in: Client) -> None:
    policy = signed_in.get("/").headers["Content-Security-Policy"]
    assert "unsafe-inline" not in policy
    assert "default-src 'none'" in policy


@pytest.mark.parametrize(
    "where", ["NaN", "builds:list", "//elsewhere.invalid/", "javascript:alert(1)", "", "/\\elsewhere"]
)
def test_whatever_a_form_says_it_leads_back_to_this_site(signed_in: Client, where: str) -> None:
    assert signed_in.post("/theme/", {"theme": "day", "next": where}).headers["Location"] == "/"


def test_a_theme_is_remembered_and_does_not_lead_elsewhere(signed_in: Client) -> None:
    response = signed_in.post("/theme/", {"theme": "evening", "next": "https://elsewhere.invalid/"})
    assert response.headers["Location"] == "/"
    assert 'data-theme="evening"' in signed_in.get("/").content.decode()
    signed_in.post("/theme/", {"theme": "evening", "next": "/"})
    assert "data-theme" not in signed_in.get("/").content.decode()


def test_the_look_can_be_chosen_on_the_sign_in_page(client: Client, user: Any) -> None:
    assert client.post("/theme/", {"theme": "evening", "next": "/sign-in/"}).headers["Location"] == "/sign-in/"
    assert 'data-theme="evening"' in client.get("/sign-in/").content.decode()


def test_what_was_sent_after_the_session_ended_leads_back_to_its_page(
    client: Client, user: Any, everything: dict[str, Any]
) -> None:
    """Its own address answers no browser: whoever signed in would stand before "method not allowed"."""
    bench = f"/builds/{everything['slug']}/bench/"
    sent = client.post(f"{bench}evening/", headers={"Referer": f"http://testserver{bench}"})
    assert sent.headers["Location"] == f"/sign-in/?next={bench}"
    elsewhere = client.post(f"{bench}evening/", headers={"Referer": "https://elsewhere.invalid/x/"})
    assert elsewhere.headers["Location"] == "/sign-in/?next=/"
    signed_in = client.post(sent.headers["Location"], {"username": "ada", "password": "a long enough one"}, follow=True)
    assert signed_in.status_code == 200


def test_one_build_cannot_be_reached_through_another(signed_in: Client, make_build: Any, make_part: Any) -> None:
    one, other = make_build("One"), make_build("Other")
    part = make_part(one)
    assert signed_in.get(f"/builds/{other.slug}/parts/{part.pk}/").status_code == 404
    operation = part.operations.get()
    assert signed_in.post(f"/builds/{other.slug}/operations/{operation.pk}/remove/").status_code == 404


def test_signing_in_leads_back_to_where_one_wanted_to_go(client: Client, user: Any) -> None:
    response = client.post("/sign-in/?next=/builds/new/", {"username": "ada", "password": "a long enough one"})
    assert response.headers["Location"] == "/builds/new/"


def test_too_many_wrong_passwords_ask_to_wait(client: Client, user: Any) -> None:
    for _ in range(8):
        last = client.post("/sign-in/", {"username": "ada", "password": "wrong"})
    assert last.status_code == 429
    assert "Too many attempts" in last.content.decode()
