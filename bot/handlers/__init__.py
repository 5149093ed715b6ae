"""Handlers: one function per intent id, from (request, context) to a Reply. No input or output of their own."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable

from bot.handlers.context import Context
from bot.reply import Reply
from bot.request import Request

Handler = Callable[[Request, Context], Reply]
_REGISTRY: dict[str, Handler] = {}
_loaded = False


def answers(*intents: str) -> Callable[[Handler], Handler]:
    """Register the decorated function as the handler of one or more intent ids."""

    def register(handler: Handler) -> Handler:
        for intent in intents:
            if intent in _REGISTRY and _REGISTRY[intent] is not handler:
                raise ValueError(f"two handlers for intent {intent!r}: {_REGISTRY[intent].__module__}, {handler.__module__}")
            _REGISTRY[intent] = handler
        return handler

    return register


def handler_for(intent: str) -> Handler:
    """Return the handler of an intent id. Raises KeyError when none is registered."""
    return registry()[intent]


def registry() -> dict[str, Handler]:
    """Return all handlers by intent id, importing the topic modules once."""
    global _loaded
    if not _loaded:
        for module in pkgutil.iter_modules(__path__):
            importlib.import_module(f"{__name__}.{module.name}")
        _loaded = True
    return _REGISTRY


__all__ = ["Context", "Handler", "Reply", "Request", "answers", "handler_for", "registry"]
