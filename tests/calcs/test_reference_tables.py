"""The tables that are shipped: whole, with a source and a status for every row, and never above the user's figures."""

import csv
from pathlib import Path

import pytest

import calcs
from calcs.shop.reference_tables import (
    STATUSES,
    TOOLS,
    cited,
    cutting_speed_for,
    density_of,
    specific_energies,
    specific_energy_of,
    speed_rows,
    stock_sizes,
    thread_rows,
    tolerance_rows,
)
from calcs.shop.table_words import CAUTIONS, MATERIALS, OPERATIONS, SERIES
from calcs.units.registry import registry

Q = registry().Quantity
TABLES = sorted((Path(calcs.__file__).parent / "shop" / "tables").glob("*.csv"))


def test_the_tables_are_all_there():
    assert {table.stem for table in TABLES} >= {
        "cautions", "clearance_holes", "cutting_speeds", "densities", "general_tolerances", "shaft_deviations",
        "specific_energies", "stock_sizes", "threads", "tolerance_grades",
    }  # fmt: skip


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.stem)
def test_every_row_names_its_source_and_whether_it_was_seen(table):
    rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    assert rows
    for row in rows:
        assert row["source"].strip(), row
        assert row["status"] in STATUSES[:2], row
        assert None not in row, row


def test_a_source_that_was_not_read_says_so_beside_its_figure():
    assert cited("ISO 273", "from memory") == "ISO 273 (from memory)"
    assert cited("ISO 286-2", "seen") == cited("ISO 286-2", "own") == "ISO 286-2"


def column(name):
    return {row[name] for table in TABLES for row in csv.DictReader(table.read_text().splitlines()) if name in row}


@pytest.mark.parametrize(
    ("name", "collected"),
    [("material", MATERIALS), ("series", SERIES), ("tool", TOOLS), ("operation", OPERATIONS), ("words", CAUTIONS)],
)
def test_the_words_of_the_tables_are_collected_for_translation(name, collected):
    assert set(collected) == column(name)
    assert len(collected) == len(set(collected))


def test_rows_are_typed():
    assert all(0 < row.low <= row.high for row in speed_rows())
    assert all(row.major > 2 * row.pitch / 1.3 for row in thread_rows().values())
    assert len(tolerance_rows()) == 8 * 10
    assert all(list(sizes) == sorted(set(sizes)) for sizes in stock_sizes().values())


def test_the_default_cutting_speed_is_the_middle_one_of_the_tables():
    # Mild steel: 90 ft/min; the middle of 80 and 100 ft/min; the middle of 20 and 35 m/min.
    chosen = cutting_speed_for("mild steel")
    assert chosen.value.to("m/min").magnitude == pytest.approx(sorted([27.432, 27.432, 27.5])[1], rel=1e-9)
    assert (chosen.low.to("m/min").magnitude, chosen.high.to("m/min").magnitude) == (20, 35)
    # Aluminium: 91.4, 76.2 and 165 m/min.
    assert cutting_speed_for("aluminium alloy").value.to("m/min").magnitude == pytest.approx(91.44, rel=1e-9)


def test_a_steel_by_its_own_name_has_the_energy_of_steel():
    assert specific_energy_of("tool steel").value.magnitude == specific_energies()["steel"].usual
    assert specific_energy_of("brass").value.magnitude == specific_energies()["copper alloy"].usual


@pytest.mark.parametrize(
    "look_up",
    [
        lambda: cutting_speed_for("unobtainium"),
        lambda: density_of("unobtainium"),
        lambda: specific_energy_of("unobtainium"),
    ],
)
def test_an_unknown_material_is_refused_with_what_to_write(look_up):
    with pytest.raises(ValueError, match=r"unobtainium is in the tables?\. Write your own figure, like "):
        look_up()


def test_a_tool_that_no_table_has_is_refused():
    with pytest.raises(ValueError, match="high-speed steel or carbide"):
        cutting_speed_for("mild steel", "diamond")


def test_own_figures_come_back_as_they_were_given():
    energy = Q(3.3, "J/mm**3")
    assert specific_energy_of("steel", energy).value is energy
    assert specific_energy_of("unobtainium", energy).status == "own"
    with pytest.raises(ValueError, match="density"):
        density_of("mild steel", Q(7850, "kg"))
