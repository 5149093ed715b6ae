"""Read a message: the whole way from text to requests."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np

from bot.handlers.context import Memory
from bot.request import Request, When
from bot.understanding import glance as looking
from bot.understanding import ways as cutting
from bot.understanding.crop_names import Sense
from bot.understanding.dates import resolve
from bot.understanding.features import among, asks, features
from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Trie
from bot.understanding.marking import Marker
from bot.understanding.measures import lone_count
from bot.understanding.phrases import load_intents, templates
from bot.understanding.quantities import tells_a_size
from bot.understanding.school import Manner, school_of
from bot.understanding.shapes import PlotNames, Reading
from bot.understanding.slots import (
    add_special,
    beside_it,
    cleared_for,
    names_a_dish,
    names_a_place,
    next_to,
    not_there,
    one_of,
    only_compares,
)
from bot.understanding.sureness import signs, sure
from bot.understanding.weighing import read_scales

if TYPE_CHECKING:
    from bot.facts import Facts

#: Words of a clause that are weighed; more tell no more.
_MOST = 96


@dataclass(slots=True)
class Clause:
    """One clause with its slotted words and the scores of its intents."""

    start: int
    end: int
    words: list[str]
    extra: list[str]
    asks: bool
    own: dict[str, float]  # its features alone
    found: dict[str, float]  # and among the clauses of its message
    ranked: list[tuple[str, float]]
    likeness: float = 1.0
    sure: float = 1.0  # the chance that the first of `ranked` is right
    apart: float = 0.0  # the chance that this is none of the garden's business
    glanced: tuple[float, float] | None = None  # the chances a glance alone gives the first of `ranked`, and that this is none of the garden's


def _left_behind(sheet: Sheet, bed: Found) -> bool:
    """Tell whether a bed is where plants came from: "from the frame into bed 3", "out of the frame"."""
    return any(sheet.word(bed.start - n) == "from" or (sheet.word(bed.start - n) == "of" and sheet.word(bed.start - n - 1) == "out") for n in (1, 2))


def _its_age(sheet: Sheet, day: Found) -> bool:
    """Tell whether a year is the age of what is named after it: "500 g of last year's frozen raspberries"."""
    follows = sheet.at(day.end, "crop", "variety", "product") or sheet.at(day.end + 1, "crop")
    return sheet.word(day.end - 1) in ("year", "years") and sheet.tokens[day.end - 1].raw.endswith("s") and follows is not None


class Understander:
    """Read messages. Built once from the facts; `read` has no state of its own."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.marker = Marker(facts)
        self.lexicon, self.sheet, self.slotted = self.marker.lexicon, self.marker.sheet, self.marker.slotted
        self.crops, self.terms = self.marker.crops, self.marker.terms
        self.rules = self.lexicon.rules
        self.heads = Trie()
        for name, forms in self.rules["heads"].items():
            for form in forms:
                self.heads.add(form, name)
        self.school = school_of(facts, self.marker)
        self.marker.know(self.school.words, self.school.domain, self.school.foreign)
        self.model = self.school.model
        self.glance = looking.load(facts.root / "phrases" / looking.SHIPPED, self.model.intents)
        self.scales = read_scales(facts.root)
        self.ways = cutting.load(facts.root / "phrases" / cutting.SHIPPED, self.model.intents)
        self.intents: dict[str, Manner] = self.school.intents
        self.crop_share = {name: manner.crop_share for name, manner in self.intents.items()}

    def phrases(self) -> list[str]:
        """Return the phrase templates, slots as words, for measuring against."""
        return [t.text for t in templates(load_intents(self.facts.root))]

    # ------------------------------------------------------------------ reading

    def read(self, text: str, names: PlotNames, memory: Memory, today: date, place_region: str = "GB") -> Reading:
        """Understand one message of a person's conversation."""
        from bot.understanding.talk import converse

        return converse(self, text, names, memory, today, place_region)

    def clause(self, sheet: Sheet, start: int, end: int, near: bool = True, before: Clause | None = None, after: Clause | None = None) -> Clause:
        """Score one clause between those before and after it in its message.

        Without a look at the nearest phrases, which takes most of the time, when many are compared.
        """
        words, extra, mark = self.slotted(sheet, start, min(end, start + _MOST))
        question = asks(words, self.lexicon, mark)
        own = features(words, extra, self.lexicon, question)
        found = among(own, (before.ranked[0][0], before.own) if before else None, after.own if after else None)
        at, values, strange = self.model.seen(found)
        mix, likeness = self.rules["mix"], 0.0
        scores = self.model.odds(at, values) * float(mix["network"])
        seen = self.look(sheet)
        at_a_glance = seen.odds(start, end) if seen is not None else None
        if at_a_glance is not None:
            scores = scores + float(mix["glance"]) * at_a_glance
        if near:
            share, likeness = self.model.nearest(at, values, strange)
            scores += float(mix["nearest"]) * np.log(share + float(mix["floor"]))
        self._gate(scores, words, question)
        scores = scores - scores.max()
        chance = np.exp(scores)
        chance /= chance.sum()
        best = np.argsort(-chance)[:6]
        ranked = [(self.model.intents[i], float(chance[i])) for i in best]
        glanced = None if at_a_glance is None else (float(np.exp(at_a_glance[best[0]])), float(np.exp(at_a_glance[self.model.intents.index("none")])))
        return Clause(start, end, words, extra, question, own, found, ranked, likeness, glanced=glanced)

    def look(self, sheet: Sheet) -> looking.Seen | None:
        """Return what a glance at a message sees, looked at once; None when none was learned."""
        if sheet.seen is None and self.glance is not None:
            sheet.seen = self.glance.look(sheet)
        return sheet.seen

    def hurts(self, sheet: Sheet) -> tuple[str, float, float]:
        """Return the answer that the likeliest danger in a message needs, the chance that something in it can hurt, and that it is this; "" where either is too small."""
        seen = self.look(sheet)
        if seen is None or not seen.tokens:
            return "", 0.0, 0.0
        told, rule = seen.hurts(), self.rules["hurts"]
        chance = 1.0 - dict(told)[looking.SAFE]
        name, own = next(each for each in told if each[0] != looking.SAFE)
        heard = chance >= float(rule["chance"]) and own >= float(rule["this"])
        return name if heard else "", chance, own

    def weighed(self, clause: Clause) -> Clause:
        """Return a clause with how sure its reading is."""
        name = clause.ranked[0][0]
        found = signs(clause, self.intents[name].kind if name != "none" else "none", self.lexicon)
        return replace(clause, sure=sure(found, self.scales["right"]), apart=sure(found, self.scales["apart"]))

    def _gate(self, scores: Any, words: list[str], question: bool) -> None:
        """Make records unlikely for questions, and looking ahead unlikely for questions of the past."""
        penalty = float(self.rules["question_penalty"])
        if self._of_the_past(words):
            for i, name in enumerate(self.model.intents):
                if name in self.rules["looks_ahead"]:
                    scores[i] -= penalty
        if question:
            for i, name in enumerate(self.model.intents):
                if self.intents[name].kind == "record":
                    scores[i] -= penalty

    def _of_the_past(self, words: list[str]) -> bool:
        """Tell whether a question asks what was: "when did I sow", "when were they lifted"."""
        kept = [w for w in words if w not in self.lexicon.fillers]
        return any(a in ("when", "how", "what") and b in self.rules["past_verbs"] for a, b in zip(kept, kept[1:], strict=False))

    # ------------------------------------------------------------------ requests

    def request(self, clause: Clause, intent: str, confidence: float, sheet: Sheet, names: PlotNames, today: date, region: str) -> Request:
        """Fill a request's slots from its clause."""
        inside = [f for f in sheet.found if clause.start <= f.start < clause.end]
        past = self.intents[intent].kind == "record" or intent in self.rules["looks_back"]
        if intent in self.rules["asked_of_a_sowing"]:
            # "planted on 20 March, when can I dig them": the last such day, not the next.
            said = {sheet.word(i) for i in range(clause.start, clause.end)}
            past = past or bool(said & set(self.rules["begun"]) and not said & {"if", "would"})
        if self.intents[intent].kind == "set" or intent in ("none",):
            past = False
        when: When | None = None
        for found in inside:
            if found.kind == "date" and not (self.intents[intent].kind == "record" and _its_age(sheet, found)):
                when = resolve(found, sheet, today, past)
                break
        beds = tuple(dict.fromkeys(f.value for f in sorted(inside, key=lambda f: f.start) if f.kind == "bed"))
        if intent == "log_plant_out" and len(beds) > 1:
            beds = tuple(f.value for f in inside if f.kind == "bed" and not _left_behind(sheet, f)) or beds
        if intent in ("log_sow", "log_plant_out", "log_harvest"):  # "sowed lettuce beside the tunnel": not in it
            beds = tuple(bed for bed in beds if not all(next_to(sheet, f, self.lexicon) for f in inside if f.kind == "bed" and f.value == bed))
            taken = tuple(bed for bed in beds if not all(not_there(sheet, f, self.lexicon) for f in inside if f.kind == "bed" and f.value == bed))
            beds = taken or beds  # "in the frame, for bed 2 later on": in the frame
        if not beds:
            beds = self._bed_of_its_crop(sheet, inside, names, intent)
        crops: list[str] = []
        choices: tuple[str, ...] = ()
        group = None
        many = sum(f.kind == "crop" for f in inside)
        record = self.intents[intent].kind == "record"
        told = [f for f in inside if f.kind == "crop" and not only_compares(sheet, f)] or inside
        for found in sorted(inside, key=lambda f: f.start):  # a name with a slip is found last, wherever it stands
            if record and many > 1 and found.kind == "crop" and beside_it(sheet, found, self.lexicon):
                continue
            if found.kind == "crop" and intent in self.rules["of_the_ground"] and (names_a_dish(sheet, found, self.lexicon) or (intent == "log_clear" and cleared_for(sheet, found))):
                continue
            if not record and intent != "companion" and many > 1 and found.kind == "crop" and found not in told:
                continue
            if found.kind == "crop":
                sense: Sense = found.value
                settled = self._settle(sense, beds, names, intent)
                if settled is None and many > 1 and self.intents[intent].kind == "ask":
                    settled = sense.crop  # one of several asked about at once is not worth a question back
                if settled:
                    crops.append(settled)
                else:
                    choices = tuple(dict.fromkeys((*choices, sense.crop, *sense.others)))
            elif found.kind == "variety" and found.value:
                crops.append(found.value)
            elif found.kind == "group":
                group = found.value.group
        if group and not crops and not choices:
            members = next((f.value.members for f in inside if f.kind == "group"), ())
            there = [m for m in members if m in names.standing]
            # A record is of crops that are there, and never of every crop a word like "roots" could mean.
            if self.intents[intent].kind != "record":
                crops = list(members)
            elif intent in self.rules["of_a_group"]:
                crops = there
            else:
                choices = tuple(there or members)
        if not crops and not choices and intent in ("pest", "log_pest_seen", "companion", "blight_risk"):
            crops += self._sufferers(sheet, inside)
        kept = sorted((f for f in inside if f.kind == "product"), key=lambda f: f.value not in self.lexicon.made_of)
        made = kept[0] if kept else None  # "canned 7 pints of salsa": the salsa
        product = made.value if made else None
        if made and not crops and not choices and intent in self.rules["made_of"]:
            named = self.lexicon.named_in.get(" ".join(sheet.word(i) for i in range(made.start, made.end)))
            crops = [named] if named else self.lexicon.made_of.get(made.value, [])[:1]
        if intent in ("set_bed", "add_bed", "set_location", "set_frost_dates", "share_plot"):
            crops = [c for c in crops if not any(f.kind == "crop" and sheet.word(f.end) in ("bed", "patch") for f in inside)]
            choices = ()
            if any(f.kind == "group" and sheet.word(f.end) in ("bed", "patch", "garden") for f in inside):  # "a herb bed" is no list of herbs
                crops, group = [], None
        variety = next((f.tag for f in inside if f.kind == "variety"), None)
        unknown = None
        if not crops and not choices and intent not in ("none", "help", "greeting", "thanks"):
            stranger = next((f for f in inside if f.kind == "stranger"), None)
            hit = self.crops.unknown(sheet, clause.start, clause.end)
            unknown = sheet.said(stranger.start, stranger.end) if stranger else hit[0] if hit else None
        # "half the beetroot" is no number of beetroot; "half a cabbage" is.
        quantities = tuple(f.value for f in inside if f.kind == "qty" and not (f.value.unit == "count" and f.value.value < 1 and sheet.word(f.end) in ("the", "of", "my"))
                           and not (intent in self.rules["counted"] and tells_a_size(sheet, f, self.lexicon)))
        if not quantities and intent in self.rules["counted"] and (crops or choices or unknown or product):
            ones = tuple((f, q) for f in inside if f.kind == "crop" and (q := one_of(sheet, f, self.lexicon))) if intent in self.rules["counted_by_article"] else ()
            whole = next((q for f, q in ones if f.end >= clause.end or sheet.tokens[f.end].kind == "mark"), None)  # "six eggs and a marrow"
            quantities = (whole,) if whole else lone_count(sheet, clause.start, clause.end, self.lexicon, product in self.lexicon.in_jars)
            quantities = quantities or tuple(q for _, q in ones[:1])
        request = Request(
            intent=intent, confidence=round(confidence, 4), text=sheet.said(clause.start, clause.end),
            crops=tuple(dict.fromkeys(crops)), crop_choices=choices if not crops else (), group=group, unknown_crop=unknown, variety=variety,
            beds=beds, unknown_bed=next((f.value for f in inside if f.kind == "unknown_bed"), None),
            quantities=quantities, size_m=next((f.value for f in inside if f.kind == "size"), None), when=when,
            method=next((f.value for f in inside if f.kind == "method"), None),
            product=product,
            pest=next((f.value for f in inside if f.kind == "pest"), None),
            materials=tuple(dict.fromkeys(f.value for f in inside if f.kind == "material")),
            cover=next((f.value for f in inside if f.kind == "cover"), None),
            temperature_c=next((f.value for f in inside if f.kind == "temp"), None),
            alternatives=tuple(r for r in clause.ranked if r[0] != intent)[:3],
        )
        return add_special(self, request, sheet, clause.start, clause.end)

    def _bed_of_its_crop(self, sheet: Sheet, inside: list[Found], names: PlotNames, intent: str) -> tuple[str, ...]:
        """Return the one bed a record calls after what grows there: "sowed radish in the pea bed", "where the onions are"."""
        crops = [f for f in inside if f.kind == "crop"]
        if self.intents[intent].kind != "record" or intent == "log_harvest":
            return ()
        for found in crops:
            if names_a_place(sheet, found) or (len(crops) > 1 and "where" in (sheet.word(found.start - 1), sheet.word(found.start - 2))):
                meant = {found.value.crop, *found.value.others}
                beds = [bed for bed, there in names.growing.items() if meant & set(there)]
                if len(beds) == 1:
                    return (beds[0],)
        return ()

    def _sufferers(self, sheet: Sheet, inside: list[Found]) -> list[str]:
        """Return the crop that a trouble is called after: the carrot of carrot fly, not the vine of vine weevil."""
        for found in inside:
            named = self.crops.trie.longest(sheet.tokens, found.start) if found.kind == "pest" else None
            if named and named[0] < found.end and named[1].crop and sheet.word(found.start) not in self.rules["names_no_crop"]:
                return [named[1].crop]
        return []

    def _settle(self, sense: Sense, beds: tuple[str, ...], names: PlotNames, intent: str) -> str | None:
        """Return the crop a name means here, or None when it must be asked."""
        candidates = (sense.crop, *sense.others)
        if len(candidates) == 1 or (not sense.asks and intent in self.rules["plain_meaning"]):
            return sense.crop
        if intent in self.rules["settled_by_stores"]:
            kept = [c for c in candidates if c in names.stored]
            if len(kept) == 1:
                return kept[0]
        if intent not in self.rules["not_settled_by_plot"]:
            for bed in beds:
                there = [c for c in candidates if c in names.growing.get(bed, ())]
                if len(there) == 1:
                    return there[0]
            standing = [c for c in candidates if c in names.standing]
            if len(standing) == 1:
                return standing[0]
        return None if sense.asks else sense.crop
