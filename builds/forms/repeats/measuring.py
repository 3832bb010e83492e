"""What was read off at pieces: one size, the pieces below one another."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy

from builds.forms.fields import DateField, LengthField
from builds.models import Instrument
from builds.models.choices import Gauged
from builds.models.entry import new_token
from builds.queries.plan.sizes import SizeLimits
from builds.queries.repeats.measured import MeasuredPiece, figure_in_words, found_at, uncertainty_of, verdict_in_words
from builds.queries.repeats.measuring import DIFFERENCE, GAUGE, MeasuringPage, instrument_lately, newest_figure
from builds.services.log.measuring import PieceFigure
from calcs.messages import _
from calcs.parts.conformity import Verdict
from calcs.typed.figures import read_figure
from calcs.typed.lengths import read_length
from calcs.typed.reading import Reading
from calcs.units.registry import LengthUnit

SIGNS = ("+", "-", "−", "–")


@dataclass(frozen=True)
class Told:
    """What is said beside a figure: its verdict, with the figure where that is not what was typed; or why not."""

    words: str
    verdict: Verdict | None = None
    figure: str = ""


@dataclass(frozen=True)
class FigureRow:
    """One piece on the form."""

    piece: int
    field: forms.BoundField
    below: forms.BoundField | None
    known: MeasuredPiece | None
    told: Told | None


class MeasuringForm(forms.Form):
    """The figures of some pieces. `figures` is what to keep, once it is valid."""

    master = LengthField(
        label=gettext_lazy("Gauge set to"),
        max_length=20,
        help_text=gettext_lazy("The size of the master that it was set to zero on."),
        error_messages={"required": gettext_lazy("Say what size the gauge was set to.")},
    )
    instrument = forms.ModelChoiceField(
        label=gettext_lazy("Measured with"),
        queryset=Instrument.objects.all(),
        required=False,
        empty_label=gettext_lazy("not said"),
    )
    measured_on = DateField(label=gettext_lazy("Measured on"))
    token = forms.CharField(required=False, max_length=40, widget=forms.HiddenInput)
    seen = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, data: Mapping[str, Any] | None, *, page: MeasuringPage, initial: dict[str, Any]) -> None:
        self.page = page
        self.unit: LengthUnit = page.build.length_unit
        self.figures: list[PieceFigure] = []
        self._told: dict[int, Told] = {}
        super().__init__(data, initial=initial)
        self.fields["master"].unit = self.unit  # type: ignore[attr-defined]
        if page.way != DIFFERENCE:
            del self.fields["master"]
        for piece in page.pieces:
            self._add_piece(piece)

    def _add_piece(self, piece: int) -> None:
        label = _("Piece {piece}", piece=piece)
        if self.page.way == GAUGE:
            choices = [(Gauged.GO.value, _("goes")), (Gauged.NO_GO.value, _("out"))]
            chips = forms.RadioSelect(attrs={"data-chip": "gauge"})
            field = forms.ChoiceField(label=label, required=False, choices=choices, widget=chips)
            self.fields[f"gauged-{piece}"] = field
            return
        figure = forms.CharField(label=label, required=False, max_length=18)
        figure.widget.attrs.update(_as_read_off(piece), **self._reads(piece, "input changed delay:200ms"))
        self.fields[f"figure-{piece}"] = figure
        if self.page.way == DIFFERENCE:
            below = forms.BooleanField(label=_("Piece {piece} lies below the master", piece=piece), required=False)
            below.widget.attrs.update(self._reads(piece, "change"))
            self.fields[f"below-{piece}"] = below

    def _reads(self, piece: int, when: str) -> dict[str, str]:
        """As one types, the server says whether the piece is in; nothing is lost where this does not run."""
        beside = [f"figure-{piece}", f"below-{piece}", "size", "way", "master", "instrument"]
        return {
            "hx-get": "reading/",
            "hx-trigger": when,
            "hx-include": ", ".join(f"[name={name}]" for name in beside),
            "hx-target": f"#told-{piece}",
        }

    def clean(self) -> dict[str, Any]:
        for piece in self.page.pieces:
            if self.page.way == GAUGE:
                gauged = self.cleaned_data.get(f"gauged-{piece}")
                self.figures += [PieceFigure(piece=piece, gauged=gauged)] if gauged else []
            elif text := self.cleaned_data.get(f"figure-{piece}"):
                self._read(piece, text)
        return self.cleaned_data

    def _read(self, piece: int, text: str) -> None:
        master, below = self.cleaned_data.get("master"), bool(self.cleaned_data.get(f"below-{piece}"))
        if self.page.way == DIFFERENCE and master is None:
            # What is wrong with the master stands beside it.
            return
        reading = read_figure(text, self.unit, master=master, below=below)
        if reading.value is None:
            self.add_error(f"figure-{piece}", reading.message)
            return
        size = float(reading.value.magnitude)
        typed = text if master is None else f"{self.data.get('master', '').strip()} {_signed(text, below)}"
        self.figures.append(PieceFigure(piece=piece, typed=typed, millimetres=size))
        if self.page.size is not None:
            instrument = self.cleaned_data.get("instrument")
            self._told[piece] = told(reading, self.page.size.limits, instrument, self.unit)

    @cached_property
    def rows(self) -> list[FigureRow]:
        return list(self._rows())

    def _rows(self) -> Iterator[FigureRow]:
        name = "gauged" if self.page.way == GAUGE else "figure"
        for piece in self.page.pieces:
            below = self[f"below-{piece}"] if self.page.way == DIFFERENCE else None
            yield FigureRow(piece, self[f"{name}-{piece}"], below, self.page.known(piece), self._told.get(piece))


def fresh_initial(page: MeasuringPage, today: Any) -> dict[str, Any]:
    """What a fresh form holds."""
    instrument = instrument_lately(page.build)
    return {"measured_on": today, "instrument": instrument, "token": new_token(), "seen": newest_figure(page)}


def read_one(
    asked: Mapping[str, str], limits: SizeLimits, instrument: Instrument | None, unit: LengthUnit
) -> Told | None:
    """What is said beside the one figure that is asked about while somebody types; None where there is none yet."""
    text = next((text for name, text in asked.items() if name.startswith("figure-")), "")
    below = any(name.startswith("below-") for name in asked)
    master = None
    if asked.get("way") == DIFFERENCE:
        set_to = read_length(asked.get("master"), unit)
        if set_to.value is None:
            return Told(_("Say first what size the gauge was set to.")) if text.strip() else None
        master = float(set_to.value.magnitude)
    reading = read_figure(text[:60], unit, master=master, below=below)
    return None if reading.status == "unknown" and not text.strip() else told(reading, limits, instrument, unit)


def told(reading: Reading, limits: SizeLimits, instrument: Instrument | None, unit: LengthUnit) -> Told:
    """What is said beside a figure that was read."""
    if reading.value is None:
        return Told(reading.message)
    size = float(reading.value.magnitude)
    found = found_at(size, "", limits, uncertainty_of(instrument))
    figure = figure_in_words(size, unit)
    as_typed = reading.text.strip() in (figure, figure.removesuffix(f" {unit}"))
    return Told(verdict_in_words(found, unit), found.verdict, "" if as_typed else figure)


def _as_read_off(piece: int) -> dict[str, str]:
    keyboard = {"inputmode": "decimal", "autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}
    return {**keyboard, "enterkeyhint": "next", "data-next": "", "aria-describedby": f"told-{piece}"}


def _signed(text: str, below: bool) -> str:
    return text if text.startswith(SIGNS) else ("-" if below else "+") + text
