"""Split a record of several things into one each: "2 kg of beans, 3 lettuces and a bunch of chard", "fed bed 1, mulched bed 2"."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from bot.request import Quantity, Request
from bot.understanding.counts import count_of_made
from bot.understanding.dates import resolve
from bot.understanding.each import repeated, said_of_each
from bot.understanding.found import Found, Sheet
from bot.understanding.quantities import like_before, tells_a_size
from bot.understanding.slots import beside_it, names_a_dish, one_of

if TYPE_CHECKING:
    from bot.understanding.lexicon import Lexicon
    from bot.understanding.reader import Clause, Understander


def several(reader: Understander, request: Request, clause: Clause, sheet: Sheet, today: date) -> list[Request]:
    """Split "2 kg of beans, 3 lettuces and a bunch of chard", or "fed bed 1, mulched bed 2", into one request each."""
    if reader.intents[request.intent].kind != "record":
        return _of_each_span(reader, request, clause, sheet, today)
    inside = sorted((f for f in sheet.found if clause.start <= f.start < clause.end and f.kind in ("crop", "variety", "stranger", "qty", "bed", "product", "date")),
                    key=lambda f: f.start)
    if request.intent in reader.rules["of_the_ground"]:
        inside = [f for f in inside if not (f.kind == "crop" and names_a_dish(sheet, f, reader.lexicon))]
    beds, amounts, days = ([f for f in inside if f.kind == kind] for kind in ("bed", "qty", "date"))
    if request.intent in reader.rules["counted"]:
        amounts = [f for f in amounts if not tells_a_size(sheet, f, reader.lexicon)]  # "15 cm spacing"
    if len(beds) > 1 and len(amounts) < 2 and any(sheet.word(i) == "each" for i in range(clause.start, clause.end)) and len(things(sheet, inside, reader.lexicon)) < 2:
        return [request.with_(beds=(bed.value,)) for bed in beds]  # "2 lettuces each from bed 1 and bed 3"
    items = _once(things(sheet, inside, reader.lexicon), amounts)
    if len(items) < 2 and len(amounts) > 1 and len(request.quantities) == len(amounts):
        if _by_turns(amounts, beds) and len(days) < 2:  # "12 leeks in bed 1 and ten in bed 3"
            return [request.with_(beds=(bed.value,), quantities=(amount.value,)) for amount, bed in zip(amounts, beds, strict=True)]
        if _by_turns(amounts, days) and len(beds) < 2:  # "2 punnets on Monday, 3 on Tuesday"
            return [request.with_(when=resolve(day, sheet, today, True), quantities=(amount.value,)) for amount, day in zip(amounts, days, strict=True)]
    if len(items) == 1 and len(amounts) < 2 and len(days) == 2 and len(beds) < 2 and {sheet.word(i) for i in range(days[0].end, days[1].start)} <= _AGAIN:
        return [request.with_(when=resolve(day, sheet, today, True)) for day in days]  # "on the 21st of May and again on the 11th of June"
    made_of = [(f.start, hit) for f in items if f.kind == "product" and (hit := count_of_made(sheet, f.start, reader.lexicon))]
    amounts = sorted([*amounts, *(Found("qty", hit[0], start - 1, hit[1]) for start, hit in made_of)], key=lambda f: f.start)
    if len(beds) == len(items) > 1 and any(sheet.word(i) == "respectively" for i in range(clause.start, clause.end)):
        shares: list[tuple[Quantity, ...]] = [(f.value,) for f in amounts] if len(amounts) == len(items) else [()] * len(items)
        return [_of_item(request, request.with_(beds=(bed.value,), quantities=mine), item, items, sheet) for item, bed, mine in zip(items, beds, shares, strict=True)]
    roofs = _places_of_their_own(sheet, clause, items, beds)
    places = sorted([*beds, *roofs], key=lambda f: f.start)
    items = items or beds
    told = [i for i in range(clause.start, clause.end) if sheet.word(i) in reader.lexicon.sets.get(request.intent, ()) and sheet.at(i, "crop", "bed") is None]
    retold = any(items[0].end <= i < items[-1].start for i in told) if items else False
    counted = len(amounts) + sum(item.kind == "crop" and one_of(sheet, item, reader.lexicon) is not None for item in items)
    each = len(request.quantities) == 1 and len(items) > 1 and items is not beds and said_of_each(sheet, clause.start, clause.end, reader.lexicon)
    if each and len(request.crops) > 1 and len(days) < 2 and not retold and not _open(request, items):
        return [repeated(request)]
    between = items is not beds and len(items) > 1 == len(amounts) and not each and (_of_a_later(amounts[0], items, sheet) or _of_the_first(amounts[0], items, sheet))
    plain = len(places) < 2 and counted < 2 and len(days) < 2 and not retold and not _open(request, items) and not each and not between
    if len(items) < 2 or (items is beds and not retold) or plain:
        return [request]
    lead = (between and amounts[0].start != items[0].end) or (bool(amounts) and amounts[0].start < items[0].start)
    made: list[Request] = []
    for n, item in enumerate(items):
        low = items[n - 1].end if n else clause.start
        high = items[n + 1].start if n + 1 < len(items) else clause.end
        before, after = [f for f in amounts if low <= f.start < item.start], [f for f in amounts if item.end <= f.start < high]
        turns = len(amounts) == len(items) > 1 and items is not beds and low <= amounts[n].start < high  # "leeks, one row, and a row of kale"
        both = len(before) > 1 and request.intent == "log_preserve" and before[-1].value.unit == "kg" != before[-2].value.unit
        mine = (before[-2 if both else -1:] if lead else after[:1]) if len(amounts) > 1 or counted > 1 or retold or between else amounts[:1]
        mine = mine or ([amounts[n]] if turns and not each else [])
        leads = bool(beds) and items is not beds and beds[0].start < items[0].start and _by_turns(beds, items)  # "bed 1 carrots, bed 3 beetroot"
        shared = beds[:1] if len(places) == 1 == len(beds) and (not retold or beds[0].start < items[0].start) else []
        near = [item] if items is beds else [beds[n]] if leads else [f for f in places if item.end <= f.start < high] or shared or _shared_with_next(sheet, items, n, places)
        told_place = {f.kind: f.value for f in near if f.kind != "bed"}
        near = [f for f in near if f.kind == "bed"]
        single = one_of(sheet, item, reader.lexicon) if not mine and item.kind == "crop" else None
        mine = [Found("qty", item.start - 1, item.start, single)] if single else mine
        measured = [like_before(f.value, made[-1] if made else None, sheet, f.end, reader.lexicon) for f in mine]
        own = request.with_(quantities=request.quantities if each else tuple(measured), beds=tuple(f.value for f in near) or (request.beds if not beds else ()))
        if roofs and len(places) > 1:
            own = own.with_(cover=told_place.get("cover"), unknown_bed=told_place.get("unknown_bed"), beds=() if told_place and not near else own.beds)
        dated = items is not beds and len(days) > 1 and days[0].start < items[0].start and _by_turns(days, items)  # "Monday: 1 kg of peas, Tuesday: 2 kg of beans"
        day = days[n] if dated else next((f for f in days if item.end <= f.start < high), None) if len(days) > 1 else None
        if day is not None:
            own = own.with_(when=resolve(day, sheet, today, True))
        made.append(own if items is beds else _of_item(request, own, item, items, sheet))
    return made


def _shared_with_next(sheet: Sheet, items: list[Found], n: int, places: list[Found]) -> list[Found]:
    """Return the place that one of several things joined by "and" stands in together with the last of them: "lettuce and radish in the frame, carrots in bed 1"."""
    if len(places) < 2:
        return []
    last, joined = n, False
    while last + 1 < len(items):
        between = [sheet.word(i) for i in range(items[last].end, items[last + 1].start) if sheet.at(i, "qty") is None]
        if not set(between) <= _JOINERS:
            break
        joined = joined or bool(set(between) - {",", "a", "an", "some"})
        last += 1
    high = items[last + 1].start if last + 1 < len(items) else len(sheet.tokens)
    return [f for f in places if joined and items[last].end <= f.start < high][:1]


def headed_by(sheet: Sheet) -> str | None:
    """Return the one bed that stands over all that a message tells: "bed 3: onions weeded, beetroot thinned"."""
    beds = [f for f in sheet.found_in_order() if f.kind in ("bed", "unknown_bed", "cover")]
    alone = len(beds) == 1 and beds[0].kind == "bed" and beds[0].start == 0
    return str(beds[0].value) if alone and sheet.word(beds[0].end) in (":", "-") else None


def led_by_beds(sheet: Sheet, parts: list[Clause]) -> list[Clause]:
    """Give the bed that ends a clause to the next where every thing follows its bed: "bed 1 carrots sown, bed 2 | beetroot sown"."""
    done: list[Clause] = []
    for part in parts:
        last = done[-1] if done else None
        said = [f for f in sheet.found_in_order() if last is not None and last.start <= f.start < last.end and f.kind in ("bed", "crop", "variety")]
        beds, crops = [f for f in said if f.kind == "bed"], [f for f in said if f.kind != "bed"]
        if last is not None and crops and _by_turns(beds[:-1], crops) and said[0] is beds[0] and said[-1] is beds[-1] and all(t.kind == "mark" for t in sheet.tokens[beds[-1].end:part.start]):
            done[-1] = replace(last, end=beds[-1].start)
            part = replace(part, start=beds[-1].start)
        done.append(part)
    return done


def _of_each_span(reader: Understander, request: Request, clause: Clause, sheet: Sheet, today: date) -> list[Request]:
    """Return a count of the past once for each span it asks of: "how many peas did we pick this year, and last year"."""
    spans = sorted((f for f in sheet.found if f.kind == "date" and clause.start <= f.start < clause.end), key=lambda f: f.start)
    joined = len(spans) == 2 and any(sheet.word(i) == "and" for i in range(spans[0].end, spans[1].start)) and spans[1].start - spans[0].end <= _JOINED
    if request.intent not in reader.rules["counts_told"] or not joined or any(sheet.word(spans[0].start - n) in ("between", "from") for n in (1, 2)):
        return [request]
    return [request.with_(when=resolve(span, sheet, today, True)) for span in spans]


#: What may stand between things that share a place.
_JOINERS = frozenset(("and", "&", "+", "plus", ",", "a", "an", "some"))
#: What may stand between two days of the same deed.
_AGAIN = frozenset((",", "and", "&", "again", "also", "then", "on", "the"))
#: So many words may join two spans: ", and in".
_JOINED = 3


def _places_of_their_own(sheet: Sheet, clause: Clause, items: list[Found], beds: list[Found]) -> list[Found]:
    """Return the covers and unknown beds that one thing of a list stands in: "tomatoes in the tunnel and peas in bed 1", not "carrots under fleece in bed 1"."""
    def with_a_bed(place: Found) -> bool:
        low = max((item.end for item in items if item.end <= place.start), default=clause.start)
        high = min((item.start for item in items if item.start >= place.end), default=clause.end)
        return any(low <= bed.start < high for bed in beds)

    return [f for f in sheet.found if f.kind in ("cover", "unknown_bed") and clause.start <= f.start < clause.end and not with_a_bed(f)]


def _of_a_later(amount: Found, items: list[Found], sheet: Sheet) -> bool:
    """Tell whether the one amount of a list is of a name further on: "strawberries and 2 kg of runners", and not "beans, 2 kg, and peas"."""
    crops = {item.value.crop if item.kind == "crop" else item.value for item in items}
    stands_before = any(item.start - amount.end in (0, 1) for item in items[1:])
    behind = any(item.end == amount.start or (amount.start - item.end == 1 and sheet.tokens[item.end].kind == "mark") for item in items)
    return len(crops) > 1 and items[0].end <= amount.start and stands_before and not behind and all(item.kind != "product" for item in items)


def _of_the_first(amount: Found, items: list[Found], sheet: Sheet) -> bool:
    """Tell whether the one amount of a list is of its first name alone: "11 lettuces and some radish", "pak choi half a tray, and celtuce"."""
    some = amount.end <= items[0].start and any(sheet.word(item.start - 1) in ("some", "any") for item in items[1:])
    own = amount.start == items[0].end and sheet.word(amount.end) in (",", "and") and items[1].start >= amount.end
    return len({str(item.value) for item in items}) > 1 and (some or own)


def _by_turns(amounts: list[Found], beds: list[Found]) -> bool:
    """Tell whether each amount has its bed, or its day."""
    turns = sorted([*((f.start, 0) for f in amounts), *((f.start, 1) for f in beds)])
    return len(amounts) == len(beds) and all(a[1] != b[1] for a, b in zip(turns, turns[1:], strict=False))


def _open(request: Request, items: list[Found]) -> bool:
    """Tell whether a list names a crop that must be asked about: "a cabbage and some tomatoes", "kale, sprouts and leeks"."""
    return len(items) > 1 and any(i.kind == "crop" and _meant(request, i, items) is None for i in items)


def _meant(request: Request, item: Found, items: list[Found]) -> str | None:
    """Return the crop of the request that one name of its list stands for; None for a name that could mean several and is not settled."""
    others = {i.value.crop for i in items if i.kind == "crop" and i.value.crop != item.value.crop}
    return next((c for c in request.crops if c == item.value.crop or (c in item.value.others and c not in others)), None)


def things(sheet: Sheet, inside: list[Found], lexicon: Lexicon) -> list[Found]:
    """Return what a list of records names: its crops, and its products that stand beside no crop ("a jar of passata", not "a jar of dried beans")."""
    crops = [f for f in inside if (f.kind in ("crop", "stranger") or (f.kind == "variety" and f.value)) and not beside_it(sheet, f, lexicon)]
    made = [f for f in inside if f.kind == "product" and not any(_beside(sheet, f, c) or _done_to(sheet, f, c, inside) for c in crops)]
    amounts = [f for f in inside if f.kind == "qty"]
    if made and crops and len(amounts) == len(crops) and made[0].end <= min(f.start for f in (*amounts, *crops)):
        made = made[1:]  # "jam done: 9 jars strawberry, 4 jars gooseberry"
    return sorted([*crops, *made], key=lambda f: f.start)


def _done_to(sheet: Sheet, product: Found, crop: Found, inside: list[Found]) -> bool:
    """Tell whether a product is what was done to a crop after it: "bottled 3 jars of rhubarb"."""
    amount = next((f for f in inside if f.kind == "qty" and product.end <= f.start < crop.start), None)
    of = product.end if amount is None or sheet.word(product.end) not in ("from", "with", "using") else product.end + 1  # "4 jars of jam from 2 kg of plums"
    return amount is not None and amount.start == of and crop.start - amount.end <= 1


def _once(items: list[Found], amounts: list[Found]) -> list[Found]:
    """Leave out a crop named again further on with no amount of its own: "potatoes then, planted 16 potatoes"."""
    def again(n: int) -> bool:
        low, high = items[n - 1].end if n else 0, items[n + 1].start
        return any(i.value == items[n].value for i in items[n + 1:]) and not any(low <= f.start < high for f in amounts if f.start < items[n].start)

    return [item for n, item in enumerate(items) if n + 1 == len(items) or not again(n)]


def _beside(sheet: Sheet, product: Found, crop: Found) -> bool:
    first, second = sorted((product, crop), key=lambda f: f.start)
    return second.start - first.end <= 1 and sheet.word(first.end) not in (",", "and")


def _of_item(request: Request, own: Request, item: Found, items: list[Found], sheet: Sheet) -> Request:
    """Return a record of one thing of a list: a product is its own only if it stands beside it, or before the whole list."""
    if item.kind == "product":
        return own.with_(crops=(), crop_choices=(), unknown_crop=None, product=item.value)
    products = [f for f in sheet.found if f.kind == "product"]
    product = next((p.value for p in products if _beside(sheet, p, item) or _done_to(sheet, p, item, sheet.found)), None)
    if product is None and products and not any(i.kind == "product" for i in items) and products[0].start < items[0].start:
        product = request.product
    own = own.with_(product=product)
    if item.kind == "stranger":
        return own.with_(crops=(), crop_choices=(), unknown_crop=sheet.said(item.start, item.end))
    settled = item.value if item.kind == "variety" else _meant(request, item, items)
    return own.with_(crops=(settled,) if settled else (), crop_choices=() if settled or item.kind == "variety" else (item.value.crop, *item.value.others))
