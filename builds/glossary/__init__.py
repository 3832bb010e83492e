"""The words of the trade and of this program, each said once: for the page of words and the links that lead there."""

from builds.glossary.ours import OURS
from builds.glossary.trade import TRADE
from builds.glossary.word import Word

WORDS: tuple[Word, ...] = (*TRADE, *OURS)
BY_KEY = {word.key: word for word in WORDS}
