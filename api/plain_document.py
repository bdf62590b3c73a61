"""Answers as plain documents for `--json`: fields by name, dates as ISO 8601, no NaN."""

import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date

Plain = None | bool | int | float | str | list["Plain"] | dict[str, "Plain"]


def plain(value: object) -> Plain:
    """The value as what JSON can say; an unknown number becomes null.

    Raises TypeError for what is not data.
    """
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(value, float):
        return float(value) if math.isfinite(value) else None
    if isinstance(value, date):
        return value.isoformat()
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [plain(part) for part in value]
    raise TypeError(f"{type(value).__name__} is no plain data")
