"""The words that German and French builders put round a figure, as the English ones that the readers know.

Everyday words of both languages; nothing here changes a figure. A word that English has too, in another sense, is
taken only where it can be nothing else (behind a figure, or before one).
"""

import re
import unicodedata

_NUMBERS = (
    ("un|une|ein|eine|einen|einer", 1),
    ("zwei|deux", 2),
    ("drei|trois", 3),
    ("vier|quatre", 4),
    ("fuenf|funf|cinq", 5),
    ("sechs|six", 6),
    ("sieben|sept", 7),
    ("acht|huit", 8),
    ("neun|neuf", 9),
    ("zehn|dix", 10),
    ("elf|onze", 11),
    ("zwoelf|zwolf|douze", 12),
    ("fuenfzehn|funfzehn|quinze", 15),
    ("zwanzig|vingt", 20),
    ("dreissig|trente", 30),
    ("vierzig|quarante", 40),
)
_OF_MM = r"(?: (?:eines? |de |d'un )?(?:mm|millimet(?:er|re)s?))?"
_WORDS = (
    ("halbe[rn]?(?= zoll)|demi(?=-? ?pouce)", "1/2"),
    ("stunden?|stdn?|heures?", "hours"),
    ("minuten|mn", "minutes"),
    ("sekunden?|secondes?", "seconds"),
    ("tagen?|jours?|journees?", "days"),
    ("abende?n?|soirs?|soirees?", "evenings"),
    ("wochen?|semaines?", "weeks"),
    ("etwa|ungefahr|ungefaehr|zirka|environ", "about"),
    ("mindestens|wenigstens|au moins", "at least"),
    ("hochstens|hoechstens|maximal|au plus|au maximum", "at most"),
    ("beinahe|presque", "almost"),
    ("oder mehr|und mehr|ou plus|et plus", "or more"),
    ("weniger als|moins de", "less than"),
    ("moins|weniger|abzuglich|abzueglich", "minus"),
    ("jeweils|chacune?|(?:je|pro) stuck|(?:la|par) piece", "each"),
    ("(?:pro|par)(?= (?:tag|abend|woche|jour|soir|semaine))", "per"),
    ("oder so", "or so"),
    ("oder|ou", "or"),
    ("und|et", "and"),
    ("bis|jusqu'a", "to"),
    ("zwischen|entre", "between"),
    ("seit|depuis", "since"),
    ("zu (?:zweit|dritt)|a (?:deux|trois)", "shared"),
    ("personen|personnes|leute", "people"),
    ("unbekannt|inconnue?", "unknown"),
    ("durchmesser|diametre", "diameter"),
    ("rayon", "radius"),
    ("schlusselweite|schluesselweite|sw(?= ?\\d)|sur plats", "across flats "),
    ("sechskant|six pans|hexagonal", "hex"),
    ("vierkant|carre", "square"),
    ("dicke|dick|epaisseur|epais", "thick"),
    ("breite|breit|largeur", "wide"),
    ("tiefe|tief|profondeur|profond", "deep"),
    ("lange|laenge|lang|longueur", "long"),
    ("hohe|hoehe|hoch|hauteur", "high"),
    ("zoll|pouces?", "inch"),
    ("fuss|pieds?", "ft"),
    (rf"(?:zehntel|dixiemes?){_OF_MM}", "tenths of a mm"),
    (rf"(?:hundertstel|centiemes?){_OF_MM}", "hundredths of a mm"),
)
_SMALL = "|".join(words for words, _number in _NUMBERS)
_UNIT = r"(?:x|hours|minutes?|seconds|h|min|mm|cm|inch|days|evenings|tenths|hundredths)\b"
# Tried in this order: the first ones are whole phrases, the last ones need the units in English already.
_PHRASES = (
    (r"\b(?:ein(?:e|er)? )?(?:dreiviertelstunde|dreiviertel stunde)\b|\btrois quarts d'heures?\b", "3/4 hours"),
    (r"\b(?:eine )?viertelstunde\b|\b(?:un )?quart d'heure\b", "1/4 hours"),
    (r"\b(?:eine )?halbe stunde\b|\b(?:une )?demi[- ]heure\b", "1/2 hours"),
    (r"\b(?:ein(?:en)? )?halbe[nr] tag\b|\b(?:une )?demi[- ]journee\b", "half a day"),
    (r"\bein(?:en)? tag\b", "a day"),
    (r"\bganze[nr] tag\b|\btoute la journee\b", "all day"),
    (r"\banderthalb\b|\beineinhalb\b", "1 1/2"),
    (r"\bzweieinhalb\b", "2 1/2"),
    (r"\bdreieinhalb\b", "3 1/2"),
    (r"\bviereinhalb\b", "4 1/2"),
    (r"(?:\bet )?\btrois quarts\b", "and 3/4"),
    (r"\bet demie?\b", "and a half"),
    (r"\bet (?:un )?quart\b", "and a quarter"),
    (r"\bmoins (?:le |un )?quart\b", "minus 1/4"),
    (r"^(?:rund|gegen)\b(?= ?[\dez])", "about"),
    (r"^knapp\b|^fast\b(?= ?[\dez])", "almost"),
    (r"^(?:gut|uber|ueber|plus de)\b(?= ?[\dezvu])", "over"),
    (rf"\b(\d+|{_SMALL}) ?(?:mal|fois)\b(?= ?\d)", r"\1 x"),
    (r"^(?:von|de)\b(?= ?\d)", "from"),
    (r"(?<=[\dh]) a (?=\d)", " to "),
)
# Times of the clock, joined to a span; one alone keeps its word and is no length of time.
_CLOCK = (
    (r"\b(\d{1,2})\.(\d\d)\b(?=.*\buhr\b)", r"\1:\2"),
    (r"\b(\d{1,2}) ?uhr ?(\d\d)\b", r"\1:\2 uhr"),
    (r"(?<![\d:])(\d{1,2})(?= ?uhr| ?(?:-|to|and) ?\d{1,2}(?::\d\d)? ?uhr)", r"\1:00"),
    (r"\b(\d{1,2}:\d\d)(?: ?uhr)? ?(?:-|to|and) ?(\d{1,2}:\d\d) ?uhr\b", r"\1-\2"),
)


def _pattern(words: str) -> re.Pattern[str]:
    """One of the words by itself; a figure may stand against it."""
    return re.compile(rf"(?<![^\W\d_])(?:{words})(?![^\W\d_])")


_ALL = (
    *((re.compile(pattern), english) for pattern, english in _PHRASES),
    *((_pattern(words), english) for words, english in _WORDS),
    *((re.compile(rf"(?<![\w])(?:{words})(?= {_UNIT})"), str(number)) for words, number in _NUMBERS),
    *((re.compile(pattern), english) for pattern, english in _CLOCK),
)


def _letters(pattern: str) -> tuple[str, ...]:
    """Runs of letters of which one at least stands in whatever the pattern matches; none where it needs no letters."""
    sure = re.sub(r"\\.|.[?*]", " ", pattern)
    return tuple(dict.fromkeys(re.findall(r"[^\W\d_]{2,}", sure)))


# Looked for first, since most texts have no such word at all.
_WITH_LETTERS = tuple((_letters(pattern.pattern), pattern, english) for pattern, english in _ALL)

# What has units only, as most texts do, needs no look at the words.
_MORE_THAN_UNITS = re.compile(
    r"(?<![^\W\d_])(?!(?:h|hrs?|hours?|m|mins?|minutes|mm|cm|in|inch|ft|thou)(?![^\W\d_]))[^\W\d_]+"
)


def in_english(plain: str) -> str:
    """A plain text with German and French words in English; any other text as it was.

    >>> in_english("eine halbe stunde"), in_english("2 heures et demie"), in_english("schlüsselweite 13")
    ('1/2 hours', '2 hours and a half', 'across flats 13')
    """
    if not _MORE_THAN_UNITS.search(plain):
        return plain
    text = _unaccented(re.sub(r"(?<=[\dh]) ?à ?(?=\d)", " to ", plain))
    for letters, pattern, english in _WITH_LETTERS:
        if not letters or any(some in text for some in letters):
            text = pattern.sub(english, text)
    return plain if text == _unaccented(plain) else " ".join(text.split())


def _unaccented(plain: str) -> str:
    """The text without the marks on its letters: "ungefähr" as people type it who have no such key."""
    apart = unicodedata.normalize("NFD", plain.replace("ß", "ss"))
    return unicodedata.normalize("NFC", re.sub(r"(?<=[a-z])[\u0300-\u0308\u0327]+", "", apart))
