"""The documents say what is there, and nothing that is not."""

import re
from pathlib import Path

from django.conf import settings

from builds.models import choices as words

ROOT = Path(settings.BASE_DIR)
TEXT = (ROOT / "README.md").read_text() + (ROOT / "DEVELOPERS.md").read_text()


def commands() -> set[str]:
    return {path.stem for path in (ROOT / "builds/management/commands").glob("*.py")} - {"__init__"}


def test_every_setting_read_from_the_environment_is_documented_and_the_other_way_round() -> None:
    source = (ROOT / "builds/settings.py").read_text()
    read = set(re.findall(r'env\.\w+\(\s*"([A-Z_]+)"', source))
    assert len(read) >= 8
    told = set(re.findall(r"^\| `([A-Z_]+)` \|", TEXT, re.MULTILINE))
    assert told == read


def test_every_command_is_documented_and_the_other_way_round() -> None:
    readme = (ROOT / "README.md").read_text()
    told = set(re.findall(r"^\| `([a-z_]+)[^`]*` \|", readme, re.MULTILINE))
    assert told == commands()


def test_every_word_of_the_record_file_is_documented() -> None:
    flat = re.sub(r"\s+", " ", TEXT)
    for choices in (words.Kind, words.Activity, words.Basis, words.Origin, words.BuildState, words.TimeIs):
        for value in choices.values:
            assert value in flat, value


def test_the_top_level_holds_what_it_should_and_nothing_else() -> None:
    import subprocess

    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False).stdout
    top = {line.split("/")[0] for line in listed.splitlines()}
    seen = {name for name in top if not name.startswith(".")}
    assert seen <= {"README.md", "DEVELOPERS.md", "manage.py", "requirements.txt"} | {
        "builds",
        "calcs",
        "templates",
        "static",
        "tests",
    }


def test_the_documents_name_only_files_that_exist() -> None:
    for path in re.findall(r"`((?:builds|calcs|templates|static|tests|\.ci)/[\w./]*)`", TEXT):
        assert (ROOT / path).exists(), path
