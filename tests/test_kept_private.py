"""The data folder is closed to other users of the machine, whichever way it came to be; and so are pages to caches."""

import sqlite3
import stat
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from tests.factories import make_build, make_part
from tests.test_refused_at_start import ended, managed


def mode(path: Path) -> str:
    return oct(stat.S_IMODE(path.stat().st_mode))


def test_a_new_data_folder_and_its_database_are_for_this_user_alone(tmp_path: Path) -> None:
    data = tmp_path / "shop"
    managed("migrate", "-v", "0", DATA_DIR=str(data)).check_returncode()
    managed("backup", DATA_DIR=str(data)).check_returncode()
    assert (mode(data), mode(data / "swarfbook.sqlite3")) == ("0o700", "0o600")
    assert [mode(kept) for kept in (data / "backups").iterdir()] == ["0o600"]


def test_a_data_folder_from_before_is_closed_at_the_next_start(tmp_path: Path) -> None:
    data, secret = tmp_path / "shop", b"k" * 50
    (data / "backups").mkdir(parents=True)
    with closing(sqlite3.connect(data / "swarfbook.sqlite3")) as opened:
        opened.execute("CREATE TABLE evening (hours)")
    for name in ("secret_key", "first-owner-code", "backups/swarfbook-20260101.sqlite3", "backups/swarfbook-1.zip"):
        (data / name).write_bytes(secret)
    for path in data.rglob("*"):
        path.chmod(0o755 if path.is_dir() else 0o644)
    data.chmod(0o755)
    managed("check", DATA_DIR=str(data)).check_returncode()
    assert (mode(data), mode(data / "backups")) == ("0o700", "0o700")
    assert {mode(path) for path in data.rglob("*") if path.is_file()} == {"0o600"}


def test_a_folder_that_everybody_writes_into_is_left_open(tmp_path: Path) -> None:
    tmp_path.chmod(0o1777)
    managed("check", DATA_DIR=str(tmp_path)).check_returncode()
    assert mode(tmp_path) == "0o1777"


# ---- pages ----------------------------------------------------------------------------------------------------------
def test_pages_of_the_owner_are_kept_by_nobody(signed_in_owner: Client) -> None:
    for address in ("/shop/people/", "/shop/backups/"):
        assert signed_in_owner.get(address).headers["Cache-Control"] == "private, no-store", address


def test_pages_with_forms_are_held_by_this_browser_alone_so_that_going_back_loses_nothing(
    signed_in_owner: Client,
) -> None:
    for address in ("/", "/builds/new/", "/shop/machines/", "/password/", "/arithmetic/"):
        assert signed_in_owner.get(address).headers["Cache-Control"] == "private, no-cache", address


def test_pages_that_are_told_to_be_the_same_are_asked_for_each_time(signed_in: Client) -> None:
    build = make_build()
    part = make_part(build)
    for address in ("", "log/", "forecast/", "rates/", "bench/", f"parts/{part.pk}/"):
        kept = signed_in.get(f"/builds/{build.slug}/{address}").headers["Cache-Control"]
        assert kept == "private, no-cache", address


def test_a_photo_is_kept_by_this_browser_alone(signed_in: Client, data_dir: Path) -> None:
    (data_dir / "photos" / "ring.jpg").write_bytes(b"\xff\xd8\xff")
    answer = signed_in.get("/photos/ring.jpg")
    answer.close()
    assert (answer.status_code, answer.headers["Cache-Control"]) == (200, "private, no-cache")


@pytest.mark.parametrize(("behind", "told"), [("true", "max-age=15552000"), ("false", "None")])
def test_a_browser_that_came_by_https_is_told_to_stay_with_it(tmp_path: Path, behind: str, told: str) -> None:
    script = (
        "import os; os.environ['DJANGO_SETTINGS_MODULE'] = 'builds.settings'; import django; django.setup();"
        "from django.test import Client; from django.conf import settings;"
        "print(Client().get('/theme/', secure=True).headers.get('Strict-Transport-Security'))"
    )
    done = ended(
        [sys.executable, "-c", script], DATA_DIR=str(tmp_path), BEHIND_HTTPS=behind, ALLOWED_HOSTS="testserver"
    )
    assert done.stdout.split()[-1:] == [told], done.stderr


# ---- the door -------------------------------------------------------------------------------------------------------
WRONG = "wrong"


def sign_in(name: str, password: str = WRONG, address: str = "10.1.1.1") -> int:
    answer = Client(REMOTE_ADDR=address).post("/sign-in/", {"username": name, "password": password})
    return answer.status_code


def test_one_who_tries_many_names_has_to_wait_and_others_do_not(user: Any) -> None:
    told = [sign_in(f"name{number}") for number in range(40)]
    assert told.index(429) == 31
    assert set(told[31:]) == {429}
    assert sign_in("ada", "a long enough one") == 429
    assert sign_in("ada", "a long enough one", "10.2.2.2") == 302


def test_the_first_owners_code_cannot_be_tried_for_ever(db: None, data_dir: Path) -> None:
    from builds.services.shop.builders import first_owner_code

    first, other = Client(REMOTE_ADDR="10.1.1.1"), Client(REMOTE_ADDR="10.2.2.2")
    form = {"username": "mo", "password": "brass and steel"}
    told = [first.post("/welcome/", {**form, "code": f"wrong-{number}"}).status_code for number in range(10)]
    assert told == [422] * 7 + [429] * 3
    right = {**form, "code": first_owner_code()}
    assert first.post("/welcome/", right).status_code == 429
    assert first.get("/welcome/").status_code == 200
    assert other.post("/welcome/", right).status_code == 302


def test_an_owner_unlocks_somebody_by_the_command_that_the_readme_names(user: Any) -> None:
    from django.core.management import call_command

    assert [sign_in("ada") for _ in range(8)][-1] == 429
    assert sign_in("ada", "a long enough one") == 429
    call_command("axes_reset_username", "ada", verbosity=0)
    assert sign_in("ada", "a long enough one") == 302
