"""What a cell looks like, without knowing what it means: number, time, missing, word or text.

A shape is a matter of form only, in any locale: `1.234,5`, `1'234.5`, `12,5 m`, `3.4 R` and `5'11"`
are all numbers here. What they are worth is decided where meaning is.
"""

import re
from functools import lru_cache

NUMBER, TIME, MISSING, WORD, TEXT = "number", "time", "missing", "word", "text"

_MISSING = frozenset(
    {"", "-", "--", "---", "–", "—", ".", "..", "...", "…", "?", "*", "/", "\\"}
) | {
    *(
        "n/a",
        "na",
        "n.a.",
        "nan",
        "null",
        "none",
        "nil",
        "nd",
        "n.d.",
        "inf",
        "-inf",
        "k.a.",
        "s/o",
    ),
    *("#n/a", "#value!", "#div/0!"),
}

_NUMBER = re.compile(
    r"""[LR]?[ ]?[(\[]?[-+−–±~≈<>]?[ ]?[$€£]?
    (?: \d{1,3}(?:[.,'’\u00a0\u202f ]\d{3})+(?:[.,]\d+)? | \d+(?:[.,]\d*)? | [.,]\d+ )
    (?:[eE][-+]?\d+)? (?:[ ]?:[ ]?\d+(?:[.,]\d+)?)?
    (?: [ \u00a0\u202f]? (?:%|°|º|['′"″] | [a-zA-Zµ°/²³·-]{1,7}\.? | [ァ-ヿ가-힣一-龠]{1,4} ) )?
    (?: [ ]?\d{1,2}(?:[.,]\d+)?[ ]?(?:"|″|''|in\.?) )?
    [)\]]? (?:[ ]?[LRlr]\.?)?""",
    re.VERBOSE,
)
_TIME = re.compile(
    r"""(?: \d{1,4}[-/.年]\s?\d{1,2}[-/.月]\s?\d{1,4}[日.]? (?:[T ,]+|\b) | \d{1,2}[-/. ]?\w{3,9}\.?
        [-/., ]+\d{2,4}[ ,]* | \w{3,9}\.?[ ]\d{1,2},?[ ]\d{4}[ ,]* )?
    (?: \d{1,2}[:.h時]\d{2} (?:[:.m分]\d{2}s?秒?(?:[.,:]\d{1,9})?)? )?
    (?:[ ]?[AaPp]\.?[Mm]\.?)? (?:[ ]?(?:Z|UTC|GMT|[A-Z]{2,5}|[-+]\d{2}:?\d{2}))?""",
    re.VERBOSE,
)
_WRITTEN_DATE = re.compile(  # a year, a day and a few words: "1. Mai 2026 10:11"
    r"(?=.*[^\W\d_])(?!.*[^\W\d_]:)(?=.*(?:19|20)\d\d)(?=.*(?<!\d)\d{1,2}(?!\d))"
    r"(?:[^\W\d_]*+[\d .,:/'+-]++){1,5}[^\W\d_]*+[.]?"
)
_LETTER = re.compile(r"[^\W\d_]")


@lru_cache(maxsize=65_536)
def shape_of(cell: str) -> str:
    """One of NUMBER, TIME, MISSING, WORD (short label) and TEXT (anything longer or odd)."""
    text = cell.strip()
    if text.lower() in _MISSING:
        return MISSING
    if any(map(str.isdigit, text[:24])):
        if len(text) <= 24 and _NUMBER.fullmatch(text):
            return NUMBER
        if len(text) <= 40 and _is_time(text):
            return TIME
    if len(text) <= 40 and _LETTER.search(text):
        return WORD
    return TEXT


def _is_time(text: str) -> bool:
    if sum(map(str.isdigit, text)) < 3:
        return False
    return bool(_TIME.fullmatch(text) or _WRITTEN_DATE.fullmatch(text))


def is_measured(cell: str) -> bool:
    """Whether the cell is a number or a time: what data rows have and headers have not."""
    return shape_of(cell) in {NUMBER, TIME}


def is_label(cell: str) -> bool:
    """Whether the cell could name a column: short, with a letter, not a number or time."""
    return shape_of(cell) == WORD
