"""Clubs as people write them, as a kind and a loft.

Rules
- Kinds are `DR`, `3W`, `4H`, `7I`, `PW`, `GW`, `SW`, `LW`, `PT`; a wedge of which only the loft is
  stated is `W` with its loft. No kind is inferred from a loft.
- A loft is a number of 8 to 80 written with a degree sign or word, or a bare number of 44 to 68.
- Text that names no club gives neither; the text itself is always kept beside.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache

from ingest.words import compact, fold, languages, without_accents

_LOFT = re.compile(
    r"(\d{1,2}(?:[.,]\d+)?)\s*(?:°|º|˚|deg(?:rees?)?\b|grad\b|gradi\b|度|도|grados\b|degr[eé]s\b|graus\b|graden\b|grader\b)"
)
_NUMBER = re.compile(r"(?<![\d.,/])(\d{2}(?:[.,]5)?)(?:[./](?:0[4-9]|1\d))?(?![\d.,/])")
"""A loft, and the bounce that some clubs have stamped beside it (`58.10`, `58/10`)."""
_NUMBERED = (
    re.compile(r"^(?:(\d{1,2})\s*-?\s*([a-z]+)|([a-z]+)\s*-?\s*(\d{1,2}))$"),
    re.compile(r"^(?:(\d{1,2})\.?\s*(\D+)|(\D+?)\s*(\d{1,2}))$"),
    re.compile(
        r"^(?:(\d{1,2})(?:er|e|:an|a|o)[\s-]+(\D+)|(\D+?)\s*(?:n[°o.]|nr|num)\.?\s*(\d{1,2}))$"
    ),
)
_SUFFIX = {"wood": "W", "hybrid": "H", "iron": "I"}
_LETTER = {"w": "wood", "h": "hybrid", "i": "iron", "hy": "hybrid", "hb": "hybrid", "u": "hybrid"}
_LIMITS = {"wood": (1, 15), "hybrid": (1, 9), "iron": (1, 9)}


@dataclass(frozen=True)
class Club:
    """What a club text says: the kind and the loft in degrees, each None when not said."""

    kind: str | None
    loft_deg: float | None


@cache
def _phrases() -> tuple[dict[str, str], dict[str, str]]:
    """Compact phrase → whole kind (`SW`), and compact phrase → family that takes a number."""
    whole: dict[str, str] = {}
    family: dict[str, str] = {}
    for language in languages():
        for key, phrases in language.clubs.items():
            for phrase in phrases:
                if key == "driver":
                    whole.setdefault(compact(phrase), "DR")
                elif key in {"wood", "hybrid", "iron", "wedge"}:
                    family.setdefault(compact(phrase), key)
                else:
                    whole.setdefault(compact(phrase), key)
    return whole, family


@lru_cache(maxsize=4096)
def read_club(text: str) -> Club:
    """The kind and loft that `text` names."""
    plain = without_accents(unicodedata.normalize("NFKC", text).casefold())
    plain = plain.replace("º", "°").replace("˚", "°").strip()
    loft, rest = _take_loft(plain)
    if loft is None:
        loft, rest = _bare_loft(plain)
    kind = _kind(rest)
    if kind is None and (_family(rest) == "wedge" or (loft is not None and not compact(rest))):
        kind = "W"
    return Club(kind, loft)


def _take_loft(text: str) -> tuple[float | None, str]:
    found = _LOFT.search(text)
    if not found:
        return None, text
    value = float(found[1].replace(",", "."))
    rest = (text[: found.start()] + " " + text[found.end() :]).strip(" ()-,/")
    return (value, rest) if 5 <= value <= 80 else (None, text)


def _bare_loft(text: str) -> tuple[float | None, str]:
    """A number of 44 to 68 beside wedge words or alone: only lofts are that large."""
    found = _NUMBER.search(text)
    if not found:
        return None, text
    value = float(found[1].replace(",", "."))
    rest = (text[: found.start()] + " " + text[found.end() :]).strip(" ()-,/")
    named = compact(rest) in _phrases()[0] or _family(rest) == "wedge"
    if 44 <= value <= 68 and (not compact(rest) or named or compact(rest) == "w"):
        return value, "wedge" if compact(rest) == "w" else rest
    return None, text


def _kind(text: str) -> str | None:
    """The kind that `text` names without a loft."""
    whole, _ = _phrases()
    key = compact(text)
    if key in whole:
        return whole[key]
    return _numbered(text) or _worded(text)


def _numbered(text: str) -> str | None:
    """`7i`, `7 iron`, `eisen 7`, `9er eisen`, `fer n° 8`, `7番アイアン` as `7I`."""
    for pattern in _NUMBERED:
        found = pattern.match(text)
        kind = _with_number(found) if found else None
        if kind:
            return kind
    return None


def _with_number(found: re.Match[str]) -> str | None:
    number = int(found[1] or found[4])
    word = compact(found[2] or found[3])
    family = _phrases()[1].get(word) or _LETTER.get(word)
    if family not in _SUFFIX:
        return None
    if family == "wood" and number == 1:
        return "DR"
    low, high = _LIMITS[family]
    return f"{number}{_SUFFIX[family]}" if low <= number <= high else None


def _worded(text: str) -> str | None:
    """A phrase inside other words (`my sand wedge`), when it is the only kind that is named."""
    whole, _ = _phrases()
    tokens = [compact(token) for token in re.split(r"[\s()\[\],;/_-]+", text) if token]
    found = set()
    for size in (3, 2, 1):
        for start in range(len(tokens) - size + 1):
            kind = whole.get("".join(tokens[start : start + size]))
            if kind and (size > 1 or len(tokens[start]) > 1):
                found.add(kind)
        if found:
            break
    return found.pop() if len(found) == 1 else None


def _family(text: str) -> str | None:
    return _phrases()[1].get(compact(text))


def is_club_only(text: str) -> bool:
    """Whether every word of `text` is one of those that clubs are named with, or a number."""
    return all(word in _club_words() for word in fold(text).split() if not word[0].isdigit())


@cache
def _club_words() -> frozenset[str]:
    found = {"club", "°", "deg", "degrees", "grad", "loft"}
    for language in languages():
        for phrases in language.clubs.values():
            found.update(word for phrase in phrases for word in fold(phrase).split())
    return frozenset(found)
