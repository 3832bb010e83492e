"""The batch that a line of a notebook names."""

from dataclasses import dataclass, replace

from calcs.typed.notebook_words import Word
from calcs.typed.notebook_work import WorkName


@dataclass
class BatchSaid:
    """A batch as a line names it; its words belong to the note unless the work has such a batch."""

    words: list[Word]
    number: int | None = None
    value: str = ""

    def settle(self, work: WorkName | None) -> None:
        """Find it among the batches of the work."""
        self.value = work.batches.get(self.number, "") if work is not None and self.number is not None else ""
        self._use("batch" if self.value else "")

    def _use(self, use: str) -> None:
        for word in self.words:
            word.used = use


def read_batch(words: list[Word]) -> BatchSaid:
    """Batch 2, batch #2, batch no. 2: taken aside until the work is known, so that it is no count."""
    for place, word in enumerate(words):
        if word.plain != "batch" or word.used:
            continue
        for last in (place + 1, place + 2):
            marks = words[place + 1 : last]
            number = _number(words[last]) if last < len(words) and words[last - 1].text[-1] not in ",;:" else None
            if number is not None and all(mark.plain in ("no", "nr", "number", "#") for mark in marks):
                said = BatchSaid([word, *marks, words[last]], number)
                said._use("batch")
                return said
    return BatchSaid([])


def _number(word: Word) -> int | None:
    return replace(word, plain=word.plain.lstrip("#")).number
