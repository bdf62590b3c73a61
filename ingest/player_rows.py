"""Whose the rows are, where a column of the file names more than one player.

A file is imported for one player. When its rows name several, nobody but the user can tell which
are wanted: all stay, and it is asked. Answered by a name, the rows of the others are set aside, and
so are those that name nobody: they would come in again for each player who is asked for.
"""

from collections import Counter
from collections.abc import Mapping, Sequence

import polars as pl

from ingest.assign import Readings
from ingest.normalise import Fault
from ingest.plan import ColumnPlan, Plan, Question
from ingest.table_texts import Texts, tidied

QUESTION = "whose:player"
ALL = "all"
_MOST_PLAYERS = 30
_MOST_NAMES = 1_000
_ROWS_EACH = 2


class NamedRows:
    """Who is named in how many rows, counted piece by piece in bounded memory."""

    def __init__(self) -> None:
        self._counts: Counter[str] = Counter()

    def add(self, names: pl.Series) -> None:
        """Count more rows; beyond _MOST_NAMES different texts they are no players anyhow."""
        if len(self._counts) <= _MOST_NAMES:
            found = names.to_frame("name").drop_nulls().group_by("name", maintain_order=True).len()
            self._counts.update(dict(found.iter_rows()))

    def players(self) -> tuple[str, ...]:
        """The names when they are of several players, as written and in order; else none.

        A column of names that hardly recur (`Shot 1`, `Shot 2`) names no players.
        """
        several = 1 < len(set(map(folded, self._counts))) <= _MOST_PLAYERS
        recur = self._counts.total() >= _ROWS_EACH * len(self._counts)
        return tuple(self._counts) if several and recur else ()


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
    names = texts.tidy.to_series(named.index)
    rows = NamedRows()
    rows.add(names)
    if QUESTION in answers or not rows.players():
        return plan, []
    told = [(line, name) for line, name in zip(texts.lines, names, strict=True) if name]
    lines, raw = (tuple(part) for part in zip(*told, strict=True))
    return plan, [whose_question(plan, rows.players(), lines, (raw,))]


def whose_question(
    plan: ColumnPlan,
    players: Sequence[str],
    lines: tuple[int, ...],
    raws: tuple[tuple[str | None, ...], ...] = (),
) -> Question:
    """The question whose rows are wanted, of a file that names these players."""
    return Question(
        id=QUESTION,
        kind="whose",
        column="player",
        header=plan.header,
        candidates=(ALL, *players),
        lines=lines,
        why="the rows name more than one player, and the file is imported for one",
        plans=(plan,),
        raws=raws,
    )


def names_in(plan: Plan, raw: pl.DataFrame) -> pl.Series | None:
    """The tidied names of raw rows (columns named by position); None where nobody is named."""
    if plan.player is None:
        return None
    return tidied(raw.select(str(plan.player.index)))[0].to_series()


def rows_of_others(plan: Plan, names: pl.Series | None) -> list[Fault]:
    """A fault for each row that does not name the player who was chosen.

    Args: names: of the rows, tidied.
    """
    wanted = folded(plan.wanted or ALL)
    if plan.player is None or names is None or wanted == ALL:
        return []
    header = plan.player.header
    other = (names.str.to_lowercase() != wanted).fill_null(True).arg_true().to_list()
    codes = {True: "unnamed_player", False: "other_player"}
    return [Fault(row, header, names[row] or "", codes[names[row] is None]) for row in other]


def folded(name: str) -> str:
    """The name without regard to capitals, as players are told apart."""
    return name.strip().lower()
