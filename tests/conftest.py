"""What every test stands on: photos, codes and backups go to a folder of the run's own; records are one call away."""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client, override_settings
from django.utils import translation
from hypothesis import settings

from tests import factories

# How long an example takes depends on what else the machine does, so no test is red for that.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")


@pytest.fixture(scope="session", autouse=True)
def settings_for_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Plain static files, a cache in memory, quick passwords, and folders of the test run's own."""
    folder = tmp_path_factory.mktemp("data")
    for name in ("static", "photos"):
        (folder / name).mkdir()
    with override_settings(
        DATA_DIR=folder,
        MEDIA_ROOT=folder / "photos",
        STATIC_ROOT=folder / "static",
        STORAGES={
            "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
            "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
        },
        CACHES={"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}},
        PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
    ):
        yield


@pytest.fixture(autouse=True)
def nothing_kept_from_the_last_test() -> None:
    """A new test database gives old numbers to new builds, so what was kept for them must go.

    So must the language that the last page was asked for in, which Django leaves to the thread.
    """
    cache.clear()
    translation.deactivate()


@pytest.fixture
def data_dir(settings: Any, tmp_path: Path) -> Path:
    """A data folder of this test's own, for tests of what is written there."""
    folder = tmp_path / "data"
    for name in ("static", "photos"):
        (folder / name).mkdir(parents=True)
    settings.DATA_DIR = folder
    settings.MEDIA_ROOT = folder / "photos"
    settings.STATIC_ROOT = folder / "static"
    return folder


@pytest.fixture
def today() -> date:
    return factories.TODAY


@pytest.fixture
def user(db: None) -> Any:
    """A builder who may sign in, and no more."""
    return factories.make_user()


@pytest.fixture
def owner(db: None) -> Any:
    return factories.make_user("owner", owner=True)


@pytest.fixture
def signed_in(client: Client, user: Any) -> Client:
    """A browser in which `user` is signed in."""
    client.force_login(user, backend="builds.permissions.PeopleBackend")
    return client


@pytest.fixture
def signed_in_owner(owner: Any) -> Client:
    client = Client()
    client.force_login(owner, backend="builds.permissions.PeopleBackend")
    return client


@pytest.fixture
def make_build(db: None) -> Callable[..., Any]:
    return factories.make_build


@pytest.fixture
def make_part(db: None) -> Callable[..., Any]:
    return factories.make_part


@pytest.fixture
def make_entry(db: None) -> Callable[..., Any]:
    return factories.make_entry
