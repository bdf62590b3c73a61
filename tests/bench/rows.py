"""One line of the benchmark table: a ratio or a value against its named aim."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """`ratio` compares with a named limit in the same run; `value` is a plain figure."""

    name: str
    group: str
    value: float | None
    ratio: float | None
    aim: str
    holds: bool
