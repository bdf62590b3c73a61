"""One JSON object per log line."""

import json
import logging
from datetime import UTC, datetime


class JsonLines(logging.Formatter):
    """Formats a record as JSON: time, level, logger, message, and the record's `fields`."""

    def format(self, record: logging.LogRecord) -> str:
        """One line."""
        line: dict[str, object] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
            **getattr(record, "fields", {}),
        }
        if record.exc_info:
            line["trace"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False)


def log_as_json() -> None:
    """Send the service's log lines to standard error, as JSON."""
    handler = logging.StreamHandler()
    handler.setFormatter(JsonLines())
    for name in ("api", "ingest", "uvicorn.error"):
        logger = logging.getLogger(name)
        logger.handlers = [handler]
        logger.setLevel(logging.INFO)
        logger.propagate = False
