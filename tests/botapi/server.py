"""Serve the part of the Bot API that the Telegram channel uses.

Behaviour follows the public Bot API reference (core.telegram.org/bots/api): updates are confirmed by a higher
offset; text at most 4096 and captions at most 1024 UTF-16 units after entities; callback data 1-64 bytes; only
the documented HTML tags. Faults are queued per method with `fail`, and each is used once.
"""

from __future__ import annotations

import asyncio
import html.parser
import json
import time
from collections import defaultdict, deque
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from aiohttp import web

TAGS = {"b", "strong", "i", "em", "u", "ins", "s", "strike", "del", "tg-spoiler", "a", "code", "pre", "blockquote"}
TOKEN = "123456:TEST-token_of_the_local_server_AAAAAAAAAA"


class _Html(html.parser.HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.text: list[str] = []
        self.fault: str | None = None

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        if tag not in TAGS:
            self.fault = self.fault or f'Unsupported start tag "{tag}"'
        self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.fault = self.fault or f'Unmatched end tag "{tag}"'

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def visible(text: str) -> tuple[str, str | None]:
    """Return the text left after entities, and what is wrong with the markup (None when sound)."""
    parser = _Html()
    parser.feed(text)
    parser.close()
    fault = parser.fault or (f'Can\'t find end tag for "{parser.open[-1]}"' if parser.open else None)
    return "".join(parser.text), fault


def utf16(text: str) -> int:
    """Count UTF-16 code units, as the Bot API does."""
    return len(text.encode("utf-16-le")) // 2


@dataclass
class Fault:
    """A planned failure: an HTTP status with retry_after, or a connection dropped before or after acting."""

    status: int = 500
    description: str = "Internal Server Error"
    parameters: dict[str, Any] = field(default_factory=dict)
    drop: str | None = None  # "before" | "after"
    stall_s: float = 0.0  # act, then answer this late


class BotApi:
    """The server's state: pending updates, what was sent, planned faults."""

    def __init__(self) -> None:
        self.updates: list[dict[str, Any]] = []
        self.next_update = 1000
        self.sent: list[dict[str, Any]] = []
        self.calls: list[tuple[str, dict[str, Any]]] = []
        self.faults: dict[str, deque[Fault]] = defaultdict(deque)
        self.webhook = ""
        self.commands: list[dict[str, str]] = []
        self.confirmed = 0
        self._arrived = asyncio.Event()
        self._next_message = 1
        self._runner: web.AppRunner | None = None
        self.url = ""

    async def start(self) -> BotApi:
        """Listen on a free loopback port; `url` is the base for RIDDLE_TELEGRAM_API."""
        app = web.Application(client_max_size=64 * 1024 * 1024)
        app.router.add_route("*", "/bot{token}/{method}", self._call)
        app.router.add_get("/file/bot{token}/{path:.*}", self._file)
        self._runner = web.AppRunner(app)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", 0)
        await site.start()
        port = site._server.sockets[0].getsockname()[1]  # type: ignore[union-attr]
        self.url = f"http://127.0.0.1:{port}"
        return self

    async def stop(self) -> None:
        """Stop listening."""
        if self._runner:
            await self._runner.cleanup()

    def fail(self, method: str, *faults: Fault) -> None:
        """Plan faults for the next calls of a method."""
        self.faults[method].extend(faults)

    # --- what a person does -------------------------------------------------------------------------------------

    def push(self, update: dict[str, Any]) -> int:
        """Queue an update; return its id."""
        update = {"update_id": update.get("update_id", self.next_update), **update}
        self.next_update = max(self.next_update, update["update_id"]) + 1
        self.updates.append(update)
        self._arrived.set()
        return int(update["update_id"])

    def message(self, chat: int = 7, *, user: int | None = None, kind: str = "private", date: int | None = None,
                **content: Any) -> int:
        """Queue a message with any content fields (text=…, location=…, photo=…, voice=…)."""
        return self.push({"message": self.body(chat, user=user, kind=kind, date=date, **content)})

    def body(self, chat: int = 7, *, user: int | None = None, kind: str = "private", date: int | None = None,
             **content: Any) -> dict[str, Any]:
        """Build a message object."""
        self._next_message += 1
        who = user if user is not None else abs(chat)
        text = content.get("text", "")
        if text.startswith("/"):
            content.setdefault("entities", [{"type": "bot_command", "offset": 0, "length": len(text.split()[0])}])
        chat_object: dict[str, Any] = {"id": chat, "type": kind}
        if kind != "private":
            chat_object["title"] = "A plot"
        return {"message_id": self._next_message, "date": date or int(time.time()), "chat": chat_object,
                "from": {"id": who, "is_bot": False, "first_name": f"Person {who}"}, **content}

    def press(self, data: str, chat: int = 7, user: int | None = None) -> int:
        """Queue a press of an inline button."""
        who = user if user is not None else abs(chat)
        return self.push({"callback_query": {
            "id": str(self.next_update), "chat_instance": "1", "data": data,
            "from": {"id": who, "is_bot": False, "first_name": f"Person {who}"},
            "message": self.body(chat, user=99, text="buttons")}})

    def texts(self, chat: int = 7) -> list[str]:
        """Return the visible text of everything sent to a chat, in order."""
        return [m["_visible"] for m in self.sent if m["chat"]["id"] == chat]

    def buttons(self, chat: int = 7) -> list[tuple[str, str]]:
        """Return (label, data) of the newest message with buttons."""
        for message in reversed(self.sent):
            if message["chat"]["id"] == chat and message.get("reply_markup", {}).get("inline_keyboard"):
                rows = message["reply_markup"]["inline_keyboard"]
                return [(b["text"], b["callback_data"]) for row in rows for b in row]
        return []

    async def wait_sent(self, count: int, chat: int = 7, seconds: float = 15.0) -> list[str]:
        """Wait until at least `count` messages went to a chat. Raises TimeoutError."""
        async with asyncio.timeout(seconds):
            while len(self.texts(chat)) < count:
                await asyncio.sleep(0.02)
        return self.texts(chat)

    # --- the wire -----------------------------------------------------------------------------------------------

    async def _call(self, request: web.Request) -> web.StreamResponse:
        if request.match_info["token"] != TOKEN:
            return _error(401, "Unauthorized")
        method = request.match_info["method"]
        data = await _parameters(request)
        self.calls.append((method, data))
        fault = self.faults[method].popleft() if self.faults[method] else None
        if fault and not fault.stall_s and fault.drop != "after":
            if fault.drop == "before":
                return _drop(request)
            return _error(fault.status, fault.description, fault.parameters)
        handler = getattr(self, f"_{_snake(method)}", None)
        if handler is None:
            return _error(404, "Not Found")
        try:
            result = await handler(data)
        except Refused as refusal:
            return _error(refusal.status, str(refusal))
        if fault and fault.drop == "after":
            return _drop(request)
        if fault and fault.stall_s:
            await asyncio.sleep(fault.stall_s)
        return web.json_response({"ok": True, "result": result})

    async def _file(self, request: web.Request) -> web.Response:
        return web.Response(body=b"\xff\xd8 picture bytes")

    async def _get_me(self, data: dict[str, Any]) -> Any:
        return {"id": 99, "is_bot": True, "first_name": "Riddle", "username": "riddle_test_bot",
                "can_join_groups": True, "can_read_all_group_messages": False, "supports_inline_queries": False}

    async def _get_webhook_info(self, data: dict[str, Any]) -> Any:
        return {"url": self.webhook, "has_custom_certificate": False, "pending_update_count": len(self.updates)}

    async def _delete_webhook(self, data: dict[str, Any]) -> Any:
        self.webhook = ""
        return True

    async def _set_my_commands(self, data: dict[str, Any]) -> Any:
        self.commands = data["commands"]
        if len(self.commands) > 100:
            raise Refused("BOT_COMMANDS_TOO_MUCH")
        return True

    async def _get_updates(self, data: dict[str, Any]) -> Any:
        if self.webhook:
            raise Refused("Conflict: can't use getUpdates method while webhook is active", 409)
        offset = int(data.get("offset") or 0)
        self.confirmed = max(self.confirmed, offset)
        self.updates = [u for u in self.updates if u["update_id"] >= offset]
        deadline = time.monotonic() + float(data.get("timeout") or 0)
        while not self.updates and time.monotonic() < deadline:
            self._arrived.clear()
            with suppress(TimeoutError):
                async with asyncio.timeout(max(0.01, deadline - time.monotonic())):
                    await self._arrived.wait()
        return self.updates[: int(data.get("limit") or 100)]

    async def _send_message(self, data: dict[str, Any]) -> Any:
        return self._deliver(data, "text", 4096)

    async def _send_photo(self, data: dict[str, Any]) -> Any:
        if not data.get("photo"):
            raise Refused("Bad Request: there is no photo in the request")
        return self._deliver(data, "caption", 1024, photo=[_photo_size()])

    async def _send_document(self, data: dict[str, Any]) -> Any:
        return self._deliver(data, "caption", 1024,
                             document={"file_id": "d", "file_unique_id": "d", "file_name": "export"})

    async def _answer_callback_query(self, data: dict[str, Any]) -> Any:
        return True

    async def _send_chat_action(self, data: dict[str, Any]) -> Any:
        return True

    async def _get_file(self, data: dict[str, Any]) -> Any:
        return {"file_id": data["file_id"], "file_unique_id": "u", "file_path": "photos/file_1.jpg", "file_size": 20}

    def _deliver(self, data: dict[str, Any], field_name: str, limit: int, **extra: Any) -> dict[str, Any]:
        text = data.get(field_name) or ""
        shown, fault = visible(text) if data.get("parse_mode") == "HTML" else (text, None)
        if fault:
            raise Refused(f"Bad Request: can't parse entities: {fault}")
        if field_name == "text" and not shown.strip():
            raise Refused("Bad Request: message text is empty")
        if utf16(shown) > limit:
            raise Refused("Bad Request: message is too long" if field_name == "text" else
                          "Bad Request: message caption is too long")
        markup = data.get("reply_markup") or {}
        for row in markup.get("inline_keyboard", []):
            for button in row:
                if not 1 <= len(button.get("callback_data", "").encode()) <= 64:
                    raise Refused("Bad Request: BUTTON_DATA_INVALID")
        self._next_message += 1
        message = {"message_id": self._next_message, "date": int(time.time()),
                   "chat": {"id": int(data["chat_id"]), "type": "private"},
                   "from": {"id": 99, "is_bot": True, "first_name": "Riddle"}, field_name: shown, **extra}
        self.sent.append({**message, "_visible": shown, "_raw": text, "reply_markup": markup})
        return message


class Refused(Exception):
    """A call the Bot API would refuse."""

    def __init__(self, description: str, status: int = 400) -> None:
        super().__init__(description)
        self.status = status


async def _parameters(request: web.Request) -> dict[str, Any]:
    if request.content_type == "application/json":
        return dict(await request.json())
    values: dict[str, Any] = {}
    form = await request.post()
    for key, value in form.items():
        if isinstance(value, web.FileField):
            values[key] = value.file.read()
            continue
        try:
            values[key] = json.loads(value) if key in JSON_FIELDS else value
        except ValueError:
            values[key] = value
    return values


JSON_FIELDS = {"reply_markup", "commands", "allowed_updates", "entities", "link_preview_options"}


def _snake(method: str) -> str:
    return "".join(f"_{c.lower()}" if c.isupper() else c for c in method)


def _error(status: int, description: str, parameters: dict[str, Any] | None = None) -> web.Response:
    body: dict[str, Any] = {"ok": False, "error_code": status, "description": description}
    if parameters:
        body["parameters"] = parameters
    return web.json_response(body, status=status)


def _drop(request: web.Request) -> web.StreamResponse:
    if request.transport:
        request.transport.abort()
    return web.Response()


def _photo_size() -> dict[str, Any]:
    return {"file_id": "p", "file_unique_id": "p", "width": 10, "height": 10}
