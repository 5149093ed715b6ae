"""What a message takes from the conversation: follow-ups, corrections, "same again", pronouns, bare answers."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from bot.handlers.context import Memory
from bot.request import Quantity, Request
from bot.understanding.found import Found, Sheet
from bot.understanding.numbers import read_number
from bot.understanding.shapes import PlotNames

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander

_SLOT_KINDS = ("crop", "variety", "group", "bed", "unknown_bed", "date", "qty", "temp", "size", "cover", "product", "material", "pest", "method", "wish")
_WANTED = {"crop": ("crop", "variety", "group"), "bed": ("bed", "unknown_bed"), "quantity": ("qty", "size"), "when": ("date",), "jar": ("qty", "product"),
           "size": ("size",)}


class Recall:
    """Read a message against the last turns. `answer` returns a request when the message only makes sense with them."""

    def __init__(self, reader: Understander, sheet: Sheet, names: PlotNames, memory: Memory, today: date, region: str) -> None:
        self.reader, self.sheet, self.names, self.memory = reader, sheet, names, memory
        self.today, self.region = today, region
        stale = memory.at is not None and abs((today - memory.at.date()).days) > int(reader.rules["memory_days"])
        self.last = memory.requests[-1] if memory.requests and not stale else None
        self.reply = memory.reply if not stale else None
        follow = reader.lexicon.language["small_words"]
        self.small = set(follow)

    def answer(self) -> Request | None:
        """Return the request this message stands for with the help of memory, or None."""
        words = [t for t in self.sheet.tokens if t.kind != "mark"]
        if not words:
            return None
        whole = self._whole()
        if self.reply is not None and self.reply.waiting is not None:
            done = self._completed(whole)
            if done is not None:
                return done
        if whole == "more":
            return Request("why", 1.0, self.sheet.text, flags=frozenset({"more"}), inherited=("intent",))
        if whole == "why":
            return Request("why", 1.0, self.sheet.text)
        if self.last is None:
            return None
        if whole == "again" and self._recording(self.last):
            return self.last.with_(text=self.sheet.text, when=None, confidence=0.95, inherited=("crops", "beds", "quantities", "method", "product"))
        residue = self._residue()
        if whole in ("yes", "no") and not self._slots():
            return None
        return self._change(residue)

    def _whole(self) -> str | None:
        """Return which of the short sayings ("why", "more", "yes", "no", "again") the message is as a whole."""
        tokens = [t for t in self.sheet.tokens if t.kind != "mark"]
        for key in ("why", "more", "yes", "no", "again"):
            hit = self.reader.lexicon.follow[key].longest(tokens, 0)
            if hit:
                rest = [t.word for t in tokens[hit[0]:] if t.word not in self.reader.lexicon.fillers and t.word not in ("then", "thanks", "now", "though", "tho")]
                if not rest and (key != "yes" or self.reply is None or True):
                    return key
        return None

    def _slots(self) -> list[Found]:
        return sorted((f for f in self.sheet.found if f.kind in _SLOT_KINDS), key=lambda f: f.start)

    def _residue(self) -> list[str]:
        """Return the words that are neither slots nor small words."""
        covered = {i for f in self.sheet.found for i in range(f.start, f.end)}
        return [t.word for i, t in enumerate(self.sheet.tokens) if i not in covered and t.kind != "mark" and t.word not in self.small
                and t.word not in self.reader.lexicon.fillers]

    def _recording(self, request: Request) -> bool:
        return self.reader.intents[request.intent].kind == "record"

    def _starts(self, key: str) -> bool:
        tokens = [t for t in self.sheet.tokens if t.kind != "mark"]
        return self.reader.lexicon.follow[key].longest(tokens, 0) is not None

    def _completed(self, whole: str | None) -> Request | None:
        """Complete the request the last reply waits for."""
        assert self.reply is not None and self.reply.waiting is not None
        waiting, wants = self.reply.waiting, self.reply.wants or ""
        if whole in ("yes", "no"):
            return waiting.with_(flags=waiting.flags | {whole}, text=self.sheet.text)
        kinds = _WANTED.get(wants)
        if wants == "place":
            return None if self._residue_is_long() else self.reader.place_request(self.sheet, waiting)
        if kinds is None or self._residue_is_long():
            return None
        if not any(f.kind in kinds for f in self.sheet.found):
            number = next((t for t in self.sheet.tokens if t.kind == "number"), None)
            if wants == "quantity" and number is not None:
                return self._merged(waiting, number=True)
            return None
        return self._merged(waiting)

    def _residue_is_long(self) -> bool:
        return len(self._residue()) > 1

    def _merged(self, base: Request, number: bool = False) -> Request:
        """Return `base` with this message's slots in place of its own."""
        clause = self.reader.clause(self.sheet, 0, len(self.sheet.tokens))
        fresh = self.reader.request(clause, base.intent, max(base.confidence, 0.9), self.sheet, self.names, self.today, self.region)
        changes: dict[str, Any] = {}
        kept: list[str] = []
        for name in ("crops", "beds", "quantities", "when", "temperature_c", "size_m", "method", "product", "cover", "materials", "pest", "wishes", "variety",
                     "crop_choices", "group", "unknown_crop", "unknown_bed"):
            value = getattr(fresh, name)
            if value:
                changes[name] = value
            elif getattr(base, name):
                kept.append(name)
        if "crops" in changes or "crop_choices" in changes or "unknown_crop" in changes:
            for name in ("crops", "crop_choices", "unknown_crop", "group", "variety"):
                changes.setdefault(name, () if name in ("crops", "crop_choices") else None)
        if "beds" in changes or "unknown_bed" in changes:
            changes.setdefault("beds", ())
            changes.setdefault("unknown_bed", None)
        if number:
            changes["extra"] = {**base.extra, "number": next(t.word for t in self.sheet.tokens if t.kind == "number")}
        return base.with_(**changes, text=self.sheet.text, confidence=0.95, inherited=tuple(kept))

    def _change(self, residue: list[str]) -> Request | None:
        """Read a follow-up or correction made of slots and small words."""
        assert self.last is not None
        slots = self._slots()
        last = self.last
        if not slots and self._recording(last):
            return self._number_fixed(last, residue)
        if not slots or residue:
            return None
        kinds = {f.kind for f in slots}
        if self._recording(last):
            more = self._starts("and") or any(t.word in ("too", "also", "well", "another", "more") for t in self.sheet.tokens)
            if more and not self._starts("correct") and kinds & {"crop", "variety", "group", "bed"}:
                return self._merged(last).with_(quantities=self._merged(last).quantities if "qty" in kinds else ())
            if kinds == {"crop"} and any(t.word == "?" for t in self.sheet.tokens):
                return None
            fixed = self._merged(last)
            return fixed.with_(intent="correct_last", extra={**fixed.extra, "of": last.intent})
        if last.intent in ("undo", "delete_data", "help", "thanks", "greeting"):
            return None
        if self._starts("correct") and any(r.intent.startswith("log_") for r in self.memory.requests[-1:]):
            return self._merged(last).with_(intent="correct_last")
        return self._merged(last)


    def _number_fixed(self, last: Request, residue: list[str]) -> Request | None:
        """Read "I meant 30" or "not 5, six" after a record as its amount corrected."""
        number, i = None, 0
        while i < len(self.sheet.tokens):
            found = read_number(self.sheet, i, self.reader.lexicon)
            if found is not None and not found.article:
                number, i = found, found.end
            else:
                i += 1
        numeric = set(self.reader.lexicon.numbers) | {"fourteen", "fifteen", "twenty", "thirty", "forty", "fifty", "hundred"}
        if number is None or [w for w in residue if w not in numeric and not w[0].isdigit()]:
            return None
        old = last.quantities[0] if last.quantities else None
        amount = Quantity(number.value, "count", self.sheet.text)
        if old is not None and old.unit not in ("count",):
            said = Quantity(number.value * (_size_of(self.reader, old)), old.unit, self.sheet.text)
            amount = said
        return last.with_(intent="correct_last", quantities=(amount,), text=self.sheet.text, confidence=0.95, extra={**last.extra, "of": last.intent},
                          inherited=("crops", "beds"))


def _size_of(reader: Understander, quantity: Quantity) -> float:
    """Return the size of the unit a quantity was typed in, so that "not 5, six" keeps its unit."""
    for word in reversed(quantity.words.lower().replace(".", " ").split()):
        unit = reader.lexicon.units.get(word.strip("0123456789,"))
        if unit is not None and unit.unit == quantity.unit:
            return unit.size
    return 1.0


def inherit(reader: Understander, request: Request, clause: Clause, sheet: Sheet, earlier: list[Request], memory: Memory, today: date) -> Request:
    """Give a request the crop, bed or product that "it", "them" or "there" stands for, from this message or the last turns."""
    if request.intent in reader.rules["stand_alone"]:
        return request
    words = {sheet.word(i) for i in range(clause.start, clause.end)}
    pointers = reader.lexicon.language["pointers"]
    stale = memory.at is not None and abs((today - memory.at.date()).days) > int(reader.rules["memory_days"])
    before = [*earlier, *([] if stale else list(memory.requests)[::-1])] if not earlier else [*earlier[::-1]]
    changes: dict[str, Any] = {}
    taken: list[str] = []
    bare = not (request.crops or request.crop_choices or request.unknown_crop or request.group)
    points = bool(words & set(pointers["crop"]))
    if bare and reader.crop_share[request.intent] >= 0.45 and (points or earlier or reader.crop_share[request.intent] > 0.7 or len(clause.words) <= 5):
        source = next((r for r in before if r.crops or r.crop_choices or r.unknown_crop), None)
        if source is not None:
            changes.update(crops=source.crops, crop_choices=source.crop_choices, unknown_crop=source.unknown_crop, group=source.group)
            taken.append("crops")
    lacks_bed = not request.beds and not request.unknown_bed
    if lacks_bed and ("there" in words or (request.intent in reader.rules["takes_bed"] and bare and (earlier or len(clause.words) <= 6))):
        source = next((r for r in before if r.beds), None)
        if source is not None:
            changes["beds"] = source.beds
            taken.append("beds")
    return request.with_(**changes, inherited=tuple(taken)) if changes else request
