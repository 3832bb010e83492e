"""How hard a text is to read: the grade of J. P. Kincaid, R. P. Fishburne, R. L. Rogers and B. S. Chissom 1975,
Derivation of New Readability Formulas for Navy Enlisted Personnel (formula from memory):

    grade = 0.39 × words ÷ sentences + 11.8 × syllables ÷ words − 15.59

Syllables are counted by the groups of vowels of a word, as is common practice; a number or a sign is a word of one.
"""

import re

_WORD = re.compile(r"[A-Za-z]+(?:['’-][A-Za-z]+)*|\d[\d,./]*")
_SENTENCE = re.compile(r"(?<=[.?!:”])\s+(?=[A-Z“0-9])")
_VOWELS = re.compile(r"[aeiouy]+")
# Vowels side by side that are spoken apart: re-al, di-ameter, me-di-um, flu-id.
_APART = re.compile(r"i(?:a|o(?!n|us)|um|et)|eo(?!u)|ua(?!r)|uid|real|cre-?a|[aeiou]ing")


def syllables(word: str) -> int:
    """How many syllables an English word has, about.

    >>> [syllables(word) for word in ("size", "inches", "real", "diameter", "multiply", "table", "7", "planned")]
    [1, 2, 2, 4, 3, 2, 1, 1]
    """
    return sum(map(_syllables_of_one, re.split(r"['’-]", word.lower()))) or 1


def _syllables_of_one(word: str) -> int:
    if not word.isalpha():
        return 1
    number = len(_VOWELS.findall(word)) + len(_APART.findall(word))
    silent = re.search(r"[^aeiouylr]e$|[aeiou][lr]e$|[^aeioutd]ed$|[^aeioucgszxh]es$|[aeiou]ll?ed$", word)
    return max(1, number - bool(silent))


def words_of(text: str) -> list[str]:
    return _WORD.findall(text)


def sentences_of(text: str) -> list[str]:
    return [one for one in _SENTENCE.split(text) if words_of(one)]


def grade(text: str) -> float:
    """The school grade that a text takes."""
    words, sentences = words_of(text), sentences_of(text)
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59
