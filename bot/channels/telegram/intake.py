"""What a raw update means to the house: a message to answer, something to say about, or nothing.

Pure: takes a parsed Update, returns an Incoming. A live location arrives as an edit, a photo's words are its caption,
a forward is somebody else's words and is never recorded unasked.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal

from telegram import Message, Update

Kind = Literal["text", "photo", "button", "location", "note", "migrated", "nothing"]

_NOTES = {
    "voice": "I can't listen to voice messages. Type it, or use your phone's dictation, and I'll answer.",
    "audio": "I can't listen to recordings. Type the question and I'll answer.",
    "video": "I can't watch videos. A photo with a few words, or the question typed, works.",
    "sticker": "That one says nothing I can grow with. Type a question, or tell me what you did.",
    "contact": 'I can\'t use a contact card. To share the plot say "share the plot", and pass on the code I give you.',
    "document": "I can't read files here. Type the question, or tell me what you did.",
    "poll": "I can't answer polls. Type a question, or tell me what you did.",
}
_FORWARD = "That is somebody else's message, so I've recorded nothing. If you did it too, tell me in your own words."
_EDIT = ('I saw your edit, but the record keeps the first version. To change it, say what is right: '
         '"no, bed 4" or "I meant 3 kg".')
_OTHER = "I can read text, a location, or a photo with a caption. Type a question, or tell me what you did."
_LIVE = "I've noted no moving location. Send your plot's place once, as a plain location, and I'll keep it."


@dataclass(frozen=True)
class Incoming:
    """One update, boiled down. `text` is what is to be answered (or said back, for a note)."""

    kind: Kind
    chat: int = 0
    user: int = 0
    name: str = ""
    text: str = ""
    at: datetime | None = None
    private: bool = True
    button: str | None = None
    callback: str | None = None
    file_id: str | None = None
    moved_to: int | None = None
    lat: float | None = None
    lon: float | None = None


def read_update(update: Update, bot_name: str = "") -> Incoming:
    """Return what an update asks of the house."""
    if update.callback_query is not None:
        query = update.callback_query
        chat = query.message.chat if query.message else None
        return Incoming("button", chat.id if chat else query.from_user.id, query.from_user.id,
                        query.from_user.first_name, at=datetime.now(UTC) if query.message is None else None,
                        private=chat is None or chat.type == "private", button=query.data, callback=query.id)
    if update.edited_message is not None:
        edited = update.edited_message
        if edited.location is not None:
            return Incoming("nothing")
        return _incoming(edited, "note", _EDIT)
    message = update.message
    if message is None or message.from_user is None:
        return Incoming("nothing")
    if message.migrate_to_chat_id:
        return _incoming(message, "migrated", moved_to=message.migrate_to_chat_id)
    if message.forward_origin is not None:
        return _incoming(message, "note", _FORWARD)
    if message.location is not None:
        if message.location.live_period:
            return _incoming(message, "note", _LIVE)
        return _incoming(message, "location", lat=message.location.latitude, lon=message.location.longitude)
    if message.photo:
        return _incoming(message, "photo", _words(message.caption or "", bot_name), file_id=message.photo[-1].file_id)
    if message.text is not None:
        return _incoming(message, "text", _words(message.text, bot_name))
    for part, words in _NOTES.items():
        if getattr(message, part, None):
            return _incoming(message, "note", words)
    if message.effective_attachment is not None:
        return _incoming(message, "note", _OTHER)
    return Incoming("nothing")


def _incoming(message: Message, kind: Kind, text: str = "", *, file_id: str | None = None, moved_to: int | None = None,
              lat: float | None = None, lon: float | None = None) -> Incoming:
    user = message.from_user
    return Incoming(kind, message.chat.id, user.id if user else 0, user.first_name if user else "", text, message.date,
                    message.chat.type == "private", file_id=file_id, moved_to=moved_to, lat=lat, lon=lon)


def _words(text: str, bot_name: str) -> str:
    """Drop the bot's own name from a group message and the slash of a command: "/blanch peas" asks "blanch peas"."""
    if bot_name:
        text = text.replace(f"@{bot_name}", " ")
    text = text.strip()
    if text.startswith("/"):
        word, _, rest = text[1:].partition(" ")
        text = f"{word.replace('_', ' ')} {rest}".strip()
    return text
