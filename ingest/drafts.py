"""A column on its way from a header to a settled plan: its numbers as written, its stated unit."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Protocol

import numpy as np
import polars as pl

from ingest.assign import Readings
from ingest.column_units import LIKELY, SHORT_LENGTHS, Case
from ingest.headers import read_header
from ingest.layout import Layout, LayoutColumn, declared
from ingest.number_columns import NumberColumn, read_column
from ingest.options import Options
from ingest.plan import SIGNED_SIDE, ColumnPlan, dimension_of
from ingest.preamble import Told
from ingest.sheet import Sheet
from ingest.sides import side_of_word
from ingest.signs import side_named, sign_stated
from ingest.table_texts import Texts
from ingest.units import Dimension, find_unit, is_foreign

_FEET_INCHES = frozenset(
    {
        "ft-in",
        "ft in",
        "ft/in",
        "ft'in\"",
        "feet-inches",
        "feet and inches",
        "ft & in",
        "ft, in",
        "ft+in",
        "ft-inch",
        "feet/inches",
        "ft'-in\"",
        "'\"",
    }
)


MOST = 0.7


class Setting(Protocol):
    """What a draft needs to know about its file."""

    @property
    def sheet(self) -> Sheet: ...
    @property
    def texts(self) -> Texts: ...
    @property
    def options(self) -> Options: ...
    @property
    def layout(self) -> Layout | None: ...
    @property
    def told(self) -> Told: ...
    @property
    def kind(self) -> str: ...


@dataclass(frozen=True)
class Draft:
    """A column plan in the making. `kept` is False once another column took its place."""

    plan: ColumnPlan
    score: float
    numbers: NumberColumn | None = None
    candidates: tuple[str, ...] = ()
    why: str = ""
    sign_from: str | None = None
    foreign: str | None = None
    kept: bool = True
    points: Mapping[str, tuple[tuple[str, ...], str]] = field(default_factory=dict)

    def open_point(self, kind: str) -> tuple[tuple[str, ...], str]:
        """(candidates, why) of one open point."""
        if kind in self.points:
            return self.points[kind]
        return self.candidates, self.why


def draft_column(
    reading: Readings, column: str, decimals: Mapping[int, str | None], setting: Setting
) -> Draft:
    """The draft of one reading of one header."""
    inverse = column == "inverse_tempo_ratio"
    name = "tempo_ratio" if inverse else column
    header = setting.sheet.header[reading.index]
    plan = ColumnPlan(reading.index, header, name, inverse=inverse)
    dimension = dimension_of(name, setting.kind)
    if dimension is None:
        return Draft(plan, reading.score)
    said = declared(setting.layout, header)
    plan = _with_stated_unit(plan, dimension, setting, said)
    plan, sign_from = _with_sign(plan, setting, said)
    decimal = decimals.get(reading.index, ".")
    points: dict[str, tuple[tuple[str, ...], str]] = {}
    if decimal is None:
        plan = replace(plan, decimal=None, open=("decimal",))
        why = "the numbers read either way, and no other number of the file settles the sign"
        points["decimal"] = ((".", ","), why)
        return Draft(plan, reading.score, sign_from=sign_from, points=points)
    plan = replace(plan, decimal=decimal)
    numbers = numbers_of(plan, setting.texts.tidy.to_series(reading.index), dimension)
    setting.texts.parsed[key_of(plan)] = numbers
    n_cells = numbers.values.len() - setting.texts.tidy.to_series(reading.index).null_count()
    if len(numbers.faults) > max(2, MOST * n_cells):
        plan = replace(plan, open=(*plan.open, "unreadable"))
        points["unreadable"] = ((), "most of its cells are no numbers of this column")
    if numbers.relative and hand_of(setting, name) is None:
        plan = replace(plan, open=("hand",))
        why = "pull, push, draw and fade are sides by the player's hand"
        points["hand"] = (("right", "left"), why)
    return Draft(
        plan,
        reading.score,
        numbers,
        sign_from=sign_from,
        foreign=_foreign_unit(plan, setting),
        points=points,
    )


def hand_of(setting: Setting, column: str) -> str | None:
    """The player's hand: answered, given as an option, or stated in the preamble."""
    said = setting.told.said.get("hand", "")
    stated = {-1: "left", 1: "right"}.get(side_of_word(said.split("-")[0]) or 0)
    answered = setting.options.answers.get(f"hand:{column}")
    return answered or stated or setting.options.player_handedness


def key_of(plan: ColumnPlan) -> tuple[object, ...]:
    """What the numbers of a column depend on."""
    return plan.index, plan.column, plan.decimal, plan.feet_dash


def numbers_of(plan: ColumnPlan, texts: pl.Series, dimension: Dimension) -> NumberColumn:
    """The cells of one planned column as numbers in the units they were written in."""
    if plan.feet_dash:
        texts = texts.str.replace(r"^([+-]?\d+)\s*[-\s]\s*(\d{1,2}(?:[.,]\d+)?)$", "${1}' ${2}")
    return read_column(texts, plan.decimal, dimension, plan.column in SIGNED_SIDE)


def _with_stated_unit(
    plan: ColumnPlan,
    dimension: Dimension,
    setting: Setting,
    said: LayoutColumn | None,
) -> ColumnPlan:
    """The unit that the user, the header, the units row or the layout states."""
    option = setting.options.units.get(plan.column) or setting.options.answers.get(
        f"unit:{plan.column}"
    )
    row = setting.sheet.units[plan.index] if setting.sheet.units else None
    own = read_header(plan.header, True)
    places = (
        (option, "option"),
        (own.unit_text, "header"),
        *((aside, "header") for aside in own.asides),
        (row, "units_row"),
        (said.unit if said else None, "layout"),
    )
    for text, by in places:
        if not text:
            continue
        if dimension == "length" and text.strip().casefold() in _FEET_INCHES:
            return replace(plan, unit="[ft_i]", unit_from=by, feet_dash=True)
        unit = find_unit(text, dimension) or find_unit(_bare(text), dimension)
        if unit:
            return replace(plan, unit=unit, unit_from=by)
    return plan


def _foreign_unit(plan: ColumnPlan, setting: Setting) -> str | None:
    """A unit that is stated and cannot be turned into SI."""
    row = setting.sheet.units[plan.index] if setting.sheet.units else ""
    texts = (*read_header(plan.header, True).asides, row)
    return next((text for text in texts if is_foreign(text)), None)


def _bare(text: str) -> str:
    """A unit text without brackets and side letters (`[° R/L]`)."""
    bare = text.strip().strip("[](){}<>").strip()
    for tail in ("r/l", "l/r", "R/L", "L/R"):
        bare = bare.removesuffix(tail).strip()
    return bare


def _with_sign(
    plan: ColumnPlan, setting: Setting, said: LayoutColumn | None
) -> tuple[ColumnPlan, str | None]:
    """The side that plus means, and where that is stated (None: by convention)."""
    if plan.column not in SIGNED_SIDE:
        return plan, None
    answer = setting.options.answers.get(f"sign:{plan.column}")
    if answer:
        return replace(plan, sign=-1 if answer == "left" else 1), "option"
    stated = _sign_in_header(plan, setting)
    if stated is not None:
        return replace(plan, sign=stated), "header"
    if said is not None and said.sign is not None:
        return replace(plan, sign=said.sign), "layout"
    if setting.told.sign is not None:
        return replace(plan, sign=setting.told.sign), "preamble"
    return plan, None


def _sign_in_header(plan: ColumnPlan, setting: Setting) -> int | None:
    """What header or units row say plus is; else the side that the name itself is of."""
    header = read_header(plan.header, True)
    row = setting.sheet.units[plan.index] if setting.sheet.units else ""
    stated = map(sign_stated, (*header.asides, plan.header, row))
    return next((sign for sign in stated if sign is not None), side_named(header.name))


def case_of(draft: Draft, kind: str) -> Case | None:
    """The draft as a case for unit settling; None for text, integers and open decimals."""
    dimension = dimension_of(draft.plan.column, kind)
    if dimension is None or draft.numbers is None:
        return None
    values = draft.numbers.values.to_numpy()
    kept = int((np.isfinite(values) & (values != 0)).sum())
    all_units = 0 < kept <= len(draft.numbers.units)
    likely = LIKELY[dimension]
    if dimension == "length" and kind in {"marks", "scores"}:
        likely = SHORT_LENGTHS
    candidates = (draft.plan.unit,) if draft.plan.unit else likely
    foreign = None if draft.plan.unit or all_units else draft.foreign
    return Case(draft.plan, dimension, values, all_units, candidates, foreign)
