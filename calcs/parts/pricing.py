"""What a small thing for the shop's counter costs: the hours in it, the material in it, and the price that covers both.

Pieces lost on the way are paid for by the good ones. Of the pieces that reach an operation a share (its yield) passes,
so for one good piece at the end 1 ÷ (the yields from there on, multiplied) pieces have to be tried at it: hours and
material divide by the yield, they are not raised by the loss (common practice for start quantities). Setting up is
paid once a batch and shared by its good pieces. Unattended time costs no hours.

A figure that is not known stays unknown: it makes the sum unknown, never cheaper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from calcs.messages import _
from calcs.parts.yields import tries_each
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Step, Working

CENT = Decimal("0.01")


@dataclass(frozen=True)
class PricedOperation:
    """One operation: bench minutes to set up and for one piece tried, None where there is no figure, and its yield.

    Minutes are 0 or more, the yield lies above 0 and up to 1; ValueError otherwise.
    """

    name: str
    setup_minutes: float
    minutes_per_piece: float | None
    expected_yield: float = 1.0

    def __post_init__(self) -> None:
        if self.setup_minutes < 0 or (self.minutes_per_piece or 0.0) < 0:
            raise ValueError("Minutes are 0 or more.")
        if not 0 < self.expected_yield <= 1:
            raise ValueError("A yield is a share above 0 and up to 1, such as 0.95.")


@dataclass(frozen=True)
class PricedPart:
    """One part of the thing: how many of it one thing takes, its route, and what one blank costs (None: not known).

    A `bought` part may have no route: it then takes no hours, and its blank is the part itself. `pieces` are at
    least 1, a cost is 0 or more; ValueError otherwise.
    """

    name: str
    pieces: int
    operations: tuple[PricedOperation, ...] = ()
    blank_cost: Decimal | None = None
    bought: bool = False

    def __post_init__(self) -> None:
        if self.pieces < 1:
            raise ValueError("A part is needed at least once.")
        if self.blank_cost is not None and self.blank_cost < 0:
            raise ValueError("A blank cannot have a negative cost.")

    @property
    def blanks_per_good(self) -> float:
        """Blanks to start for one good piece, on average."""
        return self.tries[0] if self.operations else 1.0

    @property
    def tries(self) -> list[float]:
        """Pieces to try at each operation for one good piece, on average."""
        return tries_each([one.expected_yield for one in self.operations])

    @property
    def without_a_time(self) -> tuple[str, ...]:
        """The operations that nobody gave a time yet."""
        return tuple(one.name for one in self.operations if one.minutes_per_piece is None)

    @property
    def without_a_route(self) -> bool:
        """Whether nobody said yet how it is made, or that it is bought."""
        return not self.operations and not self.bought

    def hours(self, batch: int) -> float | None:
        """Return bench hours in the pieces of one thing, made for `batch` things at once; None with a time unknown."""
        if self.without_a_route or self.without_a_time:
            return None
        minutes = sum(
            tries * (one.minutes_per_piece or 0.0) * self.pieces + one.setup_minutes / batch
            for one, tries in zip(self.operations, self.tries, strict=True)
        )
        return minutes / 60

    @property
    def material(self) -> Decimal | None:
        """The blanks in the pieces of one thing, those lost on the way included; None where the cost is not known."""
        if self.blank_cost is None:
            return None
        return self.blank_cost * self.pieces * Decimal(repr(self.blanks_per_good))


@dataclass(frozen=True)
class Price:
    """Hours (at the bench) and money for one thing. None is not known; `unknown` says in words what is missing.

    `labour` and `material` are amounts to the hundredth and `price` is their sum, so that whoever adds up what is shown
    gets what is asked. `work` is the sum behind the labour as it is shown, such as "1.25 h × £20.00".
    """

    hours: float | None
    labour: Decimal | None
    material: Decimal | None
    price: Decimal | None
    unknown: tuple[str, ...]
    working: Working
    work: str = ""


def price_of(parts: Sequence[PricedPart], batch: int, hourly: Decimal | None, currency: str = "") -> Price:
    """Return what one thing costs when `batch` of them are made at once, with the working.

    hourly: the shop's figure for an hour, None where there is none; currency: its sign, for the words only.
    ValueError for a batch below 1, an hour of a negative cost, or no parts.

    >>> route = (PricedOperation("turning", setup_minutes=30, minutes_per_piece=12, expected_yield=0.8),)
    >>> price = price_of([PricedPart("knob", 2, route, Decimal("0.40"))], batch=10, hourly=Decimal(20))
    >>> round(price.hours, 2), money(price.material), price.price
    (0.55, '1.00', Decimal('12.00'))
    >>> price_of([PricedPart("knob", 2, route)], batch=10, hourly=Decimal(20)).unknown
    ('what a blank of knob costs',)
    """
    if batch < 1 or not parts:
        raise ValueError("A price is for a batch of at least one thing that has at least one part.")
    if hourly is not None and hourly < 0:
        raise ValueError("An hour cannot have a negative cost.")
    each_hours, each_material = [part.hours(batch) for part in parts], [part.material for part in parts]
    hours = None if None in each_hours else sum(h for h in each_hours if h is not None)
    material = None if None in each_material else sum((_cents(m) for m in each_material if m is not None), Decimal(0))
    work = None if hours is None or hourly is None else _work_step(hours, hourly, currency)
    labour = None if hours is None or hourly is None else _cents(Decimal(repr(hours)) * hourly)
    price = None if labour is None or material is None else labour + material
    steps = _steps(parts, batch, currency, hours, work, labour, material, price)
    working = Working(_("The price of one"), steps)
    return Price(hours, labour, material, price, _unknown(parts, hourly), working, work.numbers if work else "")


def _cents(amount: Decimal) -> Decimal:
    """Round to a hundredth, as the amount is shown."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def _work_step(hours: float, hourly: Decimal, currency: str) -> Step:
    numbers = _("{hours} h × {amount} an hour", hours=format_in_full(hours), amount=money(hourly, currency))
    formula = _("hours × the shop's figure for an hour")
    return _money_step(_("work"), formula, numbers, Decimal(repr(hours)) * hourly, currency)


def _unknown(parts: Sequence[PricedPart], hourly: Decimal | None) -> tuple[str, ...]:
    missing = [
        _("a time for {operation} of {part}", operation=name, part=part.name)
        for part in parts
        for name in part.without_a_time
    ]
    missing += [_("a route for {part}", part=part.name) for part in parts if part.without_a_route]
    missing += [_("what a blank of {part} costs", part=part.name) for part in parts if part.blank_cost is None]
    return (*missing, *([_("the shop's figure for an hour")] if hourly is None else []))


def _steps(
    parts: Sequence[PricedPart],
    batch: int,
    currency: str,
    hours: float | None,
    work: Step | None,
    labour: Decimal | None,
    material: Decimal | None,
    price: Decimal | None,
) -> tuple[Step, ...]:
    """The chain from the parts to the price; what is not known is said so and ends its branch."""
    steps = [step for part in parts for step in _part_steps(part, batch, currency)]
    known = [part.hours(batch) for part in parts]
    if hours is not None:
        added = " + ".join(format_in_full(h) for h in known if h is not None)
        steps.append(Step(_("hours in one"), _("hours of its parts"), added if len(parts) > 1 else "", hours, "h"))
    steps += [work] if work else []
    if material is not None and len(parts) > 1:
        added = " + ".join(money(part.material, currency) for part in parts if part.material is not None)
        steps.append(_money_step(_("material"), _("material of its parts"), added, material, currency))
    if price is not None and labour is not None and material is not None:
        numbers = f"{money(labour, currency)} + {money(material, currency)}"
        steps.append(_money_step(_("price"), _("work + material"), numbers, price, currency))
    return tuple(steps)


def _part_steps(part: PricedPart, batch: int, currency: str) -> list[Step]:
    steps = []
    if part.operations:
        yields = " × ".join(format_in_full(one.expected_yield) for one in part.operations)
        symbol, formula = (
            _("{part}: blanks for one good", part=part.name),
            _("1 ÷ the yields of its operations multiplied"),
        )
        source = _("start quantities divide (common practice)")
        steps.append(Step(symbol, formula, f"1 ÷ ({yields})", part.blanks_per_good, "", source))
    hours = part.hours(batch)
    if hours is not None and part.operations:
        setup = sum(one.setup_minutes for one in part.operations)
        tried = hours * 60 - setup / batch
        numbers = f"({format_in_full(tried)} + {format_in_full(setup)} ÷ {batch}) ÷ 60"
        formula = _("(minutes at the pieces tried + set-up ÷ things in a batch) ÷ 60")
        steps.append(Step(_("{part}: hours", part=part.name), formula, numbers, hours, "h"))
    if part.material is not None and part.blank_cost is not None:
        numbers = f"{part.pieces} × {format_in_full(part.blanks_per_good)} × {money(part.blank_cost, currency)}"
        symbol, formula = _("{part}: material", part=part.name), _("pieces × blanks for one × cost of a blank")
        steps.append(_money_step(symbol, formula, numbers, part.material, currency))
    return steps


def _money_step(symbol: str, formula: str, numbers: str, amount: Decimal, currency: str) -> Step:
    return Step(symbol, formula, numbers, money(amount, currency), "")


def money(amount: Decimal, currency: str = "") -> str:
    """Return an amount with two decimals and its sign: before it where it is a sign, behind it where it is letters.

    >>> money(Decimal("1234.5"), "£"), money(Decimal(3), "EUR"), money(Decimal("0.125"))
    ('£1,234.50', '3.00 EUR', '0.13')
    """
    text = f"{amount.quantize(CENT, 'ROUND_HALF_UP'):,}"
    if not currency:
        return text
    return f"{text} {currency}" if currency.isalpha() else f"{currency}{text}"
