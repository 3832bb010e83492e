"""Where the bench minutes of a log book went: parts, shop time that the build counts, and time that it does not."""

from collections.abc import Iterable
from dataclasses import dataclass

from builds.models.choices import Activity
from calcs.messages import listed


@dataclass(frozen=True)
class BenchAccount:
    """Bench minutes by where they went. `minutes` are all of them; `headline` are the build's hours done."""

    parts: int
    shop_time: dict[str, int]
    uncounted: dict[str, int]

    @property
    def shop_minutes(self) -> int:
        """Shop time that counts in the build's hours."""
        return sum(self.shop_time.values())

    @property
    def uncounted_minutes(self) -> int:
        return sum(self.uncounted.values())

    @property
    def headline(self) -> int:
        return self.parts + self.shop_minutes

    @property
    def minutes(self) -> int:
        return self.headline + self.uncounted_minutes

    @property
    def shop_words(self) -> str:
        return _activities(self.shop_time)

    @property
    def uncounted_words(self) -> str:
        """What the time that does not count was for, as a list in a sentence: "buying and tidying"."""
        return _activities(self.uncounted)


def account_of(entries: Iterable[tuple[str, int | None]], counted: frozenset[str]) -> BenchAccount:
    """The account of entries, or of sums of them, each an activity (empty for work on a part) and bench minutes.

    counted: the activities that count in the build's hours.
    """
    parts = 0
    shop_time: dict[str, int] = {}
    uncounted: dict[str, int] = {}
    for activity, minutes in entries:
        if not activity:
            parts += minutes or 0
        elif minutes:
            kept = shop_time if activity in counted else uncounted
            kept[activity] = kept.get(activity, 0) + minutes
    return BenchAccount(parts, shop_time, uncounted)


def _activities(minutes: dict[str, int]) -> str:
    return listed([str(Activity(one).label) for one in Activity.values if one in minutes])
