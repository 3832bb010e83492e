"""Numbers written out: "an hour and a half", "twenty-five thou", "twelve hundred hours"."""

import re

_TO_NINETEEN = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
)
_WHOLE_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_ONES = {word: number for number, word in enumerate(_TO_NINETEEN[:9], 1)}
_TEENS = {word: number for number, word in enumerate(_TO_NINETEEN[9:], 10)}
_TENS = {word: 10 * number for number, word in enumerate(_WHOLE_TENS, 2)}
_CARDINALS = {"zero": 0, "a": 1, "an": 1, **_ONES, **_TEENS, **_TENS}
_PARTS = {
    "half": 2,
    "halve": 2,
    "third": 3,
    "quarter": 4,
    "eighth": 8,
    "sixteenth": 16,
    "thirty-second": 32,
    "thirty second": 32,
    "sixty-fourth": 64,
    "sixty fourth": 64,
}

_SMALL = rf"(?:(?:{'|'.join(_TENS)})(?:[ -](?:{'|'.join(_ONES)})\b)?|{'|'.join({**_TEENS, **_ONES})}|zero)"
_BEHIND = rf"(?: and {_SMALL}\b| {_SMALL}\b)?"
_HUNDREDS = rf"(?:(?:an?|{_SMALL}) hundred\b{_BEHIND})"
_THOUSANDS = rf"(?:(?:an?|{_SMALL}) thousand\b(?: {_HUNDREDS}|{_BEHIND}))"
_NUMBER = re.compile(rf"\b(?:{_THOUSANDS}|{_HUNDREDS}|{_SMALL})(?![\w-])")
_COUNT = rf"\d+|an?|{'|'.join({**_ONES, **_TEENS, **_TENS})}"
_WHOLE_UNIT = "hours?|hrs?|h|minutes?|mins?|inch(?:es)?|foot|feet|thou|metres?|meters?|millimetres?|mm"
_COUNTED_PART = re.compile(rf"\b(?<!/)({_COUNT})[ -]({'|'.join(_PARTS)})(s?)\b")
_LONE_PART = re.compile(r"^(eighth|sixteenth|thirty-second|sixty-fourth)(?= of an? )")
_OF_A = re.compile(rf"(\d/\d+)(?: of)?(?: an?)? (?={_WHOLE_UNIT}\b)")


def _counted_part(found: re.Match[str]) -> str:
    count = _CARDINALS.get(found[1]) or int(found[1] if found[1].isdigit() else 0)
    if (count == 1) == bool(found[3]):  # "2 half inch" may be two pieces of half an inch
        return found[0]
    return f"{count}/{_PARTS[found[2]]}"


def _figure(found: re.Match[str]) -> str:
    total = current = 0
    for word in re.split(r"[ -]", found[0]):
        if word == "hundred":
            current *= 100
        elif word == "thousand":
            total, current = current * 1000, 0
        else:
            current += _CARDINALS.get(word, 0)  # the "and" between counts for nothing
    return str(total + current)


def words_to_figures(plain: str) -> str:
    """Everyday number words as figures; anything else is left as it was.

    >>> words_to_figures("an hour and a half"), words_to_figures("one half inch")
    ('1 1/2 hour', '1/2 inch')
    >>> words_to_figures("twelve hundred and fifty hours"), words_to_figures("sixty-five minutes")
    ('1250 hours', '65 minutes')
    """
    text = _COUNTED_PART.sub(_counted_part, _LONE_PART.sub(r"1 \1", plain))
    text = re.sub(r"(?<![\d/.,] )\b(half|quarter)\b", lambda m: f"1/{_PARTS[m[1]]}", text)
    text = _OF_A.sub(r"\1 ", text)
    text = re.sub(rf"\ban? (?=(?:{_WHOLE_UNIT})\b)", "1 ", text)
    text = _NUMBER.sub(_figure, text)
    text = re.sub(r"\b(?<![/.,])(\d+) and (\d+/\d+)\b", r"\1 \2", text)
    text = re.sub(r"^(hour|inch) and (?=\d/\d)", r"1 \1 and ", text)
    return re.sub(rf"\b(?<![/.,])(\d+) ({_WHOLE_UNIT}) and (\d+/\d+)$", r"\1 \3 \2", text)
