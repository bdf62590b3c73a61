"""The carry card on paper and in a spreadsheet: PDF by typst, CSV, in the reader's units."""

import json
from importlib import resources
from typing import Literal

import polars as pl
import typst

from analytics.answer import Answer
from analytics.carry_card import CardRow, CarryCard
from api.reader_units import ReaderUnits
from api.row_formats import formula_safe

CardSize = Literal["a4", "letter", "pocket"]
PAPER: dict[str, str] = {"a4": "a4", "letter": "us-letter", "pocket": "a7"}

GAP_WORDS: dict[str | None, str] = {
    "clear": "clear",
    "too_wide": "too wide",
    "overlap": "same work",
    "not_yet": "not yet",
    "too_early": "too early",
    None: "",
}


def card_pdf(
    card: CarryCard, display_name: str, units: ReaderUnits, size: CardSize = "a4"
) -> bytes:
    """The card as a PDF; the same card gives the same bytes.

    Args:
        card: from `analytics.carry_card`.
        display_name: printed at the top; its first word only, as prints are passed around.
        units: reader's units; size: a4, letter, or a pocket size (74 x 105 mm).
    """
    template = resources.files("api").joinpath("templates/carry_card.typ").read_bytes()
    document = card_document(card, display_name, units)
    inputs = {"card": json.dumps(document), "paper": PAPER[size]}
    made = typst.compile(template, sys_inputs=inputs)
    assert isinstance(made, bytes)
    return made


def card_document(card: CarryCard, display_name: str, units: ReaderUnits) -> dict[str, object]:
    """What the template prints: every number already in the reader's units, as text."""
    return {
        "name": display_name.split(maxsplit=1)[0] if display_name.split() else card.player_id,
        "date": card.last_day.isoformat() if card.last_day else "",
        "length_unit": units.length,
        "speed_unit": units.speed,
        "level": f"{100 * card.level:.0f} %",
        "n_shots": card.n_shots,
        "n_excluded": card.n_excluded,
        "n_excluded_coach": sum(row.rung.n_coach for row in card.rows),
        "n_excluded_rule": sum(row.rung.n_rule for row in card.rows),
        "version": card.fit_version,
        "rows": [_row_document(row, units) for row in card.rows],
    }


def _row_document(row: CardRow, units: ReaderUnits) -> dict[str, str]:
    rung = row.rung
    centre = rung.centre
    state = f"{centre.state.replace('_', ' ')}: {centre.need}" if centre.need else centre.state
    return {
        "rung": rung.name,
        "carry": _length(centre.value, units),
        "centre": _span(centre, units),
        "one": _span(rung.one_shot, units),
        "any": _span(rung.with_mishits, units),
        "speed": f"{units.of_mps(row.speed.value):.1f}" if row.speed and row.speed.value else "–",
        "counts": f"{centre.n_shots}/{centre.n_sessions}",
        "excluded": str(row.excluded),
        "state": state,
        "short_state": centre.state.replace("_", " "),
        "gap": GAP_WORDS[row.gap],
    }


def card_csv(card: CarryCard, units: ReaderUnits) -> str:
    """The card as CSV (RFC 4180), one row per rung, units in columns of their own."""
    frame = pl.DataFrame(
        [_csv_row(row, card, units) for row in card.rows], infer_schema_length=None
    )
    return formula_safe(frame).write_csv(float_precision=2)


def _csv_row(row: CardRow, card: CarryCard, units: ReaderUnits) -> dict[str, str | float | None]:
    rung, speed = row.rung, row.speed
    centre = rung.centre
    lengths = {
        "carry": centre.value,
        "carry_low": centre.low,
        "carry_high": centre.high,
        "one_ball_low": rung.one_shot.low,
        "one_ball_high": rung.one_shot.high,
        "any_ball_low": rung.with_mishits.low,
        "any_ball_high": rung.with_mishits.high,
    }
    speeds = {
        "speed": speed.value if speed else None,
        "speed_low": speed.low if speed else None,
        "speed_high": speed.high if speed else None,
    }
    return {
        "club": rung.club,
        "swing_length": rung.swing_length or "",
        "state": centre.state,
        "need": centre.need,
        "n_shots": centre.n_shots,
        "n_days": centre.n_sessions,
        "n_excluded": row.excluded,
        "n_excluded_coach": rung.n_coach,
        "n_excluded_rule": rung.n_rule,
        **{name: None if v is None else units.of_metres(v) for name, v in lengths.items()},
        "length_unit": units.length,
        **{name: None if v is None else units.of_mps(v) for name, v in speeds.items()},
        "speed_unit": units.speed,
        "gap_to_next": row.gap or "",
        "level": card.level,
        "fit_version": card.fit_version,
    }


def _length(value: float | None, units: ReaderUnits) -> str:
    return "–" if value is None else f"{units.of_metres(value):.1f}"


def _span(answer: Answer, units: ReaderUnits) -> str:
    return f"{_length(answer.low, units)}–{_length(answer.high, units)}"
