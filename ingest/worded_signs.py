"""Words that are signs: an angle `4.1 down`, a landing point `3 ft past` or `1 ft short`."""

import re
from collections.abc import Mapping

from ingest.words import without_accents

_AROUND = re.compile(r"^([^\d+.,-]*?)\s*([+-]?[\d.,]+)\s*([^\d+.,-]*)$")
_UP = ("up", "u", "auf", "hoch", "haut", "arriba", "upp", "acima", "su", "omhoog", "上", "위", "↑")
_DOWN = ("down", "d", "dn", "ab", "runter", "bas", "abajo", "ner", "ned", "abaixo", "giu", "omlaag")
_DOWN_SIGNS = ("下", "아래", "↓")
_PAST = ("past", "long", "hinter", "lang")
_SHORT = ("short", "vor", "kurz")

SIGNS: Mapping[str, Mapping[str, int]] = {
    "angle": {**dict.fromkeys(_UP, 1), **dict.fromkeys((*_DOWN, *_DOWN_SIGNS), -1)},
    "length": {**dict.fromkeys(_PAST, 1), **dict.fromkeys(_SHORT, -1)},
}


def split_word(text: str, dimension: str) -> tuple[int, str, str] | None:
    """(sign, number, what else stands beside it); None when there is not one such word."""
    signs, found = SIGNS.get(dimension), _AROUND.match(text)
    if signs is None or found is None:
        return None
    beside = without_accents(f"{found[1]} {found[3]}".casefold()).replace("°", " ").split()
    said = [signs[word] for word in beside if word in signs]
    if len(said) != 1:
        return None
    return said[0], found[2], " ".join(word for word in beside if word not in signs)
