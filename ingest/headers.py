"""What a header says: the column it names, and the unit, sign, zone or date order beside the name.

Rules
- The name is looked up in the vocabulary: exact phrase 1.0, same words in another order or spelt
  with a known abbreviation 0.9, a description by known words (`ingest/header_concepts.py`) or a
  single slip of the pen 0.8. Below that the header is unknown and its column stays in `extra`.
- Brackets, a part after a comma, or the last words may state a unit, a sign convention, a zone or
  a date order; what is none of these belongs to the name.
- One phrase may name different columns in different kinds of export (`ratio`), and in different
  languages (`tempo`); all of them are returned, best first, and the contents decide.
"""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, lru_cache

from ingest.header_concepts import columns_by_concepts
from ingest.signs import sign_stated
from ingest.units import find_unit
from ingest.words import KINDS, TABLE_OF, compact, fold, languages
from schemas.tables import columns

_BRACKETS = re.compile(r"[(\[{<]([^()\[\]{}<>]*)[)\]}>]")
_AFTER = re.compile(r"^(.*?\S)\s*(?:,|;|:|\||/|\s-\s|\s–\s|\sin\s|\sen\s|\sà\s|\si\s)\s*(\S.*)$")
_SIGN_TAIL = re.compile(r"\s+(?:[LR]\s*[+\-]|[+\-]\s*=?\s*(?:L|R|left|right)\b).*$", re.IGNORECASE)
_JOINED = re.compile(r"[_\s.\-]+")


@dataclass(frozen=True)
class Match:
    """One reading of a header name: the column, how sure, and the languages that use the phrase."""

    column: str
    score: float
    languages: frozenset[str]


@dataclass(frozen=True)
class Header:
    """A header taken apart. `matches` is keyed by kind; `asides` are bracketed texts as written."""

    text: str
    name: str
    unit_text: str | None
    asides: tuple[str, ...]
    matches: Mapping[str, tuple[Match, ...]] = field(default_factory=dict)


@lru_cache(maxsize=4096)
def read_header(text: str, slips: bool = False) -> Header:
    """`text` taken apart and looked up; with `slips` a single slip of the pen is forgiven."""
    plain = unicodedata.normalize("NFKC", text.replace("º", "°")).strip()
    asides = tuple(part.strip() for part in _BRACKETS.findall(plain) if part.strip())
    bare = _BRACKETS.sub(" ", plain).strip(" _-:,")
    unit = next((one for aside in asides if (one := _unit_in(aside))), None)
    for forgiving in (False, True) if slips else (False,):
        for name, found_unit in _names(plain, bare, unit):
            found = {kind: look_up(name, kind, forgiving) for kind in KINDS}
            matches = {kind: columns for kind, columns in found.items() if columns}
            if matches:
                return Header(text, name, found_unit or _own_unit(name), asides, matches)
    return Header(text, bare or plain, unit, asides)


def _unit_in(aside: str) -> str | None:
    """The unit that a bracket states, alone or before what else it says (`ft; left +`, `% of`)."""
    if find_unit(aside):
        return aside
    first, _, rest = aside.replace(",", " ").replace(";", " ").partition(" ")
    stated = first.startswith("%") or sign_stated(rest) is not None
    return first if stated and find_unit(first) else None


def _own_unit(name: str) -> str | None:
    """The unit that a name of the open schema carries (`carry_m`)."""
    return _schema_units().get(compact(name))


@cache
def _schema_units() -> Mapping[str, str]:
    return {
        compact(column.name): column.unit
        for table in TABLE_OF.values()
        for column in columns(table).values()
        if column.unit is not None
    }


def _names(plain: str, bare: str, unit: str | None) -> list[tuple[str, str | None]]:
    """The possible (name, unit) splits of a header, most literal first."""
    without_unit = _BRACKETS.sub(lambda b: " " if find_unit(b[1].strip()) else b[0], plain)
    splits: list[tuple[str, str | None]] = [(plain, unit), (without_unit.strip(), unit)]
    if bare and bare != plain:
        splits.append((bare, unit))
    if signless := _SIGN_TAIL.sub("", bare):
        splits.append((signless, unit))
    after = _AFTER.match(bare)
    if after and find_unit(after[2]):
        splits.append((after[1], after[2]))
    words = _JOINED.split(bare)
    for n_tail in (1, 2):
        if len(words) > n_tail:
            name = " ".join(words[:-n_tail])
            tails = (" ".join(words[-n_tail:]), "/".join(words[-n_tail:]))
            splits += [(name, unit or part) for part in tails if find_unit(part)]
    if "." in bare.strip("."):
        last = bare.rsplit(".", 1)[1]
        splits += _names(last, last, unit)
    camel = fold(bare).split()
    if len(camel) > 1 and find_unit(camel[-1]):
        splits.append((" ".join(camel[:-1]), unit or camel[-1]))
    return splits


def look_up(name: str, kind: str, slips: bool = False) -> tuple[Match, ...]:
    """The columns that `name` may mean in an export of `kind`, best first."""
    exact = _index(kind).get(compact(name))
    if exact:
        return tuple(Match(column, 1.0, codes) for column, codes in exact.items())
    key = _words_key(name)
    reordered = _reordered(kind).get(key) if key else None
    if reordered:
        return tuple(Match(column, 0.9, codes) for column, codes in reordered.items())
    spelt_out = _index(kind).get(compact(_compounds_spelt_out(name)))
    if spelt_out:
        return tuple(Match(column, 0.9, codes) for column, codes in spelt_out.items())
    return (_described(name, kind) or _near(compact(name), kind)) if slips else ()


def _described(name: str, kind: str) -> tuple[Match, ...]:
    """What the words of the name describe; the language is not asked for."""
    every = frozenset(language.code for language in languages())
    return tuple(Match(column, 0.8, every) for column in columns_by_concepts(name, kind))


def _near(name: str, kind: str) -> tuple[Match, ...]:
    """A phrase of at least seven letters with one slip, when it means one column only."""
    if len(name) < 7 or not name.isascii():
        return ()
    hits: dict[str, Match] = {}
    for phrase, found in _index(kind).items():
        if abs(len(phrase) - len(name)) <= 1 and _one_slip(phrase, name):
            for column, codes in found.items():
                hits[column] = Match(column, 0.8, codes)
    return tuple(hits.values()) if len(hits) == 1 else ()


def _alike(a: str, b: str) -> int:
    """How many letters the two share at the start."""
    return next(
        (i for i, (x, y) in enumerate(zip(a, b, strict=False)) if x != y), min(len(a), len(b))
    )


def _one_slip(a: str, b: str) -> bool:
    """Whether one letter was added, dropped or changed, or two neighbours swapped."""
    longer = max(len(a), len(b))
    head = _alike(a, b)
    tail = _alike(a[head:][::-1], b[head:][::-1])
    if head + tail >= longer - 1:
        return True
    swapped = len(a) == len(b) and head + tail == longer - 2
    return swapped and a[head] == b[head + 1] and a[head + 1] == b[head]


Index = Mapping[str, Mapping[str, frozenset[str]]]


@cache
def _index(kind: str) -> Index:
    """Compact phrase → column → languages, for the common columns and those of `kind`."""
    index: dict[str, dict[str, frozenset[str]]] = {}
    for language in languages():
        for section in (kind, "common"):
            for column, phrases in language.columns[section].items():
                for phrase in (*phrases, column):
                    _add(index, compact(phrase), column, language.code)
        if kind == "launch":
            for phrase, columns in language.ambiguous.items():
                for column in columns:
                    _add(index, phrase, column, language.code)
    return _specific_first(index, kind)


def _specific_first(index: dict[str, dict[str, frozenset[str]]], kind: str) -> Index:
    """In marks and scores the kind's own columns win over the common ones of the same name."""
    if kind not in {"marks", "scores"}:
        return index
    common = set(languages()[0].columns["common"])
    return {
        phrase: {c: codes for c, codes in found.items() if c not in common} or found
        for phrase, found in index.items()
    }


def _add(index: dict[str, dict[str, frozenset[str]]], phrase: str, column: str, code: str) -> None:
    found = index.setdefault(phrase, {})
    found[column] = found.get(column, frozenset()) | {code}


@cache
def _reordered(kind: str) -> Index:
    index: dict[str, dict[str, frozenset[str]]] = {}
    for language in languages():
        for section in (kind, "common"):
            for column, phrases in language.columns[section].items():
                for phrase in phrases:
                    key = _words_key(phrase)
                    if key:
                        _add(index, key, column, language.code)
    return _specific_first(index, kind)


@cache
def _abbreviations() -> tuple[Mapping[str, str], frozenset[str]]:
    short: dict[str, str] = {}
    stop: set[str] = set()
    for language in languages():
        short.update(language.abbreviations)
        stop |= language.stop_words
    return short, frozenset(stop)


def _compounds_spelt_out(name: str) -> str:
    """`name` with abbreviations of five letters and more spelt out at the end of its words."""
    short, _ = _abbreviations()
    ends = sorted((end for end in short if len(end) >= 5), key=len, reverse=True)
    words = fold(name).split()
    for i, word in enumerate(words):
        end = next((end for end in ends if word.endswith(end)), None)
        if end:
            words[i] = word.removesuffix(end) + short[end]
    return " ".join(words)


def _words_key(name: str) -> str:
    """Words without articles, abbreviations spelt out, sorted; empty for fewer than two words."""
    short, stop = _abbreviations()
    words = sorted({short.get(word, word) for word in fold(name).split()} - stop)
    return " ".join(words) if len(words) > 1 else ""


def fit(cells: Sequence[str]) -> float:
    """How well `cells` look like the header of a known kind, 0 to 1.

    The share of the non-empty cells that name a column of the best kind, damped for rows with one
    or two cells: a title line may happen to be a known word.
    """
    texts = [cell.strip() for cell in cells if cell.strip()]
    if not texts:
        return 0.0
    named = {
        kind: sum(bool(read_header(text).matches.get(kind)) for text in texts if len(text) < 80)
        for kind in KINDS
    }
    best = max(named.values())
    return best / len(texts) * min(1.0, best / 3)
