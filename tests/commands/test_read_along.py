"""A command whose reader has seen enough ends without a complaint."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent


def test_a_command_that_nobody_reads_to_the_end_says_nothing_of_it() -> None:
    command = [sys.executable, "manage.py", "record_schema"]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read().decode() == ""
        assert process.wait(timeout=30) == 0
