"""Turn the clauses of a message into requests, with what the conversation left behind."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from rapidfuzz.distance import OSA

from bot.handlers.context import Memory
from bot.reply import Reply
from bot.request import Request
from bot.understanding.decide import decide
from bot.understanding.each import handed_back, said_last, said_of_each
from bot.understanding.following import chosen
from bot.understanding.found import Sheet
from bot.understanding.inheriting import inherit, named_after
from bot.understanding.memory import Recall
from bot.understanding.other_bed import another_bed
from bot.understanding.parting import parted
from bot.understanding.placing import place_told, place_unknown
from bot.understanding.putting_right import puts_right, tells_anew, weighed
from bot.understanding.quantities import like_before
from bot.understanding.same_breath import led_in, put_right
from bot.understanding.several import headed_by, led_by_beds, several, things
from bot.understanding.shapes import PlotNames, Reading
from bot.understanding.text import clean, tokenise

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander

_PICKS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "1st": 1, "2nd": 2, "3rd": 3, "4th": 4, "one": 1, "two": 2, "three": 3,
          "four": 4, "five": 5, "six": 6}


def converse(reader: Understander, text: str, names: PlotNames, memory: Memory, today: date, region: str) -> Reading:
    """Understand one message given what went before."""
    cleaned = clean(text)
    if not any(c.isalnum() for c in cleaned):
        return Reading((Request("none", 1.0, text[:200]),), explain=("nothing to read",))
    picked = _picked(cleaned, memory)
    if picked is not None:
        # A whole message stands alone; a "yes" or "no" still answers the reply that offered it.
        kept = memory.reply if picked in ("yes", "no") else None
        return converse(reader, picked, names, replace(memory, shown=(), reply=kept), today, region)
    sheet, changed = reader.sheet(cleaned, names, region)
    reading = _understood(reader, cleaned, sheet, changed, names, memory, today, region)
    hurts, chance, own = reader.hurts(sheet)
    if not hurts:
        return reading
    surely = own >= float(reader.rules["hurts"]["surely"])
    return replace(reading, hurts=hurts, surely=surely, explain=(*reading.explain, f"can hurt {chance:.2f}: {hurts} {own:.2f}"))


def _understood(reader: Understander, cleaned: str, sheet: Sheet, changed: list[str], names: PlotNames, memory: Memory, today: date, region: str) -> Reading:
    """Return what the words of a message mean, the harm in them aside."""
    explain = [f"spelling: {c}" for c in changed]
    if _guesswork(changed, sheet):
        return Reading((Request("none", 1.0, cleaned),), explain=(*explain, "most of its words are guessed at"))
    if any(f.kind == "trap" and f.value == "command" for f in sheet.found):
        return Reading((Request("none", 1.0, cleaned),), explain=(*explain, "words that command the bot and not the garden"))
    never = next((f for f in sheet.found if f.kind == "date" and f.value.never), None)
    if never is not None:
        says = f"There is no {sheet.said(never.start, never.end)} in any year, so I recorded nothing."
        return Reading((Request("none", 1.0, cleaned[:200]),), asked=Reply(says, lines=("Send it again with the right day.",)),
                       explain=(*explain, "a day no calendar has"))
    recall = Recall(reader, sheet, names, memory, today, region)
    placed = place_told(recall)
    if placed is not None:
        return Reading(placed, explain=(*explain, "the place that was asked for"))
    if sheet.found and all(f.kind == "spot" for f in sheet.found) and all(t.kind == "mark" or sheet.at(i) for i, t in enumerate(sheet.tokens)):
        whole = reader.request(reader.clause(sheet, 0, len(sheet.tokens)), "set_location", 0.95, sheet, names, today, region)
        return Reading((whole,), explain=(*explain, "a place and nothing else"))
    if recall.last is not None and reader.lexicon.sayings["wants_back"].fullmatch(cleaned):
        back = Request("undo", 0.95, cleaned, flags=frozenset({"back"}))
        return Reading((back,), explain=(*explain, "what was taken back is wanted again"))
    depth = next((f.value for f in sheet.found if f.kind == "temp"), None)
    of_frost = recall.last is not None and recall.last.intent == "log_frost_seen"
    if depth is not None and of_frost and reader.lexicon.sayings["how_deep"].match(cleaned):
        told = Request("log_frost_seen", 0.95, cleaned, temperature_c=depth, extra={"told": True})
        return Reading((told,), explain=(*explain, "how deep the frost just told of went"))
    bed = another_bed(recall)
    if isinstance(bed, Reply):
        return Reading((), asked=bed, explain=(*explain, "another bed: asked which"))
    known = bed or recall.answer()
    if known is not None:
        named = len(things(sheet, sheet.found, reader.lexicon)) > 1 and reader.intents[known.intent].kind == "record"  # "plus 2 cucumbers and a lettuce"
        all_told = several(reader, known, reader.clause(sheet, 0, len(sheet.tokens)), sheet, today) if named else [known]
        return Reading(tuple(all_told), explain=(*explain, f"taken from the conversation: {known.intent}"))
    if recall.last is None and all(token.kind in ("number", "mark") for token in sheet.tokens):
        return Reading((Request("none", 1.0, cleaned),), explain=(*explain, "a number and nothing that it could answer"))
    if reader.lexicon.sayings["ticks_off"].match(cleaned):  # "done: net the kale": a job ticked off, whatever the job's own words are
        made = reader.request(reader.clause(sheet, 0, len(sheet.tokens)), "jobs", 0.95, sheet, names, today, region)
        return Reading((made.with_(text=cleaned, flags=made.flags | {"done"}),), explain=(*explain, "a job ticked off"))
    if reader.lexicon.sayings["notes"].match(cleaned):  # "note: …" is a note, whatever it speaks of
        made = reader.request(reader.clause(sheet, 0, len(sheet.tokens)), "log_note", 0.95, sheet, names, today, region)
        return Reading((made.with_(text=cleaned),), explain=(*explain, "a note by name"))
    if (slots := recall.slots()) and not recall.residue() and all(f.kind == "bed" for f in slots):
        whole = reader.request(reader.clause(sheet, 0, len(sheet.tokens)), "plot", 0.95, sheet, names, today, region)
        return Reading((whole,), explain=(*explain, "a bed and nothing else: what is in it"))
    parts = led_by_beds(sheet, led_in(reader, sheet, [reader.weighed(part) for part in parted(reader, sheet)]))
    leaning = weighed(recall, parts[0]) if len(parts) == 1 else None
    if leaning is None and recall.last is not None and not recall.again():
        parts[0], leaning = next_after(reader, recall, parts[0])
    heading = headed_by(sheet)
    requests: list[Request] = []
    owners: list[int] = []  # which clause each request is of
    for n, clause in enumerate(parts):
        owners += [n - 1] * (len(requests) - len(owners))
        intent, confidence = clause.ranked[0][0], clause.sure
        if n == 0 and leaning is not None:
            requests.append(leaning)
            explain.append(f"leans on the turn before: {leaning.intent} {leaning.confidence:.2f}")
            continue
        if clause.ranked[0][0] == "correct_last" and requests and reader.intents[requests[-1].intent].kind == "record":
            fixed = put_right(reader, requests, reader.request(clause, requests[-1].intent, confidence, sheet, names, today, region), clause, sheet)
            if fixed is not None:
                requests = fixed
                explain.append(f"{' '.join(clause.words)} -> puts right what was told before it")
                continue
        if requests and _only_slots(recall, sheet, clause) and not (clause.asks and confidence >= float(reader.rules["own_way"])):
            intent, confidence = requests[-1].intent, requests[-1].confidence
        intent = _pointed(reader, intent, clause, sheet, requests)
        wished = reader.intents[intent].kind == "record" and _not_done(reader, clause, sheet)
        if wished:
            intent = str(reader.rules["meant"].get(intent, intent))
        made = reader.request(clause, intent, confidence, sheet, names, today, region)
        made = made.with_(flags=made.flags | {"not_done"}) if wished else made
        offers = _of_the_offers(reader, made, requests)
        if offers is not None:
            requests += [offers] if offers is not requests[-1] else []
            explain.append(f"{' '.join(clause.words)} -> told with what may go in the bed")
            continue
        later = named_after(reader, parts, n, sheet)
        if later is not None:
            told = reader.request(later, later.ranked[0][0], later.sure, sheet, names, today, region)
            made = made.with_(crops=told.crops, crop_choices=told.crop_choices, unknown_crop=told.unknown_crop, variety=told.variety)
        else:
            made = inherit(reader, made, clause, sheet, requests, memory, names, today)
        if heading is not None and reader.intents[made.intent].kind == "record" and not (made.beds or made.unknown_bed):
            made = made.with_(beds=(heading,))
        both = coordinated(reader, sheet, clause) if len(parts) == 1 else ()
        if both:
            requests += [made.with_(intent=name, confidence=max(confidence, 0.8)) for name in both]
        else:
            requests += several(reader, _in_the_same(reader, made, clause, sheet, requests), clause, sheet, today)
            if n and said_of_each(sheet, clause.start, clause.end, reader.lexicon):
                requests = handed_back(requests, reader.rules["counted"])
        explain.append(f"{' '.join(clause.words)} -> " + ", ".join(f"{i} {p:.2f}" for i, p in clause.ranked[:3]) + f"; right {clause.sure:.2f}, apart {clause.apart:.2f}"
                       + "; " + ", ".join(f"{k} {v:.2f}" for k, v in reader.model.because(clause.found, intent)))
    owners += [len(parts) - 1] * (len(requests) - len(owners))
    requests = said_last(requests, [parts[n] for n in owners], sheet, reader)
    reading = decide(reader, requests, parts, sheet, memory, tuple(explain))
    if reading.asked is not None or all(r.intent == "none" for r in reading.requests):
        elsewhere = place_unknown(recall)
        if elsewhere is not None:
            return Reading((elsewhere,), explain=(*explain, "perhaps the place that was asked for"))
    return reading


#: So many words each two letters or more off anything known, and half the message or more, are no message.
_GUESSED = 3


def _guesswork(changed: list[str], sheet: Sheet) -> bool:
    """Tell whether a message says something only because most of its words were taken for others, "flibber the wobbly snorkel"."""
    pairs = [change.split(" read as ") for change in changed]
    far = sum(len(pair) == 2 and OSA.distance(*pair) > 1 for pair in pairs)
    return far >= _GUESSED and 2 * far >= sum(t.kind == "word" for t in sheet.tokens)


def _picked(text: str, memory: Memory) -> str | None:
    """Return the message a bare number or a choice's own words stand for."""
    if not memory.shown:
        return None
    words = [t.word for t in tokenise(text) if t.kind != "mark" and t.word not in ("the", "one", "option", "number", "no", "please", "choice", "answer")]
    whole = " ".join(t.word for t in tokenise(text) if t.kind != "mark")
    number = None
    if len(words) == 1:
        number = int(words[0]) if words[0].isdigit() and len(words[0]) < 3 else _PICKS.get(words[0])
    elif not words and whole in ("one", "the one", "number one", "option one"):
        number = 1
    if number is not None and 1 <= number <= len(memory.shown):
        return memory.shown[number - 1]
    labels = [c.label for c in memory.reply.choices] if memory.reply else []
    for label, says in zip(labels, memory.shown, strict=False):
        if whole and whole == " ".join(t.word for t in tokenise(label) if t.kind != "mark"):
            return says
    return None


def next_after(reader: Understander, recall: Recall, clause: Clause) -> tuple[Clause, Request | None]:
    """Return a clause as it is meant after the last turn, and the request it makes of that turn's, if it leans on it."""
    assert recall.last is not None
    last, own = recall.last.intent, clause.ranked[0][0]
    if own == last and puts_right(recall) and (right := recall.leaning("correct_last", clause.sure, clause)):
        return clause, right  # "no, leaf mould" after a mulching told: the same record, put right
    if clause.apart >= float(reader.rules["apart"]["alone"]) and not recall.slots() and clause.found.get("strange 2 adrift"):
        return clause, None  # strange words that name nothing lean on nothing: "blorp the quantum fence"
    intent, chance = chosen(reader, clause, last)
    apart = clause.sure >= min(chance, float(reader.rules["own_way"])) or (intent == last and last in reader.rules["said_once"])
    if (intent == own and intent != last) or (intent != own and apart) or (intent == "correct_last" and tells_anew(recall)):
        return clause, None
    sure = max(chance, clause.sure) if intent == own else chance
    meant = replace(clause, ranked=[(intent, chance), *(r for r in clause.ranked if r[0] != intent)], sure=sure, apart=0.0 if intent != "none" else clause.apart)
    return meant, recall.leaning(intent, chance, clause)


def _pointed(reader: Understander, intent: str, clause: Clause, sheet: Sheet, earlier: list[Request]) -> str:
    """Return the intent meant where a clause points to the bed just spoken of: what can go in "there" is asked of that bed."""
    said = f" {' '.join(sheet.word(i) for i in range(clause.start, clause.end))} "
    meant = reader.rules["of_a_bed"].get(intent)
    points = any(f" {words} " in said for words in reader.lexicon.language["pointers"]["bed"])
    return str(meant) if meant and points and any(r.beds for r in earlier) else intent


def _of_the_offers(reader: Understander, request: Request, earlier: list[Request]) -> Request | None:
    """Return the request that answers "when will it be ready" of no crop right after what may go in a bed; None where it asks of its own.

    What may go in a bed is told with its room and its days; after what may follow a crop it is asked for.
    """
    rule, told = reader.rules["told_with_offers"], earlier[-1] if earlier else None
    named = request.crops or request.crop_choices or request.unknown_crop or request.group or request.beds or request.unknown_bed
    if told is None or named or request.intent not in rule["asks"]:
        return None
    if told.intent == rule["after"]:
        return told
    follows = told.intent == rule["follows"] and told.beds and len(told.crops) < 2 and "negative" not in told.flags
    return told.with_(intent=rule["after"], text=f"{told.text} {request.text}") if follows and request.intent in rule["begins"] else None


def _not_done(reader: Understander, clause: Clause, sheet: Sheet) -> bool:
    """Tell whether a clause that reads as a record only wishes for it, means to do it, or says that it was left undone.

    Words such as "might" and "forgot to" count right before a word of doing; "should have waited, but the courgettes are out" is done.
    """
    follow, lexicon = reader.lexicon.follow, reader.lexicon
    told = {lexicon.stem(form) for name, forms in lexicon.sets.items() if name.startswith("log_") for form in forms}
    words = [lexicon.stem(sheet.word(i)) for i in range(clause.start, clause.end)]
    if any(a in told and b == lexicon.stem("nothing") for a, b in zip(words, words[1:], strict=False)):
        return True
    for i in range(clause.start, clause.end):
        hit = follow["not_done"].longest(sheet.tokens, i)
        nearby = range(hit[0], min(hit[0] + _NEAR, clause.end)) if hit else ()
        doing = next((n for n in nearby if lexicon.stem(sheet.word(n)) in told), None)
        if doing is not None:
            between = range(hit[0], doing + 1) if hit else ()
            return not any(follow["telling"].longest(sheet.tokens, n) or sheet.tokens[n].kind == "mark" for n in between)
    return False


#: How many words may stand between "wish" or "haven't" and the doing: "wish I'd planted".
_NEAR = 3


def _only_slots(recall: Recall, sheet: Sheet, clause: Clause) -> bool:
    """Tell whether a clause is only a crop or bed with small words: "and what about beans"."""
    inside = [f for f in sheet.found if clause.start <= f.start < clause.end and f.kind in ("crop", "variety", "group", "bed", "date", "temp")]
    covered = {i for f in inside for i in range(f.start, f.end)}
    rest = [sheet.word(i) for i in range(clause.start, clause.end) if i not in covered and sheet.tokens[i].kind != "mark"]
    return bool(inside) and not any(w not in recall.small and w not in recall.reader.lexicon.fillers for w in rest)


def coordinated(reader: Understander, sheet: Sheet, clause: Clause) -> tuple[str, ...]:
    """Return the intents of heads joined before or after an object: "dry or freeze chillies", "spacing and depth for leeks", "store apples and dry apples"."""
    heads = reader.heads
    i, found, last_end = clause.start, [], -1
    while i < clause.end:
        hit = heads.longest(sheet.tokens, i) if not sheet.at(i, "crop", "bed", "date", "qty") else None
        if hit and hit[0] <= clause.end:
            gap = [sheet.word(k) for k in range(last_end, i) if not sheet.at(k, "crop")] if last_end >= 0 else []
            if gap and all(w in reader.lexicon.beside["joins_heads"] for w in gap) and any(w in ("and", "or", ",", "&", "+", "n", "plus") for w in gap):
                found.append(hit[1])
            elif not found:
                found = [hit[1]]
            last_end = hit[0]
            i = hit[0]
        else:
            i += 1
    unique = tuple(dict.fromkeys(found))
    return unique if len(unique) > 1 and clause.ranked[0][0] in (*unique, *reader.rules["heads_within"]) else ()


def _in_the_same(reader: Understander, request: Request, clause: Clause, sheet: Sheet, earlier: list[Request]) -> Request:
    """Return a record whose bare "three of beetroot" counts in the measure of the one told before it."""
    told = earlier[-1] if earlier and earlier[-1].intent == request.intent and reader.intents[request.intent].kind == "record" else None
    amount = next((f for f in sheet.found if f.kind == "qty" and clause.start <= f.start < clause.end), None)
    if told is None or amount is None or len(request.quantities) != 1 or request.quantities[0] is not amount.value:
        return request
    amount.value = like_before(amount.value, told, sheet, amount.end, reader.lexicon)
    return request.with_(quantities=(amount.value,))
