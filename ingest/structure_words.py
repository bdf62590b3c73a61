"""The words that tell structure from data, read once from `structure_words.toml`."""

import re
import tomllib
from collections.abc import Sequence
from functools import lru_cache
from importlib.resources import files

_BRACKETS = str.maketrans("", "", "[](){}<>")
_AROUND = re.compile(r"^[\s:;.,()\[\]*=#–-]+|[\s:;,()\[\]*=#–-]+$")
_COUNTED = re.compile(r"\s*[(\[]?\s*(?:n\s*=\s*)?\d+[^()\[\]]{0,20}[)\]]?$", re.IGNORECASE)

_LONGEST_COMPOUND = 24
STRONG, WEAK = "strong", "weak"


@lru_cache(maxsize=1)
def _words() -> dict[str, frozenset[str]]:
    text = files("ingest").joinpath("structure_words.toml").read_text(encoding="utf-8")
    tables = tomllib.loads(text)
    found = {kind: _folded(tables["summary"][kind]) for kind in (STRONG, WEAK)}
    telling = {kind: words for kind, words in tables["units"].items() if kind != "share"}
    found["long strong"] = frozenset(
        word for word in found[STRONG] if len(word) > (5 if word[0] < "\u2e80" else 1)
    )
    for name, table in (("units", tables["units"]), ("telling units", telling)):
        found[name] = frozenset(map(_unit_form, _folded(table)))
    found["types"] = _folded(tables["types"])
    return found


def _folded(lists: dict[str, list[str]]) -> frozenset[str]:
    return frozenset(word.casefold() for words in lists.values() for word in words)


@lru_cache(maxsize=65_536)
def summary_strength(cell: str) -> str | None:
    """How surely the cell labels a summary: STRONG ("Average"), WEAK ("max", "SW avg") or None."""
    text = _AROUND.sub("", cell.casefold())
    if not text or len(text) > 48 or text[0].isdigit():
        return None
    words = _words()
    for form in (text, _AROUND.sub("", _COUNTED.sub("", text))):
        if form in words[STRONG]:
            return STRONG
        if form in words[WEAK]:
            return WEAK
    if _is_compound(text, words["long strong"]):
        return WEAK
    return WEAK if _has_strong_end(_COUNTED.sub("", text), words[STRONG]) else None


def _is_compound(text: str, strong: frozenset[str]) -> bool:
    """One word made of a summary word and another: `gesamtmittelwert`, `総平均`."""
    if len(text) > _LONGEST_COMPOUND or not text.isalpha():
        return False
    return any(
        text.endswith(word) or (text.startswith(word) and not word[0] < "\u2e80") for word in strong
    )


def _has_strong_end(text: str, strong: frozenset[str]) -> bool:
    """A short phrase that begins or ends with a strong word: "session average", "mean of 12"."""
    parts = [_AROUND.sub("", part) for part in re.split(r"[\s:/_–-]+", text)]
    parts = [part for part in parts if part]
    if not 2 <= len(parts) <= 5:
        return False
    spans = (parts[:1], parts[-1:], parts[:2], parts[-2:])
    return any(" ".join(span) in strong for span in spans)


def is_units_row(cells: Sequence[str]) -> bool:
    """Whether every filled cell is a unit, and one at least can be nothing else."""
    filled = [cell for cell in cells if cell.strip(" []()")]
    if not filled or (len(filled) == 1 and len(cells) > 1 and cells[0].strip()):
        return False
    return all(map(is_unit, filled)) and any(map(_is_telling_unit, filled))


@lru_cache(maxsize=8192)
def is_unit(cell: str) -> bool:
    """Whether the cell is the name of a unit, with or without brackets."""
    return _unit_form(cell) in _words()["units"] or cell.strip().casefold() in _words()["units"]


def _is_telling_unit(cell: str) -> bool:
    return _unit_form(cell) in _words()["telling units"]


def _unit_form(cell: str) -> str:
    return cell.casefold().translate(_BRACKETS).replace(" ", "")


def is_types_row(cells: Sequence[str]) -> bool:
    """Whether the filled cells name data types."""
    filled = [cell.strip().casefold() for cell in cells if cell.strip()]
    return len(filled) > 1 and all(cell in _words()["types"] for cell in filled)
