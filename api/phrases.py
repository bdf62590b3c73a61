"""Sentences that computations make or that homework was given in, said in the reader's language.

The section `phrase` of each catalogue holds them by code, with named places: the English one is
word for word what the computations say, so a text is known again by it (`recognise`), also one that
has long been in a store. What nobody translated, such as a coach's own words, is said as it stands.
"""

import re
from functools import cache, lru_cache

from api.known_sentences import KnownSentences, Recognised
from api.text_catalogue import ENGLISH, Texts, texts

SECTION = "phrase."
ENTERED = tuple(f"{SECTION}{kind}_" for kind in ("lie", "asks", "test"))
"""Phrases that a form shows to be changed; none has a place to be filled."""
FRACTION = re.compile(r"(?<=\d)\.(?=\d)")
NUMBER = re.compile(r"[+−-]?\d+(\.\d+)?( ?%)?")
NUMBERS = "have want before since same hits balls feet low high edge hole"
SHAPES = {"club": r"[A-Z0-9]{1,3}", "doubt": r"±[\d.]+%", "swing": r"\w+"} | dict.fromkeys(
    NUMBERS.split(), r"\d+(?:\.\d+)?"
)
"""What may stand in a place; anything where none is named here."""
JOINS = ("; ", ", ", " ")
"""What stands between two phrases said one after the other, the widest first."""
MOST_NESTED = 8


def say_phrase(said_in: Texts, text: str, decimal: str = ".", nested: int = 0) -> str:
    """The text in a language, its places too; as it stands where it is no phrase.

    Args:
        nested: in how many phrases this text stands; nobody computes more than `MOST_NESTED`.
    """
    said = ""
    first, between, rest = _first_phrase(text)
    while between:
        said += _whole(said_in, first, decimal, nested) + between
        first, between, rest = _first_phrase(rest)
    return said + _whole(said_in, first, decimal, nested)


def original_phrase(said_in: Texts, text: str) -> str:
    """The English of a lie, a title or a judged question that a reader gives in a language.

    The book keeps the English, so that readers of every language see their own; what is nobody's
    phrase is kept as it was written.
    """
    return _originals(said_in.language).get(text.strip().casefold(), text)


@cache
def _originals(language: str) -> dict[str, str]:
    if language == ENGLISH:
        return {}
    own, english = texts(language).said, texts(ENGLISH).said
    return {own[name].casefold(): english[name] for name in english if name.startswith(ENTERED)}


def _whole(said_in: Texts, text: str, decimal: str, nested: int) -> str:
    """A text that is one phrase, a number, or nobody's but its writer's."""
    found = recognise(text)
    if found is None or nested > MOST_NESTED:
        return FRACTION.sub(decimal, text) if NUMBER.fullmatch(text) else text
    places = {
        name: say_phrase(said_in, part, decimal, nested + 1) for name, part in found.places.items()
    }
    return said_in.say(SECTION + found.key, **places)


@lru_cache(maxsize=4000)
def recognise(text: str) -> Recognised | None:
    """The phrase a text was made from, by its code; None when it is no phrase."""
    return _known().recognise(text)


def _first_phrase(text: str) -> tuple[str, str, str]:
    """The shortest beginning up to a join that is a phrase, the join, and the rest.

    All of it, and no join, where the text is one phrase or holds none.
    """
    for join in JOINS if recognise(text) is None else ():
        at = text.find(join)
        while at > 0:
            if recognise(text[:at]) is not None:
                return text[:at], join, text[at + len(join) :]
            at = text.find(join, at + 1)
    return text, "", ""


@cache
def _known() -> KnownSentences:
    english = texts(ENGLISH).said
    return KnownSentences(
        (
            (name.removeprefix(SECTION), words)
            for name, words in english.items()
            if name.startswith(SECTION)
        ),
        SHAPES,
    )
