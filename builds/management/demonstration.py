"""The demonstration: a build that is half done, moved so that its last evening was a few days ago, and a builder."""

import base64
import json
import secrets
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User

from builds import transfer
from builds.models import Build
from builds.services.shop.builders import CODE_SIGNS, add_builder
from builds.transfer.record.reader import import_record, load_record

RECORD = Path(transfer.__file__).with_name("demonstration.json")
PICTURES = RECORD.with_suffix("")
USERNAME = "bench"


@dataclass(frozen=True)
class SignIn:
    """How to sign in to the demonstration; the password is empty where it is known to its builder alone."""

    username: str
    password: str


def load_demonstration(today: date, *, with_pictures: bool = False) -> Build | None:
    """Take the demonstration build in where there is no build at all. None where there is one.

    with_pictures: with its photos and the scans of its drawings, which stand beside the record as files.
    """
    if Build.objects.exists():
        return None
    data = load_record(RECORD)
    if with_pictures:
        _put_pictures_into(data)
    return import_record(data, shift_days=whole_weeks_to(today, data), today=today).build


def _put_pictures_into(data: dict[str, Any]) -> None:
    told = json.loads((PICTURES / "pictures.json").read_text())
    data["photos"] = [_with_content(photo) for photo in told["photos"]]
    sheets = {sheet["number"]: sheet for sheet in data["sheets"]}
    for drawing in told["drawings"]:
        sheet = sheets[drawing.pop("sheet")]
        sheet["drawings"] = [_with_content(drawing)]


def _with_content(told: dict[str, Any]) -> dict[str, Any]:
    file = PICTURES / told.pop("file")
    return {**told, "name": file.name, "content": base64.b64encode(file.read_bytes()).decode()}


def whole_weeks_to(today: date, data: dict[str, Any]) -> int:
    """Days by which everything moves, in whole weeks so that a Sunday stays one, to end within the week up to today."""
    last = max(date.fromisoformat(entry["date"]) for entry in data["entries"])
    return (today - last).days // 7 * 7


def demonstration_builder() -> SignIn:
    """The builder of the demonstration, made on first need. The password is kept, so that it can be told again."""
    kept = Path(settings.DATA_DIR) / "demo-password"
    password = kept.read_text().strip() if kept.exists() else ""
    user = User.objects.filter(username=USERNAME).first()
    if user is not None:
        return SignIn(USERNAME, password if password and user.check_password(password) else "")
    if not password:
        password = "-".join("".join(secrets.choice(CODE_SIGNS) for _ in range(4)) for _ in range(3))
        kept.touch(mode=0o600)
        kept.write_text(password)
    add_builder(username=USERNAME, password=password, full_name="Bench")
    return SignIn(USERNAME, password)
