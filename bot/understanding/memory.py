"""What a message takes from the conversation: follow-ups, "same again", pronouns, bare answers."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from bot.handlers.context import Memory
from bot.request import OTHER_BEDS, Quantity, Request
from bot.understanding.found import Found, Sheet
from bot.understanding.inheriting import bare_number
from bot.understanding.numbers import lone_numbers
from bot.understanding.putting_right import THINGS, corrected, named_before, number_fixed, puts_right, tells_anew
from bot.understanding.quantities import like_before, typed_size
from bot.understanding.shapes import PlotNames

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander

_SLOT_KINDS = ("crop", "stranger", "variety", "group", "bed", "unknown_bed", "date", "qty", "temp", "size", "cover", "product", "material", "pest", "method", "wish")
#: How many more words may stand round a number that answers.
_WORDS_ROUND_A_NUMBER = 2
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
        self.beside, self.small = reader.lexicon.beside, set(reader.lexicon.language["small_words"])

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
        if whole == "again" and self.recording(self.last):
            return self.last.with_(text=self.sheet.text, when=None, confidence=0.95, inherited=("crops", "beds", "quantities", "method", "product"))
        residue = self.residue()
        if self.recording(self.last) and self._repeats(residue):
            return self.merged(self.last)
        if (whole in ("yes", "no") and not self.slots()) or self.asks_itself():
            return None
        return self._change(residue)

    def again(self) -> bool:
        """Tell whether the message is "same again" and nothing else: that repeats a record, and says nothing of a question."""
        return self._whole() == "again"

    def _repeats(self, residue: list[str]) -> bool:
        """Tell whether the message tells the last record over, of another day or bed: "same again yesterday", "same in bed 4"."""
        opens = next((t.word for t in self.sheet.tokens if t.kind != "mark"), "")
        kinds = {f.kind for f in self.slots()}
        return bool(kinds) and kinds <= {"date", "bed"} and opens in ("same", "ditto") and set(residue) <= {"same", "again", "ditto", "thing"}

    def asks_itself(self) -> bool:
        """Tell whether the message is a question of its own ("what's in bed 4"), and no slot for the turn before.

        "what about bed 4" and "how many?" lean on the turn before; a question word with a verb beside it does not.
        """
        if self.starts("and"):
            return False
        words = [t.word for t in self.sheet.tokens if t.kind == "word" and t.word not in self.reader.lexicon.fillers]
        sets = self.reader.lexicon.sets
        return any(a in sets["question_words"] and (b in sets["asking_verbs"] or c in sets["asking_verbs"])
                   for a, b, c in zip(words, words[1:], (*words[2:], ""), strict=False))

    def _whole(self) -> str | None:
        """Return which of the short sayings ("why", "more", "yes", "no", "again") the message is as a whole."""
        tokens = [t for t in self.sheet.tokens if t.kind != "mark"]
        for key in ("why", "more", "yes", "no", "again"):
            hit = self.reader.lexicon.follow[key].longest(tokens, 0)
            if hit:
                rest = [t.word for t in tokens[hit[0]:] if t.word not in self.reader.lexicon.fillers and t.word not in ("then", "thanks", "now", "though", "tho")]
                if not rest:
                    return key
        return None

    def slots(self) -> list[Found]:
        """Return the slots of the message in the order they stand."""
        return sorted((f for f in self.sheet.found if f.kind in _SLOT_KINDS), key=lambda f: f.start)

    def residue(self) -> list[str]:
        """Return the words that are neither slots nor small words."""
        covered = {i for f in self.sheet.found for i in range(f.start, f.end)}
        return [t.word for i, t in enumerate(self.sheet.tokens) if i not in covered and t.kind != "mark" and t.word not in self.small
                and t.word not in self.reader.lexicon.fillers]

    def recording(self, request: Request) -> bool:
        """Tell whether a request wrote something down."""
        return self.reader.intents[request.intent].kind == "record"

    def starts(self, key: str) -> bool:
        """Tell whether the message begins with one of the follow-up words under a key."""
        tokens = [t for t in self.sheet.tokens if t.kind != "mark"]
        return self.reader.lexicon.follow[key].longest(tokens, 0) is not None

    def _completed(self, whole: str | None) -> Request | None:
        """Complete the request the last reply waits for."""
        assert self.reply is not None and self.reply.waiting is not None
        waiting, wants = self.reply.waiting, self.reply.wants or ""
        whole = whole if whole in ("yes", "no") else self._leaning() if wants == "choice" else whole
        if whole in ("yes", "no"):
            return waiting.with_(flags=waiting.flags | {whole}, text=self.sheet.text)
        kinds = _WANTED.get(wants)
        if self.asks_itself():
            return None
        told = set().union(*(forms for name, forms in self.reader.lexicon.sets.items() if name.startswith("log_")))
        telling = told & set(self.residue())  # "ate one squash" tells of something else
        if kinds is None or telling:
            return None
        if wants == "quantity" and self.residue() and self.beside["answers_none"].issuperset(self.residue()):
            return waiting.with_(flags=waiting.flags | {"no"}, text=self.sheet.text)
        told_number = wants == "quantity" and self._numbers()
        if not any(f.kind in kinds for f in self.sheet.found) and told_number:
            figures, rest = told_number
            if rest > _WORDS_ROUND_A_NUMBER:
                return None
            # "five or six" is asked about again
            return self.merged(waiting, number=figures[0]) if len(figures) == 1 else waiting
        if self._residue_is_long() or not any(f.kind in kinds for f in self.sheet.found):
            return None
        return self.merged(waiting)

    def _numbers(self) -> tuple[list[float], int] | None:
        """Return the numbers that belong to no slot, as figures or words ("half a dozen"), and how many words are none of them."""
        found = lone_numbers(self.sheet, 0, len(self.sheet.tokens), self.reader.lexicon)
        numbered = {self.sheet.word(i) for start, number in found for i in range(start, number.end)}
        return ([number.value for _, number in found], len([w for w in self.residue() if w not in numbered])) if found else None

    def _leaning(self) -> str | None:
        """Return "yes" or "no" when a few words that name nothing begin with it: "no keep it", "yes go on"."""
        if self.slots() or len(self.residue()) > 2:
            return None
        return next((key for key in ("no", "yes") if self.starts(key)), None)

    def _residue_is_long(self) -> bool:
        return len(self.residue()) > 1

    def merged(self, base: Request, number: float | None = None) -> Request:
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
        if changes.get("method") == "direct" and self.reader.intents[base.intent].kind == "ask":
            changes.setdefault("cover", None)  # "and outside?" after the tunnel
            changes.setdefault("beds", ())
        if "beds" in changes or "unknown_bed" in changes:
            changes.setdefault("beds", ())
            changes.setdefault("unknown_bed", None)
        if OTHER_BEDS in fresh.flags and "beds" in kept:
            changes["beds"] = ()  # "and beetroot in the other one": in which is not told
        if number is not None:
            changes["extra"] = {**base.extra, "number": f"{number:g}"}
        return base.with_(**changes, text=self.sheet.text, confidence=0.95, inherited=tuple(kept))

    def _change(self, residue: list[str]) -> Request | None:
        """Read a follow-up or correction made of slots and small words."""
        assert self.last is not None
        named = named_before(self, residue)
        if named is not None:
            return named
        slots = self.slots()
        last = self.last.with_(flags=self.last.flags - {"done"})  # a job ticked off is not ticked again by what is said next
        if not slots and (self.recording(last) or last.extra.get("of")):
            return number_fixed(self, last, residue)
        if not slots and last.intent in self.reader.rules["counts_people"]:
            return self._for_people(last, residue)
        if last.intent in self.reader.rules["takes_form"] and residue and set(residue) <= set(self.reader.rules["forms"]):
            # "in cubes then?" after how to bottle pumpkin puree: the puree is given up, the pumpkin kept.
            return self.merged(last.with_(product=None, extra={}))
        if not slots or residue:
            return None
        kinds = {f.kind for f in slots}
        if "pest" in kinds and last.intent not in self.reader.rules["of_troubles"]:
            return None  # a trouble named is a thing of its own
        last = corrected(self, kinds) or last
        if kinds <= {"crop", "variety"} and last.intent in self.reader.rules["one_subject"]:
            last = last.with_(beds=())  # "what's in bed 3", "and the peas?": the peas, wherever they are
        if last.intent == "correct_last" and last.extra.get("of") and self.adds():
            last = last.with_(intent=last.extra["of"], extra={})  # "and another 300 g" after a slip put right: one more of what was told
        if self.recording(last):
            more = self.adds()
            # A crop with a bed or an amount of its own ("3 of beetroot", "carrots in bed 3") is another record and no correction.
            more = more or bool(kinds & {"crop", "variety"} and kinds & {"bed", "qty"})
            another = "qty" in kinds and any(t.word in ("another", "more") for t in self.sheet.tokens)
            if another or (more and not self.starts("correct") and kinds & {"crop", "variety", "group", "bed"}):
                return self._added(last, "qty" in kinds)
            asked = any(t.word == "?" for t in self.sheet.tokens)
            if (asked and not self.starts("correct")) or (kinds <= THINGS and not puts_right(self)) or tells_anew(self):
                return None  # "make chutney with them?" puts no picking right
            fixed = self.merged(last)
            if self.reply is not None and self.reply.waiting is not None:
                return fixed  # "bed 3" after "5 kg" and "what did you pick?": nothing is recorded yet that it could put right
            return fixed.with_(intent="correct_last", extra={**fixed.extra, "of": last.intent})
        if {"material", "qty"} <= kinds or (last.intent == "correct_last" and tells_anew(self)):
            return None  # "2 barrows of muck on bed 2" tells of a job, whatever was asked before
        if last.intent == "correct_last" and self.reply is not None and not (self.reply.data or self.reply.waiting):
            return None  # there was nothing to correct
        if last.intent in self.reader.rules["said_once"]:
            return None
        if self.starts("correct") and any(r.intent.startswith("log_") for r in self.memory.requests[-1:]):
            return self.merged(last).with_(intent="correct_last")
        return self.merged(last)

    def adds(self) -> bool:
        """Tell whether the message adds to what was told: "and another 300 g", "5 beetroot too"."""
        return self.starts("and") or any(t.word in self.beside["one_more"] for t in self.sheet.tokens)

    def _added(self, last: Request, counted: bool) -> Request:
        """Return another record like the last; a bare number counts in the measure of the last where that is its way."""
        added = self.merged(last)
        if not counted:
            return added.with_(quantities=())
        new, old = added.quantities[0], last.quantities[0] if last.quantities else None
        if old is not None and new.unit == "count" != old.unit and last.intent in self.reader.rules["same_measure"]:
            return added.with_(quantities=(Quantity(new.value * typed_size(self.reader.lexicon, old), old.unit, new.words),))
        amount = next((f for f in self.slots() if f.kind == "qty"), None)
        return added if amount is None else added.with_(quantities=(like_before(new, last, self.sheet, amount.end, self.reader.lexicon),))  # "and two of turnips"

    def leaning(self, intent: str, chance: float, clause: Clause) -> Request | None:
        """Return the last question asked anew of what a clause names, or the last record put right by it; None when it makes a request of its own."""
        assert self.last is not None
        if intent == self.last.intent and self.reader.intents[intent].kind == "ask" and intent not in self.reader.rules["said_once"] and clause.ranked[0][0] != intent:
            return self.merged(self.last).with_(confidence=chance, flags=self.last.flags - {"done"})
        if intent == "correct_last" and self.recording(self.last) and self.slots():
            fixed = self.merged(self.last)
            return fixed.with_(intent="correct_last", confidence=chance, extra={**fixed.extra, "of": self.last.intent})
        return None

    def _for_people(self, last: Request, residue: list[str]) -> Request | None:
        """Read "and for 2" after a question for a household."""
        number = bare_number(self.sheet, 0, len(self.sheet.tokens), self.reader)
        if number is None or [w for w in residue if not w[0].isdigit() and w not in self.reader.lexicon.numbers]:
            return None
        return last.with_(quantities=(Quantity(number, "person", self.sheet.text),), text=self.sheet.text, confidence=0.95,
                          inherited=("crops",))
