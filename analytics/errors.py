"""Everything that can go wrong while answering a question.

AnalyticsError
├── NoSuchPlayer   the store has no such player
├── NoSuchClub     the player has no shot with that club
├── NoSuchTest     no scored test is called so
├── NoSuchHomework no piece of homework is meant by this id
├── NothingYet     the question needs rows that are not there yet
├── RowsMoved      the files read were taken away meanwhile: ask again
├── TooMuchAtOnce  the answer needs more memory than one question may take
├── OutOfRange     an answer beyond what was seen would be a guess
└── BadQuestion    a parameter outside what the question can take
"""

from typing import ClassVar


class AnalyticsError(Exception):
    """A question that cannot be answered: why, and what to do."""

    code: ClassVar[str] = "analytics"

    def __init__(self, reason: str, mend: str) -> None:
        self.reason = reason
        self.mend = mend
        super().__init__(f"{reason} Mend: {mend}")


class NoSuchPlayer(AnalyticsError):
    """The store has no such player."""

    code = "no_such_player"


class NoSuchClub(AnalyticsError):
    """The player has no shot with that club."""

    code = "no_such_club"


class NoSuchTest(AnalyticsError):
    """No scored test is called so."""

    code = "no_such_test"


class NoSuchHomework(AnalyticsError):
    """No piece of homework is meant by this id."""

    code: ClassVar[str] = "no_such_homework"


class NothingYet(AnalyticsError):
    """The question needs rows that are not there yet."""

    code = "nothing_yet"


class RowsMoved(AnalyticsError):
    """The files read were taken away meanwhile, by an import undone or a player erased."""

    code = "rows_moved"


class TooMuchAtOnce(AnalyticsError):
    """The answer needs more memory than one question may take."""

    code = "too_much_at_once"


class OutOfRange(AnalyticsError):
    """An answer beyond what was seen would be a guess."""

    code = "out_of_range"


class BadQuestion(AnalyticsError):
    """A parameter outside what the question can take."""

    code = "bad_question"
