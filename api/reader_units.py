"""The reader's units at the edge: metres, yards or feet; m/s, mph or km/h. Inside all is SI.

Factors are exact by definition (international yard and pound agreement of 1959; NIST SP 811).
"""

from dataclasses import dataclass
from typing import Literal

import click

LengthUnit = Literal["m", "yd", "ft"]
SpeedUnit = Literal["m/s", "mph", "km/h"]

METRES: dict[str, float] = {"m": 1.0, "yd": 0.9144, "ft": 0.3048}
METRES_PER_SECOND: dict[str, float] = {"m/s": 1.0, "mph": 0.44704, "km/h": 1 / 3.6}


@dataclass(frozen=True)
class ReaderUnits:
    """Units a reader wants to see; numbers inside stay metres and metres per second."""

    length: str = "m"
    speed: str = "m/s"

    def of_metres(self, metres: float) -> float:
        """A length in the reader's unit."""
        return metres / METRES[self.length]

    def to_metres(self, length: float) -> float:
        """A length the reader gave, in metres."""
        return length * METRES[self.length]

    def of_mps(self, mps: float) -> float:
        """A speed in the reader's unit."""
        return mps / METRES_PER_SECOND[self.speed]

    def to_mps(self, speed: float) -> float:
        """A speed the reader gave, in m/s."""
        return speed * METRES_PER_SECOND[self.speed]


length_option = click.option(
    "--length-unit",
    type=click.Choice(list(METRES)),
    default="m",
    show_default=True,
    help="Unit of lengths, given and printed.",
)

speed_option = click.option(
    "--speed-unit",
    type=click.Choice(list(METRES_PER_SECOND)),
    default="m/s",
    show_default=True,
    help="Unit of speeds, given and printed.",
)
