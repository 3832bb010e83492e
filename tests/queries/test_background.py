"""Jobs of the background: each once, one after the other, none of them able to stop the rest or the process."""

import logging
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event
from time import monotonic

import pytest
from django.test import Client

from builds.queries.background import PATIENCE, Background, requests

ROOT = Path(__file__).parent.parent.parent
WAIT = 30


def steps(done: list[str], name: str, number: int = 2) -> Callable[[], Iterator[int]]:
    def job() -> Iterator[int]:
        for step in range(number):
            done.append(f"{name}{step}")
            yield step

    return job


def test_one_job_after_the_other_and_each_once() -> None:
    background, go, done = Background(), Event(), list[str]()

    def waits() -> Iterator[None]:
        assert go.wait(WAIT)
        done.append("first")
        yield

    background.ask("first", waits)
    for _time in range(3):
        background.ask("first", steps(done, "again"))
        background.ask("b", steps(done, "b"))
    background.ask("c", steps(done, "c"))
    go.set()
    background.wait(WAIT)

    assert done == ["first", "b0", "b1", "c0", "c1"]


def test_what_is_done_can_be_asked_for_again_although_the_thread_has_ended() -> None:
    background, done = Background(), list[str]()
    for name in ("a", "b"):
        background.ask("same", steps(done, name, 1))
        background.wait(WAIT)

    assert done == ["a0", "b0"]


def test_a_job_that_goes_wrong_is_written_down_and_rests_while_the_others_are_done(
    caplog: pytest.LogCaptureFixture,
) -> None:
    background, done = Background(), list[str]()

    def breaks() -> Iterator[None]:
        done.append("broken")
        yield
        raise ArithmeticError("no such figure")

    with caplog.at_level(logging.ERROR):
        background.ask("a", breaks)
        background.ask("b", steps(done, "b", 1))
        background.wait(WAIT)
        background.ask("a", breaks)
        background.wait(WAIT)

    assert done == ["broken", "b0"]
    [record] = caplog.records
    assert record.getMessage() == "Work in the background went wrong: a"
    assert "no such figure" in caplog.text


def test_the_end_waits_for_the_step_under_way_and_begins_no_other() -> None:
    background, begun, done = Background(), Event(), list[str]()

    def endless() -> Iterator[None]:
        while True:
            begun.set()
            done.append("step")
            yield

    background.ask("endless", endless)
    background.ask("next", steps(done, "next"))
    assert begun.wait(WAIT)
    background.end()
    number = len(done)
    background.ask("late", steps(done, "late"))
    background.wait(WAIT)

    assert set(done) == {"step"}
    assert len(done) == number


def test_a_step_waits_for_the_request_that_is_being_answered() -> None:
    background, began, done = Background(), Event(), list[str]()

    def two() -> Iterator[None]:
        began.set()
        yield
        done.append("second")
        yield

    requests.begun()
    background.ask("two", two)
    assert began.wait(WAIT)
    background.wait(PATIENCE / 4)
    assert done == []

    requests.answered()
    background.wait(WAIT)
    assert done == ["second"]


@pytest.mark.django_db
def test_a_page_that_was_answered_holds_nothing_up(client: Client) -> None:
    client.get("/sign-in/")
    began = monotonic()

    requests.wait_for_none(WAIT)

    assert monotonic() - began < WAIT / 2


def test_a_process_ends_cleanly_in_the_midst_of_a_job() -> None:
    program = """
import numpy as np
from builds.queries.background import background

def endless():
    while True:
        np.partition(np.random.default_rng(1).normal(size=200_000), 100_000)
        yield

background.ask("endless", endless)
print("ends")
"""
    ended = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, timeout=WAIT)

    assert (ended.returncode, ended.stdout, ended.stderr) == (0, "ends\n", "")
