"""Handlers: one function per intent id, from (request, context) to a Reply. No input or output of their own."""

from __future__ import annotations

import importlib
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

from bot.handlers.context import Context
from bot.reply import Reply
from bot.request import Request

Handler = Callable[[Request, Context], Reply]
_REGISTRY: dict[str, Handler] = {}
_DECORATION = re.compile(r"^@answers\(([^)]*)\)", re.MULTILINE)


def answers(*intents: str) -> Callable[[Handler], Handler]:
    """Register the decorated function as the handler of one or more intent ids."""

    def register(handler: Handler) -> Handler:
        for intent in intents:
            if intent in _REGISTRY and _REGISTRY[intent] is not handler:
                both = f"{_REGISTRY[intent].__module__}, {handler.__module__}"
                raise ValueError(f"two handlers for intent {intent!r}: {both}")
            _REGISTRY[intent] = handler
        return handler

    return register


@cache
def _modules() -> dict[str, str]:
    """Map each intent id to the module that answers it, by reading the decorations without importing anything.

    A cold answer needs one topic's module of forty; importing them all would double the time to the first word.
    """
    found: dict[str, str] = {}
    for path in sorted(Path(__file__).parent.glob("*.py")):
        for listed in _DECORATION.findall(path.read_text(encoding="utf-8")):
            for intent in re.findall(r"[\"']([a-z_]+)[\"']", listed):
                if intent in found:
                    raise ValueError(f"two handlers for intent {intent!r}: {found[intent]}, {path.stem}")
                found[intent] = path.stem
    return found


def handler_for(intent: str) -> Handler:
    """Return the handler of an intent id, importing its module. Raises KeyError when there is none."""
    if intent not in _REGISTRY:
        importlib.import_module(f"{__name__}.{_modules()[intent]}")
    return _REGISTRY[intent]


def registry() -> dict[str, Handler]:
    """Return all handlers by intent id."""
    return {intent: handler_for(intent) for intent in _modules()}


__all__ = ["Context", "Handler", "Reply", "Request", "answers", "handler_for", "registry"]
