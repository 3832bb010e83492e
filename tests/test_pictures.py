"""The pictures of the README and of the demonstration: that they are there, small, and told of."""

import json
import re
from pathlib import Path

from builds.management.demonstration import PICTURES
from tests.pictures.demonstration import SCENES
from tests.pictures.pages import PAGES, SHOWN

ROOT = Path(__file__).parent.parent
TOLD = json.loads((PICTURES / "pictures.json").read_text())


def weight(folder: Path) -> int:
    return sum(file.stat().st_size for file in folder.rglob("*") if file.is_file())


def test_the_readme_shows_every_picture_with_its_words() -> None:
    shown = dict(re.findall(r"!\[([^\]]+)\]\((tests/pictures/shown/[^)]+)\)", (ROOT / "README.md").read_text()))
    assert sorted(shown.values()) == sorted(str(file.relative_to(ROOT)) for file in SHOWN.glob("*.png"))
    assert {Path(file).stem for file in shown.values()} == {page.name for page in PAGES}


def test_pictures_stay_small() -> None:
    assert weight(SHOWN) < 700_000
    assert weight(PICTURES) < 1_500_000


def test_every_scene_is_a_photo_of_the_demonstration_and_says_that_it_is_drawn() -> None:
    assert {Path(photo["file"]).stem for photo in TOLD["photos"]} == set(SCENES)
    assert all(photo["caption"].endswith("Drawn.") for photo in TOLD["photos"])


def test_every_file_beside_the_record_is_told_of() -> None:
    told = {one["file"] for one in [*TOLD["photos"], *TOLD["drawings"]]}
    there = {str(file.relative_to(PICTURES)) for file in PICTURES.rglob("*.*") if file.name != "pictures.json"}
    assert told == there
