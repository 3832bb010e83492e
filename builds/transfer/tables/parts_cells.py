"""The cells of a parts list: each column by its own reader, which raises ValueError with a sentence."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models

from builds.models import Assembly, Build, Machine, Material, Part, Sheet
from builds.models.choices import Basis, Kind, Role
from builds.transfer.complaints import TOO_LONG, known, plain_name, quoted
from builds.transfer.tables.cells import read_count, read_figure, read_plan_minutes
from calcs.messages import _

# A cell that is left empty.
EMPTY = {"quantity": 1, "amount": 1.0, "basis": Basis.PIECE, "spares": 0, "setup": 0.0, "share": 0.0}
MOST_FIGURE = 10_000_000.0


class PartCells:
    """Reads cells; what they name that neither the shop nor the build has is made, not saved, and kept here."""

    def __init__(self, build: Build, comma_decimal: bool) -> None:
        self.build, self.comma_decimal = build, comma_decimal
        self.others: list[Assembly | Sheet] = []
        self.of_shop: list[Material | Machine] = []
        self.named: dict[tuple[type[models.Model], str], Any] = {}
        for model, name, kept in (
            (Assembly, "name", build.assemblies.all()), (Sheet, "number", build.sheets.all()),
            (Material, "name", Material.objects.all()), (Machine, "name", Machine.objects.all()),
        ):  # fmt: skip
            self.named |= {(model, plain_name(getattr(one, name))): one for one in kept}

    def value(self, column: str, cell: str) -> Any:
        """What a cell says. Raises ValueError."""
        if not cell:
            return EMPTY.get(column, None if column in BLANK else "")
        try:
            return READERS[column](self, column, cell)
        except ValidationError as error:
            raise ValueError(" ".join(error.messages)) from error

    def _text(self, column: str, cell: str) -> str:
        most = Part._meta.get_field("note").max_length or 0
        if len(cell) > most:
            raise ValueError(_(TOO_LONG, length=len(cell), max_length=most))
        return cell

    def _count(self, column: str, cell: str) -> int:
        return read_count(cell)

    def _figure(self, column: str, cell: str) -> float:
        found = read_figure(cell, comma_decimal=self.comma_decimal, most=MOST_FIGURE)
        return 0.0 if found is None else found

    def _cost(self, column: str, cell: str) -> Decimal:
        return Decimal(str(self._figure(column, cell))).quantize(Decimal("0.01"))

    def _minutes(self, column: str, cell: str) -> float | None:
        return read_plan_minutes(cell, comma_decimal=self.comma_decimal)

    def _choice(self, column: str, cell: str) -> str:
        choices: dict[str, type[models.TextChoices]] = {"kind": Kind, "basis": Basis, "role": Role}
        values: list[str] = choices[column].values
        if plain_name(cell) not in values:
            raise ValueError(_("{cell} is not known here. Known: {known}.", cell=quoted(cell), known=known(values)))
        return plain_name(cell)

    def _record(self, column: str, cell: str) -> Any:
        """What the shop or the build has of that name, a new one where it has none."""
        model = {"assembly": Assembly, "sheet": Sheet, "material": Material, "machine": Machine}[column]
        key = (model, plain_name(cell))
        if key not in self.named:
            made: Any = model(**{"number" if model is Sheet else "name": cell})
            if model in (Assembly, Sheet):
                made.build = self.build
            if model is Assembly:
                made.position = len(self.named)
            made.clean_fields(exclude={"build", "parent"})
            self.named[key] = made
            (self.others if model in (Assembly, Sheet) else self.of_shop).append(made)
        return self.named[key]


Reader = Callable[[PartCells, str, str], Any]
TEXT = ("number", "name", "blank", "note", "title", "operation note")
BLANK = ("assembly", "sheet", "material", "machine", "mass", "cost", "time", "operation")
READERS: dict[str, Reader] = {
    **dict.fromkeys(TEXT, PartCells._text),
    **dict.fromkeys(("assembly", "sheet", "material", "machine"), PartCells._record),
    **dict.fromkeys(("kind", "basis", "role"), PartCells._choice),
    **dict.fromkeys(("quantity", "spares", "operation"), PartCells._count),
    **dict.fromkeys(("mass", "amount", "share"), PartCells._figure),
    "cost": PartCells._cost,
    "setup": PartCells._minutes,
    "time": PartCells._minutes,
}
