"""Header names that no phrase of the vocabulary spells, understood by the words they are made of.

Rules
- Every word must be known: as a concept (`speed`, `vitesse`, `속도`), or as one without weight
  (`of`, `de`). One unknown word, and the header stays unknown.
- Compounds are taken apart (`Schlägerkopfgeschwindigkeit`, `打ち出し角度`).
- A column is named by what it needs; further concepts must be among those that may stand beside.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from itertools import product
from typing import cast

from ingest.words import fold

_LINKS = ("s", "n", "es", "en")
_LEAST_PART = 3
_MOST_READINGS = 32
_WEIGHTLESS = ""


@dataclass(frozen=True)
class _Pattern:
    """`needs` are alternatives, each met by one concept; `beside` may stand there too."""

    column: str
    needs: tuple[frozenset[str], ...]
    beside: frozenset[str]

    def fits(self, concepts: frozenset[str]) -> bool:
        met = [need & concepts for need in self.needs]
        if not all(met):
            return False
        return concepts <= self.beside.union(*met)


def _pattern(column: str, needs: str, beside: str = "") -> _Pattern:
    alternatives = tuple(frozenset(need.split("|")) for need in needs.split())
    return _Pattern(column, alternatives, frozenset(beside.split()))


_PATTERNS: Mapping[str, tuple[_Pattern, ...]] = {
    "common": (
        _pattern("device_number", "shot|swing|ball number"),
        _pattern("when", "shot|swing|date moment"),
        _pattern("when", "shot time"),
        _pattern("club_text", "club name"),
        _pattern("note", "note teacher|shot|swing"),
    ),
    "launch": (
        _pattern("club_speed_mps", "club|head|swing speed", "club head"),
        _pattern("ball_speed_mps", "ball|launch speed", "ball launch"),
        _pattern("ball_to_club_ratio", "ball club ratio", "speed head"),
        _pattern("launch_deg", "launch angle", "vertical ball"),
        _pattern("launch_deg", "launch vertical", "angle direction ball"),
        _pattern("start_right_deg", "launch direction", "horizontal side angle ball"),
        _pattern("start_right_deg", "launch horizontal|side", "angle direction ball"),
        _pattern("start_right_deg", "horizontal direction|angle", "ball"),
        _pattern("attack_deg", "attack angle", "club vertical"),
        _pattern("landing_deg", "landing angle", "vertical ball"),
        _pattern("spin_rpm", "spin", "back rate total ball speed"),
        _pattern("side_spin_rpm", "spin side", "rate ball speed"),
        _pattern("carry_m", "carry", "distance flight ball"),
        _pattern("carry_m", "flight distance", "ball"),
        _pattern("roll_m", "roll distance", "ball"),
        _pattern("total_m", "total distance", "ball"),
        _pattern("side_m", "side distance|deviation", "carry landing ball"),
        _pattern("side_m", "carry|landing side", "distance deviation"),
        _pattern("side_m", "carry|landing|deviation|side right|left", "right left ball distance"),
        _pattern("start_right_deg", "launch right|left", "angle direction horizontal side ball"),
        _pattern("apex_m", "max height", "point ball flight"),
        _pattern("apex_m", "apex height|point", "max ball"),
        _pattern("flight_s", "flight time|duration", "ball"),
        _pattern("loft_deg", "loft club|angle", "club angle"),
    ),
    "tempo": (
        _pattern("backswing_s", "backswing time|duration"),
        _pattern("backswing_s", "back swing time|duration"),
        _pattern("downswing_s", "downswing time|duration"),
        _pattern("tempo_ratio", "tempo ratio", "swing backswing downswing"),
        _pattern("tempo_ratio", "backswing downswing ratio"),
        _pattern("tempo_ratio", "swing tempo"),
        _pattern("peak_speed_mps", "max speed", "club head hand swing"),
        _pattern("peak_speed_mps", "hand|club|head speed", "head max"),
        _pattern("swing_length", "swing|backswing distance|angle|arc", "arc"),
    ),
    "marks": (
        _pattern("ball_number", "ball number"),
        _pattern("land_past_edge_m", "landing past edge", "distance point green"),
        _pattern("land_past_edge_m", "landing edge", "distance point green"),
        _pattern("land_side_m", "landing side|right|left", "distance deviation point right left"),
        _pattern("leave_m", "rest|distance hole", "distance ball rest"),
        _pattern("leave_m", "rest distance", "ball"),
        _pattern("leave_bearing_deg", "rest angle|direction|bearing", "hole"),
        _pattern("leave_bearing_deg", "hole bearing"),
    ),
    "scores": (),
}


@cache
def _lexicon() -> Mapping[str, frozenset[str]]:
    """Folded word → the concepts it may stand for, `_WEIGHTLESS` being none."""
    tables = tomllib.loads(files("ingest").joinpath("header_concepts.toml").read_text("utf-8"))
    index: dict[str, set[str]] = {}
    for concept, words in cast("Mapping[str, list[str]]", tables["concepts"]).items():
        for word in words:
            index.setdefault(fold(word).replace(" ", ""), set()).add(concept)
    for word in tables["weightless"]["words"]:
        index.setdefault(fold(word).replace(" ", ""), set()).add(_WEIGHTLESS)
    return {word: frozenset(concepts) for word, concepts in index.items()}


@lru_cache(maxsize=4096)
def columns_by_concepts(name: str, kind: str) -> tuple[str, ...]:
    """The columns that the words of `name` describe in an export of `kind`; mostly none or one."""
    parts = [_parts(word) for word in fold(name).split()]
    if not parts or not all(parts) or len(parts) > 8:
        return ()
    words = [concepts for part in parts for concepts in part]
    found: dict[str, None] = {}
    for chosen in list(product(*words))[:_MOST_READINGS]:
        concepts = frozenset(chosen) - {_WEIGHTLESS}
        if len(concepts) > 1:
            found.update(dict.fromkeys(_described(concepts, kind)))
    return tuple(found)


def concepts_of(name: str) -> frozenset[str] | None:
    """All that the words of `name` may stand for; None when one of them is unknown.

    A word with several meanings counts with those that everyday words share (`tempo`: time).
    """
    parts = [_parts(word) for word in fold(name).split()]
    if not parts or not all(parts):
        return None
    return frozenset(c for part in parts for word in part for c in word) - {_WEIGHTLESS}


_UNIT_KEYS = {
    "length_unit": {"distance", "carry", "total", "height", "rest"},
    "speed_unit": {"speed"},
    "angle_unit": {"angle", "direction"},
    "time_unit": {"time", "duration"},
    "spin_unit": {"spin"},
}


def unit_key(name: str) -> str | None:
    """`length_unit` for `Einheit Entfernung` or `unit of distance`: a unit of one sort of thing."""
    parts = [_parts(word) for word in fold(name).split()]
    if not all(parts):
        return None
    concepts = frozenset(concept for part in parts for word in part for concept in word)
    if "unit" not in concepts:
        return None
    found = [key for key, words in _UNIT_KEYS.items() if words & concepts]
    return found[0] if len(found) == 1 else None


def _described(concepts: frozenset[str], kind: str) -> list[str]:
    own = [p.column for p in _PATTERNS[kind] if p.fits(concepts)]
    return own or [p.column for p in _PATTERNS["common"] if p.fits(concepts)]


@lru_cache(maxsize=4096)
def _parts(word: str) -> tuple[frozenset[str], ...]:
    """The concepts of a word or of the parts of a compound; empty when a part is unknown."""
    if word in _lexicon():
        return (_lexicon()[word],)
    for end in range(len(word) - 1, 0, -1):
        head, tail = word[:end], word[end:]
        if not (_may_be_part(head) and head in _lexicon()):
            continue
        for link in ("", *_LINKS):
            rest = tail.removeprefix(link) if tail.startswith(link) else ""
            if rest and (_may_be_part(rest)) and (parts := _parts(rest)):
                return (_lexicon()[head], *parts)
    return ()


def _may_be_part(text: str) -> bool:
    return len(text) >= _LEAST_PART or not text.isascii()
