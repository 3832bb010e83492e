"""What is looked through for words: of which records, and which of their texts."""

from dataclasses import dataclass

from django.db import models

from builds.models.assembly import Assembly
from builds.models.batch import Batch
from builds.models.entry import Entry
from builds.models.machine import Machine
from builds.models.material import Material
from builds.models.milestone import Milestone
from builds.models.operation import Operation
from builds.models.part import Part
from builds.models.photo import Photo
from builds.models.sheet import Remark, Sheet
from calcs.typed.search_words import plain

# Latin letters with accents, and all that holds together a word where the database does not know letters by its locale.
ACCENTED = [chr(code) for code in range(0xC0, 0x250) if plain(chr(code)) != chr(code) and len(plain(chr(code))) == 1]
LETTERS = "0-9a-z\u00aa\u00b2\u00b3\u00b5\u00b9\u00ba\u00bc-\u00be\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u1fff\u2c00-\uffef"
BETWEEN_WORDS = f"[^{LETTERS}]+"
COMBINING = "[\u0300-\u036f]"


@dataclass(frozen=True)
class Searched:
    """A model with the columns that call a record by its name, and those that tell more about it."""

    model: type[models.Model]
    called: tuple[str, ...]
    told: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        return self.called + self.told

    @property
    def table(self) -> str:
        return str(self.model._meta.db_table)

    @property
    def index(self) -> str:
        """What keeps its words."""
        return f"words_of_{self.model._meta.model_name}"


SEARCHED = (
    Searched(Part, ("number", "name"), ("note", "blank", "supplier", "waiting_note", "for_visitors")),
    Searched(Assembly, ("name",)),
    Searched(Operation, ("title",), ("note",)),
    Searched(Sheet, ("number", "title")),
    Searched(Remark, ("drawing_says", "we_made")),
    Searched(Entry, ("note",), ("scrap_reason",)),
    Searched(Batch, ("note",)),
    Searched(Photo, ("caption",)),
    Searched(Milestone, ("name",)),
    Searched(Machine, ("name",), ("kind", "note", "out_of_order_note")),
    Searched(Material, ("name",), ("note",)),
)


def words_in(searched: Searched, columns: tuple[str, ...]) -> str:
    """An expression of PostgreSQL for the words in some columns: as `search_words.plain` has them, and immutable."""
    text = " || ' ' || ".join(f'"{searched.table}"."{column}"' for column in columns)
    letters = "".join(ACCENTED)
    folded = f"translate(lower({text}), '{letters}', '{plain(letters)}')"
    parted = f"regexp_replace(regexp_replace({folded}, '{COMBINING}', '', 'g'), '{BETWEEN_WORDS}', ' ', 'g')"
    return f"array_to_tsvector(string_to_array(btrim({parted}), ' '))"
