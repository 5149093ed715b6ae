"""The phrase templates of each intent, and how they are spread out and slotted."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from pydantic import Field

from bot.facts.base import Shape
from bot.facts.cache import Cache
from bot.facts.errors import Fault, KnowledgeError
from bot.facts.loading import read_yaml

Kind = Literal["ask", "record", "set", "talk"]
#: Slots a template may hold.
SLOTS = frozenset({"crop", "group", "bed", "qty", "date", "temp", "size", "pest", "material", "cover", "product",
                   "wish", "variety", "name", "term", "spot", "time", "num"})
_CHOICE = re.compile(r"\(([^()]*)\)|\[([^\[\]]*)\]")
_SLOT = re.compile(r"\{(\w+)\}")
#: At most this many of the spread forms of one template are learned from.
_MOST = 6


class Intent(Shape):
    """One phrase file. `label` names the intent on a button, `says` is what choosing it says."""

    intent: str
    kind: Kind
    label: str
    says: str
    source: list[str] = Field(min_length=1)
    phrases: list[str] = Field(min_length=5)


class Voices(Shape):
    """More phrases of an intent, by another hand."""

    intent: str
    source: list[str] = Field(min_length=1)
    phrases: list[str] = Field(min_length=1)


@dataclass(frozen=True, slots=True)
class Template:
    """One spread form of a phrase: plain words with slots as `<crop>`."""

    intent: str
    text: str


def load_intents(root: Path, cache: Cache | None = None) -> dict[str, Intent]:
    """Read every phrase file. Raises KnowledgeError naming the file of each fault."""
    found: dict[str, Intent] = {}
    faults: list[Fault] = []
    for path in sorted((root / "phrases" / "intents").glob("*.yaml")):
        name = path.relative_to(root).as_posix()
        try:
            intent = Intent.model_validate(read_yaml(path, root))
        except ValueError as error:
            faults.append(Fault(name, 0, "", str(error).splitlines()[0]))
            continue
        if intent.intent != path.stem:
            faults.append(Fault(name, 1, "intent", f"is {intent.intent!r} but the file is {path.stem!r}"))
        for voices in sorted((root / "phrases").glob(f"voices*/{path.name}")):
            intent = intent.model_copy(update={"phrases": [*intent.phrases, *_voices(voices, root).phrases]})
        for phrase in intent.phrases:
            for slot in _SLOT.findall(phrase):
                if slot not in SLOTS:
                    faults.append(Fault(name, 0, phrase, f"names the slot {{{slot}}}, which is none"))
        found[intent.intent] = intent
    if faults:
        raise KnowledgeError(faults)
    return found


def _voices(path: Path, root: Path) -> Voices:
    """Read more ways of saying an intent, kept apart by the hand that wrote them. Raises KnowledgeError."""
    try:
        voices = Voices.model_validate(read_yaml(path, root))
    except ValueError as error:
        raise KnowledgeError([Fault(path.relative_to(root).as_posix(), 0, "", str(error).splitlines()[0])]) from None
    if voices.intent != path.stem:
        raise KnowledgeError([Fault(path.relative_to(root).as_posix(), 1, "intent",
                                    f"is {voices.intent!r} but the file is {path.stem!r}")])
    return voices


def templates(intents: dict[str, Intent]) -> list[Template]:
    """Spread every phrase of every intent, in file order."""
    return [Template(intent.intent, text) for intent in intents.values() for phrase in intent.phrases
            for text in spread(phrase)]


def spread(phrase: str) -> list[str]:
    """Spread alternatives and optional parts, evenly thinned to a few; slots become `<slot>`.

    >>> spread("(sow|plant) {crop} [now]")
    ['sow <crop> now', 'sow <crop>', 'plant <crop> now', 'plant <crop>']
    """
    forms = [_SLOT.sub(r"<\1>", phrase)]
    while any(_CHOICE.search(form) for form in forms):
        grown: list[str] = []
        for form in forms:
            match = _CHOICE.search(form)
            if match is None:
                grown.append(form)
                continue
            options = match.group(1).split("|") if match.group(1) is not None else [*match.group(2).split("|"), ""]
            grown += [f"{form[:match.start()]}{option}{form[match.end():]}" for option in options]
        forms = grown
    forms = [" ".join(form.split()) for form in forms]
    if len(forms) > _MOST:
        step = len(forms) / _MOST
        forms = [forms[int(k * step)] for k in range(_MOST)]
    return list(dict.fromkeys(forms))
