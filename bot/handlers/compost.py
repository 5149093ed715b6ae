"""What may go on the heap, how to mix it, and what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.facts.tending_ground import HeapStuff, Topic
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.ground_words import cap, chain, hazards, loads, material_words, topic_lines, units
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.compost import Ingredient, c_to_n, ingredient, joined, kg_for_ratio, mends, mix_of, moisture, stuff_named
from bot.tending.materials import Heaped, heaped, mentions
from bot.tending.topics import best, plain, score
from bot.wording import listing, number

#: Rows about sickness say more than the plant they are on.
_SICK = ("x-clubroot", "x-blight", "x-virus", "x-powdery-mildew", "x-diseased-general", "treated-timber")
_MIX = re.compile(r"\b(mix|blend|ratio|balance|how much|how many|add to|with what)\b", re.I)
_WHAT_NOT = re.compile(r"\b(what (can.?t|cannot|can not|shouldn.?t|must not|not)|never (put|compost))\b", re.I)
_WHAT = re.compile(r"\bwhat (can|may|goes|should|do) ?(i|you|go|in|we)?\b", re.I)
_VERDICT = {"yes": "yes", "little": "a little", "hot": "hot heap only", "no": "no"}
_DRIED = re.compile(r"\b(dried|dead|drowned|crisp)\b", re.I)


@answers("compost")
def compost(request: Request, ctx: Context) -> Reply:
    """Answer whether something may be composted, work a mix out, or say what to do about a heap."""
    room = ctx.facts.tending.compost
    parts = [p for p in heaped(request.text, material_words(ctx)) if stuff_named(p.material, room)] or _quantities(request, ctx)
    if parts and not all(p.vague for p in parts):
        return _mix(parts, request, ctx)
    stuff = _asked_about(request, ctx)
    topic = best(request.text, room.topics)
    weight = score(topic, plain(request.text)) if topic else 0.0
    if len(stuff) >= 2 and _MIX.search(request.text):
        return _pair(stuff, ctx)
    wanted = topic is not None and topic.id in _ABOUT_HEAP and not _asks_if(request.text)
    if topic is not None and (not stuff or (wanted and (weight >= 8 or topic.id in _TROUBLE)) or topic.id == "only-leaves"):
        return _topic(topic, ctx, request.text)
    if stuff:
        return _verdicts(stuff, request, ctx)
    if _WHAT_NOT.search(request.text):
        return _list(("no",), "Keep these out of the heap:", ctx)
    if request.crops:
        return _crop_waste(request, ctx)
    if _WHAT.search(request.text):
        return _list(("yes", "little"), "Into the heap:", ctx)
    start = next(t for t in room.topics if t.id == "start")
    return _topic(start, ctx)


_ABOUT_HEAP = ("too-wet", "ammonia", "smells", "too-dry", "cold", "hot-or-cold", "how-long", "turning", "ratio", "rats", "flies",
               "worms", "ants", "winter", "use-dusty")


_TROUBLE = ("too-wet", "ammonia", "smells", "too-dry", "cold", "rats", "flies", "worms", "ants")


def _asks_if(text: str) -> bool:
    return bool(re.search(r"\b(can|may|could|should|ok|okay|safe|in the compost|on the heap|compost\?)\b", text, re.I)) and \
        not re.search(r"\b(slimy|smells?|stinks?|wet|heat|rats?)\b", text, re.I)


# --- may it go in --------------------------------------------------------------------------------------------------


def _asked_about(request: Request, ctx: Context) -> list[HeapStuff]:
    """Return the rows a message names, sickness first; by its words and by the materials understanding found."""
    room = ctx.facts.tending.compost
    words = {**ctx.facts.tending.material_words.words}
    for row in room.stuff:
        words[row.id] = [*words.get(row.id, ()), *row.words]
    rows: list[HeapStuff] = []
    for material in (*(m.material for m in mentions(request.text, words)), *request.materials):
        found = stuff_named(material, room)
        if found is not None and found not in rows:
            rows.append(found)
    if request.pest:
        pest = ctx.facts.tending.pest(request.pest)
        if pest is not None and not any(r.id in _SICK for r in rows):
            wanted = {"yes": "x-powdery-mildew", "hot": "x-virus", "no": "x-diseased-general"}[pest.heap]
            rows.insert(0, next(r for r in room.stuff if r.id == wanted))
    sick = [row for row in rows if row.id in _SICK]
    specific = [row for row in rows if row.id not in ("veg-produce", "weeds")] or rows
    return [*sick, *(row for row in specific if row not in sick)]


def _verdicts(stuff: Sequence[HeapStuff], request: Request, ctx: Context) -> Reply:
    first = stuff[0]
    if first.id == "x-perennial-weeds" and _DRIED.search(request.text):
        return Reply("Yes, once they are dead right through: dried to a crisp or drowned for weeks.", lines=(
            "Snap one: if it is still pale and bends, it is alive and will root. Leave it longer.",), sources=tuple(first.source),
            data={"compost": {"items": [{"id": first.id, "verdict": "yes"}]}})
    if request.pest and first.id in _SICK:
        pest = ctx.facts.tending.pest(request.pest)
        if pest is not None:
            head = {"yes": "Yes", "hot": "In a hot heap only", "no": "No"}[pest.heap]
            return Reply(f"{head}: {pest.hygiene[:1].lower()}{pest.hygiene[1:]}", lines=(units(first.say, ctx),),
                         sources=chain(pest.source, first.source),
                         data={"compost": {"items": [{"id": pest.id, "verdict": _VERDICT[pest.heap]}]}})
    shown = [first] if first.id in _SICK else list(stuff[:4])
    lines = [f"{cap(row.name)}: {row.say[:1].lower()}{units(row.say, ctx)[1:]}" for row in shown[1:]]
    if first.instead:
        lines.insert(0, first.instead if first.instead.endswith(".") else f"{first.instead}.")
    if first.kind in ("green", "brown") and first.heap in ("yes", "little"):
        ratio = first.c_to_n_usual or (sum(first.c_to_n) / 2 if first.c_to_n else None)
        lines.append(f"It counts as a {first.kind}" + (f" (C:N about {number(ratio, 1)})." if ratio else "."))
    return Reply(units(first.say, ctx), lines=tuple(lines), cautions=hazards(first.hazards, ctx)[:1], sources=chain(*(r.source for r in shown)),
                 data={"compost": {"items": [{"id": row.id, "verdict": _VERDICT[row.heap], "kind": row.kind,
                                               "c_to_n": row.c_to_n_usual} for row in shown]}})


def _crop_waste(request: Request, ctx: Context) -> Reply:
    """Answer for what is left of a crop, from its own page."""
    crop = ctx.facts.crops[request.crops[0]]
    name, end = cap(ctx.say.crop(crop.id)), crop.end_of_crop
    lines = []
    if end and end.roots:
        lines.append(f"Roots: {end.roots}.")
    if end and end.if_diseased:
        lines.append(f"If sick: {end.if_diseased}.")
    head = f"{name}: {end.tops[:1].lower()}{end.tops[1:]}." if end and end.tops else f"{name}: yes, what is healthy may go on the heap, chopped."
    return Reply(head, lines=tuple(lines), sources=tuple(end.source) if end else ("common-practice",), cautions=tuple(
        c for c in crop.cautions[:1] if "leaves" in c), data={"compost": {"items": [{"id": crop.id, "verdict": "yes"}]}})


def _list(verdicts: Sequence[str], head: str, ctx: Context) -> Reply:
    rows = [row for row in ctx.facts.tending.compost.stuff if row.heap in verdicts]
    if "yes" in verdicts:
        greens = listing([r.name for r in rows if r.kind == "green" and r.heap == "yes"][:9])
        browns = listing([r.name for r in rows if r.kind == "brown" and r.heap == "yes"][:9])
        little = listing([r.name for r in rows if r.heap == "little"][:8])
        lines = [f"Greens: {greens}.", f"Browns: {browns}.", f"A little: {little}.",
                 "Ask about any one thing and I'll say what to mind."]
    else:
        lines = [f"{cap(r.name)}." for r in rows[:9]]
    return Reply(head, lines=tuple(lines), sources=("memory:rhs-composting", "memory:us-extension-compost"),
                 choices=(Choice("What may not go in?", "what can't go in the compost"),) if "yes" in verdicts else (),
                 data={"compost": {"items": [{"id": r.id, "verdict": _VERDICT[r.heap]} for r in rows]}})


def _topic(topic: Topic, ctx: Context, text: str = "") -> Reply:
    said = topic_lines(topic, ctx)
    words = plain(text)
    also = next((t for t in ctx.facts.tending.compost.topics if t.id != topic.id and t.id in _TROUBLE and topic.id in _TROUBLE
                 and t.id != "smells" and score(t, words) >= 8), None)
    said += topic_lines(also, ctx)[:1] if also else []
    return Reply(said[0], lines=tuple(said[1:]), cautions=hazards(topic.hazards, ctx)[:2], sources=tuple(topic.source),
                 choices=(Choice("Work out a mix", "2 barrows of grass and 1 of cardboard in the compost"),) if topic.id == "ratio" else (),
                 data={"compost": {"topic": topic.id}})


# --- mixes ---------------------------------------------------------------------------------------------------------


def _quantities(request: Request, ctx: Context) -> list[Heaped]:
    """Return an amount and material that understanding found, when the words alone gave none."""
    amount = request.amount("barrow", "bag", "bucket", "l", "kg", "load", "bale")
    if amount is None or len(request.materials) != 1:
        return []
    return [Heaped(request.materials[0], amount.value, amount.unit)]


def _mix(stuff: list[Heaped], request: Request, ctx: Context) -> Reply:
    """Work out C:N and moisture of a mix, say how it will do and what to add."""
    room = ctx.facts.tending.compost
    parts, unknown = mix_of(stuff, room, ctx.facts.tending.measures, us=ctx.say.us)
    rows = {item.material: stuff_named(item.material, room) for item in stuff}
    refused = [row for row in rows.values() if row is not None and row.heap == "no"]
    if refused:
        return _verdicts(refused, request, ctx)
    if not parts:
        return Reply(f"I have no figures for {listing(unknown)}, so I can't work that mix out.",
                     lines=("Grass, leaves, straw, cardboard, paper, manures and peelings I can.",), data={"compost": {"c_to_n": None}})
    ratio, wet = c_to_n(parts), moisture(parts)
    low, high = room.target("cn-start").span or (25.0, 35.0)
    driest, wettest = room.target("moisture-limits").span or (40.0, 65.0)
    lines: list[str] = []
    mend = mends(parts, room)
    if ratio < low:
        verdict = "on the green side: it will heat, and may smell" if ratio >= 20 else "too green: it will mat and smell"
    elif ratio > high:
        verdict = "on the brown side: slow, but it rots" if ratio <= 60 else "too brown: it will hardly rot"
    else:
        verdict = "a good mix"
    head = f"C:N about {number(ratio, 1)}, {verdict}." if len(parts) > 1 else f"C:N about {number(ratio, 1)} for {parts[0].name} alone, {verdict}."
    if mend is not None:
        row, kg, litres = mend
        lines.append(f"To bring it to about 30, mix in {loads(litres, ctx)} of {row.name}.")
    if wet > wettest:
        dry = mend is not None and mend[0].kind == "brown"
        lines.append(f"Moisture about {number(wet, 1)} %: too wet on its own. {f'The {mend[0].name} help' + ('' if mend[0].name.endswith('s') else 's') + '; keep' if dry and mend else 'Keep'} rain off and turn it for air.")
    elif wet < driest:
        water = kg_water(parts, 55.0)
        lines.append(f"Moisture about {number(wet, 1)} %: dry, so add about {ctx.say.volume(water)} of water as you build it.")
    else:
        lines.append(f"Moisture about {number(wet, 1)} %: {'just right' if 50 <= wet <= 60 else 'it will do'}.")
    vague = [stuff_named(s.material, room) for s in stuff if s.vague]
    if vague:
        lines.append(f"I took “some” {listing([v.name for v in vague if v])} as half a barrow; say how much for a better figure.")
    total = sum(p.litres or 0.0 for p in parts)
    if total and total < 700:
        lines.append("To get hot a heap wants to be about a metre each way, ten or twelve barrows; a smaller one rots cool.")
    if unknown:
        lines.append(f"Left out, for want of figures: {listing(unknown)}.")
    return Reply(head, lines=tuple(lines), working=_working(parts, ratio, wet, ctx), sources=("cornell-formula", "cornell-cn", "cornell-right-mix",
                 "memory:nraes-54-appendix-a", "composting-handbook-t42"),
                 cautions=hazards([h for row in rows.values() if row for h in row.hazards], ctx)[:1],
                 data={"compost": {"c_to_n": round(ratio, 1), "moisture_pct": round(wet, 1),
                                   "parts": [{"id": p.id, "kg": round(p.kg, 1), "litres": p.litres} for p in parts],
                                   "add": {"id": mend[0].id, "kg": round(mend[1], 1), "litres": round(mend[2])} if mend else None}})


def kg_water(parts: Sequence[Ingredient], wanted_pct: float) -> float:
    """Return the kg (litres) of water that bring a mix to a wanted moisture."""
    total = sum(p.kg for p in parts)
    return max(0.0, (total * wanted_pct - sum(p.kg * p.water_pct for p in parts)) / (100 - wanted_pct))


def _working(parts: Sequence[Ingredient], ratio: float, wet: float, ctx: Context) -> tuple[str, ...]:
    lines = []
    for p in parts:
        size = f"{number(p.litres, 1)} l = " if p.litres else ""
        guess = f" ({', '.join(p.guessed)})" if p.guessed else ""
        lines.append(f"{cap(p.name)}: {size}{number(p.kg, 0.1)} kg, {number(p.water_pct, 1)} % water, N {p.n_pct:.2f} %, C {p.c_pct:.1f} %, "
                     f"C:N {number(p.ratio, 1)}{guess}.")
    top = " + ".join(f"{p.kg:.1f}x{p.c_pct:.1f}x{100 - p.water_pct:.0f}" for p in parts)
    under = " + ".join(f"{p.kg:.1f}x{p.n_pct:.2f}x{100 - p.water_pct:.0f}" for p in parts)
    lines.append(f"C:N = ({top}) / ({under}) = {ratio:.1f}.")
    lines.append(f"Moisture = {sum(p.kg * p.water_pct for p in parts):.0f} / {sum(p.kg for p in parts):.1f} = {wet:.1f} %.")
    return tuple(lines)


def _pair(stuff: Sequence[HeapStuff], ctx: Context) -> Reply:
    """Say how much of a second thing balances one barrow of the first."""
    room = ctx.facts.tending.compost
    barrow = ctx.facts.tending.measure("barrow")
    litres = (barrow.us_litres if ctx.say.us and barrow and barrow.us_litres else barrow.litres) if barrow else 85.0
    greens = sorted(stuff[:2], key=lambda row: row.c_to_n_usual or (sum(row.c_to_n) / 2 if row.c_to_n else 30))
    first = ingredient(greens[0], None, litres, room)
    second = ingredient(greens[1], None, litres, room)
    if first is None or second is None:
        return _verdicts(stuff, Request("compost"), ctx)
    per_litre = second.kg / litres
    kg = kg_for_ratio(first, second, 30.0)
    if kg <= 0:
        both = "green" if first.ratio < 30 else "brown"
        return Reply(f"{cap(first.name)} and {second.name} are both {both}: they need something {'brown' if both == 'green' else 'green'} besides.",
                     lines=("Cardboard, straw or dry leaves." if both == "green" else "Grass, fresh manure or peelings.",),
                     sources=("cornell-cn",), data={"compost": {"c_to_n": [round(first.ratio, 1), round(second.ratio, 1)]}})
    added = ingredient(greens[1], kg, None, room)
    wet = moisture([first, added]) if added else 0.0
    volume = kg / per_litre
    return Reply(f"For each barrow of {first.name}, {loads(volume, ctx)} of {second.name}.", lines=(
        f"That makes a C:N of about 30 and moisture of about {number(wet, 1)} %.",
        "Mix them rather than laying thick layers."), sources=("cornell-formula", "memory:nraes-54-appendix-a"),
        working=(f"{first.kg:.1f} kg x {first.n_pct:.2f} x (30 - {first.ratio:.1f}) x {100 - first.water_pct:.0f} / ({second.n_pct:.2f} x ({second.ratio:.1f} - 30) x "
                 f"{100 - second.water_pct:.0f}) = {kg:.1f} kg of {second.name}.", f"{kg:.1f} kg / {per_litre:.2f} kg per litre = {volume:.0f} l."),
        data={"compost": {"c_to_n": 30.0, "moisture_pct": round(wet, 1), "kg": round(kg, 1), "litres": round(volume)}})


__all__ = ["compost", "joined", "kg_water"]
