"""What the user may say about a file beforehand, in place of being asked."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

_EMPTY: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True)
class Options:
    """Settings for reading one export; every one is optional.

    Attributes:
        zone: IANA name or offset for local times of this file; outranks the file's preamble.
        player_zone: the player's usual zone, used when nothing else says one.
        player_handedness: decides `pull` and `push`.
        kind: what the file is, when the headers should not decide.
        layout: name of a declared layout to use.
        units: canonical column → UCUM code or unit word.
        decimal: `.` or `,`.
        date_order: `dmy`, `mdy` or `ymd`.
        day: ISO date of the session, for files that hold only clock times.
        year: the year of dates without one.
        surface: what the balls were struck from, where the rows do not say: mat, grass …
        answers: question id → answer, as given to questions of an earlier reading.
    """

    zone: str | None = None
    player_zone: str | None = None
    player_handedness: Literal["right", "left"] | None = None
    kind: Literal["launch", "tempo", "marks", "scores"] | None = None
    layout: str | None = None
    units: Mapping[str, str] = field(default_factory=lambda: _EMPTY)
    decimal: str | None = None
    date_order: str | None = None
    day: str | None = None
    year: int | None = None
    surface: str | None = None
    answers: Mapping[str, str] = field(default_factory=lambda: _EMPTY)
