"""Reasons and mends, as reading and computing give them, in the reader's language.

`ingest` and `analytics` say why in English; what they say is a sentence with places for a file's
own words and for numbers. `api/texts/reasons/<language>.toml` holds the same sentence in another
language, and this module moves the places' contents over. A sentence that is not there stays
English: a reason that can be read beats none.
"""

import re
import tomllib
from functools import cache, lru_cache
from importlib import resources

PLACE = re.compile(r"\{(\d)\}")
SENTENCE_ENDS = (".", "!", "?", "…", ":", ")", '"')
Said = tuple[re.Pattern[str], str]


@lru_cache(maxsize=2000)
def reason_in(language: str, text: str) -> str:
    """The reason in a language, as a sentence with a capital and a full stop."""
    return _sentence(translated(language, text.strip()))


@lru_cache(maxsize=2000)
def translated(language: str, text: str) -> str:
    """The same without touching capital and full stop, for texts inside others."""
    for pattern, words in sentences(language):
        found = pattern.fullmatch(text)
        if found is not None:
            return words.format(*_contents(found))
    return text


@cache
def sentences(language: str) -> tuple[Said, ...]:
    """What is known in a language; the longest text first, so that the closest one is found."""
    source = resources.files("api").joinpath("texts", "reasons", f"{language}.toml")
    if not source.is_file():
        return ()
    groups = tomllib.loads(source.read_text("utf-8")).values()
    known = {english: words for group in groups for english, words in group.items()}
    longest = sorted(known, key=lambda english: -len(PLACE.sub("", english)))
    return tuple((_pattern(english), known[english]) for english in longest)


def _contents(found: re.Match[str]) -> list[str]:
    named = found.groupdict()
    return [named.get(f"p{at}", "") for at in range(len(named))]


def _pattern(english: str) -> re.Pattern[str]:
    parts = PLACE.split(english)
    texts = (
        re.escape(part) if at % 2 == 0 else f"(?P<p{part}>.+?)" for at, part in enumerate(parts)
    )
    return re.compile("".join(texts), re.DOTALL)


def _sentence(text: str) -> str:
    if not text:
        return text
    ended = text if text.endswith(SENTENCE_ENDS) else text + "."
    return ended[0].upper() + ended[1:]
