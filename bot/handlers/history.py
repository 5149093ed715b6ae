"""Past records: when things were done, how much was picked, what grew where."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from bot.facts.asking import RecordWords
from bot.handlers import answers
from bot.handlers.checking import unknown_bed
from bot.handlers.context import Context
from bot.handlers.frosts_seen import frosts_meant
from bot.handlers.harvest_sums import crops_asked, harvests_reply, span_said, within
from bot.handlers.naming import bed_name, place_said
from bot.handlers.plot_views import rows
from bot.handlers.records import season_start
from bot.handlers.stores_past import stores_past
from bot.handlers.telling import sentence, told
from bot.handlers.year_beside import year_beside
from bot.plot.events import Event
from bot.reply import Choice, Reply
from bot.request import Request, When
from bot.wording import capital, listing, plural, small

#: What a kind of record is called when there is none.
_CALLED = {
    "noted": "a note", "pest_seen": "a pest", "fed": "feeding", "watered": "watering", "cleared": "clearing",
    "harvested": "lifting", "preserved": "putting any by", "sown": "sowing", "planted_out": "planting",
}
_DOINGS = ("sown", "planted_out", "moved", "harvested", "cleared", "preserved", "used", "fed", "noted", "pest_seen")
_FEW_WORDS = 5  # "and last year?", "what about the peas"


@answers("history")
def history(request: Request, ctx: Context) -> Reply:
    """Answer from the journal: amounts, days, what grew where; of one person's doings when one is named."""
    names = ctx.plot.extra.get("names", {})
    text = request.text.lower()
    author = next((a for a, name in names.items() if re.search(rf"\b{re.escape(str(name).lower())}\b", text)), None)
    if author is None or ctx.facts.asking.records.who.match(text):
        return _history(request, ctx)
    kept = {e.seq for e in ctx.plot.journal if e.author == author}
    plot = replace(
        ctx.plot,
        journal=tuple(e for e in ctx.plot.journal if e.seq in kept),
        harvests=tuple(h for h in ctx.plot.harvests if h.seq in kept),
    )
    if not kept:
        return Reply(f"I have no record by {names[author]} yet.", data={"history": {"rows": []}})
    theirs = text.replace(str(names[author]).lower(), " ")
    # "Tomas" is no tomato: a crop counts only if its name stands in the rest.
    crops = tuple(crop for crop in request.crops if said_in(crop, theirs, ctx))
    reply = _history(request.with_(text=theirs.strip(), crops=crops), replace(ctx, plot=plot, author=""))
    said = f"{names[author]}: {small(reply.headline)}"
    return reply.with_(headline=said.replace(": you ", " "))


def said_in(crop: str, text: str, ctx: Context) -> bool:
    """Tell whether a text names a crop by itself."""
    known = ctx.facts.crops.get(crop)
    forms = [form for n in known.names for form in (n.name, n.plural) if form] if known else [crop]
    return any(re.search(rf"\b{re.escape(form.lower())}\b", text) for form in forms)


def _history(request: Request, ctx: Context) -> Reply:
    stray = unknown_bed(request, ctx)
    if stray and not ctx.facts.asking.harvest.by_bed.search(request.text):  # "our best bed" is no bed of that name
        return stray
    if not ctx.plot.journal or not any(
        e.kind not in ("plot_set", "bed_added", "person_added") for e in ctx.plot.journal
    ):
        return Reply(
            "There are no records yet.",
            lines=(f'Tell me what you do and I keep it: "sowed peas in Bed 1", "{ctx.say.picked_example}".',),
            data={"history": {"rows": []}},
        )
    early = year_beside(request, ctx)
    if early is not None:
        return early
    request = _looking_back(_asked_again(request, ctx), ctx)
    text, words = request.text.lower(), ctx.facts.asking.records
    if words.of_past_stores(text):
        return stores_past(request, ctx)
    if request.when is None and words.this_season.search(text):
        request = request.with_(when=When(season_start(ctx.today, ctx), ctx.today, "this season"))
    kinds = next((asked.kinds for asked in words.kinds if asked.says.search(text)), None)
    if ctx.facts.asking.records.who.match(text):
        return _records(request, ctx, kinds or (("harvested",) if words.picked.search(text) else _DOINGS), by=True)
    if words.picked.search(text) and kinds not in (("sown", "planted_out"), ("cleared",), ("pest_seen",), ("frost_seen",)):
        return harvests_reply(request, ctx)
    if kinds:
        return _records(request, ctx, kinds)
    if words.first.search(text) and len(crops_asked(request)) == 1:  # "when was the first tomato"
        return harvests_reply(request, ctx)
    if words.grew.search(text) and (request.bed or request.crops or request.crop_choices):
        return _grew(request, ctx)
    if request.bed and not request.crops:
        return _grew(request, ctx)
    if request.crops or request.crop_choices:
        return _of_crop(request, ctx)
    return _period(request, ctx)


def _asked_again(request: Request, ctx: Context) -> Request:
    """Give a bare "and last year?" the question asked before it, which it asks again of another year or crop."""
    before, words = ctx.memory.requests[-1] if ctx.memory.requests else None, ctx.facts.asking.records
    if before is not None and before.intent.startswith("log_") and before.crops and not (crops_asked(request) or request.beds) and words.leans.search(request.text):
        return request.with_(crops=before.crops)  # "sowed broad beans", "when did I sow them last year"
    if words.of_that.fullmatch(request.text) and "crops" not in request.inherited and not crops_asked(request):
        return request.with_(crops=before.crops, crop_choices=before.crop_choices) if before is not None else request
    if "crops" in request.inherited and not words.of_that.fullmatch(request.text) and words.of_all.match(request.text):
        return request.with_(crops=(), crop_choices=())
    asks = words.picked.search(request.text) or words.grew.search(request.text)
    if asks or len(request.text.split()) > _FEW_WORDS or any(asked.says.search(request.text) for asked in words.kinds):
        return request
    earlier = next((r for r in reversed(ctx.memory.requests) if r.intent == "history"), None)
    if earlier is None or not (request.inherited or request.when or words.goes_on.match(request.text)):
        return request
    return request.with_(text=f"{earlier.text} {request.text}", beds=request.beds or earlier.beds)


def _looking_back(request: Request, ctx: Context) -> Request:
    """Read "this spring", asked in October, as the spring gone by: the past has no days to come."""
    when = request.when
    if when is None or when.start <= ctx.today:
        return request
    start, end = (
        day.replace(year=day.year - 1, day=min(day.day, 28) if day.month == 2 else day.day)
        for day in (when.start, when.end)
    )
    return request.with_(when=When(start, end, when.words))


def _matching(request: Request, ctx: Context, kinds: Iterable[str] | None = None) -> list[Event]:
    crops = crops_asked(request)
    found = [
        e
        for e in ctx.plot.journal
        if (kinds is None or e.kind in kinds)
        and (not crops or e.crop in crops)
        and (not request.beds or e.bed in request.beds)
        and within(e.day, request)
    ]
    return sorted(found, key=lambda e: (e.day, e.seq))


def _records(request: Request, ctx: Context, kinds: tuple[str, ...], *, by: bool = False) -> Reply:
    """Answer 'when did I …' (or 'who …' with `by`) from the newest record of the kind back."""
    words = ctx.facts.asking.records
    found, what = _narrowed(_matching(request, ctx, kinds), request, words)
    if kinds == ("frost_seen",):
        found, what = frosts_meant(found, request, ctx)
    about = _about(request, ctx)
    if not found:
        missed = what or _CALLED.get(kinds[0] if len(kinds) < 3 else "", "that")
        about = about.replace(" about ", " for ", 1)
        return Reply(
            f"I have no record of {missed}{about}{span_said(request, ctx)}.", data={"history": {"rows": []}}
        )
    first = bool(words.first.search(request.text)) and len(found) > 1
    ordered = found if first else found[::-1]
    lead = ordered[0]
    days = (ctx.today - lead.day).days
    ago = f", {plural(days, 'day')} ago" if days > 1 else ""
    year = f" {lead.day.year}" if days > 300 and str(lead.day.year) not in ctx.say.day(lead.day, ctx.today) else ""
    who = [_who(e, ctx) if by else "" for e in ordered]
    lines = [sentence(f"{name} {told(e, ctx)}".strip()) for name, e in zip(who[1:9], ordered[1:9], strict=True)]
    more = [sentence(f"{name} {told(e, ctx)}".strip()) for name, e in zip(who[9:29], ordered[9:29], strict=True)]
    return Reply(
        f"{who[0] or 'You'} {told(lead, ctx)}{year}{ago}.",
        lines=tuple(lines),
        more=tuple(more),
        data={"history": {"rows": [e.as_json() for e in found]}},
    )


def _who(event: Event, ctx: Context) -> str:
    if event.author == ctx.author:
        return "You"
    return str(ctx.plot.extra.get("names", {}).get(event.author, event.author))


def _narrowed(found: list[Event], request: Request, words: RecordWords) -> tuple[list[Event], str]:
    """Keep only records of the pest or material asked about, and return it in words."""
    if request.pest:
        return [e for e in found if e.data.get("pest") == request.pest], request.pest.replace("-", " ")
    if request.materials and not set(request.materials) <= words.any_feed:
        wanted = set(request.materials)
        return (
            [e for e in found if e.data.get("material") in wanted or wanted & set(e.data.get("materials", ()))],
            listing([material.replace("-", " ") for material in request.materials], "or"),
        )
    for stem in words.stems:
        if re.search(rf"\b{stem}", request.text.lower()):
            return [
                e for e in found if stem in f"{e.data.get('pest', '')} {e.data.get('material', '')} {e.words}".lower()
            ], stem
    return found, ""


def _about(request: Request, ctx: Context) -> str:
    crops = crops_asked(request)
    of = f" about {listing([ctx.say.crop(crop) for crop in crops[:3]], 'or')}" if crops else ""
    beds = listing([bed_name(bed, ctx) for bed in request.beds])
    return of + (f" {'in' if crops else 'for'} {beds}" if beds else "")


def _grew(request: Request, ctx: Context) -> Reply:
    """Answer what grew in a bed, or which bed had a crop, over a span or all time."""
    crops = crops_asked(request)
    found = []
    for p in ctx.plot.plantings:
        start, end = p.in_ground or p.began, p.cleared or ctx.today
        if (crops and p.crop not in crops) or (request.beds and p.bed not in request.beds) or start is None:
            continue
        if request.when is None or (start <= request.when.end and end >= request.when.start):
            found.append(p)
    found.sort(key=lambda p: p.in_ground or p.began or ctx.today, reverse=True)
    span = span_said(request, ctx)
    data: dict[str, Any] = {"history": {"rows": rows(found, ctx)}}
    names = listing([ctx.say.crop(crop) for crop in crops[:3]], "or")
    where = listing([bed_name(bed, ctx) for bed in request.beds])
    if not found:
        return Reply(
            f"I have no record of {names or 'anything'} growing{' in ' + where if where else ''}{span}.", data=data
        )
    lines = []
    for p in found:
        began = p.in_ground or p.began
        until = ctx.say.day(p.cleared, ctx.today) if p.cleared else ""
        since = ctx.say.day(began, ctx.today) if began else "a day I don't know"
        stood = f"{since} to {until}" if p.cleared else f"since {since}"
        place = "" if len(request.beds) == 1 else f", {place_said(p, ctx)}"
        lines.append(sentence(f"{ctx.say.crop(p.crop)}{place}: {stood}"))
    if request.beds and not crops:
        head = f"{where}{span}: {listing(list(dict.fromkeys(ctx.say.crop(p.crop) for p in found)))}."
    else:
        head = (
            f"{capital(names)}{span}: {listing(list(dict.fromkeys(place_said(p, ctx) for p in found)))}."
        )
    choices = (Choice("What may follow", f"what can follow {ctx.say.crop(found[0].crop)}"),)
    return Reply(head, lines=tuple(lines[:9]), more=tuple(lines[9:]), choices=choices, data=data)


def _of_crop(request: Request, ctx: Context) -> Reply:
    """Show the last records of a crop."""
    found = _matching(request, ctx)[::-1]
    if not found:
        return Reply(
            f"I have no record{_about(request, ctx)}{span_said(request, ctx)}.", data={"history": {"rows": []}}
        )
    lines = [sentence(told(e, ctx)) for e in found]
    return Reply(
        f"{plural(len(found), 'record')}{_about(request, ctx)}{span_said(request, ctx)}. The last: {lines[0]}",
        lines=tuple(lines[1:9]),
        more=tuple(lines[9:29]),
        data={"history": {"rows": [e.as_json() for e in found]}},
    )


def _period(request: Request, ctx: Context) -> Reply:
    """Show what was written down in a span, or lately."""
    found = [
        e for e in _matching(request, ctx) if e.kind not in ("plot_set", "bed_added", "person_added", "stock_set")
    ][::-1]
    if not found:
        return Reply(f"Nothing was written down{span_said(request, ctx)}.", data={"history": {"rows": []}})
    kg = sum(e.amount or 0 for e in found if e.kind == "harvested" and e.unit == "kg")
    picked = f", {ctx.say.mass(kg)} picked" if kg else ""
    lines = [sentence(told(e, ctx)) for e in found]
    return Reply(
        f"{plural(len(found), 'record')}{span_said(request, ctx) or ' in all'}{picked}.",
        lines=tuple(lines[:9]),
        more=tuple(lines[9:29]),
        data={"history": {"rows": [e.as_json() for e in found]}},
    )
