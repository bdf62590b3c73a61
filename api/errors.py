"""What the outer faces themselves can refuse, beside the errors of ingest and analytics.

ApiError
"""

from typing import ClassVar


class ApiError(Exception):
    """A request that cannot be served: why, and what to do."""

    code: ClassVar[str] = "api"

    def __init__(self, reason: str, mend: str) -> None:
        self.reason = reason
        self.mend = mend
        super().__init__(f"{reason} Mend: {mend}")
