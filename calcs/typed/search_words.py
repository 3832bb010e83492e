"""What is typed to look something up, read into words; a word is found where another begins with it."""

import re
import unicodedata
from itertools import islice

WORD = re.compile(r"[^\W_]+")
LONGEST_TEXT, MOST_WORDS, LONGEST_WORD = 300, 8, 40
"""What is typed is read so far: letters, words, and letters of one word."""
EXTRACT = 180
"""Letters of a long note that are shown around what was found in it."""


def words_sought(typed: str) -> tuple[str, ...]:
    """The words in what was typed, each once, in small letters without accents. None raises, nothing is syntax.

    >>> words_sought('Ecc* OR "Bügel"')
    ('ecc', 'or', 'bugel')
    """
    words = (plain(match[0])[:LONGEST_WORD] for match in WORD.finditer(_composed(typed[:LONGEST_TEXT])))
    return tuple(islice(dict.fromkeys(words), MOST_WORDS))


def plain(text: str) -> str:
    """Small letters without accents.

    >>> plain("Führungsstück Ø6, crème")
    'fuhrungsstuck ø6, creme'
    """
    return "".join(map(_without_accent, text.lower()))


def spellings(word: str) -> tuple[str, ...]:
    """The ways in which a plain word may be written.

    >>> spellings("mass")
    ('mass', 'maß')
    """
    return tuple(dict.fromkeys([word, word.replace("ß", "ss"), word.replace("ss", "ß")]))


def marked(text: str, words: tuple[str, ...]) -> list[tuple[str, bool]]:
    """A text in pieces, each with whether it is the beginning of a word that was sought.

    >>> marked("Eccentric strap", ("ecc",))
    [('Ecc', True), ('entric strap', False)]
    """
    text = _composed(text)
    pieces, done = [], 0
    for match in WORD.finditer(text):
        if letters := _letters_found(match[0], words):
            pieces += [(text[done : match.start()], False), (match[0][:letters], True)]
            done = match.start() + letters
    return [(piece, found) for piece, found in [*pieces, (text[done:], False)] if piece]


def extract(text: str, words: tuple[str, ...]) -> str:
    """The part of a long text in which the first of the words stands, cut between words; a short one whole."""
    text = " ".join(_composed(text).split())
    if len(text) <= EXTRACT:
        return text
    at = next((match.start() for match in WORD.finditer(text) if _letters_found(match[0], words)), 0)
    start = text.rfind(" ", 0, at - EXTRACT // 3) + 1 if at > EXTRACT // 2 else 0
    end = start + EXTRACT
    if end < len(text):
        end = max(text.rfind(" ", start, end), at + LONGEST_WORD)
    return ("… " if start else "") + text[start:end] + (" …" if end < len(text) else "")


def _letters_found(word: str, words: tuple[str, ...]) -> int:
    """How many letters of a word of the text are those that were sought; 0 where it begins with none of them."""
    read = plain(word)
    found = [len(one) for sought in words for one in spellings(sought) if read.startswith(one)]
    return min(max(found, default=0), len(word))


def _without_accent(letter: str) -> str:
    parted = unicodedata.normalize("NFD", letter)
    marks = parted[1:]
    return parted[0] if marks and all("\u0300" <= mark <= "\u036f" for mark in marks) else letter


def _composed(text: str) -> str:
    """An accent that is typed as a sign of its own parts no word."""
    return unicodedata.normalize("NFC", text)
