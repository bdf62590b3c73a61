"""Bodies for findings and the rows behind them."""

from datetime import datetime
from math import isfinite
from typing import Annotated, Literal, Self

from pydantic import Field

from analytics.bracket_rows import RowRef
from analytics.discovery import Finding
from analytics.focus import Candidate
from api.models import AnswerModel, Body
from api.reader_units import ReaderUnits
from api.wording import Wording

SessionId = Annotated[
    str, Field(description="Player and local day.", examples=["q3fk82:2025-10-29"])
]

SAY = Wording("en", ReaderUnits())
"""Sentences of the service: English, SI units; an app says its own from the numbers."""


class FindingBody(Body):
    """One thing looked at, judged beside all the others."""

    key: Annotated[str, Field(description="What was looked at.", examples=["tempo_drift"])]
    kind: Annotated[
        Literal["habit", "change", "link"],
        Field(
            description="A habit holds over the sessions, a change runs from the first to the "
            "last, a link goes together within a session.",
            examples=["habit"],
        ),
    ]
    verdict: Annotated[
        Literal["effect", "hint", "no_effect", "open", "too_early"],
        Field(
            description="effect: found; no_effect: more than `matters` is ruled out; hint: may be "
            "chance beside all that was looked at; open: nothing seen, much still possible.",
            examples=["effect"],
        ),
    ]
    answer: Annotated[AnswerModel, Field(description="The number, SI, in the unit it names.")]
    expected: Annotated[
        float,
        Field(description="What to expect again: drawn toward 0 by its doubt.", examples=[-0.29]),
    ]
    matters: Annotated[
        float, Field(description="Smallest effect worth a lesson, same unit.", examples=[0.1])
    ]
    p_value: Annotated[float | None, Field(description="Two-sided, on its own.", examples=[0.0004])]
    q_value: Annotated[
        float, Field(description="Adjusted over everything looked at.", examples=[0.004])
    ]
    sentence: Annotated[
        str,
        Field(
            description="The finding in plain English and SI units.",
            examples=["The tempo ratio falls by 0.30 from the first ball to ball 45."],
        ),
    ]

    @classmethod
    def of(cls, finding: Finding, as_of: datetime, hand: str = "right") -> Self:
        """The body of a finding; `hand` tells the side of a push or pull."""
        known = isfinite(finding.p_value)
        return cls(
            key=finding.key,
            kind=finding.kind,
            verdict=finding.verdict,
            answer=AnswerModel.of(finding.answer, as_of),
            expected=finding.expected,
            matters=finding.matters,
            p_value=finding.p_value if known else None,
            q_value=finding.q_value,
            sentence=SAY.finding(finding, hand),
        )


class FocusBody(Body):
    """The one focus for the next session.

    `too_early` while nothing could be judged yet, `keep_on` while nothing found is worth it.
    """

    key: Annotated[str, Field(description="Finding it is about.", examples=["tempo_drift"])]
    part: Annotated[str, Field(description="Part of the practice.", examples=["tempo"])]
    strokes: Annotated[
        float, Field(ge=0, description="Strokes a ball at stake; it only ranks.", examples=[0.02])
    ]
    certainty: Annotated[
        float, Field(ge=0, le=1, description="How far beyond noise.", examples=[0.99])
    ]
    expected: Annotated[
        float,
        Field(description="What to expect again, in the finding's unit.", examples=[-0.29]),
    ]

    @classmethod
    def of(cls, focus: Candidate) -> Self:
        """The body of a focus."""
        return cls(
            key=focus.key,
            part=focus.part,
            strokes=focus.strokes,
            certainty=focus.certainty,
            expected=focus.expected,
        )


class RowRefBody(Body):
    """A row of the store and the line of the file it came from."""

    table: Annotated[str, Field(description="shots or swings.", examples=["shots"])]
    event_id: Annotated[
        str, Field(description="Identity of the event.", examples=["30fc8151f5a3e357"])
    ]
    import_id: Annotated[str, Field(description="Import it came with.", examples=["launch-1"])]
    source_name: Annotated[str | None, Field(description="File name.", examples=["monday.csv"])]
    source_line: Annotated[int, Field(ge=1, description="1-based line.", examples=[12])]

    @classmethod
    def of(cls, row: RowRef) -> Self:
        """The body of a reference."""
        return cls(
            table=row.table,
            event_id=row.event_id,
            import_id=row.import_id,
            source_name=row.source_name,
            source_line=row.source_line,
        )
