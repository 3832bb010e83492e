"""Whatever a form refuses, it says so in our own plain sentences, and in none of Django's."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.contrib.auth import password_validation
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.models import User
from django.core import validators
from django.db import models
from django.forms import BaseFormSet, ModelMultipleChoiceField, fields
from django.forms import models as model_forms
from django.test import Client
from django.utils.translation import override

# What a message counts or names; each takes what it needs.
COUNTED = ("limit_value", "show_value", "max", "length", "num", "value", "pk", "name", "extension")
NAMED = ("allowed_extensions", "field_names", "username", "model_name", "field_label", "field_labels")
FIGURES: dict[str, Any] = dict.fromkeys(COUNTED, 2) | dict.fromkeys(NAMED, "")

# Fields and checks that no form of ours has.
ELSEWHERE = {
    "GenericIPAddressField", "FilePathField", "ImageField", "TypedMultipleChoiceField", "DomainNameValidator",
    "RegexValidator", "ProhibitNullCharactersValidator", "InlineForeignKeyField", "JSONField", "DurationField",
}  # fmt: skip


def of_forms() -> Iterator[tuple[str, Any]]:
    kinds: list[Any] = [*vars(fields).values(), model_forms.ModelChoiceField, ModelMultipleChoiceField, BaseFormSet]
    for kind in kinds:
        if isinstance(kind, type) and kind.__name__ not in ELSEWHERE:
            for code, message in getattr(kind, "default_error_messages", {}).items():
                yield f"{kind.__name__} {code}", message


def of_checks() -> Iterator[tuple[str, Any]]:
    for kind in vars(validators).values():
        if isinstance(kind, type) and kind.__name__ not in ELSEWHERE and hasattr(kind, "message"):
            yield kind.__name__, kind.message
    for code, message in validators.DecimalValidator.messages.items():
        yield f"DecimalValidator {code}", message


def of_records_and_doors() -> Iterator[tuple[str, Any]]:
    for code in ("invalid_choice", "null", "blank", "unique"):
        yield f"a model's field {code}", models.Field.default_error_messages[code]
    for form in (AuthenticationForm, PasswordChangeForm):
        for code, message in form.error_messages.items():
            yield f"{form.__name__} {code}", message
    name = User._meta.get_field("username")
    yield "a sign-in name that is taken", name.error_messages["unique"]
    yield "a sign-in name with odd signs", name.validators[0].message  # type: ignore[attr-defined]


def said(message: Any, language: str | None) -> str:
    with override(language):
        return str(message % FIGURES)


@pytest.mark.parametrize(
    ("where", "message"),
    [pytest.param(*one, id=one[0]) for make in (of_forms, of_checks, of_records_and_doors) for one in make()],
)
def test_what_django_would_say_is_said_in_our_words(where: str, message: Any) -> None:
    theirs, ours = said(message, None), said(message, "en-gb")
    assert ours, where
    assert ours != theirs, where


@pytest.mark.parametrize("validator", password_validation.get_default_password_validators())
def test_a_password_is_refused_in_our_words(validator: Any) -> None:
    for ask in (validator.get_error_message, validator.get_help_text):
        with override(None):
            theirs = ask()
        with override("en-gb"):
            assert ask() != theirs


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"name": ""}, "This is needed."),
        ({"name": "x" * 121}, "At most 120 characters fit here, and this has 121."),
        ({"name": "x", "units": "ells"}, "ells is not in the list."),
        ({"name": "x", "budget": "dear"}, "Give a number, such as 12 or 0.5."),
    ],
)
def test_a_page_refuses_in_our_words(signed_in: Client, sent: dict[str, str], sentence: str) -> None:
    page = signed_in.post("/builds/new/", {"units": "mm", "state": "active", **sent})
    assert page.status_code == 422
    assert sentence in page.content.decode()
