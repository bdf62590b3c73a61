"""Lengths as people say them at the green, and a ball's place from two tapes; all with an error.

Rules
-----
1. `3'4"`, `3'4`, `3 ft 4 in`, `40 in`, `1.02 m`, `102 cm`, `1,02 m`, `1.1 yd`, `4 paces` are
   lengths; a bare number needs the unit stated apart. What can be read two ways is refused.
2. The error of a tape is 1 cm plus half a per cent (sag, and the ball's middle), together with
   the coarseness of what was written; that of paces comes from the person's own calibration walk.
3. Two tapes from two known points meet in two places; the side says which. Tapes that miss each
   other by no more than their errors explain are brought together, by more they are refused.
"""

import math
import re
from dataclasses import dataclass
from statistics import fmean, stdev

from analytics.errors import BadQuestion

INCH_M = 0.0254
UNIT_M = {
    "m": 1.0,
    "cm": 0.01,
    "mm": 0.001,
    "ft": 12 * INCH_M,
    "in": INCH_M,
    "yd": 36 * INCH_M,
}
TAPE_FIXED_M = 0.01
TAPE_SHARE = 0.005
PACE_M = 0.75
PACE_LENGTH_SD_M = 0.08
PACE_STEP_SD_M = 0.05

NUMBER = r"\d+(?:[.,]\d+)?"
FEET_INCHES = re.compile(
    rf"(?P<ft>{NUMBER})\s*(?:ft|feet|foot|'|′|’)\.?\s*"
    rf"(?:(?P<inch>{NUMBER})\s*(?:in|inch|inches|\"|″|”|'')?\.?)?"
)
INCHES = re.compile(rf"(?P<number>{NUMBER})\s*(?:\"|″|”|''|inches|inch)")
PLAIN = re.compile(rf"(?P<number>{NUMBER})\s*(?P<unit>mm|cm|m|ft|in|yd|yds|yards?|met(?:er|re)s?)?")
PACES = re.compile(rf"(?P<number>{NUMBER})\s*(?:paces?|steps?|schritte?)")


@dataclass(frozen=True)
class Length:
    """A length in metres with one standard error, and how it was taken."""

    metres: float
    error_m: float
    method: str


@dataclass(frozen=True)
class Pace:
    """How long one person's pace is: mean, spread of one pace, error of the mean; metres."""

    mean_m: float = PACE_M
    step_sd_m: float = PACE_STEP_SD_M
    mean_error_m: float = PACE_LENGTH_SD_M
    calibrated: bool = False

    def length(self, paces: float) -> Length:
        """The length of so many paces. Raises: BadQuestion for none."""
        if paces <= 0:
            raise BadQuestion(f"{paces:g} paces are no length.", "give a number above zero")
        error = math.hypot(paces * self.mean_error_m, math.sqrt(paces) * self.step_sd_m)
        # The last pace is counted to a half at best.
        error = math.hypot(error, 0.25 * self.mean_m / math.sqrt(3))
        method = "paces" if self.calibrated else "paces, not calibrated"
        return Length(paces * self.mean_m, error, method)


def calibrate_pace(distance_m: float, paces: list[float]) -> Pace:
    """A person's pace from walks over one known distance, each counted.

    Raises: BadQuestion with fewer than three walks, or for a pace outside 0.3 to 1.3 m.
    """
    if len(paces) < 3 or distance_m <= 0 or min(paces) <= 0:
        raise BadQuestion(
            f"{len(paces)} walks over {distance_m:g} m do not give a pace.",
            "walk the same known distance at least three times and count each",
        )
    lengths = [distance_m / count for count in paces]
    mean, spread = fmean(lengths), stdev(lengths)
    if not 0.3 <= mean <= 1.3:
        raise BadQuestion(
            f"A pace of {mean:.2f} m is not a person's.", "check the distance and the counts"
        )
    counting = mean / math.sqrt(12) / fmean(paces) * mean
    mean_error = math.hypot(spread, counting) / math.sqrt(len(paces))
    return Pace(mean, spread * math.sqrt(fmean(paces)), mean_error, calibrated=True)


def read_length(text: str, unit: str | None = None, pace: Pace | None = None) -> Length:
    """A length as written.

    Args: unit: meant by a bare number (m, cm, mm, ft, in, yd, paces); pace: the person's own.
    Raises: BadQuestion for what is no length, or a bare number without a unit.
    """
    said = text.strip().lower()
    if found := PACES.fullmatch(said):
        return (pace or Pace()).length(_number(found["number"], text))
    if found := INCHES.fullmatch(said):
        return _tape(found["number"], "in", text)
    if (found := FEET_INCHES.fullmatch(said)) and found["inch"] is not None:
        return _feet_and_inches(found["ft"], found["inch"], text)
    if found and found["ft"] is not None:
        return _tape(found["ft"], "ft", text)
    if found := PLAIN.fullmatch(said):
        return _plain(found["number"], found["unit"] or unit, text, pace)
    raise _unreadable(text)


def _plain(number: str, unit: str | None, text: str, pace: Pace | None) -> Length:
    if unit is None:
        raise BadQuestion(
            f"{text!r} has no unit.", "write for example 1.02 m, 3 ft 4 in or 4 paces"
        )
    if unit.startswith("pace"):
        return (pace or Pace()).length(_number(number, text))
    short = {"y": "yd", "me": "m"}.get(unit[:1] if unit[:1] == "y" else unit[:2], unit)
    if short not in UNIT_M:
        raise BadQuestion(f"{unit!r} is no unit of length.", f"use one of {', '.join(UNIT_M)}")
    return _tape(number, short, text)


def _feet_and_inches(feet: str, inches: str, text: str) -> Length:
    whole, rest = _number(feet, text), _number(inches, text)
    if rest >= 12 or whole != int(whole):
        raise BadQuestion(
            f"{text!r} is not feet and inches.", "write whole feet and less than 12 inches"
        )
    step = 10.0 ** -_decimals(inches) * INCH_M
    return _with_tape_error(whole * UNIT_M["ft"] + rest * INCH_M, step)


def _tape(number: str, unit: str, text: str) -> Length:
    factor = UNIT_M[unit]
    return _with_tape_error(_number(number, text) * factor, 10.0 ** -_decimals(number) * factor)


def _with_tape_error(metres: float, step_m: float) -> Length:
    rounding = step_m / math.sqrt(12)
    return Length(metres, math.hypot(TAPE_FIXED_M + TAPE_SHARE * metres, rounding), "tape")


def _number(text: str, whole: str) -> float:
    if re.fullmatch(r"\d{1,3},\d{3}", text):
        raise BadQuestion(
            f"{whole!r} can be read two ways.", "write the decimals with a point, or leave them out"
        )
    return float(text.replace(",", "."))


def _decimals(number: str) -> int:
    _, _, decimals = number.replace(",", ".").partition(".")
    return len(decimals)


def _unreadable(text: str) -> BadQuestion:
    return BadQuestion(
        f"{text!r} is no length.", "write for example 3 ft 4 in, 3'4, 1.02 m or 4 paces"
    )
