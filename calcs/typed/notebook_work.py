"""Which part and operation the words of a notebook line are about: by number, by name, by near spelling."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from functools import cached_property

from calcs.typed.notebook_words import CALLED, FILLERS, Word, stem
from calcs.typed.text import plain_text

# Below this nothing is meant by a line (tuned on the lines of the tests).
LEAST_SCORE = 1.5
# So near is what is worth listing.
NEAR_SCORE = 1.2
# Left out of a word to shorten it: whl, thrd.
_VOWELS = re.compile("(?<!^)[aeiou]")
_NEAR = 0.75
_NEAR_WHEN_SHORT = 0.85


@dataclass(frozen=True)
class WorkName:
    """Something that a line may be about. `value` is what the caller knows it by; the first of equals is taken.

    operation: title and kind together; empty for a part as a whole. aliases: words for shop time.
    batches: numbers of the part's batches, and what the caller knows them by.
    """

    value: str
    number: str = ""
    name: str = ""
    operation_number: str = ""
    operation: str = ""
    aliases: str = ""
    batches: Mapping[int, str] = field(default_factory=dict, hash=False)

    @cached_property
    def name_stems(self) -> tuple[str, ...]:
        return _stems(self.name)

    @cached_property
    def joined_stems(self) -> frozenset[str]:
        """Neighbours in its name as one word."""
        stems = self.name_stems
        ends = ((first, last) for first in range(len(stems)) for last in range(first + 2, len(stems) + 1))
        return frozenset("".join(stems[first:last]) for first, last in ends)

    @cached_property
    def operation_stems(self) -> tuple[str, ...]:
        return _stems(self.operation)

    @cached_property
    def alias_stems(self) -> tuple[str, ...]:
        return _stems(self.aliases)

    @cached_property
    def plain_number(self) -> str:
        return plain_text(self.number).strip()


@dataclass
class _Match:
    score: float = 0.0
    uses: dict[int, str] = field(default_factory=dict)

    @property
    def first(self) -> int:
        return min(self.uses, default=0)


def is_name(word: str, names: Iterable[WorkName], *, operations: bool = True) -> bool:
    """Whether a word stands in the name of a part, or of an operation."""
    sought = stem(word)
    return any(sought in name.name_stems or (operations and sought in name.operation_stems) for name in names)


def find_work(words: list[Word], names: Iterable[WorkName]) -> WorkName | None:
    """What the words are about, whose words are then marked as used; None where nothing is near enough."""
    nearness = _Nearness(words)
    found: WorkName | None = None
    best = _Match()
    for name in names:
        match = _match(words, name, nearness)
        if match.score >= LEAST_SCORE and _is_better(match, best, shop=bool(name.aliases)):
            best, found = match, name
    for place, use in best.uses.items():
        words[place].used = use
    return found


def _is_better(match: _Match, best: _Match, *, shop: bool) -> bool:
    """Shop time that is named first is meant, where no part is named at all: cleaning up after casting."""
    if shop and set(best.uses.values()) == {"operation"}:
        return match.first < best.first
    return match.score > best.score + 1e-9


def near_work(words: list[Word], names: Iterable[WorkName]) -> list[str]:
    """The values of all that every word may be about, the nearest first."""
    nearness = _Nearness(words)
    matches = [(_match(words, name, nearness), name.value) for name in names]
    said = {place for place, word in enumerate(words) if not word.is_filler}
    near = [(match.score, value) for match, value in matches if match.score >= NEAR_SCORE and said <= match.uses.keys()]
    return [value for _score, value in sorted(near, key=lambda one: -one[0])]


class _Nearness:
    """How near the words of a line are to a stem, asked once for each. Two words may be one: fly wheel."""

    def __init__(self, words: Sequence[Word]) -> None:
        bare = {
            place: re.sub(r"[\W_]", "", word.plain)
            for place, word in enumerate(words)
            if not word.used and len(word.plain) > 1 and word.plain not in FILLERS and not word.plain.isdecimal()
        }
        self.free = {place: stem(word) for place, word in bare.items()}
        self._pairs = {stem(word + bare[place + 1]): place for place, word in bare.items() if place + 1 in bare}
        self._known: dict[str, dict[tuple[int, ...], float]] = {}

    def to(self, sought: str) -> dict[tuple[int, ...], float]:
        """The score of each word that is near, by its place or those of the two."""
        if sought not in self._known:
            scored: dict[tuple[int, ...], float] = {
                (place,): score for place, word in self.free.items() if (score := _near(word, sought))
            }
            if (first := self._pairs.get(sought)) is not None:
                scored[first, first + 1] = 2.0
            self._known[sought] = scored
        return self._known[sought]


def _near(word: str, sought: str) -> float:
    if word == sought:
        return 2.0
    if len(word) >= 3 and (sought.startswith(word) or _VOWELS.sub("", sought) == word):
        return 1.5
    shorter = min(len(word), len(sought))
    least = _NEAR if shorter > 3 else _NEAR_WHEN_SHORT
    if shorter < 3 or abs(len(word) - len(sought)) > 2 or word[0] != sought[0]:
        return 0.0
    matcher = SequenceMatcher(None, word, sought, autojunk=False)
    if matcher.quick_ratio() < least:
        return 0.0
    ratio = matcher.ratio()
    return 1.7 * ratio if ratio >= least else 0.0


def _stems(text: str) -> tuple[str, ...]:
    plain = re.split(r"[^\w]+", plain_text(text))
    return tuple(dict.fromkeys(stem(word) for word in plain if word and word not in FILLERS))


def _match(words: Sequence[Word], name: WorkName, nearness: _Nearness) -> _Match:
    match = _Match()
    _match_stems(match, name.name_stems, nearness, "part")
    _match_joined(match, name, nearness)
    _match_name_number(match, words, name)
    _match_number(match, words, name)
    _match_stems(match, name.operation_stems, nearness, "operation")
    _match_operation_number(match, words, name)
    _match_stems(match, name.alias_stems, nearness, "activity", most=1.9)
    return match


def _match_stems(match: _Match, stems: Sequence[str], nearness: _Nearness, use: str, most: float = 9.0) -> None:
    """Each stem takes a word, the nearest pairs first; a part's name of which more is said is nearer."""
    pairs = [(score, places, sought) for sought in stems for places, score in nearness.to(sought).items()]
    taken: set[str] = set()
    total = 0.0
    for score, places, sought in sorted(pairs, key=lambda pair: (-pair[0], pair[1])):
        if sought not in taken and match.uses.keys().isdisjoint(places):
            taken.add(sought)
            match.uses |= dict.fromkeys(places, use)
            total += score
    if taken:
        # Of operations the one used last is meant, however much stands in its title.
        match.score += min(total, most) + (0.3 * len(taken) / len(stems) if use == "part" else 0.0)


def _match_name_number(match: _Match, words: Sequence[Word], name: WorkName) -> None:
    """The number in a name whose words are said before it: pinion of eight."""
    for place, word in enumerate(words):
        ahead = next((at for at in range(place - 1, -1, -1) if not words[at].is_filler), None)
        if str(word.number) in name.name_stems and not word.used and match.uses.get(ahead or 0) == "part":
            match.uses[place] = "part"
            match.score += 0.3
            return


def _match_joined(match: _Match, name: WorkName, nearness: _Nearness) -> None:
    """Words of a name that were written as one: pistonring, M3x8."""
    for place, word in nearness.free.items():
        if word in name.joined_stems and place not in match.uses:
            match.uses[place] = "part"
            match.score += 2.3
            return


def _match_number(match: _Match, words: Sequence[Word], name: WorkName) -> None:
    """14, #14, item 14; 14/30 is item and operation."""
    both = f"{name.plain_number}/{name.operation_number}"
    for place, word in enumerate(words):
        if name.plain_number and name.operation_number and not word.used and word.plain.lstrip("#") == both:
            match.uses[place], match.score = "operation", match.score + 5.0
            return
    for place, word in enumerate(words):
        bare = word.plain.lstrip("#")
        if word.used or not name.plain_number or bare != name.plain_number:
            continue
        called = word.plain.startswith("#") or (place > 0 and words[place - 1].plain.rstrip(".") in CALLED)
        if called and place and words[place - 1].plain.rstrip(".") in CALLED:
            match.uses[place - 1] = "part"
        match.uses[place] = "part"
        match.score += 5.0 if called else 1.9
        return


def _match_operation_number(match: _Match, words: Sequence[Word], name: WorkName) -> None:
    """op 20, op20, or 20 beside the name of the operation."""
    for place, word in enumerate(words):
        if word.used or not name.operation_number or place in match.uses:
            continue
        glued = re.fullmatch(r"op\.?(\d+)", word.plain)
        before = words[place - 1].plain.rstrip(".") if place else ""
        if glued is not None and glued[1] == name.operation_number:
            match.uses[place], match.score = "operation", match.score + 3.0
        elif word.plain == name.operation_number and before in ("op", "operation", "step"):
            match.uses |= {place - 1: "operation", place: "operation"}
            match.score += 3.0
        elif (
            word.plain == name.operation_number
            and match.uses.get(place + 1) == "operation"
            and not words[place + 1].plain.endswith("ed")
        ):
            match.uses[place], match.score = "operation", match.score + 0.5
