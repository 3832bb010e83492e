"""Good, reworked and scrap as they stand in a line of a notebook."""

import re
from collections.abc import Callable
from itertools import pairwise

from calcs.typed.notebook_words import PASSED, Word, word_set

GOOD = PASSED | word_set("done made finished completed")
MADE = word_set("good gd ok made finished completed pass passed did got")
REWORKED = word_set("reworked rework refitted")
# Words that say that a piece is lost; the second lot says why as well.
SCRAP = word_set(
    "scrap scrapped scraped bad lost reject rejected rejects dud duds bin binned junk junked fail failed ruined "
    "spoiled wasted u/s unserviceable"
)
REASONS = word_set(
    "cracked broke broken snapped warped bent split burnt chipped stripped twisted oversize undersize crooked"
)
PIECES = word_set("pieces piece pcs pc off ea each")
_BETWEEN = PIECES | word_set("more of them were was are came out is one turned all to") | {""}
_KINDS = (("scrap", SCRAP | REASONS), ("reworked", REWORKED), ("good", GOOD))
_KINDS_AHEAD = (("scrap", SCRAP | REASONS), ("reworked", REWORKED), ("good", MADE))
_COUNTED = GOOD | MADE | REWORKED | SCRAP | REASONS
_OF_THE_PAST = ("ed", "ut", "ound", "wn", "ast")
_OF_TIME = re.compile(r"(?:hours?|hrs?|h|minutes?|mins?|m|days?|evenings?|\d+/\d+|[½¼¾])\.?")


def read_counts(words: list[Word], is_part: Callable[[str], bool]) -> dict[str, int]:
    """The counts that the words tell, by what they count; the words they stand in are marked as used.

    is_part: whether a word stands in the name of a part: one who broke 1 tap has lost no piece.
    """
    counts: dict[str, int] = {}
    for place, word in enumerate(words):
        if word.number is None or word.used or _is_timed(words, place):
            continue
        if _stands_ahead(words, place) or not _behind(words, place, counts):
            _ahead(words, place, counts, is_part)
    for word, behind in pairwise(words):
        if not word.used and word.plain in SCRAP and behind.plain == "it" and counts.setdefault("scrap", 1) == 1:
            word.used = behind.used = "scrap"
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
            tried = next((number for one in words[place + 1 : at] if (number := one.number) is not None), None)
            if tried is None:
                _use_up(words[place + 1 : at], _BETWEEN, kind)
            elif words[at].plain in PASSED and (words[place].number or 0) <= tried:
                counts["tried"] = tried
                for one in words[place + 1 : at]:
                    one.used = kind
            if kind == "good" and place:
                _use_up(words[place - 1 : place], MADE, kind)
            return True
        if words[at].plain not in _BETWEEN and not (words[at].number is not None and words[at - 1].plain == "of"):
            return False
    return False


def _ahead(words: list[Word], place: int, counts: dict[str, int], is_part: Callable[[str], bool]) -> bool:
    """Good 3, scrap: 1, lost one, made 12."""
    before = words[place - 1] if place else None
    if before is None or before.used or before.text[-1] in ",;.)":
        return False
    if before.plain in REASONS and not _names_nothing_else(words, place, is_part):
        return False
    if kind := _kind_of(before, _KINDS_AHEAD, counts):
        _count(words, (place - 1, place), kind, counts)
        _use_up(words[place + 1 : place + 2], PIECES, kind)
        return True
    return False


def _names_nothing_else(words: list[Word], place: int, is_part: Callable[[str], bool]) -> bool:
    """Whether what stands behind a number is no other thing that could be counted: not the 8 holes, the 1 tap."""
    behind = words[place + 1] if place + 1 < len(words) and not words[place].breaks_after else None
    return behind is None or bool(behind.used) or behind.is_filler or behind.plain in PIECES or is_part(behind.plain)


def _count(words: list[Word], places: tuple[int, int], kind: str, counts: dict[str, int]) -> None:
    """Take the number and the word at two places for a count; a word that says why stays, to be the reason."""
    counts[kind] = next(number for at in places if (number := words[at].number) is not None)
    for at in places:
        words[at].used = "reason" if words[at].plain in REASONS else kind


def _use_up(words: list[Word], names: frozenset[str], kind: str) -> None:
    for word in words:
        if word.plain in names:
            word.used = kind


def read_pieces(words: list[Word], counts: dict[str, int]) -> None:
    """Take in pieces that are counted without a word of how they came out: 3 off, x3, and 3 before or behind the work.

    They are good ones; beside good ones they are all that were tried, where that adds up.
    """
    place, number = _pieces(words)
    if place is None:
        return
    told = counts.get("good", number)
    of_which = [word for word in words[place + 1 : place + 4] if word.plain in ("of", "which")]
    if len(of_which) == 2 and told <= number:
        counts.setdefault("tried", number)
    elif number != told and number != told + counts.get("scrap", 0):
        return
    counts.setdefault("good", number)
    words[place].used = "good"
    _use_up(words[place + 1 : place + 2], PIECES, "good")
    for word in of_which if len(of_which) == 2 else ():
        word.used = "good"


def settle(words: list[Word], counts: dict[str, int]) -> None:
    """What follows from the counts: of 4 of which 3 are good one is scrap; what was reworked is good; all are good."""
    tried = counts.pop("tried", None)
    if tried is not None and tried > counts.get("good", tried) and "reworked" not in counts:
        counts.setdefault("scrap", tried - counts["good"])
    if "reworked" in counts:
        counts.setdefault("good", counts["reworked"])
    for word, behind in pairwise(words):
        if word.plain == "all" and behind.plain in PASSED and "good" in counts and not behind.used:
            word.used = behind.used = "good"


def _pieces(words: list[Word]) -> tuple[int | None, int]:
    """The place of a number of pieces, and that number: one before the work rather than one behind it."""
    for place, word in enumerate(words):
        if not word.used and (number := _multiplied(word)) is not None:
            return place, number
    for side in (1, -1):
        for place, word in enumerate(words):
            beside = _beside(words, place, side)
            if not word.used and word.number and beside is not None and _counts(words, place, beside, side):
                return place, word.number
    return None, 0


def _multiplied(word: Word) -> int | None:
    bare = word.plain.removeprefix("x") if word.plain.startswith("x") else word.plain.removesuffix("x")
    return int(bare) if bare != word.plain and bare.isascii() and bare.isdecimal() and len(bare) < 6 else None


def _beside(words: list[Word], place: int, side: int) -> Word | None:
    """The word behind a number, but for "of": a pair of straps; or the one before it."""
    if side < 0:
        return words[place - 1] if place and words[place - 1].text[-1] not in ",;.)" else None
    behind = [] if words[place].breaks_after else words[place + 1 : place + 3]
    return next((word for word in behind if word.plain != "of"), None)


def _counts(words: list[Word], place: int, beside: Word, side: int) -> bool:
    """Whether a number is one of pieces by the word at its side: 3 rings, 3 lapped, lapped 3."""
    was_done = beside.used == "operation" and beside.plain.endswith(_OF_THE_PAST)
    if side < 0:
        return was_done and _names_nothing_else(words, place, lambda _word: False)
    return was_done or beside.plain in PIECES or beside.used == "part"


def read_reason(words: list[Word]) -> str:
    """Why pieces were scrapped: what follows the count of them, up to a mark or to what has another meaning.

    Behind a mark only a word that can be nothing else is taken: scrapped 3, cracked.
    """
    end = max((place for place, word in enumerate(words) if word.used in ("scrap", "reason")), default=None)
    if end is None:
        return ""
    first = next(place for place, word in enumerate(words) if word.used in ("scrap", "reason"))
    for place in range(end + 1, len(words)):
        is_plain = words[place].plain in REASONS and place == end + 1
        parted = words[place - 1].text[-1] in ",;.)" and not is_plain
        if words[place].used or parted or len(words[place].text) > 60:
            break
        words[place].used = "reason"
    told = [word.text for word in words[first:] if word.used == "reason"]
    return " ".join(told).strip(" .,;:()-–—")[:120].removeprefix("because ").removeprefix("as ")
