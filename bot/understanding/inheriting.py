"""What a request takes from the turns before it: the crop, bed, measure or trouble that "it" or "there" means."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from bot.handlers.context import Memory
from bot.request import POINTS_TO_NEW_BED, Quantity, Request
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
    if request.intent in reader.rules["counts_told"]:
        return _counted(reader, request, clause, sheet, earlier)
    season = reader.rules["of_a_season"].get(request.intent)
    if season and earlier and earlier[-1].crops and request.when is not None and not request.when.single:
        told = _told_beside(reader, earlier[-1], earlier[::-1], True)  # "sowed spinach, will it need fleece this winter"
        return request.with_(intent=season, crops=told, when=None, inherited=("crops",))
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
        other = source is not None and request.product is not None and source.product != request.product and not points
        taken_out = other and request.intent == "log_use"  # "ate one of chutney" after jam: the store tells of what
        listed = of_its_own or taken_out or other and bool(earlier) and source is not None and source.intent == request.intent
        if source is None and request.intent == "store" and earlier and earlier[-1].product and earlier[-1].intent in reader.rules["same_measure"]:
            return request.with_(intent="stores", product=earlier[-1].product, inherited=("product",))  # "3 jars of chutney left, how long will they last"
        if source is not None and not listed and not whole_bed:  # "froze the beans and made two jars of chutney": of what is not told
            asks = reader.intents[request.intent].kind == "ask" and reader.intents[source.intent].kind == "record"
            followed = source.intent == "rotation" and len(source.crops) > 1  # "can I follow them with leeks and how far apart": the leeks
            several = asks and bool(words & set(reader.rules["told_together"]))
            meant = _told_beside(reader, source, before, bool(earlier)) if several else _newcomers(source, before) if followed else source.crops
            changes.update(crops=meant, crop_choices=source.crop_choices, unknown_crop=source.unknown_crop,
                           group=source.group)
            taken.append("crops")
            if request.intent in ("log_preserve", "pickle") and request.product is None and source.product:
                changes["product"] = source.product  # "9 jars", "for 3 kilos": of the chutney spoken of
            put_by = reader.rules["of_what_was_kept"].get(request.intent)
            if put_by and earlier and source.intent == "log_preserve":
                changes["intent"] = put_by  # "made 4 jars of jam, when should they be eaten by"
            if request.intent == "store" and earlier and request.product is None:
                changes |= _as_kept(reader, request, source)
            number = bare_number(sheet, clause.start, clause.end, reader)
            if number is not None and not request.quantities and reader.intents[request.intent].kind == "record":
                # "used two" after "made 5 jars": two of the same measure.
                unit = (source.quantities[0].unit if source.quantities
                        and source.intent in reader.rules["same_measure"] else "count")
                changes["quantities"] = (Quantity(number, unit, sheet.said(clause.start, clause.end)),)
    if request.intent == "rotation" and points and earlier and len(request.crops) == 1:
        changes["crops"] = _follower(request, clause, sheet, earlier, set(pointers["crop"]))
    lacks_bed = not request.beds and not request.unknown_bed
    said = f" {' '.join(sheet.word(i) for i in range(clause.start, clause.end))} "
    # "the bed where the garlic is" names its own bed.
    pointed = any(f" {words_} " in said for words_ in pointers["bed"]) and not ("where" in words and request.crops)
    crowded = request.intent == "spacing" and bool(earlier) and bool(words & set(reader.rules["crowded"]))
    if crowded and POINTS_TO_NEW_BED in earlier[-1].flags:
        request = request.with_(flags=request.flags | {POINTS_TO_NEW_BED})
    if lacks_bed and pointed and any(r.intent in reader.rules["adds_a_bed"] and not r.beds for r in earlier):
        request = request.with_(flags=request.flags | {POINTS_TO_NEW_BED})
    lacks_bed = lacks_bed and not any(f" {words_} " in said for words_ in pointers["all_beds"])
    lacks_bed = lacks_bed and not any(f" {other} " in said for other in reader.rules["other_beds"])
    # "what's in the tunnel and is any of it ready": of what stands in the bed, when no crop was spoken of.
    of_the_bed = (bare and not changes.get("crops") and reader.crop_share[request.intent] >= 0.45 and reader.intents[request.intent].kind == "ask"
                  and bool(earlier) and bool(earlier[-1].beds) and not earlier[-1].crops)
    # "cleared bed 2 and sowed mustard": where it was cleared, unless it was sown under cover.
    in_its_stead = (request.intent in ("log_sow", "log_plant_out") and bool(earlier) and earlier[-1].intent == "log_clear" and bool(earlier[-1].beds)
                    and request.method is None and request.cover is None and not any(q.unit in reader.rules["raised_in"] for q in request.quantities))
    if lacks_bed and (pointed or of_the_bed or crowded or in_its_stead or (request.intent in reader.rules["takes_bed"] and bare and (earlier or len(clause.words) <= 6))):
        beds, source = next(((found, r) for r in before if (found := r.beds or _stood(reader, r, names))), ((), None))
        if source is not None:
            changes["beds"] = beds
            taken.append("beds")
            if request.intent == "fits_bed" and bare and _leaves_room(reader, source):
                changes["crops"] = source.crops  # "lifted the garlic, what can go in there": after the garlic
                taken.append("crops")
    picked = next((r for r in reversed(earlier) if r.intent in reader.rules["takes_weight"].get(request.intent, ())), None)
    if picked is not None and not request.quantities and "crops" in taken and changes.get("crops") == picked.crops:
        changes["quantities"] = tuple(q for q in picked.quantities if q.unit == "kg")  # "picked 2 kg of peas, how do I freeze them"
    if request.temperature_c is None and earlier and earlier[-1].intent in reader.rules["takes_warmth"].get(request.intent, ()):
        changes["temperature_c"] = earlier[-1].temperature_c  # "it fell to -2, will the potatoes recover"
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


def _told_beside(reader: Understander, source: Request, before: list[Request], same: bool) -> tuple[str, ...]:
    """Return the crops of all records of one kind that one message told, `source` the last of them, in their order.

    `same` tells that it is the message that asks; its requests are not marked yet.
    """
    alike = next((kin for kin in reader.rules["kin"] if source.intent in kin), [source.intent])
    told = []
    for request in before[before.index(source):]:
        if request.intent not in alike:
            break
        told.append(request)
        if not same and "beside" not in request.flags:
            break
    return tuple(dict.fromkeys(crop for request in reversed(told) for crop in request.crops))


def _follower(request: Request, clause: Clause, sheet: Sheet, earlier: list[Request], pointers: set[str]) -> tuple[str, ...]:
    """Return the crop just told of and the one named, in the order they are said: "cleared the peas, can I follow them with leeks"."""
    told = next((r.crops for r in reversed(earlier) if r.crops), ())
    named = next((f.start for f in sheet.found if f.kind == "crop" and f.start >= clause.start), clause.end)
    first = any(sheet.word(i) in pointers for i in range(clause.start, named))
    both = (*told[:1], *request.crops) if first else (*request.crops, *told[:1])
    return tuple(dict.fromkeys(both))


def _newcomers(source: Request, before: list[Request]) -> tuple[str, ...]:
    """Return the crops of a request that were not spoken of before it."""
    known = {crop for request in before[before.index(source) + 1:] for crop in request.crops}
    return tuple(crop for crop in source.crops if crop not in known) or source.crops


def _counted(reader: Understander, request: Request, clause: Clause, sheet: Sheet, earlier: list[Request]) -> Request:
    """Give "how many are left" and "how much so far" what the record before it in the message tells of: that, and not all there is."""
    told = earlier[-1] if earlier else None
    bare = not (request.crops or request.crop_choices or request.unknown_crop or request.group or request.product or request.beds)
    words = [sheet.word(i) for i in range(clause.start, clause.end)]
    counts = "how" in words and ("many" in words or "much" in words)
    asks = ("left" in words and "in" not in words and "else" not in words) or (counts and not set(words) & set(reader.rules["counts_all"]))
    if told is not None and bare and counts and set(words) & set(reader.rules["comes_of"]) and told.intent in reader.rules["tells_its_keeping"]:
        return request.with_(intent=told.intent, crops=told.crops, quantities=told.quantities, inherited=("crops",))
    said = [r for r in earlier if r.intent in reader.rules["counts_told"][request.intent]]
    if told is None or not bare or not asks or told not in said:
        return request
    products = {r.product for r in said}
    if len(products) == 1 and told.product and "crops" in told.inherited:
        return request.with_(product=told.product, inherited=("product",))
    if not all(r.crops for r in said) and products != {told.product}:
        return request  # several things, not all of them named by a crop
    crops = tuple(dict.fromkeys(crop for r in said for crop in r.crops))
    product = told.product if len(products) == 1 else None
    return request.with_(crops=crops, product=product, inherited=("product",) if product else ("crops",)) if crops or product else request


def _as_kept(reader: Understander, request: Request, source: Request) -> dict[str, Any]:
    """Return what turns "how long will they keep" to the frozen or bottled crop, where the message has just asked how that is done or told of it."""
    if source.intent in reader.rules["tells_its_keeping"]:
        return {"intent": source.intent, "product": source.product}
    return {"product": source.product} if source.intent == "log_preserve" and source.product else {}


def _narrowed(request: Request, before: list[Request], words: set[str]) -> Request:
    """Take "the tubers" for the potatoes spoken of, when a group word points back to one of its own."""
    if not request.group or "the" not in words:
        return request
    meant = next((r.crops for r in before if r.crops and set(r.crops) <= set(request.crops)), None)
    return request.with_(crops=meant, group=None, inherited=("crops",)) if meant else request
