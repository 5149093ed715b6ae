"""Stakes, sticks, poles and wires, soil drawn up to stems, and plants that rock in the wind.

The reader has no intent of these: such words come as pruning, sowing, mulching and more. So each request is held against the
words of the table before its own handler is asked (`support_reply`).
"""

from __future__ import annotations

from datetime import date, timedelta

from bot.facts.tending_support import Earthing, Support, needs_support
from bot.growing.calendar import MIDSUMMER, GardenYear
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.ground_words import hazards
from bot.handlers.growing_words import span
from bot.handlers.sprouting import sprouting_reply
from bot.plot.state import Planting
from bot.preserving.matching import find, plain
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.support_words import Topic, crops_of, topic_of, words_in
from bot.wording import capital, number, small

#: Who says "earthing up" and no crop, and grows none that wants it, speaks of these most often.
_PLAIN = "potato"


def support_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer a request about supports, earthing up or rocking plants; None when it is of something else."""
    topic = topic_of(request, ctx.facts) or _going_on(request, ctx)
    if topic is None:
        return None
    if topic == "chitting":
        return sprouting_reply(request, ctx)
    request = request.with_(crops=crops_of(request, ctx.facts))
    if request.group:  # of "brassicas" those are told of that something is known of
        request = request.with_(crops=tuple(crop for crop in request.crops if _row(topic, crop, ctx)) or request.crops[:1])
    tell = {"support": _support, "earthing": _earthing, "rocking": _rocking}[topic]
    if not request.crops and not request.crop_choices and not request.unknown_crop and topic == "earthing":
        request = request.with_(crops=_of_plot(topic, ctx))
    rows = {_row(topic, crop, ctx) for crop in request.crops}
    if len(request.crops) > 1 and len(rows) > 1:
        title = {"support": "Supports", "earthing": "Earthing up", "rocking": "Against the wind"}[topic]
        return one_by_one(request, ctx, tell, "support", title)
    return tell(request, ctx)


def _going_on(request: Request, ctx: Context) -> Topic | None:
    """Return the topic just spoken of, where a request is only another crop for it ("and the peas?") or leans on it ("how tall?")."""
    told = ctx.memory.reply.data.get("support") if ctx.memory.reply else None
    if not told or not request.crops or request.intent not in words_in(ctx.facts.root).read_as or not _asked(request, ctx, "going_on"):
        return None
    topic: Topic = told["topic"]
    return topic


def _row(topic: str, crop: str, ctx: Context) -> str | None:
    room = ctx.facts.tending.supports
    found = {"support": room.support, "earthing": room.earthed, "rocking": room.firmed}[topic](crop)
    return found.id if found else None


def _of_plot(topic: str, ctx: Context) -> tuple[str, ...]:
    """Return the crops standing here that the topic is of, else the one it is mostly of."""
    here = dict.fromkeys(p.crop for p in ctx.plot.standing() if _row(topic, p.crop, ctx))
    return tuple(here) or (_PLAIN,)


def _asked(request: Request, ctx: Context, name: str) -> bool:
    words: list[str] = getattr(words_in(ctx.facts.root), name)
    return find(plain(request.text), words) is not None


def _name(request: Request, crop: str, ctx: Context) -> str:
    return capital(request.group if request.group and len(request.crops) > 1 else ctx.say.crop(crop))


def _planted(crop: str, ctx: Context) -> Planting | None:
    """Return what stands in its place of a crop, the newest."""
    found = [p for p in ctx.plot.standing(crop=crop) if p.in_ground]
    return max(found, key=lambda p: p.in_ground or date.min) if found else None


# --- supports ------------------------------------------------------------------------------------------------------


def _support(request: Request, ctx: Context) -> Reply:
    crop = which_crop(request, ctx, "Which crop do you want to hold up?", "what support for")
    if isinstance(crop, Reply):
        return crop
    row, name = ctx.facts.tending.supports.support(crop.id), _name(request, crop.id, ctx)
    if row is None:
        nothing = ctx.facts.tending.supports.nothing
        known = needs_support(crop.light.support if crop.light else None)
        said = nothing.support if known is False else nothing.unknown
        sources = cited(crop.light if known is False else nothing)
        return Reply(f"{name}: {said}", sources=sources, data={"support": {"topic": "support", "crop": crop.id, "needed": known}})
    say, when, length = ctx.say.prose(row.say), ctx.say.prose(row.when), ctx.say.length(*row.height_cm)
    how = [ctx.say.prose(line) for line in row.how]
    tall = f"{row.kind}, {length} long in all."
    if _asked(request, ctx, "height"):
        parts = [tall, when, *how]
    elif _asked(request, ctx, "form"):
        parts = [small(how[0]), tall, when, *how[1:]]
    elif _asked(request, ctx, "when"):
        parts = [when, say, *how]
    elif row.ties and _asked(request, ctx, "ties"):
        parts = [ctx.say.prose(row.ties), say, *how[1:]]
    else:
        parts = [say, *how, when]
    return Reply(f"{name}: {parts[0]}", lines=tuple(capital(line) for line in [*parts[1:], *_standing(row, crop.id, ctx)]),
                 cautions=hazards(row.hazards, ctx), sources=cited(row),
                 data={"support": {"topic": "support", "crop": crop.id, "needed": True, "kind": row.kind, "height_cm": list(row.height_cm)}})


def _standing(row: Support, crop: str, ctx: Context) -> list[str]:
    """Return what is said of the ones in the record, when they went in lately."""
    planting = _planted(crop, ctx)
    if row.standing is None or planting is None or planting.in_ground is None:
        return []
    if ctx.today - planting.in_ground > timedelta(weeks=ctx.facts.tending.supports.standing_weeks):
        return []
    return [ctx.say.prose(row.standing).replace("{day}", ctx.say.day(planting.in_ground, ctx.today))]


# --- earthing up ---------------------------------------------------------------------------------------------------


def _earthing(request: Request, ctx: Context) -> Reply:
    crop = which_crop(request, ctx, "Which crop do you want to earth up?", "when to earth up")
    if isinstance(crop, Reply):
        return crop
    room, name = ctx.facts.tending.supports, _name(request, crop.id, ctx)
    row = room.earthed(crop.id)
    if row is None:
        if room.firmed(crop.id) is not None:
            return _rocking(request, ctx)
        return Reply(f"{name}: {room.nothing.earthing}", sources=cited(room.nothing), data={"support": {"topic": "earthing", "crop": crop.id, "earthed": False}})
    say, last = ctx.say.prose(row.say), ctx.say.prose(row.last)
    dates, sums = _dates(row, ctx), _sums(row, ctx)
    begin = f"{_when_here(dates, ctx)}, {row.first}" if dates else ctx.say.prose(row.first)
    how = [ctx.say.prose(row.how), *sums]
    if _asked(request, ctx, "late"):
        parts = [_lateness(dates, row, last, ctx), begin, *how]
    elif _asked(request, ctx, "when"):
        parts = [begin, *how, last]
    elif sums and (_asked(request, ctx, "often") or _asked(request, ctx, "height")):
        parts = [sums[0], begin, ctx.say.prose(row.how), last]
    elif plain(request.text).startswith("how"):
        parts = [how[0], *sums, begin, last]
    else:
        parts = [say, begin, *how, last]
    first = small(parts[0])
    return Reply(f"{name}: {first}", lines=(*(capital(line) for line in parts[1:]), *_yours(row, crop.id, ctx)), sources=cited(row),
                 choices=(Choice("What it means", "what does earthing up mean"),), data={"support": {
                     "topic": "earthing", "crop": crop.id, "earthed": True, "first_cm": list(row.first_cm or ()), "top_cm": list(row.top_cm or ()),
                     "window": [day.isoformat() for day in dates] if dates else None}})


def _sums(row: Earthing, ctx: Context) -> list[str]:
    """Say how much at a time, how often, and how high in all."""
    each = f"{ctx.say.length(*row.each_cm)} of soil at a time" if row.each_cm else ""
    weeks = row.every_weeks
    often = "" if weeks is None else f"every {number(weeks[0], 1)}{f' to {number(weeks[1], 1)}' if weeks[1] > weeks[0] else ''} weeks"
    top = f"until the ridge is {ctx.say.length(*row.top_cm)} high" if row.top_cm else ""
    said = ", ".join(part for part in (each, often, top) if part)
    return [capital(f"{said}.")] if said else []


def _dates(row: Earthing, ctx: Context) -> tuple[date, date] | None:
    """Return this season's days of a row that goes by the year: from and to. None without such a rule or a place."""
    place = ctx.plot.settings.place
    if row.midsummer_weeks is None or place is None:
        return None
    year = GardenYear.around(ctx.today, place.lat < 0)
    first, last = (year.day(MIDSUMMER + 7 * weeks) for weeks in row.midsummer_weeks)
    return first, last


def _when_here(dates: tuple[date, date], ctx: Context) -> str:
    return f"from {span(*dates, ctx).replace(' to ', ' till ')}"


def _lateness(dates: tuple[date, date] | None, row: Earthing, last: str, ctx: Context) -> str:
    """Say whether it is too late: by the year where the row goes by it, else by the plant."""
    if dates is None:
        return last
    first, end = dates
    if ctx.today > end:
        return f"it is late now, {last}"
    return f"no, {'there is time' if ctx.today >= first else 'it has not begun: there is time'} till {ctx.say.part_of_month(end)}."


def _yours(row: Earthing, crop: str, ctx: Context) -> list[str]:
    """Say when the shoots of those in the record show, where their weeks are published."""
    planting = _planted(crop, ctx)
    if row.shoots_weeks is None or planting is None or planting.in_ground is None:
        return []
    day = planting.in_ground
    first, last = (day + timedelta(weeks=weeks) for weeks in row.shoots_weeks)
    said = f"Yours, planted on {ctx.say.day(day, ctx.today)},".replace("on today", "today").replace("on yesterday", "yesterday")
    if ctx.today > last:
        return [f"{said} should be up since {ctx.say.day(last, ctx.today)}, so measure them."]
    return [f"{said} should show between {ctx.say.day(first)} and {ctx.say.day(last)}; the first earthing comes after that."]


# --- rocking -------------------------------------------------------------------------------------------------------


def _rocking(request: Request, ctx: Context) -> Reply:
    room = ctx.facts.tending.supports
    if request.crop_choices:
        crop = which_crop(request, ctx, "Which plants rock?", "firm in")
        if isinstance(crop, Reply):
            return crop
        request = request.with_(crops=(crop.id,), crop_choices=())
    row = room.firmed(request.crop) if request.crop else room.firming[0]
    if row is None:
        return _support(request, ctx)
    name = _name(request, request.crop, ctx) if request.crop else capital(row.name)
    parts = [ctx.say.prose(line) for line in (row.say, row.when, *row.how)]
    return Reply(f"{name}: {parts[0]}", lines=tuple(capital(line) for line in parts[1:]), sources=cited(row),
                 data={"support": {"topic": "rocking", "crop": request.crop, "each_cm": list(row.each_cm or ())}})
