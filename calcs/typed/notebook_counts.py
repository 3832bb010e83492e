"""Good, reworked and scrap as they stand in a line of a notebook."""

import re
from collections.abc import Iterator

from calcs.typed.notebook_words import Word, word_set

GOOD = word_set("good ok okay passed fine usable perfect sound done made finished completed")
MADE = word_set("good ok made finished completed passed did got")
REWORKED = word_set("reworked rework refitted")
# Words that say that a piece is lost; the second lot says why as well.
SCRAP = word_set("scrap scrapped scraped bad lost reject rejected rejects dud duds binned failed ruined spoiled")
REASONS = word_set("cracked broke broken snapped warped bent split burnt chipped oversize undersize crooked")
PIECES = word_set("pieces piece pcs pc off ea each")
_BETWEEN = PIECES | word_set("more of them were was are came out is one turned all to")
_KINDS = (("scrap", SCRAP | REASONS), ("reworked", REWORKED), ("good", GOOD))
_KINDS_AHEAD = (("scrap", SCRAP | REASONS), ("reworked", REWORKED), ("good", MADE))
_COUNTED = GOOD | MADE | REWORKED | SCRAP | REASONS
_OF_TIME = re.compile(r"(?:hours?|hrs?|h|minutes?|mins?|m|days?|evenings?|\d+/\d+|[½¼¾])\.?")


def read_counts(words: list[Word]) -> dict[str, int]:
    """The counts that the words tell, by what they count; the words they stand in are marked as used."""
    counts: dict[str, int] = {}
    for place, word in enumerate(words):
        if word.number is None or word.used or _is_timed(words, place):
            continue
        if _stands_ahead(words, place) or not _behind(words, place, counts):
            _ahead(words, place, counts)
    return counts


def _is_timed(words: list[Word], place: int) -> bool:
    """Whether a number is one of hours or minutes: did 2 hours, lost 1 1/2 h."""
    return place + 1 < len(words) and bool(_OF_TIME.fullmatch(words[place + 1].plain))


def _stands_ahead(words: list[Word], place: int) -> bool:
    """Whether the word before a number says what it counts, though one behind it could: good 3 scrap 1."""
    before = words[place - 1] if place else None
    if before is None or before.used or before.plain not in _COUNTED:
        return False
    if before.text[-1] in ":=":
        return True
    behind = words[place + 1 : place + 3]
    told_twice = len(behind) == 2 and behind[0].plain in _COUNTED and behind[1].number is not None
    same = told_twice and before.plain in MADE and behind[0].plain in GOOD
    return told_twice and not same


def _kind_of(word: Word, kinds: tuple[tuple[str, frozenset[str]], ...], counts: dict[str, int]) -> str:
    return next((kind for kind, names in kinds if word.plain in names and kind not in counts), "")


def _behind(words: list[Word], place: int, counts: dict[str, int]) -> bool:
    """3 good, 2 of them reworked, 1 piece cracked, 8 of 10 good."""
    for at in range(place + 1, min(place + 5, len(words))):
        if words[at - 1].breaks_after or words[at].breaks_before or words[at].used:
            return False
        if kind := _kind_of(words[at], _KINDS, counts):
            _count(words, (place, at), kind, counts)
            if all(one.number is None for one in words[place + 1 : at]):
                _use_up(words[place + 1 : at], _BETWEEN, kind)
            if kind == "good" and place:
                _use_up(words[place - 1 : place], MADE, kind)
            return True
        if words[at].plain not in _BETWEEN and not (words[at].number is not None and words[at - 1].plain == "of"):
            return False
    return False


def _ahead(words: list[Word], place: int, counts: dict[str, int]) -> bool:
    """Good 3, scrap: 1, lost one, made 12."""
    before = words[place - 1] if place else None
    if before is None or before.used or before.text[-1] in ",;.)":
        return False
    if kind := _kind_of(before, _KINDS_AHEAD, counts):
        _count(words, (place - 1, place), kind, counts)
        _use_up(words[place + 1 : place + 2], PIECES, kind)
        return True
    return False


def _count(words: list[Word], places: tuple[int, int], kind: str, counts: dict[str, int]) -> None:
    """Take the number and the word at two places for a count; a word that says why stays, to be the reason."""
    counts[kind] = next(number for at in places if (number := words[at].number) is not None)
    for at in places:
        words[at].used = "reason" if words[at].plain in REASONS else kind


def _use_up(words: list[Word], names: frozenset[str], kind: str) -> None:
    for word in words:
        if word.plain in names:
            word.used = kind


def read_pieces(words: list[Word]) -> int | None:
    """Pieces that are counted without a word of how they came out: 3 off, x3, and 3 before or behind the work."""
    for place, word in enumerate(words):
        number, around = _multiplied(word), list(_beside(words, place))
        if number is None and word.number is not None:
            number = word.number if any(_counts(one, side) for one, side in around) else None
        if number is not None and not word.used:
            word.used = "good"
            _use_up([one for one, side in around if side > 0], PIECES, "good")
            return number
    return None


def _multiplied(word: Word) -> int | None:
    bare = word.plain.removeprefix("x") if word.plain.startswith("x") else word.plain.removesuffix("x")
    return int(bare) if bare != word.plain and bare.isascii() and bare.isdecimal() and len(bare) < 6 else None


def _beside(words: list[Word], place: int) -> Iterator[tuple[Word, int]]:
    if place + 1 < len(words) and not words[place].breaks_after:
        yield words[place + 1], 1
    if place and words[place - 1].text[-1] not in ",;.)":
        yield words[place - 1], -1


def _counts(beside: Word, side: int) -> bool:
    """Whether a number is one of pieces by the word at its side: 3 rings, 3 lapped, lapped 3."""
    if side > 0:
        return (
            beside.plain in PIECES
            or beside.used == "part"
            or (beside.used == "operation" and beside.plain[-2:] == "ed")
        )
    return beside.used == "operation" and beside.plain.endswith(("ed", "ut", "ound"))


def read_reason(words: list[Word]) -> str:
    """Why pieces were scrapped: what follows the count of them, up to a mark or to what has another meaning."""
    end = max((place for place, word in enumerate(words) if word.used in ("scrap", "reason")), default=None)
    if end is None:
        return ""
    first = next(place for place, word in enumerate(words) if word.used in ("scrap", "reason"))
    for place in range(end + 1, len(words)):
        if words[place].used or words[place - 1].text[-1] in ",;.)" or len(words[place].text) > 60:
            break
        words[place].used = "reason"
    told = [word.text for word in words[first:] if word.used == "reason"]
    return " ".join(told).strip(" .,;:()-–—")[:120].removeprefix("because ").removeprefix("as ")
