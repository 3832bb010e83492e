"""Asking for pages as a browser does: by address, and with the fields that a page offers."""

import re
import uuid
from collections.abc import Callable
from typing import Any

from django.contrib.auth import get_user_model
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

BACKEND = "builds.permissions.PeopleBackend"


def stranger() -> Client:
    return Client(headers={"host": "localhost"})


def signed_in() -> Client:
    user, _made = get_user_model().objects.get_or_create(username="measurer", is_staff=True, is_superuser=True)
    client = stranger()
    client.force_login(user, backend=BACKEND)
    client.get(reverse("builds:list"))
    return client


def page(client: Client, address: str, expected: int = 200, **headers: str) -> Callable[[], Any]:
    """A work that asks for a page, and fails where the answer is another than expected."""

    def ask() -> Any:
        answer = client.get(address, headers=headers)
        if answer.status_code != expected:
            raise AssertionError(f"{address} answered {answer.status_code} instead of {expected}.")
        return answer

    return ask


def logging(client: Client, slug: str) -> Callable[[], Any]:
    """A work that logs two minutes with the fields the bench page offers, and follows to the page after.

    A day of more than twelve hours would be asked about, and the work is done many times.
    """
    bench = reverse("builds:bench", args=[slug])
    text = client.get(bench).content.decode()
    form = next(one for one in re.findall(r"<form.*?</form>", text, re.DOTALL) if field_called("token", offered(one)))
    fields = offered(form)
    token, time = field_called("token", fields), field_called("time", fields)
    address = re.search(r'action="([^"]*)"', form)
    assert address

    def log() -> Any:
        answer = client.post(address[1] or bench, {**fields, token: uuid.uuid4().hex, time: "2m"}, follow=True)
        if answer.status_code != 200 or not answer.redirect_chain:
            raise AssertionError(f"Logging on {slug} was refused ({answer.status_code}).")
        return answer

    return log


def field_called(word: str, fields: dict[str, str]) -> str:
    """The first field of a name, whatever line of the form it is in; empty where there is none."""
    return next((name for name in fields if name.split("-")[-1] == word), "")


def offered(form: str) -> dict[str, str]:
    """The named fields of a form with what stands in them; of buttons none."""
    fields = {}
    for tag in re.findall(r"<input[^>]*>", form):
        said = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
        if "name" not in said or (said.get("type") in {"radio", "checkbox"} and not re.search(r"\bchecked\b", tag)):
            continue
        fields[said["name"]] = said.get("value", "")
    return fields


def queries_of(work: Callable[[], Any]) -> int:
    with CaptureQueriesContext(connection) as caught:
        work()
    return len(caught)
