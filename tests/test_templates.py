"""What holds for every template: short lines, no inline style or script, and nothing said in one language alone."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

FOLDER = Path(__file__).parent.parent / "templates"
TEMPLATES = sorted(str(path.relative_to(FOLDER)) for path in FOLDER.rglob("*.html"))

# A name and figures stay as they are in every language.
NOT_WORDS = {"Swarfbook", "mm", "cm", "kg", "min", "rev"}
SPOKEN = {"title", "aria-label", "aria-description", "placeholder", "alt", "data-label"}
COMMENT = re.compile(r"\{#.*?#\}|\{% comment .*?endcomment %\}|\{% block body_class %\}.*?endblock", re.DOTALL)
TRANSLATED = re.compile(r"\{% blocktranslate\b.*?endblocktranslate %\}", re.DOTALL)
TAG = re.compile(r"\{[%{].*?[%}]\}", re.DOTALL)
# A quoted text inside a tag. What translates it stands before it; so does what takes no words.
QUOTED = re.compile(r"""(?P<before>\S*?)(?P<mark>["'])(?P<text>.*?)(?P=mark)""")
TAKES_NO_WORDS = ("_(", "date:", "class=")


class Reader(HTMLParser):
    """The words, styles and scripts that stand in a page's markup itself."""

    def __init__(self, markup: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self.inline: list[str] = []
        self.feed(markup)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        for name, value in attrs:
            if name in SPOKEN:
                self.words += words_of(value or "")
            if name == "style" or name.startswith("on") or (value or "").startswith("javascript:"):
                self.inline.append(name)
        if tag == "style" or (tag == "script" and "src" not in given):
            self.inline.append(tag)

    def handle_data(self, data: str) -> None:
        self.words += words_of(data)


def words_of(text: str) -> list[str]:
    return [word for word in re.findall(r"[^\W\d_]{2,}", text) if word not in NOT_WORDS]


def markup_of(source: str) -> str:
    """The template without what Django makes of it, so that what is left stands on the page as it is."""
    return TAG.sub("", TRANSLATED.sub("", COMMENT.sub("", source)))


def untranslated(source: str) -> list[str]:
    """The words that a person reads and no tag translates."""
    words = Reader(markup_of(source)).words
    for tag in TAG.findall(COMMENT.sub("", source)):
        if re.match(r"\{% (translate|url|load|static|extends)\b", tag):
            continue
        for found in QUOTED.finditer(tag):
            # "plan" is a key; "Plan" and "not yet" are words.
            is_text = re.search(r"[A-Z][a-z]|[a-z],? [a-z]", found["text"])
            if is_text and not found["before"].endswith(TAKES_NO_WORDS):
                words.append(found["text"])
    return words


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_line_is_not_longer_than_an_editor_is_wide(name: str) -> None:
    lines = (FOLDER / name).read_text().splitlines()
    assert [number for number, line in enumerate(lines, start=1) if len(line) > 120] == []


@pytest.mark.parametrize("name", TEMPLATES)
def test_style_and_script_stand_in_files_of_their_own(name: str) -> None:
    assert Reader(markup_of((FOLDER / name).read_text())).inline == []


@pytest.mark.parametrize("name", TEMPLATES)
def test_whatever_is_read_can_be_translated(name: str) -> None:
    assert untranslated((FOLDER / name).read_text()) == []


@pytest.mark.parametrize(
    "source",
    [
        "<p>Logged</p>",
        '<a aria-label="Edit {{ part }}">✎</a>',
        '{% include "components/empty.html" with title="No sums yet" %}',
        '{{ day|default:"not yet" }}',
        "{% if a %}{% translate 'One' %}{% else %}None{% endif %}",
    ],
)
def test_words_outside_a_translation_are_found(source: str) -> None:
    assert untranslated(source)


@pytest.mark.parametrize(
    "source",
    [
        '<td data-label="{% translate "Parts" %}" class="num">{{ parts }} mm</td>',
        '{% include "components/empty.html" with title=_("No sums yet") key="plan" %}',
        "{% blocktranslate trimmed %}\n  One <b>sentence</b>.\n{% endblocktranslate %}{# Said to developers. #}",
        '<title>{{ build }} · Swarfbook</title>{{ day|date:"l j F Y" }}',
    ],
)
def test_translated_words_keys_and_comments_are_left_alone(source: str) -> None:
    assert untranslated(source) == []


@pytest.mark.parametrize("source", ['<p style="color: red">', "<script>go()</script>", '<b onclick="go()">', "<style>"])
def test_inline_style_and_script_are_found(source: str) -> None:
    assert Reader(source).inline
