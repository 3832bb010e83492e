"""What visitors read is there in German, whole: no sentence of theirs falls back to English."""

import gettext
import re
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from django.utils.translation import trans_real

from builds.arithmetic.sheets import SHEETS
from tests.test_translation import Bracketed

pytestmark = pytest.mark.django_db

FOLDER = Path(settings.LOCALE_PATHS[0]) / "de" / "LC_MESSAGES"


@pytest.fixture(autouse=True)
def missing_in_brackets(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sentence that the catalogue lacks comes as the English one in brackets."""
    catalogue: Any = trans_real.translation("de")
    monkeypatch.setattr(catalogue, "_fallback", Bracketed())


def missing(html: str) -> list[str]:
    return sorted(set(re.findall(r"⟦([^⟦⟧]*)", html)))


def asked(client: Client, address: str, **query: str) -> str:
    answer = client.get(address, {**query, "language": "de"})
    assert answer.status_code in (200, 422), address
    html = answer.content.decode()
    assert '<html lang="de"' in html
    return html


KINDS = [(sheet.name, kind) for sheet in SHEETS.values() for kind in sheet.form.kinds]


@pytest.mark.parametrize(("sheet", "kind"), KINDS)
def test_every_sum_of_the_bench_is_asked_and_answered_in_german(signed_in: Client, sheet: str, kind: str) -> None:
    for unit in ("mm", "in"):
        assert missing(asked(signed_in, f"/arithmetic/{sheet}/", what=kind, unit=unit)) == []


def test_the_list_of_the_sheets_is_german(signed_in: Client) -> None:
    assert missing(asked(signed_in, "/arithmetic/")) == []


@pytest.mark.parametrize("typed", ["nonsense", "1/0", "5 kg"])
def test_what_is_refused_is_refused_in_german(signed_in: Client, typed: str) -> None:
    for sheet in SHEETS.values():
        fields = dict.fromkeys(sheet.form.base_fields, typed) | {"what": next(iter(sheet.form.kinds)), "unit": "mm"}
        assert missing(asked(signed_in, f"/arithmetic/{sheet.name}/", **fields)) == [], sheet.name


def test_the_compiled_catalogue_is_that_of_the_text() -> None:
    """What is translated in the text file is found in the compiled one, and nothing else."""
    written = texts_of((FOLDER / "django.po").read_text(encoding="utf-8"))
    with (FOLDER / "django.mo").open("rb") as file:
        compiled: Any = gettext.GNUTranslations(file)._catalog  # type: ignore[attr-defined]
    plain = {key: text for key, text in compiled.items() if key and isinstance(key, str)}
    assert len(written) > 1000
    assert plain == {key: text for key, text in written.items() if text}


def texts_of(po: str) -> dict[str, str]:
    """A catalogue's sentences without a plural, with what stands for each; those marked as unsure left out."""
    found = {}
    for entry in po.split("\n\n")[1:]:
        lines = [line for line in entry.splitlines() if not line.startswith("#~")]
        if any(line.startswith("#,") and "fuzzy" in line for line in lines) or "msgid_plural" in entry:
            continue
        text = "\n".join(line for line in lines if not line.startswith("#"))
        parts = re.fullmatch(r'msgid ((?:".*"\n?)+)msgstr ((?:".*"\n?)+)', text)
        if parts:
            key, value = ("".join(re.findall(r'^"(.*)"$', part, re.MULTILINE)) for part in parts.groups())
            found[_unescaped(key)] = _unescaped(value)
    return found


def _unescaped(text: str) -> str:
    return re.sub(r"\\(.)", lambda sign: {"n": "\n", "t": "\t"}.get(sign[1], sign[1]), text)
