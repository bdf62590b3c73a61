"""The vocabulary as data: what ten languages call columns, clubs, sides and missing values.

The TOML files in `ingest/vocabulary/`, one per language, are the truth; this module loads and
indexes them. A phrase is compared in a folded form (`fold`): compatibility characters resolved,
case and Latin accents dropped, CamelCase split, punctuation turned into single spaces.
"""

import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources
from typing import cast

FOLDER = "ingest.vocabulary"
KINDS = ("launch", "tempo", "marks", "scores")
TABLE_OF = {"launch": "shots", "tempo": "swings", "marks": "marks", "scores": "scores"}

_CAMEL = re.compile(r"(?<=[a-z0-9])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])")
_NOT_WORD = re.compile(r"[^\w#+°%]+|_")


@lru_cache(maxsize=8192)
def fold(text: str) -> str:
    """`text` as the vocabulary compares it: lower case, no accents, words parted by one space."""
    text = _CAMEL.sub(" ", unicodedata.normalize("NFKC", text.replace("º", "°")))
    text = without_accents(text.casefold())
    return " ".join(_NOT_WORD.sub(" ", text).split())


def without_accents(text: str) -> str:
    """Latin letters without their accents; other scripts unchanged."""
    if text.isascii():
        return text
    out = []
    for char in text:
        base = unicodedata.normalize("NFD", char)[0]
        out.append(base if base.isascii() else char)
    return "".join(out)


@lru_cache(maxsize=8192)
def compact(text: str) -> str:
    """The folded text without spaces, so that `Ball-Speed`, `ballspeed` and `ball speed` agree."""
    return fold(text).replace(" ", "")


@dataclass(frozen=True)
class Language:
    """One vocabulary file."""

    code: str
    stop_words: frozenset[str]
    abbreviations: Mapping[str, str]
    columns: Mapping[str, Mapping[str, tuple[str, ...]]]
    ambiguous: Mapping[str, tuple[str, ...]]
    words: Mapping[str, frozenset[str]]
    clubs: Mapping[str, tuple[str, ...]]
    surfaces: Mapping[str, tuple[str, ...]]
    preamble: Mapping[str, tuple[str, ...]]


@cache
def languages() -> tuple[Language, ...]:
    """Every language file, English first."""
    folder = resources.files(FOLDER)
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".toml"))
    names.sort(key=lambda name: name != "en.toml")
    return tuple(
        _language(tomllib.loads(folder.joinpath(name).read_text("utf-8"))) for name in names
    )


def _language(data: Mapping[str, object]) -> Language:
    def table(name: str) -> dict[str, tuple[str, ...]]:
        part = cast("Mapping[str, list[str]]", data.get(name, {}))
        return {key: tuple(words) for key, words in part.items()}

    def plain(name: str) -> frozenset[str]:
        words = cast("list[str]", data.get(name, []))
        return frozenset(without_accents(word.casefold()) for word in words)

    ambiguous = cast("Mapping[str, Mapping[str, list[str]]]", data.get("ambiguous", {}))
    return Language(
        code=cast("str", data["language"]),
        stop_words=plain("stop_words"),
        abbreviations=cast("Mapping[str, str]", data.get("abbreviations", {})),
        columns={section: table(section) for section in ("common", *KINDS)},
        ambiguous={
            compact(phrase): tuple(names) for phrase, names in ambiguous.get("launch", {}).items()
        },
        words={
            name: plain(name)
            for name in ("missing", "left", "right", "zero", "holed", "yes", "no", "summary")
        },
        clubs=table("clubs"),
        surfaces=table("surfaces"),
        preamble=table("preamble"),
    )


@cache
def words(name: str) -> frozenset[str]:
    """All languages' words of one list (`missing`, `left`, `summary` …), folded to lower case."""
    return frozenset().union(*(language.words[name] for language in languages()))


@cache
def preamble_keys() -> Mapping[str, str]:
    """Compact preamble key → what it tells (`date`, `zone`, `units` …); English wins a tie."""
    index: dict[str, str] = {}
    for language in languages():
        for meaning, phrases in language.preamble.items():
            for phrase in phrases:
                index.setdefault(compact(phrase), meaning)
    return index
