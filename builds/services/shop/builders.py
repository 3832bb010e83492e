"""Builders and the first owner."""

import secrets
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings
from django.contrib.auth import SESSION_KEY, get_user_model
from django.contrib.auth.models import AbstractBaseUser, AnonymousUser, User
from django.contrib.auth.password_validation import validate_password
from django.contrib.sessions.models import Session
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from builds.models import Builder
from builds.models.choices import EventType, PersonRole
from builds.services.changes import note
from calcs.messages import _

# Without letters and digits that look alike when read off a terminal.
CODE_SIGNS = "23456789abcdefghjkmnpqrstuvwxyz"
LONGEST_NAME = 80


def builder_for(*, user: AbstractBaseUser | AnonymousUser) -> Builder:
    """The builder that a signed-in user is, made on first need. A name from an old log is taken over."""
    if not isinstance(user, User):
        raise ValidationError(_("Sign in first."))
    # Asked of the user, who keeps the answer for the rest of the request.
    known: Builder | None = getattr(user, "builder", None)
    if known is not None:
        return known
    name = (user.get_full_name().strip() or user.get_username())[:LONGEST_NAME]
    with transaction.atomic():
        same_name = Builder.objects.select_for_update().filter(name=name).first()
        if same_name is None:
            return Builder.objects.create(name=name, user=user)
        if same_name.user_id is None:
            same_name.user = user
            same_name.save()
            return same_name
        return Builder.objects.create(name=_another_name(name, user.get_username()), user=user)


def _another_name(name: str, username: str) -> str:
    """A name that no builder has: with the sign-in name behind it, or a number where that is too long or taken."""
    names = (f"{name} ({username})", *(f"{name[: LONGEST_NAME - 8]} ({number})" for number in range(2, 10_000)))
    return next(one for one in names if len(one) <= LONGEST_NAME and not Builder.objects.filter(name=one).exists())


def add_builder(
    *,
    username: str,
    password: str,
    full_name: str = "",
    role: PersonRole | str = PersonRole.BUILDER,
    by: Builder | None = None,
) -> User:
    """Somebody who may sign in. Raises ValidationError with a sentence a field."""
    user = User(username=username, first_name=full_name[:150])
    _set_password(user, password)
    with transaction.atomic():
        user.full_clean()
        user.save()
        _set_role(builder_for(user=user), user, role)
        note(by=by, type=EventType.ADD_PERSON, name=user.username, role=role)
    return user


def role_of(builder: Builder) -> PersonRole:
    """What somebody may do who signs in."""
    if builder.user is not None and builder.user.is_superuser:
        return PersonRole.OWNER
    return PersonRole.ONLOOKER if builder.looks_on else PersonRole.BUILDER


def keep_person(
    *, builder: Builder, role: PersonRole | str, may_sign_in: bool, password: str = "", by: Builder | None = None
) -> Builder:
    """Change what somebody may do; a new password where one is given, which signs them out everywhere.

    Raises ValidationError with a sentence a field: so that somebody can always let the others in, the last owner stays.
    """
    with transaction.atomic():
        user = User.objects.select_for_update().get(builder=builder)
        others = User.objects.filter(is_superuser=True, is_active=True).exclude(pk=user.pk)
        if user.is_superuser and user.is_active and not others.exists():
            if role != PersonRole.OWNER:
                raise ValidationError({"role": _("There is no other owner, so this one stays an owner.")})
            if not may_sign_in:
                raise ValidationError(
                    {"may_sign_in": _("There is no other owner, so this one must be able to sign in.")}
                )
        for done, details in _person_changes(user, role, may_sign_in, password):
            note(by=by, type=done, name=user.username, **details)
        if password:
            _set_password(user, password)
        user.is_active = may_sign_in
        _set_role(builder, user, role)
    return builder


def _person_changes(
    user: User, role: PersonRole | str, may_sign_in: bool, password: str
) -> Iterator[tuple[EventType, dict[str, str]]]:
    """What is about to change for somebody."""
    if role != role_of(user.builder):
        yield EventType.SET_ROLE, {"role": role}
    if password:
        yield EventType.SET_PASSWORD, {}
    if may_sign_in != user.is_active:
        yield EventType.LET_IN if may_sign_in else EventType.BAR, {}


def sign_out_everywhere(*, user: User, by: Builder | None) -> None:
    """End every session of somebody, on every machine."""
    with transaction.atomic():
        for session in Session.objects.filter(expire_date__gt=timezone.now()).iterator():
            if session.get_decoded().get(SESSION_KEY) == str(user.pk):
                session.delete()
        note(by=by, type=EventType.SIGN_OUT_EVERYWHERE, name=user.username)


def _set_password(user: User, password: str) -> None:
    try:
        validate_password(password, user)
    except ValidationError as error:
        raise ValidationError({"password": error.messages}) from error
    user.set_password(password)


def _set_role(builder: Builder, user: User, role: PersonRole | str) -> None:
    user.is_staff = user.is_superuser = role == PersonRole.OWNER
    user.save()
    builder.looks_on = role == PersonRole.ONLOOKER
    builder.save()


def _code_file() -> Path:
    return Path(settings.DATA_DIR) / "first-owner-code"


def owner_exists() -> bool:
    return get_user_model().objects.filter(is_superuser=True, is_active=True).exists()


def nobody_may_sign_in() -> bool:
    """Whether this installation is as new as can be: there is nobody yet whom the sign-in could let in."""
    return not get_user_model().objects.exists()


def first_owner_code() -> str:
    """The one-time code for making the first owner; the same until it is used. Empty once there is an owner."""
    if owner_exists():
        return ""
    kept = _code_file()
    if not kept.exists():
        code = "-".join("".join(secrets.choice(CODE_SIGNS) for _sign in range(4)) for _group in range(3))
        kept.touch(mode=0o600)
        kept.write_text(code)
    return kept.read_text().strip()


def make_first_owner(*, code: str, username: str, password: str, full_name: str = "") -> User:
    """Make the first owner with the code that `manage.py serve` printed. Raises ValidationError."""
    right = first_owner_code()
    if not right or not secrets.compare_digest(code.strip().lower().encode(), right.encode()):
        raise ValidationError({"code": _("That is not the code that the server printed when it started.")})
    taken = _code_file().with_suffix(".taken")
    try:
        # Of two who hold the code at the same moment, one finds it gone.
        _code_file().rename(taken)
    except FileNotFoundError as error:
        raise ValidationError({"code": _("That code has just been used.")}) from error
    try:
        with transaction.atomic():
            user = add_builder(username=username, password=password, full_name=full_name, role=PersonRole.OWNER)
    except BaseException:
        taken.rename(_code_file())
        raise
    taken.unlink(missing_ok=True)
    return user
