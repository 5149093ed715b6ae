"""Keep the token out of every log line: the library's objects, URLs and tracebacks all carry it."""

from __future__ import annotations

import logging

_MASK = "<token>"


class Redacting(logging.Formatter):
    """Wrap a formatter and mask the token in whatever it makes, tracebacks included."""

    def __init__(self, token: str, inner: logging.Formatter | None = None) -> None:
        super().__init__()
        self._token = token
        self._secret = token.partition(":")[2]
        self._inner = inner or logging.Formatter("%(asctime)s %(levelname)s %(name)s %(message)s")

    def format(self, record: logging.LogRecord) -> str:
        """Return the finished line without the token or its secret half."""
        line = self._inner.format(record).replace(self._token, _MASK)
        return line.replace(self._secret, _MASK) if len(self._secret) > 5 else line


def guard(token: str) -> None:
    """Put the mask on every log handler there is, and quiet the HTTP library, which logs whole URLs at INFO."""
    root = logging.getLogger()
    if not root.handlers:
        logging.basicConfig(level=logging.INFO)
    known = [logging.getLogger(name) for name in list(logging.root.manager.loggerDict)]
    for logger in (root, *known):
        for handler in logger.handlers:
            if not isinstance(handler.formatter, Redacting):
                handler.setFormatter(Redacting(token, handler.formatter))
    for name in ("httpx", "httpcore"):
        logging.getLogger(name).setLevel(logging.WARNING)
