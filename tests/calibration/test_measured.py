"""What is quoted of the calibration is what it measured, of the arithmetic that runs."""

from calcs.forecast import ARITHMETIC, measured
from calcs.forecast.trust import trust_lines
from tests.calibration.measured import README, table_of_readme
from tests.calibration.worlds import REGIMES


def test_the_readme_quotes_what_was_measured() -> None:
    assert table_of_readme() in README.read_text(encoding="utf-8")


def test_what_is_quoted_was_measured_with_the_arithmetic_that_runs() -> None:
    assert measured.ARITHMETIC == ARITHMETIC


def test_every_regime_is_quoted_and_all_of_them_together_at_the_end() -> None:
    names = [line.measured.name for line in trust_lines()]
    assert names == [*REGIMES, "all regimes"]
    assert trust_lines()[-1].measured.looks == sum(line.measured.looks for line in trust_lines()[:-1])
