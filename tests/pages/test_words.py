"""The page of words, and the links that lead to it."""

import re
from pathlib import Path

from django.conf import settings
from django.template import Context, Template
from django.test import Client

from builds.arithmetic.sheets import SHEETS
from builds.glossary import BY_KEY, WORDS
from builds.views.plan.records import KINDS

LINKED = re.compile(r'\{% words? ((?:"[\w-]+" ?)+)')


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
        for keys in LINKED.findall(path.read_text())
        for key in re.findall(r'"([\w-]+)"', keys)
    }
    speakers = (*SHEETS.values(), *KINDS.values())
    asked |= {key for one in speakers for key in one.speaks_of.split()}
    assert asked
    assert asked - BY_KEY.keys() == set()


def test_a_word_leads_to_its_meaning_for_whoever_is_signed_in_alone(user: object) -> None:
    text = Template('{% load glossary %}{% word "yield" %}, {% word "blank" "blanks" %}')
    there = '<a class="word" href="/words/#yield">Yield</a>, <a class="word" href="/words/#blank">blanks</a>'
    assert text.render(Context({"user": user})) == there
    assert text.render(Context()) == "Yield, blanks"


def test_words_in_a_row_lead_to_their_meanings_and_are_nothing_to_whoever_is_not_signed_in(user: object) -> None:
    text = Template('{% load glossary %}{% words "yield blank" as asked %}{{ asked }}')
    there = '<a class="word" href="/words/#yield">Yield</a>, <a class="word" href="/words/#blank">Blank</a>'
    assert text.render(Context({"user": user})) == there
    assert text.render(Context()) == ""


def test_the_first_page_and_the_arithmetic_lead_to_the_words(signed_in: Client) -> None:
    for address in ("/", "/arithmetic/"):
        assert 'href="/words/"' in signed_in.get(address).content.decode()
