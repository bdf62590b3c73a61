"""What balls are struck from, as people write it, as one word: mat, grass, rough, sand, wet.

A word that no vocabulary knows is kept as it is written, folded to lower case: a coach may have
surfaces of their own, and only equal words make one curve.
"""

from functools import cache

from ingest.words import compact, languages


@cache
def _phrases() -> dict[str, str]:
    """Compact phrase → surface; a surface's own English name always is one."""
    known: dict[str, str] = {}
    for language in languages():
        for surface, phrases in language.surfaces.items():
            for phrase in (surface, *phrases):
                known.setdefault(compact(phrase), surface)
    return known


def is_surface(text: str) -> bool:
    """Whether `text` is a word of the vocabulary for a surface."""
    return compact(text) in _phrases()


def read_surface(text: str) -> str | None:
    """The surface that `text` names; None when it says nothing."""
    plain = " ".join(text.split()).casefold()
    return _phrases().get(compact(plain), plain) or None
