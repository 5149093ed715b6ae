"""A Reply as Telegram HTML, split into messages that fit. Escaping happens here and nowhere else.

Limits are those of the Bot API: 4096 UTF-16 units of text after entities, 1024 of caption.
"""

from __future__ import annotations

import html

from bot.reply import Reply, table_lines

TEXT_LIMIT = 4096
CAPTION_LIMIT = 1024


def utf16_length(text: str) -> int:
    """Count UTF-16 code units, which is how the Bot API counts.

    >>> utf16_length("pea"), utf16_length("\U0001F331")
    (3, 2)
    """
    return len(text) + sum(1 for character in text if ord(character) > 0xFFFF)


def messages(reply: Reply, limit: int = TEXT_LIMIT) -> list[str]:
    """Return the reply as HTML messages in order, each within `limit` units of visible text."""
    blocks: list[tuple[str, str]] = [("b", piece) for piece in _pieces(reply.headline, limit)]
    for line in reply.lines:
        blocks += [("", piece) for piece in _pieces(line, limit)]
    if reply.table:
        blocks += [("pre", piece) for piece in _table_pieces(table_lines(reply.table), limit)]
    for caution in reply.cautions:
        blocks += [("i", piece) for piece in _pieces(f"Caution: {caution}", limit)]
    if reply.more:
        blocks.append(("", 'Say "more" for the rest.'))
    return _pack([block for block in blocks if block[1].strip()], limit) or ["…"]


def plain(markup: str) -> str:
    """Return the visible text of one rendered message, for sending once more without entities."""
    for tag in ("b", "i", "pre"):
        markup = markup.replace(f"<{tag}>", "").replace(f"</{tag}>", "")
    return html.unescape(markup)


def _pack(blocks: list[tuple[str, str]], limit: int) -> list[str]:
    packed: list[str] = []
    current: list[str] = []
    used = 0
    for tag, text in blocks:
        units = utf16_length(text) + 1
        if current and used + units > limit:
            packed.append("\n".join(current))
            current, used = [], 0
        escaped = html.escape(text, quote=False)
        current.append(f"<{tag}>{escaped}</{tag}>" if tag else escaped)
        used += units
    if current:
        packed.append("\n".join(current))
    return packed


def _pieces(text: str, limit: int) -> list[str]:
    """Cut a text that is too long at a blank line, a line end, or a space; mid-word only when there is none."""
    pieces = []
    while utf16_length(text) > limit - 1:
        room = _fit(text, limit - 1)
        cut = (max(text.rfind("\n\n", 0, room), 0) or max(text.rfind("\n", 0, room), 0)
               or max(text.rfind(" ", 0, room), 0))
        cut = cut or room
        pieces.append(text[:cut].rstrip())
        text = text[cut:].lstrip()
    pieces.append(text)
    return pieces


def _fit(text: str, limit: int) -> int:
    used = 0
    for index, character in enumerate(text):
        used += 2 if ord(character) > 0xFFFF else 1
        if used > limit:
            return index
    return len(text)


def _table_pieces(lines: list[str], limit: int) -> list[str]:
    pieces: list[str] = []
    current = ""
    for line in lines:
        line = line[: limit - 2]
        if current and utf16_length(current) + utf16_length(line) + 2 > limit:
            pieces.append(current)
            current = ""
        current = f"{current}\n{line}" if current else line
    return [*pieces, current] if current else pieces
