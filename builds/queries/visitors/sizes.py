"""How big the real one and the model are."""

from dataclasses import dataclass

from builds.models import Build, Exhibit
from builds.queries.visitors.figures import length_in_words
from calcs.messages import _


@dataclass(frozen=True)
class Extent:
    """Length and height in mm, None where nobody knows; told in the unit of the drawings."""

    length: float | None
    height: float | None
    unit: str

    @property
    def known(self) -> bool:
        return self.length is not None or self.height is not None

    @property
    def words(self) -> str:
        """Such as "8.4 m long, 3 m high"."""
        if self.length is None:
            return "" if self.height is None else _("{height} high", height=self._told(self.height))
        if self.height is None:
            return _("{length} long", length=self._told(self.length))
        length, height = self._told(self.length), self._told(self.height)
        return _("{length} long, {height} high", length=length, height=height)

    def _told(self, millimetres: float) -> str:
        return length_in_words(millimetres, self.unit)

    def scaled(self, ratio: float) -> "Extent":
        """The same made larger or smaller."""
        return Extent(_times(self.length, ratio), _times(self.height, ratio), self.unit)

    def filled_from(self, other: "Extent") -> "Extent":
        """This one, what is not known taken from the other."""
        length = other.length if self.length is None else self.length
        return Extent(length, other.height if self.height is None else self.height, self.unit)


@dataclass(frozen=True)
class Sizes:
    """`real` and `model` follow from one another by the scale where only one was said. `times`: how much smaller."""

    real: Extent
    model: Extent
    times: float | None

    @property
    def known(self) -> bool:
        return self.real.known or self.model.known

    @property
    def both(self) -> tuple[str, str]:
        """The real one and the model with their sizes, each empty where nothing is known of it."""
        return (
            _("The real one: {size}", size=self.real.words) if self.real.known else "",
            _("The model: {size}", size=self.model.words) if self.model.known else "",
        )

    @property
    def sentences(self) -> tuple[str, ...]:
        return tuple(f"{words}." for words in self.both if words)


def sizes_of(build: Build, exhibit: Exhibit) -> Sizes:
    """What is known of both; what was typed wins over what follows by the scale. No query."""
    # Not at the top: reading sizes loads Pint.
    from calcs.typed.scales import read_scale

    ratio = read_scale(build.scale).value
    real = _extent(exhibit.real_length, exhibit.real_height, build)
    model = _extent(exhibit.model_length, exhibit.model_height, build)
    if ratio is None:
        return Sizes(real, model, None)
    by = float(ratio)
    return Sizes(real.filled_from(model.scaled(1 / by)), model.filled_from(real.scaled(by)), 1 / by)


def _times(millimetres: float | None, ratio: float) -> float | None:
    return None if millimetres is None else millimetres * ratio


def _extent(length: str, height: str, build: Build) -> Extent:
    return Extent(_millimetres(length, build), _millimetres(height, build), build.units)


def _millimetres(typed: str, build: Build) -> float | None:
    from calcs.typed.lengths import read_length

    value = read_length(typed, build.length_unit).value
    return None if value is None else float(value.to("millimeter").magnitude)
