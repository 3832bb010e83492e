"""An ordinary page loads nothing heavy."""

import subprocess
import sys
from pathlib import Path

HEAVY = {"matplotlib", "numpy", "scipy", "pint", "PIL", "pydantic", "fpdf"}
ROOT = Path(__file__).parent.parent


def printed(script: str, data_dir: Path) -> str:
    """What a fresh interpreter prints for a script."""
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", script],
        cwd=ROOT,
        env={"DATA_DIR": str(data_dir), "PATH": ""},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def test_starting_and_loading_the_addresses_brings_in_no_heavy_library(tmp_path: Path) -> None:
    script = (
        "import os, sys; os.environ['DJANGO_SETTINGS_MODULE'] = 'builds.settings';"
        "import django; django.setup();"
        "from django.urls import get_resolver; get_resolver().url_patterns;"
        "print(' '.join(sorted({name.split('.')[0] for name in sys.modules})))"
    )
    loaded = set(printed(script, tmp_path).split())
    assert "django" in loaded
    assert loaded & HEAVY == set()


def test_a_command_loads_without_a_walk_over_what_it_loads(tmp_path: Path) -> None:
    script = (
        "import gc, manage, sys; sys.argv = ['manage.py', 'check'];"
        "walks = lambda: sum(one['collections'] for one in gc.get_stats());"
        "before = walks(); manage.main(); print(walks() - before, gc.isenabled())"
    )
    assert printed(script, tmp_path).splitlines()[-1] == "0 True"


def test_the_serving_process_has_its_pages_loaded_and_kept_from_the_collector(tmp_path: Path) -> None:
    script = (
        "import gc, sys; import builds.wsgi;"
        "print('builds.views.board' in sys.modules, gc.get_freeze_count() > 50_000, gc.get_threshold()[0] > 700)"
    )
    assert printed(script, tmp_path).split() == ["True", "True", "True"]
