"""How a text was written: several candidates are cut and scored by how well the result fits.

The score of a candidate is the product of
- the share of lines that have the commonest width, less for narrow tables;
- how clean their cells look (a cell still holding another delimiter is not clean);
- how well the best of the first rows fits as a header.
The first candidate in order of regularity that is near perfect in all three ends the search.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from ingest.cell_scanner import MULTI_SPACE, Cutting
from ingest.cell_shapes import MISSING, NUMBER, TIME, WORD, shape_of
from ingest.header_search import looks_like_data
from ingest.physical_lines import Lines
from ingest.records import Row, cut_rows
from ingest.sheet import HeaderFit

SAMPLE_LINES = 150
_SAMPLE_CHARACTERS = 1_000_000
_MOST_COLUMNS = 2_000
_PLAIN = ("\t", ";", "|", ",", "^", "~", "¦", "\x1f", "\x01", "，", "；", "｜")
_OTHERS_INSIDE = frozenset(";|\t")
_ROWS_LOOKED_AT = 16
_HEADERS_LOOKED_AT = 12
_GOOD = 0.35


@dataclass(frozen=True, slots=True)
class Judged:
    """A candidate with its score (0 to 1) and the width it gives most rows."""

    cutting: Cutting
    score: float
    width: int
    certain: bool


def choose_cutting(lines: Lines, fit: HeaderFit, hinted: str | None = None) -> Judged:
    """The candidate that fits best. A score near 0 means that there is hardly a table.

    Args: hinted: the delimiter named by a `sep=` line; it is tried first and preferred.
    """
    sample = sample_of(lines)
    best = Judged(Cutting(""), 0.0, 1, certain=False)
    for cutting in _candidates(sample, hinted):
        judged = judge(cut_rows(sample, cutting), cutting, fit)
        if hinted and cutting.delimiter == hinted and judged.score > 0.1:
            judged = Judged(cutting, min(1.0, judged.score * 1.5), judged.width, judged.certain)
        if judged.score > best.score * 1.02 + 1e-9:
            best = judged
        if judged.certain:
            break
    if best.score < _GOOD:
        best = _among_spaces(sample, fit, best)
    return best


def sample_of(lines: Lines) -> Lines:
    """The first lines, all the later ones left out."""
    texts = lines.texts[:SAMPLE_LINES]
    while len(texts) > 1 and sum(map(len, texts)) > _SAMPLE_CHARACTERS:
        texts = texts[: len(texts) // 2]
    if len(texts) == len(lines.texts):
        return lines
    return Lines(texts, lines.ends, lines.newline, ended=True)


def judge(rows: list[Row], cutting: Cutting, fit: HeaderFit) -> Judged:
    """Score one way of cutting."""
    filled = [row for row in rows if any(map(str.strip, row.cells))]
    width, n_modal = _commonest_width(filled)
    if not 2 <= width <= _MOST_COLUMNS:
        return Judged(cutting, 0.0, 1, certain=False)
    modal = [row for row in filled if len(row.cells) == width and not row.fault]
    share = n_modal / len(filled)
    clean = _cleanness(modal[:_ROWS_LOOKED_AT])
    first = [row.cells for row in filled[: 2 * _HEADERS_LOOKED_AT] if len(row.cells) >= 2]
    heads = [cells for cells in first if not looks_like_data(cells, width)]
    fits = max((fit(cells) for cells in heads[:_HEADERS_LOOKED_AT]), default=0.0)
    score = share * (width - 1) / width * clean * (0.4 + 0.6 * fits)
    certain = share > 0.85 and clean > 0.9 and fits > 0.8 and width > 2 and n_modal > 2
    return Judged(cutting, score, width, certain)


def _commonest_width(rows: list[Row]) -> tuple[int, int]:
    widths = Counter(len(row.cells) for row in rows if not row.fault)
    wide = [(n * (width - 1) / width, width, n) for width, n in widths.items() if width > 1]
    if len(wide) > 1:
        wide.sort(reverse=True)
        near = [one for one in wide if one[0] > 0.5 * wide[0][0]]
        wide = [(n * (1 + _data_share(rows, width)), width, k) for n, width, k in near]
    return max(wide)[1:] if wide else (1, 0)


def _data_share(rows: list[Row], width: int) -> float:
    """The share of the rows of a width that are data: sentences with a comma each are none."""
    own = [row.cells for row in rows if len(row.cells) == width and not row.fault]
    return sum(looks_like_data(cells, width) for cells in own) / len(own)


def _cleanness(rows: list[Row]) -> float:
    cells = [cell for row in rows for cell in row.cells]
    return sum(map(_clean, cells)) / len(cells) if cells else 0.0


def _clean(cell: str) -> float:
    shape = shape_of(cell)
    if shape in {NUMBER, TIME, MISSING}:
        return 1.0
    if shape == WORD:
        odd = not _OTHERS_INSIDE.isdisjoint(cell) or "  " in cell.strip()
        return 0.3 if odd else 0.95
    return 0.0 if not _OTHERS_INSIDE.isdisjoint(cell) else 0.4


def _candidates(sample: Lines, hinted: str | None) -> Iterator[Cutting]:
    text = "\n".join(sample.texts)
    delimiters = _regular_first(sample.texts, text)
    if hinted:
        delimiters = [hinted, *(d for d in delimiters if d != hinted)]
    for delimiter in delimiters:
        for quote in _quotes(text, delimiter):
            if "\\" in text and _may_escape(text, delimiter, quote):
                yield Cutting(delimiter, quote, "\\")
            yield Cutting(delimiter, quote)


def _regular_first(texts: list[str], text: str) -> list[str]:
    """Delimiters that occur, those with the steadiest count per line first."""
    found: list[tuple[float, int, str]] = []
    filled = [line for line in texts if line.strip()]
    for rank, delimiter in enumerate(_PLAIN):
        if delimiter not in text:
            continue
        counts = Counter(line.count(delimiter) for line in filled)
        del counts[0]
        steady = max(counts.values()) / len(filled) if counts else 0.0
        longer = _longer_form(text, delimiter)
        if longer:
            found.append((-steady - 0.001, rank, longer))
        found.append((-steady, rank, delimiter))
    return [delimiter for _, _, delimiter in sorted(found)]


def _longer_form(text: str, delimiter: str) -> str | None:
    """The delimiter with its company, if it is never seen without: `||`, `, `, ` | `."""
    n = text.count(delimiter)
    for form, per in ((delimiter * 2, 2), (f" {delimiter} ", 1), (f"{delimiter} ", 1)):
        if n >= 2 and text.count(form) * per == n and delimiter != "\t":
            return form
    return None


def _quotes(text: str, delimiter: str) -> list[str | None]:
    """Quote characters that stand where quoted cells begin and end, the likelier first."""
    if '"' not in text and "'" not in text:
        return ['"']
    edges = {
        quote: min(_at_edge(text, quote, delimiter), _at_edge(text[::-1], quote, delimiter[::-1]))
        for quote in ('"', "'")
    }
    if edges["'"] >= 2 and edges["'"] > edges['"']:
        return ["'", '"']
    return ['"']


def _at_edge(text: str, quote: str, delimiter: str) -> int:
    starts = text.count(delimiter + quote) + text.count("\n" + quote)
    return starts + text.startswith(quote)


def _may_escape(text: str, delimiter: str, quote: str | None) -> bool:
    return any(f"\\{mark}" in text for mark in (delimiter, quote, "\\") if mark)


def _among_spaces(sample: Lines, fit: HeaderFit, best: Judged) -> Judged:
    """Columns held apart by runs of spaces, or by signs of rare use, when nothing else fits."""
    for delimiter in (MULTI_SPACE, " ", ":", "!", "#"):
        cutting = Cutting(delimiter, '"')
        rows = cut_rows(sample, cutting)
        judged = judge(rows, cutting, fit)
        n_data = sum(looks_like_data(row.cells, judged.width) for row in rows)
        if judged.score > best.score * 1.1 and n_data > 0.4 * len(rows):
            best = judged
    return best
