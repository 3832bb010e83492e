"""The browser of the tests, where this machine has one."""

import shutil

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium() -> str | None:
    return next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
