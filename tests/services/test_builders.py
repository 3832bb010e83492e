"""Who may sign in, whose name stands in the log, and how the first owner comes to be."""

from pathlib import Path

import pytest
from django.contrib.auth.models import AnonymousUser, User
from django.core.exceptions import ValidationError

from builds.models import Builder
from builds.services.shop.builders import (
    add_builder,
    builder_for,
    first_owner_code,
    make_first_owner,
    owner_exists,
)
from tests import factories

PASSWORD = "swarf under the chuck"


def test_a_user_becomes_a_builder_once(db: None) -> None:
    user = User.objects.create(username="ada", first_name="Ada", last_name="Byron")

    first = builder_for(user=user)

    assert first.name == "Ada Byron"
    assert builder_for(user=user) == first
    assert Builder.objects.count() == 1


def test_a_user_without_a_name_goes_by_the_sign_in_name(db: None) -> None:
    assert builder_for(user=User.objects.create(username="ada")).name == "ada"


def test_a_name_from_an_old_log_is_taken_over_with_its_entries(db: None) -> None:
    old = factories.make_builder("Ada")
    entry = factories.make_entry(factories.make_build(), activity="tidying", builder=old)

    new = builder_for(user=User.objects.create(username="ada1", first_name="Ada"))

    assert new == old
    assert list(new.entries.all()) == [entry]


def test_a_name_that_somebody_else_has_is_not_taken_over(db: None) -> None:
    first = builder_for(user=User.objects.create(username="ada1", first_name="Ada"))
    second = builder_for(user=User.objects.create(username="ada2", first_name="Ada"))

    assert (first.name, second.name) == ("Ada", "Ada (ada2)")
    assert Builder.objects.get(name="Ada").user.username == "ada1"  # type: ignore[union-attr]


def test_the_longest_names_fit_into_the_log_and_stay_apart(db: None) -> None:
    builders = [
        builder_for(user=User.objects.create(username=f"{'u' * 140}{number}", first_name="A" * 150))
        for number in range(4)
    ]

    for builder in builders:
        builder.full_clean()
    assert len({builder.name for builder in builders}) == 4


def test_nobody_is_no_builder(db: None) -> None:
    with pytest.raises(ValidationError, match="Sign in first"):
        builder_for(user=AnonymousUser())


def test_a_builder_who_is_added_can_sign_in_and_is_no_owner(db: None) -> None:
    user = add_builder(username="ada", password=PASSWORD, full_name="Ada")

    assert user.check_password(PASSWORD)
    assert (user.is_superuser, user.is_staff) == (False, False)
    assert Builder.objects.get().user == user


@pytest.mark.parametrize(
    ("username", "password", "field"),
    [
        ("ada", "short", "password"),
        ("ada", "1234567890123", "password"),
        ("", PASSWORD, "username"),
        ("ada byron", PASSWORD, "username"),
        ("taken", PASSWORD, "username"),
        ("adabyronlovelace", "adabyronlovelace", "password"),
    ],
)
def test_what_will_not_do_is_refused_beside_its_field(db: None, username: str, password: str, field: str) -> None:
    factories.make_user("taken")

    with pytest.raises(ValidationError) as refused:
        add_builder(username=username, password=password)

    assert set(refused.value.error_dict) == {field}
    assert User.objects.count() == 1


def test_the_code_stays_the_same_until_it_is_used_and_only_this_user_may_read_it(db: None, data_dir: Path) -> None:
    code = first_owner_code()

    assert first_owner_code() == code
    assert len(code.replace("-", "")) == 12
    assert (data_dir / "first-owner-code").stat().st_mode & 0o777 == 0o600


def test_the_first_owner_is_made_with_the_code_and_the_code_goes(db: None, data_dir: Path) -> None:
    code = first_owner_code()

    owner = make_first_owner(code=f" {code.upper()} ", username="ada", password=PASSWORD)

    assert (owner.is_superuser, owner.is_staff, owner_exists()) == (True, True, True)
    assert not (data_dir / "first-owner-code").exists()
    assert first_owner_code() == ""


@pytest.mark.parametrize("wrong", ["", "abcd-efgh-jkmn", "ümläut", " - - "])
def test_a_wrong_code_makes_nobody(db: None, data_dir: Path, wrong: str) -> None:
    code = first_owner_code()

    with pytest.raises(ValidationError) as refused:
        make_first_owner(code=wrong, username="ada", password=PASSWORD)

    assert "not the code" in refused.value.message_dict["code"][0]
    assert not User.objects.exists()
    assert first_owner_code() == code


@pytest.mark.parametrize("code_again", ["used", ""])
def test_a_second_owner_is_not_made_by_any_code(db: None, data_dir: Path, code_again: str) -> None:
    code = first_owner_code()
    make_first_owner(code=code, username="ada", password=PASSWORD)

    with pytest.raises(ValidationError, match="not the code"):
        make_first_owner(code=code if code_again else "", username="eve", password=PASSWORD)

    assert User.objects.count() == 1


def test_a_weak_password_does_not_use_up_the_code(db: None, data_dir: Path) -> None:
    code = first_owner_code()

    with pytest.raises(ValidationError):
        make_first_owner(code=code, username="ada", password="short")

    assert first_owner_code() == code
    assert make_first_owner(code=code, username="ada", password=PASSWORD).is_superuser


def test_an_owner_who_was_shut_out_no_longer_counts(db: None, data_dir: Path) -> None:
    owner = make_first_owner(code=first_owner_code(), username="ada", password=PASSWORD)
    owner.is_active = False
    owner.save()

    assert first_owner_code() != ""
