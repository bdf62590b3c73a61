"""How often one caller may ask, told in every answer (IETF draft "RateLimit header fields")."""

import time

from limits import RateLimitItemPerMinute
from limits.storage import MemoryStorage
from limits.strategies import FixedWindowRateLimiter

from api.cache import Headers
from api.errors import Problem


class RateLimit:
    """An allowance per minute and caller."""

    def __init__(self, per_minute: int) -> None:
        self._item = RateLimitItemPerMinute(per_minute)
        self._limiter = FixedWindowRateLimiter(MemoryStorage())
        self._policy = (b"ratelimit-policy", f'"minute";q={per_minute};w=60'.encode())

    def take(self, who: str) -> Headers:
        """Take one from the allowance of `who`; returns the headers that tell what is left.

        Raises:
            Problem: 429 with Retry-After when nothing is left.
        """
        allowed = self._limiter.hit(self._item, who)
        stats = self._limiter.get_window_stats(self._item, who)
        wait = max(0, round(stats.reset_time - time.time()))
        left = (b"ratelimit", f'"minute";r={stats.remaining};t={wait}'.encode())
        if not allowed:
            raise Problem(
                429,
                "too_many_requests",
                "This key has used its allowance for the minute.",
                f"Come back in {wait} s; use ETags and /v1/changes to ask less.",
                {"Retry-After": str(max(1, wait))},
            )
        return [self._policy, left]
