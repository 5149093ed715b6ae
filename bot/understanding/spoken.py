"""Whole messages as people send them, cut by hand into the things they say: what reading and cutting are learned from."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import Field

from bot.facts.base import Shape
from bot.facts.errors import Fault, KnowledgeError
from bot.facts.loading import read_yaml
from bot.understanding.cutting import opening
from bot.understanding.found import Sheet
from bot.understanding.shapes import PlotNames
from bot.understanding.text import clean

if TYPE_CHECKING:
    from bot.understanding.marking import Marker

#: Bed names that messages are read with while learning from them.
USUAL_BEDS: dict[str, tuple[str, ...]] = {
    **{f"bed-{n}": (f"Bed {n}",) for n in range(1, 10)},
    "top": ("Top bed",), "middle": ("Middle bed",), "bottom": ("Bottom bed",), "shady": ("Shady bed",), "long": ("Long bed",), "raised": ("Raised bed",),
    "wall": ("Wall bed", "fruit bed"), "arch": ("Arch bed", "bean arch"), "new": ("New bed",),
    "tunnel": ("Tunnel", "polytunnel", "hoop house"), "greenhouse": ("Greenhouse", "glasshouse"), "frame": ("Cold frame", "frame"),
}


Said = dict[str, str] | list[dict[str, str]]


class Exchange(Shape):
    """Two messages of one person: what is said next may lean on what was said before."""

    after: Said
    then: Said


class Spoken(Shape):
    """One file of messages by one hand. A message is {intent: text}, or a list of those whose texts follow each other; or two, one after the other."""

    source: list[str] = Field(min_length=1)
    messages: list[Exchange | Said] = Field(min_length=1)


class Hurtful(Shape):
    """One file of messages by one hand in which something can hurt: each names the answer it needs, as "alarm:poison", or "safe"."""

    source: list[str] = Field(min_length=1)
    messages: list[dict[str, str]] = Field(min_length=1)


@dataclass(frozen=True, slots=True)
class Message:
    """One message: (intent, text) of each of its parts, in order, the texts in plain characters; `after` is the part said last before it."""

    hand: str
    parts: tuple[tuple[str, str], ...]
    after: tuple[str, str] | None = None

    @property
    def leans(self) -> bool:
        """Tell whether it goes on with what was said before, so that its words alone may tell little."""
        return self.after is not None and self.parts[0][0] == self.after[0]

    @property
    def text(self) -> str:
        """Return the whole message."""
        return " ".join(text for _, text in self.parts)

    def starts(self) -> list[int]:
        """Return where each part but the first begins in the text, in characters."""
        found, at = [], 0
        for _, text in self.parts[:-1]:
            at += len(text) + 1
            found.append(at)
        return found


def load_spoken(root: Path, intents: Collection[str]) -> list[Message]:
    """Read every message, in file order. Raises KnowledgeError naming each message of an intent there is not, and each empty one."""
    found: list[Message] = []
    faults: list[Fault] = []
    for path in sorted((root / "phrases" / "spoken").glob("*.yaml")):
        name = path.relative_to(root).as_posix()
        try:
            spoken = Spoken.model_validate(read_yaml(path, root))
        except ValueError as error:
            faults.append(Fault(name, 0, "", str(error).splitlines()[0]))
            continue
        for n, said in enumerate(spoken.messages):
            before = None
            for each in (said.after, said.then) if isinstance(said, Exchange) else (said,):
                parts = [(intent, clean(text)) for row in (each if isinstance(each, list) else [each]) for intent, text in row.items()]
                faults += [Fault(name, 0, f"messages.{n}", f"names the intent {intent!r}, which is none") for intent, _ in parts if intent not in intents]
                faults += [Fault(name, 0, f"messages.{n}", "says nothing") for _, text in parts if not text]
                found.append(Message(path.stem, tuple(parts), before))
                before = parts[-1]
    if faults:
        raise KnowledgeError(faults)
    return found


def load_dangers(root: Path) -> list[tuple[str, str]]:
    """Read every message in which something can hurt, as (the answer it needs, text), in file order."""
    return [(name, text) for path in sorted((root / "dangers").glob("*.yaml"))
            for row in Hurtful.model_validate(read_yaml(path, root)).messages for name, text in row.items()]


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a message as a clause of it is read: its slotted words, the words beside them, and whether it ends in a question mark."""

    intent: str
    words: list[str]
    extra: list[str]
    mark: bool


@dataclass(frozen=True, slots=True)
class Lesson:
    """A message as it is read: its sheet, the tokens its later parts begin at, its parts, and stretches of it that say several things."""

    message: Message
    sheet: Sheet
    cuts: tuple[int, ...]
    parts: tuple[Part, ...]
    joined: tuple[Part, ...]


def lessons(messages: list[Message], marker: Marker) -> list[Lesson]:
    """Mark every message and slot its parts as the parts of a message are when it is read."""
    names, found = PlotNames(beds=USUAL_BEDS), []
    for message in messages:
        sheet, _ = marker.sheet(message.text, names, "US" if message.hand == "us" else "GB")
        cuts = [next((i for i, t in enumerate(sheet.tokens) if t.start >= at), len(sheet.tokens)) for at in message.starts()]
        bounds, intents = [0, *cuts, len(sheet.tokens)], [intent for intent, _ in message.parts]

        def part(first: int, last: int, intent: str, sheet: Sheet = sheet, bounds: list[int] = bounds) -> Part:
            start, end = bounds[first], bounds[last]
            return Part(intent, *marker.slotted(sheet, opening(sheet, start, end), end))

        size = len(intents)
        joined = [part(a, b, "") for a in range(size) for b in range(a + 2, size + 1) if len(set(intents[a:b])) > 1]
        found.append(Lesson(message, sheet, tuple(cuts), tuple(part(n, n + 1, intent) for n, intent in enumerate(intents)), tuple(joined)))
    return found
