"""A line of a notebook taken apart into words; whoever understands a word says what it was taken for."""

import re
from dataclasses import dataclass

from calcs.typed.text import plain_text


def word_list(text: str) -> list[str]:
    """Words between spaces."""
    return text.split()


def word_set(text: str) -> frozenset[str]:
    """Words between spaces, to be looked up."""
    return frozenset(word_list(text))


_NUMBERS = word_list(
    "no none one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen twenty"
)
_HALF_DOZEN = "half dozen"
NUMBER_WORDS = {word: max(0, place - 1) for place, word in enumerate(_NUMBERS)} | {
    "both": 2,
    "pair": 2,
    "zero": 0,
    "nil": 0,
    "dozen": 12,
    _HALF_DOZEN: 6,
}
# Words that carry a line and say nothing by themselves.
FILLERS = word_set(
    "a an the and on of for at with in to then from spent worked work working doing did it them this that my some "
    "more another i we was were is are came out time took item part parts no op operation # & + - – — / : = off up just"
)
# Words that say that a piece passed.
PASSED = word_set("good gd ok okay pass passed fine usable perfect sound")
# Words before the number of a part.
CALLED = word_set("item no nr number # part pt p/n fig detail")
_GLUED = re.compile(
    r"(?<![\w.,/:])(\d+)(?=(?:good|gd|scrap|bad|ok|u/s|off|pcs?|reworked|done)(?![a-z]))", re.IGNORECASE
)
_AFTER_A_WORD = re.compile(r"(?<=[^\W\d_]|[)])([,;+])(?=\S)|(?<=[^\W\d_][^\W\d_])(/)(?=\S)")
_BEFORE_A_WORD = re.compile(r"([,;])(?=[^\W\d_])")
# Not the one of an O-ring or a T-slot.
_HYPHEN = re.compile(r"(?<=[^\W\d_]{2})-(?=[^\W\d_])")
_EDGES = " .,;:()[]!\"'/=&-"
_IRREGULAR = {"ground": "grind", "swept": "sweep", "bought": "buy", "sawn": "saw", "leaves": "leaf"}
_ORDINALS = {"1st": "first", "2nd": "second", "3rd": "third", "4th": "fourth", "5th": "fifth", "6th": "sixth"}


@dataclass
class Word:
    """One word as it was written. `plain` is it without capitals and marks, `used` what it was taken for."""

    text: str
    plain: str
    breaks_before: bool
    breaks_after: bool
    used: str = ""

    @property
    def number(self) -> int | None:
        """The whole number that it is."""
        if self.plain.isascii() and self.plain.isdecimal() and len(self.plain) < 6:
            return int(self.plain)
        return NUMBER_WORDS.get(self.plain)

    @property
    def is_filler(self) -> bool:
        return not self.plain or self.plain in FILLERS


def words_of(text: str) -> list[Word]:
    """The words of a line.

    >>> [word.plain for word in words_of("2h30 Rings,lapping 3good (1 scrap)")]
    ['2h30', 'rings', 'lapping', '3', 'good', '1', 'scrap']
    """
    spread = _AFTER_A_WORD.sub(r"\g<0> ", _BEFORE_A_WORD.sub(r"\1 ", _GLUED.sub(r"\1 ", text)))
    return _with_phrases([_word(one) for one in _HYPHEN.sub("- ", spread).split()])


def _with_phrases(words: list[Word]) -> list[Word]:
    """Words that together stand for one: half a dozen is six, and 2 no good are 2 scrap."""
    for first, second, third in zip(words, words[1:], words[2:], strict=False):
        if (first.plain, second.plain, third.plain) == ("half", "a", "dozen"):
            first.plain, second.plain, third.plain = "", "", _HALF_DOZEN
        elif first.number and not first.breaks_after and second.plain in ("no", "not") and third.plain in PASSED:
            second.plain, third.plain = "", "scrap"
    return words


def _word(text: str) -> Word:
    opens, closes = text[0] in "([" or text in "-–—", text[-1] in ",;.)]!:" or text in "-–—"
    return Word(text, plain_text(text).strip(_EDGES), opens, closes)


def stem(word: str) -> str:
    """A word without its ending, so that lap, lapped and lapping are one.

    >>> stem("lapping"), stem("lapped"), stem("rings"), stem("filed"), stem("files")
    ('lap', 'lap', 'ring', 'fil', 'fil')
    """
    word = (_IRREGULAR | _ORDINALS).get(word, word)
    for endings in (("ies", "es", "s"), ("ing", "ed", "y"), ("e",)):
        ending = next((one for one in endings if word.endswith(one) and len(word) - len(one) >= 3), "")
        word = word.removesuffix(ending)
    return word[:-1] if len(word) > 3 and word[-1] == word[-2] else word
