"""Who may talk about which plot: open to all, by invitation, or by listed chat ids."""

from __future__ import annotations

import re
from datetime import datetime

from bot.app import HOME, INVITATION_LIVES
from bot.plot.store import Store
from bot.settings import Settings

_JOIN = re.compile(r"^\s*(?:start|join)\s+([0-9a-f]{10})\s*$", re.IGNORECASE)

CLOSED = "This plot is private. Ask the person who runs it for an invitation code, then send me: join and the code."
NOT_LISTED = "This bot answers only the people it was set up for."
WRONG_CODE = "That code is wrong, used or too old. Ask for a new one."
WELCOME = 'Welcome. You share this plot now: ask me anything, or tell me what you did. "help" shows what I can do.'


class Doorway:
    """Let chats in by the installation's settings."""

    def __init__(self, settings: Settings, store: Store) -> None:
        self._settings = settings
        self._store = store

    def first_code(self, now: datetime) -> str | None:
        """Return a code for the owner when entry is by invitation and nobody is in yet, else None."""
        if self._settings.telegram.who != "invite" or self._store.members.chats_for_summary():
            return None
        with self._store.turn(HOME, now) as turn:
            return turn.invite(now + INVITATION_LIVES)

    def plot_for(self, chat: int, user: int, text: str, now: datetime) -> tuple[str | None, str | None]:
        """Return (plot id, line to say instead of an answer). Without a plot the line says why."""
        code = _JOIN.match(text)
        if code:
            joined = self._store.members.accept(code.group(1), chat, now)
            return joined, WELCOME if joined else WRONG_CODE
        known = self._store.members.plot_of(chat)
        if known is not None:
            return known, None
        who = self._settings.telegram
        if who.who == "invite":
            return None, CLOSED
        if who.who == "ids" and not {chat, user} & set(who.ids):
            return None, NOT_LISTED
        plot = f"chat{chat}"
        self._store.members.link(chat, plot, now)
        return plot, None
