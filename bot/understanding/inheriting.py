"""What a request takes from the turns before it: the crop, bed, measure or trouble that "it" or "there" means."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from bot.handlers.context import Memory
from bot.request import Quantity, Request
from bot.understanding.found import Sheet
from bot.understanding.numbers import lone_numbers
from bot.understanding.shapes import PlotNames

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander


def bare_number(sheet: Sheet, start: int, end: int, reader: Understander) -> float | None:
    """Return the one number of a stretch that belongs to no slot; None when there is none or several."""
    found = [number.value for _, number in lone_numbers(sheet, start, end, reader.lexicon)]
    return found[0] if len(found) == 1 else None


def named_after(reader: Understander, parts: list[Clause], n: int, sheet: Sheet) -> Clause | None:
    """Return the question whose crop a short one before it asks of too: "how deep and how far apart for leeks"."""
    pointers = set(reader.lexicon.language["pointers"]["crop"])
    for clause, after in zip(parts[n:], parts[n + 1:], strict=False):
        asks = all(reader.intents[c.ranked[0][0]].kind == "ask" and reader.crop_share[c.ranked[0][0]] >= 0.45 for c in (clause, after))
        said = {sheet.word(i) for i in range(clause.start, after.start)}
        if not asks or len(clause.words) > _SHORT or said & (pointers | _ENDS) or _names_a_crop(clause, sheet):
            return None
        if _names_a_crop(after, sheet):
            return after
    return None


#: A question of so few words may leave its crop to the next; marks after which it does not.
_SHORT, _ENDS = 4, frozenset((".", "?", "!", ";", "\n"))


def _names_a_crop(clause: Clause, sheet: Sheet) -> bool:
    return any(clause.start <= f.start < clause.end and f.kind in ("crop", "variety", "stranger") for f in sheet.found)


def inherit(reader: Understander, request: Request, clause: Clause, sheet: Sheet, earlier: list[Request],
            memory: Memory, names: PlotNames, today: date) -> Request:
    """Give a request what "it", "them" or "there" stands for: a crop, bed or product of this or the last turns."""
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
    if (bare and reader.crop_share[request.intent] >= 0.45
            and (points or earlier or reader.crop_share[request.intent] > 0.7 or len(clause.words) <= 5)):
        source = next((r for r in before if r.crops or r.crop_choices or r.unknown_crop), None)
        whole_bed = request.intent == "log_clear" and request.beds and not points and not earlier  # "cleared bed 2": what stands there
        of_its_own = request.product in reader.rules["own_products"] and not points
        listed = of_its_own or request.product is not None and earlier and source is not None and source.intent == request.intent and source.product != request.product
        if source is not None and not listed and not whole_bed:  # "froze the beans and made two jars of chutney": of what is not told
            asks = reader.intents[request.intent].kind == "ask" and reader.intents[source.intent].kind == "record"
            several = asks and bool(words & set(reader.rules["told_together"]))
            changes.update(crops=_told_beside(source, before) if several else source.crops, crop_choices=source.crop_choices, unknown_crop=source.unknown_crop,
                           group=source.group)
            taken.append("crops")
            if request.intent in ("log_preserve", "pickle") and request.product is None and source.product:
                changes["product"] = source.product  # "9 jars", "for 3 kilos": of the chutney spoken of
            number = bare_number(sheet, clause.start, clause.end, reader)
            if number is not None and not request.quantities and reader.intents[request.intent].kind == "record":
                # "used two" after "made 5 jars": two of the same measure.
                unit = (source.quantities[0].unit if source.quantities
                        and source.intent in reader.rules["same_measure"] else "count")
                changes["quantities"] = (Quantity(number, unit, sheet.said(clause.start, clause.end)),)
    lacks_bed = not request.beds and not request.unknown_bed
    said = f" {' '.join(sheet.word(i) for i in range(clause.start, clause.end))} "
    # "the bed where the garlic is" names its own bed.
    pointed = any(f" {words_} " in said for words_ in pointers["bed"]) and not ("where" in words and request.crops)
    lacks_bed = lacks_bed and not any(f" {words_} " in said for words_ in pointers["all_beds"])
    # "what's in the tunnel and is any of it ready": of what stands in the bed, when no crop was spoken of.
    of_the_bed = (bare and not changes.get("crops") and reader.crop_share[request.intent] >= 0.45 and reader.intents[request.intent].kind == "ask"
                  and bool(earlier) and bool(earlier[-1].beds) and not earlier[-1].crops)
    if lacks_bed and (pointed or of_the_bed or (request.intent in reader.rules["takes_bed"] and bare and (earlier or len(clause.words) <= 6))):
        beds, source = next(((found, r) for r in before if (found := r.beds or _stood(reader, r, names))), ((), None))
        if source is not None:
            changes["beds"] = beds
            taken.append("beds")
            if request.intent == "fits_bed" and bare and _leaves_room(reader, source):
                changes["crops"] = source.crops  # "lifted the garlic, what can go in there": after the garlic
                taken.append("crops")
    if request.when is None and earlier and earlier[-1].when and request.intent in reader.rules["asked_of_a_sowing"] and earlier[-1].intent in ("log_sow", "log_plant_out"):
        changes["when"] = earlier[-1].when  # "planted on 20 March, when can I dig them"
        taken.append("when")
    if request.when is None and earlier and earlier[-1].when and earlier[-1].intent == request.intent and reader.intents[request.intent].kind == "record":
        changes["when"] = earlier[-1].when  # "on Saturday sowed peas, then put in carrots"
    request = _narrowed(request, before, words)
    if request.intent == "pest" and request.pest is None and (points or bare):
        seen = next((r for r in before[:2] if r.pest), None)
        if seen is not None:
            changes["pest"] = seen.pest
            taken.append("pest")
    return request.with_(**changes, inherited=tuple(taken)) if changes else request


def _stood(reader: Understander, told: Request, names: PlotNames) -> tuple[str, ...]:
    """Return the one bed where the crop of a record stands: "lifted the garlic, what can go in there"."""
    if reader.intents[told.intent].kind != "record" or len(told.crops) != 1:
        return ()
    beds = [bed for bed, crops in names.growing.items() if told.crops[0] in crops]
    return tuple(beds) if len(beds) == 1 else ()


def _leaves_room(reader: Understander, told: Request) -> bool:
    """Tell whether a record is of one crop that is out, or is lifted at one go."""
    crop = reader.facts.crops.get(told.crops[0]) if len(told.crops) == 1 else None
    picked_over = crop is None or crop.harvest is None or crop.harvest.every_days is not None
    return crop is not None and (told.intent == "log_clear" or (told.intent == "log_harvest" and not picked_over))


def _told_beside(source: Request, before: list[Request]) -> tuple[str, ...]:
    """Return the crops of all records of one kind that one message told, `source` the last of them, in their order."""
    told = []
    for request in before[before.index(source):]:
        if request.intent != source.intent:
            break
        told.append(request)
        if "beside" not in request.flags:
            break
    return tuple(dict.fromkeys(crop for request in reversed(told) for crop in request.crops))


def _narrowed(request: Request, before: list[Request], words: set[str]) -> Request:
    """Take "the tubers" for the potatoes spoken of, when a group word points back to one of its own."""
    if not request.group or "the" not in words:
        return request
    meant = next((r.crops for r in before if r.crops and set(r.crops) <= set(request.crops)), None)
    return request.with_(crops=meant, group=None, inherited=("crops",)) if meant else request
