"""Sentences that people read, in the language of whoever reads them.

The arithmetic knows no web framework, so it is told how to translate: `speak` is called once, when the program starts,
with gettext's two functions. Until then everything is English, as it stands in the source. Figures go into a sentence
by name, so that another language may put them in another order.

    _("{part} needs {number} blanks.", part=name, number=12)
    ngettext("{n} piece is left.", "{n} pieces are left.", left)

A constant is marked with `gettext_noop` where it stands and given to `_` where it is shown.
"""

from collections.abc import Callable, Sequence
from typing import Any


def _as_it_stands(message: str) -> str:
    return message


def _in_english(one: str, many: str, number: int) -> str:
    return one if number == 1 else many


_translate: Callable[[str], str] = _as_it_stands
_translate_number: Callable[[str, str, int], str] = _in_english


def speak(translate: Callable[[str], str], translate_number: Callable[[str, str, int], str]) -> None:
    """Have every sentence translated by these two, which are asked anew for each one."""
    global _translate, _translate_number
    _translate, _translate_number = translate, translate_number


def _(message: str, **figures: Any) -> str:
    """Return a sentence with its figures put in.

    >>> _("Write {example}, not {text}.", example="12 mm", text="twelve")
    'Write 12 mm, not twelve.'
    """
    text = _translate(message)
    return text.format(**figures) if figures else text


def ngettext(one: str, many: str, number: int, **figures: Any) -> str:
    """Return the sentence for one or for many, `n` and the other figures put in. `number` is what is counted.

    >>> ngettext("{n} blank", "{n} blanks", 1), ngettext("{n} blank", "{n} blanks", 1200)
    ('1 blank', '1,200 blanks')
    """
    return _translate_number(one, many, number).format(n=f"{number:,}", **figures)


def listed(words: Sequence[str]) -> str:
    """Return words as a list in a sentence.

    >>> listed(["steel", "brass", "cast iron"]), listed(["steel"]), listed([])
    ('steel, brass and cast iron', 'steel', '')
    """
    if len(words) < 2:
        return "".join(words)
    return _("{words} and {last}", words=", ".join(words[:-1]), last=words[-1])


def gettext_noop(message: str) -> str:
    """Return the message as it stands, marked so that it is collected for translation."""
    return message
