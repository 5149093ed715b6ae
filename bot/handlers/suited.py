"""What suits a wish or a place where no crop is named: easy, quick or for children, worth most, in pots, in shade, on clay and so on."""

from __future__ import annotations

from bot.facts.needs import Suited
from bot.growing.need_words import Topic, ground_of, settled, wish_of, words_in
from bot.handlers import handler_for
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.preserving.matching import plain
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import listing

_NAMED, _HEAD = 12, 6
_COUNT = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10}
_LIST_OF: dict[Topic, str] = {"pots": "pots", "sun": "shade", "ease": "easy"}


def wished(topic: Topic, request: Request, ctx: Context) -> Reply | None:
    """Answer with the list that a message asks for; None when there is none of it."""
    flat, words = plain(request.text), words_in(ctx.facts.root)
    if topic == "sun":
        light = light_told(request, ctx)
        if light is None or light[1] > ctx.facts.growing.number("light.shady_hours"):
            return None
        if settled(flat, request, words):
            return handler_for(request.intent)(request.with_(wishes=(*request.wishes, "shade")), ctx)
    name = ground_of(flat, words) if topic == "soil" else wish_of(flat, words) if topic == "wishes" else _LIST_OF.get(topic)
    if name == "quick":
        return _quickest(request, ctx)
    found = next((each for each in ctx.facts.needs.suited.lists if each.id == name), None)
    return listed(found, request, ctx) if found is not None else None


def light_told(request: Request, ctx: Context) -> tuple[str, float] | None:
    """Return the light a message tells of, in words and hours: hours named, else what the words for a place come to."""
    flat = plain(request.text)
    told = words_in(ctx.facts.root).hours.search(flat)
    if told and "how many" not in flat:
        return "what you have", float(_COUNT.get(told["n"], 0) or told["n"].replace(",", "."))
    place = next((p for p in ctx.facts.needs.sun.places if p.words.search(flat)), None)
    return (place.says, place.hours) if place else None


def listed(suited: Suited, request: Request, ctx: Context) -> Reply:
    """Tell a list, the best first, and what of it can be begun now."""
    names = [ctx.say.crop(crop) for crop in suited.crops]
    rest = names[_HEAD:_NAMED]
    lines = [f"Also {listing(rest)}."] if rest else []
    lines += [*(ctx.say.prose(line) for line in suited.say), *_now(suited.crops, request, ctx)]
    first = ctx.say.crop(suited.crops[0])
    return Reply(f"Best {suited.says}: {listing(names[:_HEAD])}.", lines=tuple(lines), sources=cited(suited), choices=(Choice(f"About {first}", f"tell me about {first}"),),
                 data={"suited": {"list": suited.id, "crops": suited.crops}})


def _quickest(request: Request, ctx: Context) -> Reply:
    """Tell which crops are soonest from seed to plate, by their own days."""
    found: list[tuple[float, float, str]] = []
    for crop in ctx.facts.crops.values():
        growth, worth = crop.growth, ctx.facts.growing.worth.get(crop.id)
        if worth is None or worth.worth < ctx.facts.growing.number("worth.quick_least") or growth is None or growth.lasting or growth.counted_from != "sowing" or worth.kind == "green-manure":
            continue
        low, high = growth.days_to_maturity or (999, 999)
        found.append((low + high, low, crop.id))
    found.sort()
    days = {crop: ctx.facts.crops[crop].growth for _, _, crop in found[:_NAMED]}
    said = [f"{ctx.say.crop(crop)} ({growth.days_to_maturity[0]:g} to {growth.days_to_maturity[1]:g} days)" for crop, growth in days.items() if growth and growth.days_to_maturity]
    crops = [crop for _, _, crop in found[:_NAMED]]
    return Reply(f"Quickest from seed: {listing(said[:4])}.", lines=(f"Then {listing(said[4:9])}.", ctx.say.prose(ctx.facts.needs.times.soonest), *_now(crops, request, ctx)),
                 sources=("common-practice",), data={"suited": {"list": "quick", "crops": crops}})


def _now(crops: list[str], request: Request, ctx: Context) -> list[str]:
    """Say which of some crops can be begun here now, or which come first."""
    if ctx.season is None:
        return ["Tell me where you garden and I'll say which of them can be begun now."]
    told = handler_for("sow_now")(request.with_(intent="sow_now", crops=tuple(crops), group="of these", wishes=(), when=None, text=""), ctx)
    first = told.headline if told.headline.startswith("Best") else " ".join(line for line in told.lines if line.startswith("First come"))
    return [first.replace("Best now", "Of these, now").replace("First come", "Of these come first")] if first else []
