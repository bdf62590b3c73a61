"""Whose the rows are, where a column of the file names more than one player.

A file is imported for one player. When its rows name several, nobody but the user can tell which
are wanted: all stay, and it is asked. Answered by a name, the rows of the others are set aside.
"""

from collections.abc import Mapping, Sequence

import polars as pl

from ingest.assign import Readings
from ingest.normalise import Fault
from ingest.plan import ColumnPlan, Plan, Question
from ingest.table_texts import Texts

QUESTION = "whose:player"
ALL = "all"
_MOST_PLAYERS = 30
_ROWS_EACH = 2


def named_players(
    found: Sequence[Readings], texts: Texts, answers: Mapping[str, str]
) -> tuple[ColumnPlan | None, list[Question]]:
    """The column that names players, and whose rows are wanted where it names several.

    The column is none of the schema's: it stays open, and its texts in `extra`.
    """
    named = next((reading for reading in found if reading.columns == ("player",)), None)
    if named is None:
        return None, []
    plan = ColumnPlan(named.index, named.header.text, "player", open=("whose",))
    names = texts.tidy.to_series(named.index).to_list()
    asked = _whose(plan, texts.lines.to_list(), names, answers)
    return plan, [asked] if asked else []


def _whose(
    plan: ColumnPlan,
    lines: Sequence[int],
    names: Sequence[str | None],
    answers: Mapping[str, str],
) -> Question | None:
    """The question whose rows are wanted; None when one player is named, or it was answered.

    A column of names that hardly recur (`Shot 1`, `Shot 2`) names no players.
    """
    told = [(line, name) for line, name in zip(lines, names, strict=True) if name]
    players = list(dict.fromkeys(name for _, name in told))
    several = 1 < len({_folded(name) for name in players}) <= _MOST_PLAYERS
    if QUESTION in answers or not several or len(told) < _ROWS_EACH * len(players):
        return None
    why = "the rows name more than one player, and the file is imported for one"
    return Question(
        id=QUESTION,
        kind="whose",
        column="player",
        header=plan.header,
        candidates=(ALL, *players),
        lines=tuple(line for line, _ in told),
        why=why,
        plans=(plan,),
        raws=(tuple(name for _, name in told),),
    )


def rows_of_others(plan: Plan, texts: pl.DataFrame) -> list[Fault]:
    """A fault for each row that names another player than the one who was chosen."""
    if plan.player is None or plan.wanted in {None, ALL}:
        return []
    wanted = _folded(plan.wanted or "")
    cells = texts.to_series(plan.player.index)
    other = cells.str.strip_chars().str.to_lowercase() != wanted
    rows = (other & (cells.str.strip_chars() != "")).fill_null(False).arg_true().to_list()
    header = plan.player.header
    return [Fault(row, header, cells[row] or "", "other_player") for row in rows]


def _folded(name: str) -> str:
    return name.strip().lower()
