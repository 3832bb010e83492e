"""Whatever an address says, and whatever is typed at the door, there is an answer."""

from typing import Any

import pytest
from axes.models import AccessAttempt
from django.test import Client

from tests.pages.test_doors import address, every_pattern, everything  # noqa: F401

STRANGE = ["x" * 256, "x" * 5_000, "é" * 200, "%00", "..%2f..%2fsecret_key", "%ff%fe", "-1", "9" * 40]


@pytest.mark.parametrize("strange", STRANGE[1:4], ids=["long", "accented", "nothing"])
def test_an_address_with_anything_in_it_is_answered(
    signed_in_owner: Client,
    everything: dict[str, Any],  # noqa: F811
    strange: str,
) -> None:
    for route, name in every_pattern():
        if "<" in route or "(?P" in route:
            values = dict.fromkeys(("slug", "kind", "path", "app_label", "object_id", "url"), strange) | {
                "pk": "9" * 40
            }
            asked = address(route.replace("(?P<path>.*)", "<path>"), values)
            assert signed_in_owner.get(asked).status_code < 500, (name, asked[:80])
            assert signed_in_owner.post(asked).status_code < 500, (name, asked[:80])


@pytest.mark.parametrize("strange", STRANGE, ids=lambda text: text[:12])
def test_there_is_no_photo_of_a_strange_name(signed_in_owner: Client, strange: str) -> None:
    assert signed_in_owner.get(f"/photos/{strange}").status_code == 404
    assert signed_in_owner.get(f"/photos/2026/{strange}/x.jpg").status_code == 404


@pytest.mark.parametrize("username", ["x" * 151, "x" * 256, "x" * 100_000, "a\0b", "é" * 254])
def test_any_name_is_refused_at_the_door_like_a_wrong_one(client: Client, user: Any, username: str) -> None:
    answer = client.post("/sign-in/", {"username": username, "password": "brass"})
    assert answer.status_code == 200
    assert answer.context["form"].errors
    # What is written down of it fits its column, in every database.
    longest = AccessAttempt._meta.get_field("username").max_length
    assert all(len(one.username or "") <= longest for one in AccessAttempt.objects.all())


def test_a_browser_that_says_too_much_of_itself_is_answered(client: Client, user: Any) -> None:
    for name in ("User-Agent", "Accept-Language", "Referer", "HX-Target", "If-None-Match", "Accept"):
        answer = client.post("/sign-in/", {"username": "ada", "password": "brass"}, headers={name: "x" * 5_000})
        assert answer.status_code == 200, name
