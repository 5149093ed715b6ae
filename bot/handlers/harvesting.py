"""When a crop is ready, or what is ready: which of the answers is wanted."""

from __future__ import annotations

from datetime import date, timedelta

from bot.facts.crop import Crop
from bot.handlers import answers
from bot.handlers.blight import after_blight
from bot.handlers.coming_free import coming_free
from bot.handlers.context import Context, ask_place
from bot.handlers.crop_asking import one_by_one, which_crop
from bot.handlers.growing_words import part
from bot.handlers.harvests_due import due_of_record, expected, ready_now, ready_then
from bot.handlers.harvests_planned import due_if_begun, picking_stops
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital, small


@answers("when_harvest")
def when_harvest(request: Request, ctx: Context) -> Reply:
    """Tell when a crop is ready, or what is ready now."""
    words = ctx.facts.asking.harvest
    if "crops" in request.inherited and words.of_all.match(request.text) and not (len(request.crops) > 1 and words.sooner.search(request.text)):
        request = request.with_(crops=(), crop_choices=())
    asked = request.crops or request.crop_choices or request.unknown_crop
    if ctx.season is None:
        return ask_place(request)
    if words.by_a_day.search(request.text) and request.when is not None and request.when.start > ctx.today and request.crops:
        return _by(request, request.when.end if "end of" in request.text.lower() else request.when.start, ctx)
    free = coming_free(request, ctx)
    if free is not None:
        return free
    if not asked or request.group:
        if request.when is not None and request.when.end > ctx.today + timedelta(days=3):
            return ready_then(request, ctx)
        return ready_now(request, ctx)
    if len(request.crops) > 1:
        own = request.with_(inherited=tuple(name for name in request.inherited if name != "crops"))
        return (_sooner(own, ctx) if words.sooner.search(request.text) else None) or one_by_one(own, ctx, when_harvest, "when_harvest", "Ready")
    crop = which_crop(request, ctx, "Which crop?", "when is it ready:")
    if isinstance(crop, Reply):
        return crop
    ends = picking_stops(crop, ctx) if words.stop.search(request.text) else None
    if ends is not None:
        return ends
    standing = [p for p in ctx.plot.standing(crop=crop.id) if not request.beds or p.bed in request.beds]
    found = [e for p in standing if (e := expected(p, ctx)) is not None]
    planned = request.when is not None and request.when.end >= ctx.today
    told = due_of_record(crop, found, ctx) if found and (not planned or "when" in request.inherited) else due_if_begun(crop, request, ctx)
    return after_blight(_sign_told(told, crop, request, ctx), crop.id, ctx)


def _sign_told(told: Reply, crop: Crop, request: Request, ctx: Context) -> Reply:
    """Say first that what the message tells is the sign itself, "the onions are flopping over", whatever the reckoning says."""
    topples = ctx.facts.asking.harvest.topples
    if crop.harvest is None or crop.harvest.sign is None or not topples.search(request.text) or not topples.search(crop.harvest.sign):
        return told
    sign = ctx.say.prose(small(crop.harvest.sign))
    lines = [line for line in told.lines if not line.startswith("How to tell")]
    return told.with_(headline=f"That is the sign: lift {ctx.say.crop(crop.id)} when {sign}.", lines=tuple(lines))


def _by(request: Request, day: date, ctx: Context) -> Reply:
    """Answer whether crops are ready by a day: yes or no first, then when they are."""
    told = when_harvest(request.with_(when=None), ctx)
    first = told.data.get("when_harvest", {})
    dated = [date.fromisoformat(each["from"]) for each in (first, *first.get("more", ())) if each.get("from")]
    if not dated or len(request.crops) > 1:
        return told
    return told.with_(headline=f"{'Yes' if min(dated) <= day else 'No'}: {small(told.headline)}")


def _sooner(request: Request, ctx: Context) -> Reply | None:
    """Tell which of several crops is ready before the others; None where their days are not known."""
    told = one_by_one(request, ctx, when_harvest, "when_harvest", "Ready")
    first = told.data.get("when_harvest", {})
    dated = sorted((each for each in (first, *first.get("more", ())) if each.get("crop") and each.get("from")), key=lambda each: str(each["from"]))
    if len(dated) < 2:
        return None
    return told.with_(headline=f"{capital(ctx.say.crop(dated[0]['crop']))} first, about {part(date.fromisoformat(dated[0]['from']), ctx)}.")
