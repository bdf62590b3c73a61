"""Sentences known again: which of many templates a text was made from, and what fills its places.

A template is a sentence with `{named}` or `{0}` places. Where several fit, the one with the most
words of its own is meant; a template without places is therefore found before all others.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

PLACE = re.compile(r"\{(\w+)\}")
ANYTHING = r".+?"


@dataclass(frozen=True)
class Recognised:
    """The key of a template, and the text in each of its places by the place's name."""

    key: str
    places: dict[str, str]


class KnownSentences:
    """Templates by key, ready to be found again in a text."""

    def __init__(
        self, templates: Iterable[tuple[str, str]], shapes: Mapping[str, str] | None = None
    ) -> None:
        """`shapes`: a pattern of what may stand in a place; anything may where none is given."""
        longest = sorted(templates, key=lambda one: -len(PLACE.sub("", one[1])))
        self._patterns = [(key, _pattern(words, shapes or {})) for key, words in longest]

    def recognise(self, text: str) -> Recognised | None:
        """The template that the whole text was made from; None when none fits."""
        for key, pattern in self._patterns:
            found = pattern.fullmatch(text)
            if found is not None:
                filled = {name[1:]: part for name, part in found.groupdict().items()}
                return Recognised(key, filled)
        return None


def _pattern(words: str, shapes: Mapping[str, str]) -> re.Pattern[str]:
    """The template as a pattern; its groups are named `_` and the place, which may be a digit."""
    parts = PLACE.split(words)
    return re.compile(
        "".join(
            re.escape(part) if at % 2 == 0 else f"(?P<_{part}>{shapes.get(part, ANYTHING)})"
            for at, part in enumerate(parts)
        ),
        re.DOTALL,
    )
