"""The facts in whole sentences, for the page that is read aloud or large, and for the sign."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from builds.queries.visitors.facts import Facts
from builds.queries.visitors.way import WayTold
from calcs.forecast.words import FOUR_IN_FIVE
from calcs.messages import _


@dataclass(frozen=True)
class Told:
    """A panel of the board in words: `sentences` first, then `lines`, each of one thing among several."""

    key: str
    heading: str
    sentences: tuple[str, ...]
    lines: tuple[str, ...]


def in_words(facts: Facts) -> tuple[Told, ...]:
    """Every panel that has something to say. No query."""
    return tuple(
        Told(key, facts.headings[key], tuple(filter(None, SENTENCES[key](facts))), tuple(LINES.get(key, _none)(facts)))
        for key in facts.panels
    )


def ended(text: str) -> str:
    """A text that somebody typed as a sentence: with a capital, and a full stop where no mark ends it."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if not text or text[-1] in ".!?…" else ".")


def finish_in_words(way: WayTold) -> str:
    """When all of it is done; empty where no date is told or known."""
    if not way.finish:
        return ""
    return _("Finished, with {chance}: {range}.", chance=_(FOUR_IN_FIVE), range=way.finish)


def _none(facts: Facts) -> Iterable[str]:
    return ()


def _size(facts: Facts) -> Iterable[str]:
    build = facts.build
    typed = (build.subject, build.for_visitors, facts.what_it_did)
    return (*map(ended, typed), *facts.sizes.sentences, facts.times_smaller)


def _hours(facts: Facts) -> Iterable[str]:
    hours = facts.hours
    return (_("{hours} so far.", hours=hours.words), hours.meaning, hours.working_weeks) if hours else ()


def _finished(facts: Facts) -> Iterable[str]:
    finished = facts.finished
    return (ended(finished.took), finished.when, finished.had_been_said) if finished else ()


def _counts(facts: Facts) -> Iterable[str]:
    return (ended(facts.counts.words), facts.counts.pieces_words) if facts.counts else ()


def _bench(facts: Facts) -> Iterable[str]:
    bench = facts.bench
    if bench is None:
        return ()
    title = _("{when}: {title}.", when=bench.when, title=bench.title.rstrip("."))
    return (title, bench.what_it_does, bench.steps_words if bench.steps else "")


def _steps(facts: Facts) -> Iterable[str]:
    for step in facts.bench.steps if facts.bench else ():
        told = _("{step}: {meaning}", step=step.name, meaning=step.meaning)
        yield _("{step} (done)", step=told) if step.done else told


def _chips(facts: Facts) -> Iterable[str]:
    return (ended(facts.block.part.name), facts.block.sentence, facts.block.in_a_hundred) if facts.block else ()


def _hardest(facts: Facts) -> Iterable[str]:
    hardest = facts.hardest
    if hardest is None:
        return
    if hardest.lost:
        yield _("{part}. {told}.", part=hardest.lost.part.name, told=hardest.lost.headline)
        yield hardest.lost.sentence
    if hardest.over:
        yield _("Furthest over its plan: {part}.", part=hardest.over.part.name)
        yield hardest.over.sentence


def _masses(facts: Facts) -> Iterable[str]:
    if facts.masses:
        return (facts.masses.sentence,)
    return (_("Made of {materials}.", materials=facts.materials_words),)


def _shares(facts: Facts) -> Iterable[str]:
    shares = facts.masses.shares if facts.masses else ()
    return (
        _("{material}: {mass}, {percent} %", material=one.label, mass=one.mass, percent=one.percent) for one in shares
    )


def _way(facts: Facts) -> Iterable[str]:
    way = facts.way
    if way is None:
        return ()
    return (ended(way.headline), finish_in_words(way), way.even)


def _milestones(facts: Facts) -> Iterable[str]:
    for step in facts.way.steps if facts.way else ():
        told = _("{name}: reached", name=step.name) if step.reached else step.name
        yield _("{name}, {when}", name=told, when=step.when) if step.when else told


def _people(facts: Facts) -> Iterable[str]:
    return (ended(facts.people_words),)


SENTENCES: dict[str, Callable[[Facts], Iterable[str]]] = {
    "size": _size,
    "hours": _hours,
    "finished": _finished,
    "counts": _counts,
    "bench": _bench,
    "chips": _chips,
    "hardest": _hardest,
    "masses": _masses,
    "photos": _none,
    "way": _way,
    "people": _people,
}
LINES: dict[str, Callable[[Facts], Iterable[str]]] = {
    "hours": lambda facts: (f"{one.year}: {one.words}" for one in (facts.hours.years if facts.hours else ())),
    "counts": lambda facts: (one.row.sentence for one in (facts.counts.assemblies if facts.counts else ())),
    "bench": _steps,
    "masses": _shares,
    "way": _milestones,
}
