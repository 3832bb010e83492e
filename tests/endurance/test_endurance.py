"""A small part of what `python -m tests.endurance` does: on SQLite, with servers of its own."""

from pathlib import Path

import pytest

from tests.endurance.runs import clients, kills
from tests.endurance.served import make_ready


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("DATABASE_URL", raising=False)
    make_ready(tmp_path)
    return tmp_path


def test_what_was_acknowledged_outlives_a_server_that_is_killed_and_stands_there_once(shop: Path) -> None:
    outcome = kills(shop, times=2, writes=20)
    assert outcome.right, outcome
    assert (outcome.kills, outcome.acknowledged >= 40) == (2, True)


def test_browsers_that_write_and_read_at_once_lose_nothing(shop: Path) -> None:
    outcome = clients(shop, number=4, seconds=2)
    assert outcome.right, outcome
