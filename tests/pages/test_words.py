"""The page of words, and the links that lead to it."""

import re
from pathlib import Path

from django.conf import settings
from django.template import Context, Template
from django.test import Client

from builds.glossary import BY_KEY, WORDS

LINKED = re.compile(r'\{% word "([\w-]+)"')


def test_each_word_stands_once_and_says_what_is_beside_it() -> None:
    assert len(BY_KEY) == len(WORDS) == len({word.name for word in WORDS}) >= 50
    assert [(word.key, key) for word in WORDS for key in word.see if key not in BY_KEY] == []
    assert [word.key for word in WORDS if not word.meaning.endswith(".") or not word.source] == []


def test_the_page_has_every_word_in_the_order_of_the_alphabet(signed_in: Client) -> None:
    page = signed_in.get("/words/").content.decode()
    names = re.findall(r"<dt>(.*?)</dt>", page)
    assert names == sorted((word.name for word in WORDS), key=str.casefold)
    assert set(re.findall(r'class="words__one" id="([\w-]+)"', page)) == set(BY_KEY)


def test_every_word_that_a_page_asks_about_is_in_the_list() -> None:
    asked = {
        key
        for path in (Path(settings.BASE_DIR) / "templates").rglob("*.html")
        for key in LINKED.findall(path.read_text())
    }
    assert asked
    assert asked - BY_KEY.keys() == set()


def test_a_word_leads_to_its_meaning_for_whoever_is_signed_in_alone(user: object) -> None:
    text = Template('{% load glossary %}{% word "yield" %}, {% word "blank" "blanks" %}')
    there = '<a class="word" href="/words/#yield">Yield</a>, <a class="word" href="/words/#blank">blanks</a>'
    assert text.render(Context({"user": user})) == there
    assert text.render(Context()) == "Yield, blanks"
