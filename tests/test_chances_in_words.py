"""A chance is said in one way: so many chances in so many, or an even chance."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings

BASE = Path(settings.BASE_DIR)
OTHERWISE = re.compile(
    r"\b(?:likely|likelier|likeliest|likelihood|probable|probabilit\w+|odds)\b"
    r"|\b(?:\d+|one|two|three|four|five|eight|nine) (?:times? )?(?:in|out of) (?:2|3|5|10|20|100|five|ten|twenty)\b"
    r"(?! (?:mm|in\b|h\b|cm))"
    r"|\b(?:one|two|three|four|five|eight|nine) chances?\b"
    r"|\bof (?:the|all) cases\b|\bper cent chance\b|% chance\b|\bchance of \d",
    re.IGNORECASE,
)
# A time from three guesses asks for the likeliest one, as its rule has it.
OF_THREE_GUESSES = re.compile(
    r"Most likely|likeliest time|the shortest, the likeliest, the longest|a short, a likely and a long time"
)


def otherwise_told(text: str) -> list[str]:
    """What of a text says a chance in other words."""
    return [found[0] for found in OTHERWISE.finditer(OF_THREE_GUESSES.sub("", text))]


def texts_of_the_program() -> Iterator[tuple[str, str]]:
    for folder in ("builds", "calcs"):
        for path in (BASE / folder).rglob("*.py"):
            if "migrations" not in path.parts:
                yield from ((str(path), text) for text in shown_texts(path.read_text(encoding="utf-8")))
    for path in (BASE / "templates").rglob("*.html"):
        yield str(path), " ".join(re.sub(r"{#.*?#}", "", path.read_text(encoding="utf-8"), flags=re.DOTALL).split())


def shown_texts(source: str) -> list[str]:
    """Every text of a module but those that explain it."""
    tree = ast.parse(source)
    notes = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    constants = (node for node in ast.walk(tree) if isinstance(node, ast.Constant) and id(node) not in notes)
    return [node.value for node in constants if isinstance(node.value, str) and " " in node.value]


def test_no_text_says_a_chance_in_other_words() -> None:
    told = [(path, words) for path, text in texts_of_the_program() if (words := otherwise_told(text))]
    assert told == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Enough in 9 out of 10 builds.", ["9 out of 10"]),
        ("Eight times in ten it holds.", ["Eight times in ten"]),
        ("enough in 92 % of the cases", ["of the cases"]),
        ("It is likely to fit.", ["likely"]),
        ("1 in 10", ["1 in 10"]),
        ("Four chances in five", ["Four chances"]),
        ("4 chances in 5, 1 chance in 10, an even chance; 3 mm too long in 100 mm", []),
    ],
)
def test_other_words_are_found(text: str, found: list[str]) -> None:
    assert otherwise_told(text) == found
