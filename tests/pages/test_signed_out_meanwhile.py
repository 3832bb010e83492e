"""Somebody is signed out in the middle: what was typed comes back in its form and is sent once; no secret is kept."""

import html
import re
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.conf import settings
from django.contrib.sessions.models import Session
from django.core import signing
from django.test import Client
from django.utils import timezone

from builds.models import Clock, Entry, Part, Photo
from builds.sessions import USED_ON
from builds.views.sent_again import SALT
from tests import factories

RIGHT = {"username": "ada", "password": "a long enough one"}
KEPT = re.compile(r'name="kept" value="([^"]+)"')


@pytest.fixture
def part(user: Any) -> Part:
    return factories.make_part(factories.make_build(), quantity=9)


def kept_in(page: str) -> str:
    found = KEPT.search(page)
    assert found is not None
    return html.unescape(found[1])


def sign_in_again(client: Client, answer: Any, **headers: str) -> Any:
    """What is shown after the sign-in page that somebody was sent to, once with a wrong password."""
    wrong = client.post("/sign-in/", {**RIGHT, "password": "no", "kept": kept_in(answer.content.decode())})
    return client.post("/sign-in/", {**RIGHT, "kept": kept_in(wrong.content.decode())}, follow=True)


def typed(part: Part) -> dict[str, str]:
    return {
        "worked_on": timezone.localdate().isoformat(), "form-TOTAL_FORMS": "1", "form-INITIAL_FORMS": "0",
        "form-0-other": f"o{part.operations.get().pk}", "form-0-time": "2h30", "form-0-good": "3",
        "form-0-note": "third ring lapped", "form-0-token": "t-1", "log": "yes",
    }  # fmt: skip


def test_an_evening_comes_back_filled_and_is_logged_once(client: Client, part: Part) -> None:
    to, evening = f"/builds/{part.build.slug}/bench/evening/", typed(part)
    asked = client.post(to, evening)
    assert asked.status_code == 200
    assert "What you typed is kept here" in asked.content.decode()
    assert not Session.objects.exists()

    shown = sign_in_again(client, asked)
    page = shown.content.decode()
    assert shown.redirect_chain[-1] == (to, 302)
    assert "You had been signed out. Nothing is recorded yet" in page
    for name in ("form-0-time", "form-0-good", "form-0-token"):
        assert re.search(rf'name="{name}" value="{evening[name]}"', page), name
    assert "third ring lapped</textarea>" in page
    assert not Entry.objects.exists()

    client.post(to, evening)
    client.post(to, evening)
    entry = Entry.objects.get()
    assert (entry.bench_minutes, entry.good, entry.note) == (150, 3, "third ring lapped")


def test_what_was_typed_is_kept_through_too_many_attempts_to_sign_in(client: Client, part: Part) -> None:
    with time_machine.travel("2026-11-25 20:00+00:00", tick=False) as clock:
        evening = typed(part)
        page = client.post(f"/builds/{part.build.slug}/bench/evening/", evening).content.decode()
        for _try in range(settings.AXES_FAILURE_LIMIT):
            locked = client.post("/sign-in/", {**RIGHT, "password": "no", "kept": kept_in(page)})
            page = locked.content.decode()
        assert locked.status_code == 429
        assert "What you typed is kept in this page" in page
        again = client.post("/sign-in/", {"again": "yes", "next": "/", "kept": kept_in(page)})
        assert again.status_code == 200
        assert "This is needed" not in again.content.decode()
        clock.shift(timedelta(minutes=16))
        shown = client.post("/sign-in/", {**RIGHT, "kept": kept_in(again.content.decode())}, follow=True)
        assert "third ring lapped</textarea>" in shown.content.decode()
        client.post(f"/builds/{part.build.slug}/bench/evening/", evening)
    assert Entry.objects.get().note == "third ring lapped"


def test_every_form_that_is_typed_in_comes_back(client: Client, part: Part) -> None:
    base = f"/builds/{part.build.slug}"
    entry = factories.make_entry(part.build, part=part)
    batch, machine = factories.make_batch(part), factories.make_machine()
    operation = part.operations.get()
    for to, sent, name, text in (
        (
            f"{base}/parts/new/",
            {"number": "77", "name": "Eccentric"},
            "name",
            "Eccentric",
        ),
        (f"{base}/parts/{part.pk}/edit/", {"number": "14", "name": "Piston ring, lower"}, "name", "Piston ring, lower"),
        (f"{base}/edit/", {"name": "Beam engine, Mk 2", "units": "mm"}, "name", "Beam engine, Mk 2"),
        (f"{base}/operations/{operation.pk}/edit/", {"kind": "turning", "title": "Rough it"}, "title", "Rough it"),
        (f"{base}/parts/{part.pk}/operations/new/", {"kind": "turning", "title": "Face it"}, "title", "Face it"),
        (f"{base}/log/{entry.pk}/amend/", {"time": "3h15"}, "time", "3h15"),
        (f"{base}/sizes/", {"part": part.pk, "name": "Bore over all", "full_size": "5 ft"}, "name", "Bore over all"),
        (f"{base}/batches/{batch.pk}/grid/log/", {f"o{operation.pk}-good": "4"}, f"o{operation.pk}-good", "4"),
        (f"{base}/parts/{part.pk}/batches/new/", {"blanks": "31", "number": "9"}, "blanks", "31"),
        (f"/shop/machines/{machine.pk}/edit/", {"name": "Old lathe"}, "name", "Old lathe"),
        (f"{base}/photos/", {"caption": "On the faceplate"}, "caption", "On the faceplate"),
    ):
        client.logout()
        shown = sign_in_again(client, client.post(to, sent))
        page = shown.content.decode()
        assert shown.status_code in (200, 422), to
        assert re.search(rf'name="{name}" value="{re.escape(text)}"', page), to
        assert "You had been signed out" in page, to
    assert Part.objects.get().name == "Piston ring"
    assert not Photo.objects.exists()


def test_a_button_alone_does_nothing_by_itself_after_signing_in(client: Client, part: Part) -> None:
    to = f"/builds/{part.build.slug}/parts/{part.pk}/role/"
    page = f"/builds/{part.build.slug}/"
    shown = sign_in_again(client, client.post(to, {"role": "jig"}, headers={"Referer": f"http://testserver{page}"}))
    assert shown.redirect_chain[-1] == (page, 302)
    assert "Press it once more." in shown.content.decode()
    assert "Jig" not in "".join(re.findall(r'class="message[^>]*>.*?</li>', shown.content.decode(), re.DOTALL))
    assert Part.objects.get().role == ""
    on = f"/builds/{part.build.slug}/bench/clock/on/"
    client.logout()
    shown = sign_in_again(client, client.post(on, typed(part)))
    assert "third ring lapped</textarea>" in shown.content.decode()
    assert not Clock.objects.exists()


def test_no_secret_is_kept_and_nothing_of_the_owners_pages(client: Client, owner: Any) -> None:
    secret = "never to be seen"
    for to, sent in (
        ("/password/", {"old_password": secret, "new_password1": secret, "new_password2": secret}),
        ("/shop/people/", {"username": "kit", "password": secret}),
    ):
        answer = client.post(to, sent)
        assert answer.status_code == 302
        assert answer.headers["Location"].startswith("/sign-in/")
    answer = client.post("/builds/new/", {"name": "Beam engine", "password": secret, "csrfmiddlewaretoken": "x" * 64})
    kept = signing.loads(kept_in(answer.content.decode()), salt=SALT)
    assert kept["fields"] == {"name": ["Beam engine"]}


def test_what_somebody_made_up_is_not_shown(client: Client, part: Part) -> None:
    forged = signing.dumps({"path": "/", "page": "/", "fields": {}, "files": False}, salt="another")
    for kept in ("x", forged):
        client.logout()
        assert client.post("/sign-in/", {**RIGHT, "kept": kept}).headers["Location"] == "/"


def test_a_form_with_the_token_of_an_earlier_sign_in_comes_back_with_a_new_one(part: Part) -> None:
    client = Client(enforce_csrf_checks=True)
    to = f"/builds/{part.build.slug}/bench/evening/"
    page = client.get("/sign-in/").content.decode()
    token = re.search(r'csrfmiddlewaretoken" value="([^"]+)"', page)[1]  # type: ignore[index]
    client.post("/sign-in/", {**RIGHT, "csrfmiddlewaretoken": token})
    stale = {**typed(part), "csrfmiddlewaretoken": "a" * 64}
    assert client.post(to, stale).status_code == 403
    elsewhere = client.post(to, stale, headers={"Origin": "https://elsewhere.invalid"})
    assert elsewhere.status_code == 403
    shown = client.post(to, stale, headers={"Origin": "http://testserver"}, follow=True)
    assert "third ring lapped</textarea>" in shown.content.decode()
    assert not Entry.objects.exists()
    fresh = re.search(r'csrfmiddlewaretoken" value="([^"]+)"', shown.content.decode())[1]  # type: ignore[index]
    client.post(to, {**typed(part), "csrfmiddlewaretoken": fresh})
    assert Entry.objects.count() == 1


def test_htmx_says_in_the_page_that_the_session_is_over_and_leaves_it_as_it_is(client: Client, part: Part) -> None:
    page = f"/builds/{part.build.slug}/bench/"
    headers = {"HX-Request": "true", "HX-Current-URL": f"http://testserver{page}"}
    answer = client.get("/read/time/?form-0-time=2h", headers=headers)
    assert "HX-Redirect" not in answer.headers
    assert answer.headers["HX-Reswap"] == "none"
    assert f"/sign-in/?next={page.replace('/', '%2F')}" in answer.content.decode()
    operation = part.operations.get()
    edited = client.post(
        f"/builds/{part.build.slug}/operations/{operation.pk}/edit/", {"title": "Rough it"}, headers=headers
    )
    assert edited.headers["HX-Retarget"] == "body"
    assert kept_in(edited.content.decode())


def test_a_session_that_is_used_lasts_and_is_written_once_a_day(
    client: Client, user: Any, django_assert_num_queries: Any
) -> None:
    with time_machine.travel("2026-11-01 12:00+00:00", tick=False):
        client.force_login(user, backend="builds.permissions.PeopleBackend")
        first = Session.objects.get().expire_date
        client.get("/arithmetic/")
        assert Session.objects.get().expire_date == first
    with time_machine.travel("2027-03-01 12:00+00:00", tick=False):
        client.get("/arithmetic/")
        renewed = Session.objects.get().expire_date
        assert renewed == timezone.now() + timedelta(seconds=settings.SESSION_COOKIE_AGE)
        assert client.session[USED_ON] == "2027-03-01"
        assert client.cookies["sessionid"]["max-age"] == settings.SESSION_COOKIE_AGE
        before = Session.objects.values().get()
        client.get("/arithmetic/")
        assert Session.objects.values().get() == before
    # More than half a year after the sign-in.
    with time_machine.travel("2027-08-01 12:00+00:00", tick=False):
        assert client.get("/arithmetic/").status_code == 200
