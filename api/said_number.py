"""A number as a person types it into a field of a page."""

import math

from pydantic import BeforeValidator
from pydantic_core import PydanticUseDefault

from analytics.errors import BadQuestion


def with_point(text: str) -> str:
    """The text of a number as Python reads it."""
    return text.strip().replace(",", ".").replace("−", "-")


def _typed(given: object) -> object:
    plain = with_point(given) if isinstance(given, str) else given
    if plain == "":
        raise PydanticUseDefault
    return plain


TYPED = BeforeValidator(_typed)
"""Beside the `Query` of a number that a person types into a field of a page; empty: its default."""


def said_number(text: str, example: str) -> float | None:
    """The number, with point or comma and any minus sign; None for an empty field.

    Raises: BadQuestion with the example for what is no number, or no finite one.
    """
    plain = with_point(text)
    try:
        number = float(plain) if plain else None
    except ValueError:
        number = math.nan
    if number is None or math.isfinite(number):
        return number
    raise BadQuestion(f"{text!r} is no number.", f"write for example {example}")
