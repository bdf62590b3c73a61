"""Exports composed of parts that real ones have, in any combination, with the truth beside them."""

from dataclasses import dataclass, field

from hypothesis import strategies as st

LANGUAGES = {
    "en": (
        ["Shot", "Time", "Club", "Ball Speed", "Launch Angle", "Carry", "Side", "Note"],
        ["Average", "Std. Dev.", "Max"],
        ["Player", "Date", "Place"],
    ),
    "de": (
        ["Nr.", "Uhrzeit", "Schläger", "Ballgeschwindigkeit", "Winkel", "Länge", "Seite", "Notiz"],
        ["Durchschnitt", "Standardabweichung", "Max."],
        ["Spieler", "Datum", "Ort"],
    ),
    "fr": (
        ["Coup", "Heure", "Club", "Vitesse balle", "Angle", "Portée", "Écart", "Remarque"],
        ["Moyenne", "Écart type", "Max"],
        ["Joueur", "Date", "Lieu"],
    ),
    "ja": (
        ["番号", "時刻", "クラブ", "ボール初速", "打ち出し角", "キャリー", "左右", "メモ"],
        ["平均", "標準偏差", "最大"],
        ["プレーヤー", "日付", "場所"],
    ),
}
UNITS = ["", "", "", "m/s", "deg", "m", "m", ""]
TITLES = {"en": "Practice report", "de": "Trainingsbericht", "fr": "Rapport", "ja": "練習記録"}


@dataclass
class Composed:
    """Lines as they are added, and what they are: `records` and `faults` by line."""

    delimiter: str
    decimal: str
    lines: list[str] = field(default_factory=list)
    records: dict[int, tuple[str, ...]] = field(default_factory=dict)
    faults: set[int] = field(default_factory=set)
    header: tuple[str, ...] = ()
    header_line: int = 0

    def add(self, *cells: str) -> int:
        """Add a line of cells, quoted where they need it; returns its number."""
        shown = (self._quoted(cell) for cell in cells)
        self.lines.append(self.delimiter.join(shown))
        return len(self.lines)

    def add_text(self, text: str) -> int:
        """Add a line as it is."""
        self.lines.append(text)
        return len(self.lines)

    def number(self, value: float, places: int) -> str:
        """A number with the decimal sign of the export."""
        return f"{value:.{places}f}".replace(".", self.decimal)

    def _quoted(self, cell: str) -> str:
        if self.delimiter in cell or '"' in cell:
            return '"' + cell.replace('"', '""') + '"'
        return cell


@st.composite
def exports(draw: st.DrawFn) -> Composed:
    """One export."""
    delimiter, decimal = draw(
        st.sampled_from([(",", "."), (";", ","), ("\t", "."), ("\t", ","), (";", "."), ("|", ".")])
    )
    made = Composed(delimiter, decimal)
    language = draw(st.sampled_from(sorted(LANGUAGES)))
    names, summaries, keys = LANGUAGES[language]
    kept = draw(
        st.sampled_from([range(8), range(7), (0, 2, 3, 5), (0, 2, 3, 4, 5, 6), range(1, 8)])
    )
    _preamble(draw, made, language, keys, len(list(kept)))
    _head(draw, made, [names[i] for i in kept], [UNITS[i] for i in kept])
    number = 1
    for block in range(draw(st.integers(1, 3))):
        if block and draw(st.booleans()):
            made.add_text("")
        heading = draw(st.sampled_from([None, None, "Block 2", "Club: SW", "padded"]))
        if heading and (block or made.lines):
            padded = ["Club:", "SW", *[""] * (len(made.header) - 2)]
            made.add(*padded) if heading == "padded" else made.add_text(heading)
        if block and draw(st.booleans()):
            made.add(*made.header)
        n_rows = draw(st.integers(1 if block else 2, 8))
        for _ in range(n_rows):
            _row(draw, made, number, kept)
            number += 1
        if draw(st.booleans()):
            for label in summaries[: draw(st.integers(1, 3))]:
                _summary(draw, made, label, kept)
    _foot(draw, made, TITLES[language])
    return made


def _preamble(draw, made, language, keys, width) -> None:
    values = ["Kim", "2026-05-14", "Lower Meadow"]
    style = draw(st.sampled_from(["none", "title", "pairs", "cells", "padded", "comments"]))
    if style == "none":
        return
    if style == "title":
        made.add_text(TITLES[language])
    pad = [""] * (width - 2 if style == "padded" else 0)
    for key, value in zip(keys, values, strict=True):
        if style in {"cells", "padded"}:
            made.add(key, value, *pad)
        elif style != "title":
            made.add_text(f"{'# ' if style == 'comments' else ''}{key}: {value}")
    if draw(st.booleans()):
        made.add_text(made.delimiter * (width - 1) if style == "padded" else "")


def _head(draw, made, names, units) -> None:
    style = draw(st.sampled_from(["plain", "inside", "row", "bracket row", "rule"]))
    if style == "inside":
        names = [f"{n} ({u})" if u else n for n, u in zip(names, units, strict=True)]
    made.header = tuple(names)
    made.header_line = made.add(*names)
    if style == "row":
        made.add(*units)
    elif style == "bracket row":
        made.add(*[f"[{unit}]" if unit else "" for unit in units])
    elif style == "rule":
        made.add_text("-" * 30)


def _row(draw, made, number, kept) -> None:
    speed = draw(st.floats(9, 14))
    note = draw(st.sampled_from(["", "", "thin", "good, low", "so; so", 'a "good" one', "average"]))
    missing = draw(st.sampled_from(["", "", "", "-", "n/a"]))
    side = missing if draw(st.integers(0, 5)) == 0 else made.number(speed - 11, 2)
    every = [
        str(number),
        f"10:{number:02d}:07",
        draw(st.sampled_from(["SW", "PW", "GW 52", "56°"])),
        made.number(speed, 1),
        made.number(20 + speed, 1),
        made.number(speed * speed / 11, 2),
        side,
        note,
    ]
    cells = [every[i] for i in kept]
    if draw(st.integers(0, 19)):
        made.records[made.add(*cells)] = tuple(cells)
    elif draw(st.booleans()):
        made.faults.add(made.add(*cells[: len(cells) // 2]))
    else:
        made.faults.add(made.add(*cells, "7.5"))


def _summary(draw, made, label, kept) -> None:
    every = ["", "", "", made.number(11.2, 1), made.number(31.0, 1), made.number(11.4, 2), "", ""]
    cells = [every[i] for i in kept]
    cells[draw(st.integers(0, 1))] = label
    made.add(*cells)


def _foot(draw, made, title) -> None:
    style = draw(st.sampled_from(["none", "blank", "note", "pair", "comment"]))
    if style == "none":
        return
    made.add_text("")
    text = {"note": title, "pair": "Units: metric", "comment": "# end"}.get(style)
    if text:
        made.add_text(text)
