"""How often one caller may ask, told in every answer (IETF draft "RateLimit header fields").

The allowance is drawn in small leases, so that most requests only count down a number of their own;
a lease carried into the next minute makes the limit exact to one hundredth.
"""

import time
from dataclasses import dataclass

from limits import RateLimitItemPerMinute
from limits.storage import MemoryStorage
from limits.strategies import FixedWindowRateLimiter

from api.cache import Headers
from api.errors import Problem

MOST_CALLERS = 10_000


@dataclass
class _Lease:
    """What one caller has drawn and not used, and the state of the whole allowance then."""

    left: int
    remaining: int
    reset_at: float


class RateLimit:
    """An allowance per minute and caller."""

    def __init__(self, per_minute: int) -> None:
        self._item = RateLimitItemPerMinute(per_minute)
        self._limiter = FixedWindowRateLimiter(MemoryStorage())
        self._policy = (b"ratelimit-policy", f'"minute";q={per_minute};w=60'.encode())
        self._size = max(1, per_minute // 100)
        self._leases: dict[str, _Lease] = {}

    def take(self, who: str) -> Headers:
        """Take one from the allowance of `who`; returns the headers that tell what is left.

        Raises:
            Problem: 429 with Retry-After when nothing is left.
        """
        lease = self._leases.get(who)
        if lease is None or lease.left == 0 or lease.reset_at < time.time():
            lease = self._draw(who)
        lease.left -= 1
        wait = max(0, int(lease.reset_at - time.time()))
        left = lease.remaining + lease.left
        return [self._policy, (b"ratelimit", f'"minute";r={left};t={wait}'.encode())]

    def _draw(self, who: str) -> _Lease:
        if len(self._leases) > MOST_CALLERS:
            self._leases.clear()
        allowed = self._limiter.hit(self._item, who, cost=self._size)
        stats = self._limiter.get_window_stats(self._item, who)
        if not allowed:
            wait = max(1, round(stats.reset_time - time.time()))
            raise Problem(
                429,
                "too_many_requests",
                "This key has used its allowance for the minute.",
                f"Come back in {wait} s; use ETags and /v1/changes to ask less.",
                {"Retry-After": str(wait)},
            )
        lease = _Lease(self._size, stats.remaining, stats.reset_time)
        self._leases[who] = lease
        return lease
