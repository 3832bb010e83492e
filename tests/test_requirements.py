"""The locked requirements are those of the short lists, with nothing left open."""

import re
from importlib.metadata import requires
from pathlib import Path

import pytest
from django.conf import settings
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(settings.BASE_DIR)
LISTS = ROOT / ".requirements"
LOCKS = {
    "run.in": ROOT / "requirements.txt",
    "tests.in": ROOT / "tests/requirements.txt",
    "server.in": LISTS / "server.txt",
}


def wishes(name: str) -> list[Requirement]:
    """What a short list asks for, the lists that it names included."""
    found = []
    for line in (LISTS / name).read_text().splitlines():
        if line.startswith("-r "):
            found += wishes(line.removeprefix("-r "))
        elif line and not line.startswith("#"):
            found.append(Requirement(line))
    return found


def locked(path: Path) -> list[Requirement]:
    """The packages of a lock, each of which must name one version and a hash for it."""
    whole = path.read_text().replace("\\\n", " ")
    found = []
    for line in whole.splitlines():
        if line and not line.startswith(("#", "--only-binary :all:")):
            pinned, *hashes = re.split(r"\s+--hash=sha256:", line)
            assert hashes, line
            assert all(re.fullmatch("[0-9a-f]{64}", each.strip()) for each in hashes), line
            assert re.search(r"==[\w.]+( ;|$)", pinned), line
            found.append(Requirement(pinned))
    return found


def version(requirement: Requirement) -> str:
    return str(requirement.specifier).removeprefix("==")


@pytest.mark.parametrize("name", LOCKS)
def test_each_package_of_a_list_is_locked_in_a_version_that_the_list_allows(name: str) -> None:
    versions = {canonicalize_name(each.name): version(each) for each in locked(LOCKS[name])}
    assert wishes(name)
    for wish in wishes(name):
        found = versions.get(canonicalize_name(wish.name))
        assert found is not None, f"{wish} of {name} is missing: run .requirements/lock"
        assert wish.specifier.contains(found), f"{wish} of {name} is locked at {found}: run .requirements/lock"


@pytest.mark.parametrize("path", [LOCKS["tests.in"], LOCKS["server.in"]])
def test_tests_and_servers_run_on_the_very_versions_of_the_program(path: Path) -> None:
    there = {str(each) for each in locked(path)}
    assert {str(each) for each in locked(LOCKS["run.in"])} <= there


@pytest.mark.parametrize("path", LOCKS.values())
def test_a_lock_takes_wheels_only_and_names_no_registry(path: Path) -> None:
    text = path.read_text()
    assert "\n--only-binary :all:\n" in text
    assert "://" not in text
    assert "index" not in text


def reached(wish: Requirement, found: set[str]) -> None:
    """Add the package and whatever it needs on this machine, as the installed packages say."""
    name = canonicalize_name(wish.name)
    if name in found or (wish.marker and not wish.marker.evaluate({"extra": ""})):
        return
    found.add(name)
    for need in requires(wish.name) or []:
        reached(Requirement(need), found)


def test_nothing_is_locked_that_the_list_no_longer_needs() -> None:
    found: set[str] = set()
    for wish in wishes("run.in"):
        reached(wish, found)
    here = {
        canonicalize_name(each.name) for each in locked(LOCKS["run.in"]) if not each.marker or each.marker.evaluate()
    }
    assert here == found


def test_the_packages_that_the_design_fixes_stand_in_the_list() -> None:
    names = {canonicalize_name(wish.name) for wish in wishes("run.in")}
    assert {"django", "django-htmx", "pint", "matplotlib", "pytest-django"} <= names
