"""What two columns of one row must be to each other, beside the limits of single columns.

The limits stand in `schemas/*.schema.json`. These rules hold for tables that only come in by hand,
whatever the face (`ingest/hand_entry.py` refuses a row that breaks one).
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Order:
    """`smaller` must not be above `larger`, or not even equal to it; unknown values pass."""

    smaller: str
    larger: str
    equal_is_fine: bool
    reason: str
    mend: str

    def broken(self, smaller: float, larger: float) -> bool:
        """Whether two values stand the wrong way round."""
        return smaller > larger if self.equal_is_fine else smaller >= larger


ORDERS: dict[str, tuple[Order, ...]] = {
    "sessions": (
        Order(
            "window_near_m",
            "window_far_m",
            False,
            "the near end of the window lies at or beyond its far end",
            "Measure both ends from the ball; the near end is the smaller one.",
        ),
        Order(
            "edge_m",
            "hole_m",
            True,
            "the green's edge lies beyond the hole",
            "Measure both from the ball; the edge comes before the hole.",
        ),
    ),
}
