"""Which side a sign means, from what a header, a preamble or a footnote says about it.

`(+ = left)`, `R+/L-`, `negative values are right`, `links positiv` are statements; `(L/R)` and
`+/-` are not. Without a statement plus is right of the target (common practice, no source).
"""

import re
import unicodedata

from ingest.sides import side_of_word
from ingest.words import without_accents

_SIGN_WORDS = {
    "positive": 1, "positiv": 1, "positif": 1, "positivo": 1, "positief": 1, "plus": 1,
    "positives": 1, "positifs": 1, "positivos": 1, "positiva": 1, "positivi": 1,
    "negative": -1, "negativ": -1, "negatif": -1, "negativo": -1, "negatief": -1, "minus": -1,
    "negatives": -1, "negatifs": -1, "negativos": -1, "negativa": -1, "negativi": -1, "moins": -1,
    "menos": -1, "meno": -1, "正": 1, "負": -1, "プラス": 1, "マイナス": -1, "+": 1, "-": -1,
}  # fmt: skip
_TOKENS = re.compile(r"[+\-]|[^\W\d_]+")
_BETWEEN = frozenset(
    [
        "is",
        "are",
        "=",
        ":",
        "means",
        "mean",
        "values",
        "value",
        "numbers",
        "number",
        "of",
        "the",
        "to",
        "target",
        "ist",
        "sind",
        "bedeutet",
        "heisst",
        "nach",
        "valeurs",
        "valeur",
        "a",
        "vers",
        "valores",
        "valor",
        "es",
        "valori",
        "e",
        "varden",
        "ar",
        "waarden",
        "zijn",
        "wert",
        "werte",
        "zahlen",
        "angles",
        "angle",
        "direction",
        "directions",
        "side",
        "sides",
        "richtung",
        "when",
        "if",
        "shots",
        "shot",
        "は",
        "が",
    ]
)


def sign_stated(text: str) -> int | None:
    """+1 when `text` says that plus is right, −1 when plus is left, None when it says neither."""
    plain = without_accents(unicodedata.normalize("NFKC", text).casefold()).replace("−", "-")
    clauses = [
        [token for token in _TOKENS.findall(clause) if token not in _BETWEEN]
        for clause in re.split(r"[,;/|\n]|\band\b|\bund\b|\bet\b", plain)
    ]
    for step in (2, 1):
        pairs = [pair for t in clauses for pair in zip(t[::step], t[1::step], strict=False)]
        found = {meaning for pair in pairs if (meaning := _meaning(*pair))}
        if found:
            return found.pop() if len(found) == 1 else None
    return None


def side_named(name: str) -> int | None:
    """+1 for a name that says right (`Landed right`), −1 for left; None for neither or both."""
    tokens = _TOKENS.findall(without_accents(unicodedata.normalize("NFKC", name).casefold()))
    sides = {side_of_word(token) for token in tokens if len(token) > 1 or not token.isascii()}
    found = sides & {-1, 1}
    return found.pop() if len(found) == 1 else None


def _meaning(first: str, second: str) -> int:
    """Sign × side of two neighbouring words in either order, 0 when they are no such pair."""
    straight = _SIGN_WORDS.get(first, 0) * (side_of_word(second) or 0)
    return straight or _SIGN_WORDS.get(second, 0) * (side_of_word(first) or 0)
