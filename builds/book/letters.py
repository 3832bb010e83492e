"""The letters of a book: which signs they have, and how Arabic ones join."""

import unicodedata
from functools import cache
from pathlib import Path

import matplotlib
from matplotlib.ft2font import FT2Font

from builds.charts.drawing import legible

REGULAR, BOLD = (
    Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
)
NO_LETTER = "□"
# Unicode's blocks of Arabic letters in the shape that they have in a word.
HOW = {(True, True): "<medial>", (True, False): "<final>", (False, True): "<initial>", (False, False): "<isolated>"}
"""A letter's shape, by whether it is joined to the one before and to the one after."""
SHAPES = (*range(0xFB50, 0xFC00), *range(0xFE80, 0xFEFD))


def written(words: str) -> str:
    """The words line by line, without what can be neither printed nor seen; a box for each sign without a letter."""
    lines = "\n".join(legible(line) for line in words.splitlines()).strip()
    return "".join(sign if ord(sign) in drawable() or sign.isspace() else NO_LETTER for sign in lines)


@cache
def drawable() -> frozenset[int]:
    """The code points of all signs that the book can draw."""
    return frozenset(FT2Font(REGULAR).get_charmap())


def joined(words: str) -> str:
    """Words in the order of reading, each Arabic letter in the shape that its neighbours give it."""
    shapes = _shapes()
    for pair in (two for two in shapes if len(two) == 2):
        words = words.replace(pair, shapes[pair]["<isolated>"])
    # What stands above or below a letter does not part it from the next.
    letters = [place for place, sign in enumerate(words) if unicodedata.category(sign) != "Mn"]
    around = zip([-1, *letters], letters, [*letters[1:], -1], strict=False)
    neighbours = {place: (before, after) for before, place, after in around}
    drawn = []
    for place, sign in enumerate(words):
        before, after = neighbours.get(place, (-1, -1))
        from_before = before >= 0 and _joins(words[before], "<initial>") and _joins(sign, "<final>")
        to_after = after >= 0 and _joins(sign, "<initial>") and _joins(words[after], "<final>")
        drawn.append(shapes.get(sign, {}).get(HOW[from_before, to_after], sign))
    return "".join(drawn)


def _joins(sign: str, how: str) -> bool:
    return how in _shapes().get(sign, {})


@cache
def _shapes() -> dict[str, dict[str, str]]:
    """By Arabic letter, and by lam with an alef behind it: its shapes alone and in a word, after Unicode."""
    found: dict[str, dict[str, str]] = {}
    for code in SHAPES:
        how, *plain = unicodedata.decomposition(chr(code)).split() or [""]
        if 1 <= len(plain) <= 2 and code in drawable():
            found.setdefault("".join(chr(int(one, 16)) for one in plain), {})[how] = chr(code)
    # The two in one are a letter of their own, that joins to the one before.
    found |= {found[two]["<isolated>"]: found[two] for two in list(found) if len(two) == 2 and len(found[two]) == 2}
    return found
