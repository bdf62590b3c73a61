"""Figures about the service itself, in the Prometheus text format; nothing about people."""

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest

BUCKETS_S = (0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0)


class Metrics:
    """Counters of one application."""

    def __init__(self) -> None:
        self._registry = CollectorRegistry()
        self._known: dict[tuple[str, str, int], tuple[Counter, Histogram]] = {}
        self._requests = Counter(
            "carrybook_requests",
            "Requests answered.",
            ("route", "method", "status"),
            registry=self._registry,
        )
        self._seconds = Histogram(
            "carrybook_request_seconds",
            "Time to the end of the answer.",
            ("route",),
            buckets=BUCKETS_S,
            registry=self._registry,
        )
        self._from_memory = Counter(
            "carrybook_answers_from_memory",
            "Answers served as kept bytes.",
            registry=self._registry,
        )
        self.jobs_waiting = Gauge(
            "carrybook_jobs_waiting", "Jobs not finished.", registry=self._registry
        )
        self.deliveries_waiting = Gauge(
            "carrybook_deliveries_waiting",
            "Webhook messages not delivered yet.",
            registry=self._registry,
        )

    def note(self, route: str, method: str, status: int, seconds: float) -> None:
        """Count one answer. `route` is a template, so that nobody's id becomes a label."""
        labels = (route or "none", method, status)
        known = self._known.get(labels)
        if known is None:
            counter = self._requests.labels(labels[0], method, str(status))
            known = self._known[labels] = (counter, self._seconds.labels(labels[0]))
        known[0].inc()
        known[1].observe(seconds)

    def note_from_memory(self) -> None:
        """Count one answer that was served as kept bytes."""
        self._from_memory.inc()

    def text(self) -> bytes:
        """Everything, as Prometheus reads it."""
        return generate_latest(self._registry)
