"""A text that must be one of values known only once the program runs, described as an enum."""

from dataclasses import dataclass

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema


@dataclass(frozen=True)
class OneOf:
    """Beside `str` in `Annotated`: what `Literal` is for values that are written down nowhere else.

    Args:
        values: all that is taken; a request with another value is answered with 422.
    """

    values: tuple[str, ...]

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """The schema of a literal, for checking and for the description alike."""
        return core_schema.literal_schema(list(self.values))
