"""Sentences that computations make or that homework was given in, said in the reader's language.

The section `phrase` of each catalogue holds them by code, with named places: the English one is
word for word what the computations say, so a text is known again by it (`recognise`), also one that
has long been in a store. What nobody translated, such as a coach's own words, is said as it stands.
"""

import re
from dataclasses import dataclass
from functools import cache, lru_cache

from api.text_catalogue import ENGLISH, Texts, texts

SECTION = "phrase."
PLACE = re.compile(r"\\\{(\w+)\\\}")
FRACTION = re.compile(r"(?<=\d)\.(?=\d)")
NUMBER = re.compile(r"[+−-]?\d+(\.\d+)?( ?%)?")
SHAPES = {"club": r"[A-Z0-9]{1,3}", "doubt": r"±[\d.]+%", "swing": r"\w+"} | dict.fromkeys(
    (
        "have",
        "want",
        "before",
        "since",
        "same",
        "hits",
        "balls",
        "feet",
        "low",
        "high",
        "edge",
        "hole",
    ),
    r"\d+(?:\.\d+)?",
)
"""What may stand in a place; anything where it is not named here."""
JOINS = ("; ", ", ", " ")
"""What stands between two phrases said one after the other, the widest first."""


@dataclass(frozen=True)
class Phrase:
    """A phrase by its code, and the text in each of its places."""

    code: str
    places: dict[str, str]


def say_phrase(said_in: Texts, text: str, decimal: str = ".") -> str:
    """The text in a language, its places too; as it stands where it is no phrase."""
    whole = recognise(text)
    if whole is not None:
        places = {name: say_phrase(said_in, part, decimal) for name, part in whole.places.items()}
        return said_in.say(SECTION + whole.code, **places)
    for join in JOINS:
        first, between, rest = _first_phrase(text, join)
        if between:
            return say_phrase(said_in, first, decimal) + join + say_phrase(said_in, rest, decimal)
    return FRACTION.sub(decimal, text) if NUMBER.fullmatch(text) else text


@lru_cache(maxsize=4000)
def recognise(text: str) -> Phrase | None:
    """The phrase a text was made from; one without places before one with places."""
    for code, pattern in _patterns():
        found = pattern.fullmatch(text)
        if found is not None:
            return Phrase(code, found.groupdict())
    return None


def _first_phrase(text: str, join: str) -> tuple[str, str, str]:
    """The shortest beginning up to a join that is a phrase, the join, and the rest."""
    at = text.find(join)
    while at > 0:
        if recognise(text[:at]) is not None:
            return text[:at], join, text[at + len(join) :]
        at = text.find(join, at + 1)
    return text, "", ""


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    english = texts(ENGLISH).said
    found = [
        (name.removeprefix(SECTION), words)
        for name, words in english.items()
        if name.startswith(SECTION)
    ]
    found.sort(key=lambda one: (one[1].count("{"), -len(one[1])))
    return tuple((code, re.compile(PLACE.sub(_place, re.escape(words)))) for code, words in found)


def _place(found: re.Match[str]) -> str:
    return f"(?P<{found[1]}>{SHAPES.get(found[1], '.+?')})"
