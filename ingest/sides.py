"""Left and right as written beside a number: `3.2 L`, `R 4`, `2,1 links`, `左3.5`.

Letters differ by language (L/R, G/D, I/D, E/D, S/D, V/H). A letter is only looked for in columns
that have a side. Words for "straight" mean zero.
"""

import re
from functools import cache

from ingest.words import without_accents, words

_EDGE = re.compile(
    r"^(?P<head>[^\d+\-.,]*?)\s*(?P<body>[+-]?[\d.,].*?[\d.,]|[+-]?\d)(?P<tail>[^\d]*)$"
)
_LETTERS = re.compile(r"[^\W\d_]+")


RELATIVE = {
    "pull": -1,
    "pulled": -1,
    "push": 1,
    "pushed": 1,
    "draw": -1,
    "hook": -1,
    "fade": 1,
    "slice": 1,
}
"""Words of the trade that mean a side by the player's hand; the sides are a right-hander's."""


@cache
def _side_words() -> dict[str, int]:
    index: dict[str, int] = {}
    for name, side in (("left", -1), ("right", 1)):
        for word in words(name):
            index[word.rstrip(".")] = side
    return index | RELATIVE


def is_relative(text: str) -> bool:
    """Whether the side in `text` depends on the player's hand."""
    return any(word[0].casefold() in RELATIVE for word in _LETTERS.finditer(text))


def split_side(text: str) -> tuple[str, int]:
    """`text` without its side word, and −1 left, +1 right, 0 none; "" when it says straight."""
    lower = without_accents(text.casefold()).strip(" .")
    if lower in words("zero"):
        return "", 0
    found = _EDGE.match(text)
    if found is None:
        return text, 0
    for part in ("head", "tail"):
        side, rest = _side_in(found[part])
        if side:
            head = rest if part == "head" else found["head"]
            tail = rest if part == "tail" else found["tail"]
            return f"{head}{found['body']}{tail}".strip(), side
    return text, 0


def _side_in(part: str) -> tuple[int, str]:
    """The side word in the text beside a number, and that text without it."""
    for word in _LETTERS.finditer(part):
        side = _side_words().get(without_accents(word[0].casefold()))
        if side is not None:
            rest = part[: word.start()] + part[word.end() :]
            return side, rest.replace("(", "").replace(")", "").strip(" .,")
    return 0, part


def side_of_word(text: str) -> int | None:
    """−1 left, +1 right, 0 straight for a cell that holds nothing but a side; None otherwise."""
    lower = without_accents(text.casefold()).strip(" .()")
    if lower in words("zero"):
        return 0
    return _side_words().get(lower)
