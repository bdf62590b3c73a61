"""Reasons and mends, as reading and computing give them, in the reader's language.

`ingest` and `analytics` say why in English; what they say is a sentence with places for a file's
own words and for numbers. `api/texts/reasons/<language>.toml` holds the same sentence in another
language, and this module moves the places' contents over. A sentence that is not there stays
English: a reason that can be read beats none.
"""

import tomllib
from functools import cache, lru_cache
from importlib import resources

from api.known_sentences import PLACE, KnownSentences

SENTENCE_ENDS = (".", "!", "?", "…", ":", ")", '"')


@lru_cache(maxsize=2000)
def reason_in(language: str, text: str) -> str:
    """The reason in a language, as a sentence with a capital and a full stop."""
    return _sentence(translated(language, text.strip()))


@lru_cache(maxsize=2000)
def translated(language: str, text: str) -> str:
    """The same without touching capital and full stop, for texts inside others."""
    words, known = _catalogue(language)
    found = known.recognise(text)
    if found is None:
        return text
    return PLACE.sub(lambda place: found.places.get(place[1], ""), words[found.key])


@cache
def _catalogue(language: str) -> tuple[dict[str, str], KnownSentences]:
    """The sentences known in a language by their English, and what finds them again."""
    source = resources.files("api").joinpath("texts", "reasons", f"{language}.toml")
    if not source.is_file():
        return {}, KnownSentences(())
    groups = tomllib.loads(source.read_text("utf-8")).values()
    words = {english: said for group in groups for english, said in group.items()}
    return words, KnownSentences((english, english) for english in words)


def _sentence(text: str) -> str:
    if not text:
        return text
    ended = text if text.endswith(SENTENCE_ENDS) else text + "."
    return ended[0].upper() + ended[1:]
