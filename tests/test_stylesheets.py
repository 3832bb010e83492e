"""A sheet holds the component that it is named after, and nothing stands in it that no page uses."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.contrib.staticfiles import finders
from django.test import Client

from builds import static_files

ROOT = Path(__file__).parent.parent
SHEETS = {
    path.stem: re.sub(r"/\*.*?\*/", "", path.read_text(), flags=re.DOTALL)
    for path in (ROOT / "static/css").glob("*.css")
}
BASE = {"layers", "tokens", "page", "print"}
"""Sheets that belong to no component."""
PUT_ON_BY_HTMX = {"htmx-request"}
HOLE = "\N{BULLET}"
"""Stands for what a template or a program puts into a name."""


def selectors(sheet: str) -> Iterator[str]:
    """Every selector of a sheet, one by one; at-rules have none."""
    for group in re.findall(r"([^{};]+)\{", sheet):
        if not group.strip().startswith("@"):
            yield from (one.strip() for one in re.split(r",(?![^(]*\))", group))


def classes(selector: str) -> set[str]:
    return set(re.findall(r"\.([A-Za-z][\w-]*)", selector))


def names_given() -> set[str]:
    """What templates, scripts and programs write as classes."""
    given = []
    for path in (ROOT / "templates").rglob("*.html"):
        text = re.sub(r"\{\{.*?\}\}", HOLE, path.read_text())
        given += re.findall(r"block body_class %\}([^{]*)", text)
        given += re.findall(r'\{% include [^%]*\bclass="([^"]*)"', text)
        given += re.findall(r'class="([^"]*)"', re.sub(r"\{%.*?%\}", " ", text))
    for path in (*(ROOT / "builds").rglob("*.py"), *(ROOT / "static/js").glob("*.js")):
        text = re.sub(r"\{\w+\}", HOLE, path.read_text())
        given += re.findall(r'"class": f?"([^"]*)"|classList\.\w+\("([^"]*)"|class=\\?"([^"\\]*)', text)
    flat = " ".join(one if isinstance(one, str) else " ".join(one) for one in given)
    return set(flat.split())


def test_every_class_of_a_sheet_is_given_to_something() -> None:
    given = names_given() | PUT_ON_BY_HTMX
    begun = tuple(name.removesuffix(HOLE) for name in given if name.endswith(HOLE) and name != HOLE)
    styled = {name for sheet in SHEETS.values() for selector in selectors(sheet) for name in classes(selector)}
    assert len(styled) > 150
    assert {name for name in styled - given if not name.startswith(begun)} == set()


@pytest.mark.parametrize("name", sorted(SHEETS.keys() - BASE))
def test_a_sheet_speaks_of_the_component_that_it_is_named_after(name: str) -> None:
    strangers = [
        selector
        for selector in selectors(SHEETS[name])
        if classes(selector) and not any(one.startswith(name) for one in classes(selector))
    ]
    assert strangers == []


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_no_selector_means_something_else_once_white_space_is_taken_out(name: str) -> None:
    """Inside of a layer the space before a colon goes, as in a declaration: "x :checked" would be "x:checked"."""
    assert [selector for selector in selectors(SHEETS[name]) if re.search(r"[\w\])] :", selector)] == []


def test_every_sheet_is_joined_once_and_the_layers_come_first() -> None:
    joined = [path.stem for path in static_files.sheets()]
    assert sorted(joined) == sorted(SHEETS)
    assert (joined[0], joined[-1]) == ("layers", "print")


def test_a_page_links_one_sheet_and_one_script_that_hold_all_small_ones(client: Client, user: Any) -> None:
    page = client.get("/sign-in/").content.decode()
    (sheet,) = re.findall(r'<link rel="stylesheet" href="/static/([^"]+)"', page)
    (script,) = re.findall(r'<script src="/static/([^"]+)" defer>', page)
    joined = Path(str(finders.find(sheet))).read_text()
    small = "".join(SHEETS[part.stem] for part in static_files.sheets())
    assert bare(joined) == bare(small)
    assert len(joined) < 0.85 * sum(part.stat().st_size for part in static_files.sheets())
    joined = Path(str(finders.find(script))).read_text()
    for part in static_files.scripts():
        declared = re.findall(r"\b(?:function|const|let) (\w+)", part.read_text())
        assert len(declared) > 3
        assert [name for name in declared if not re.search(rf"\b{name}\b", joined)] == []


def test_joining_keeps_the_space_that_stands_for_inside() -> None:
    """Before a colon it would be taken away; a star holds it there."""
    sheets = {name: list(selectors(sheet)) for name, sheet in SHEETS.items()}
    assert [(name, one) for name, all_of in sheets.items() for one in all_of if re.search(r"[\w\])] +:", one)] == []


def bare(sheet: str) -> str:
    """A sheet without the white space and the last semicolons of its blocks, which mean nothing to a browser."""
    return re.sub(r"\s+|;\s*(?=\})", "", sheet)


def test_a_small_file_that_changes_changes_the_joined_one(settings: Any, data_dir: Path, tmp_path: Path) -> None:
    small = tmp_path / "static/css"
    shutil.copytree(ROOT / "static/css", small)
    settings.BASE_DIR = tmp_path
    finder = static_files.JoinedFilesFinder()
    before = Path(finder.find(static_files.SHEET)).read_text()
    (small / "chip.css").write_text(".chip { color: tan }")
    after = Path(finder.find(static_files.SHEET)).read_text()
    assert ".chip{color:tan}" in after
    assert ".chip{color:tan}" not in before


def test_every_property_of_the_sheets_is_set_and_used() -> None:
    everything = "\n".join(SHEETS.values())
    used = set(re.findall(r"var\((--[\w-]+)", everything))
    assert len(used) > 30
    assert set(re.findall(r"(?<![\w-])(--[\w-]+):", everything)) == used


def test_no_space_of_a_selector_is_taken_for_none() -> None:
    """What makes the joined sheet shorter takes the space before a colon away, and with it "within"."""
    spaced = [
        selector for sheet in SHEETS.values() for selector in selectors(sheet) if re.search(r"[\w)\]] :", selector)
    ]
    assert spaced == []
