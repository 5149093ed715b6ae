"""What comes through the winter here: one crop, or which vegetables do, and which are lifted before it."""

from __future__ import annotations

from datetime import date

from bot.facts.crop import Crop
from bot.growing.curves import curves
from bot.handlers.cold import LIKELY, SURE, cold_of
from bot.handlers.cold_question import BETTER, ColdQuestion, winters
from bot.handlers.context import Context
from bot.reply import Reply
from bot.request import Request
from bot.season import Season, day_in_year
from bot.season.covering import middle
from bot.season.winter import winter_span
from bot.wording import capital, listing, small


def which_stand(season: Season, span: tuple[date, date] | None, ctx: Context) -> Reply:
    """Name the vegetables that come through the winter here in the open, the most worthwhile first."""
    span = span or winter_span(season, ctx.today)
    sure: list[str] = []
    fair: list[str] = []
    for crop_id, row in sorted(ctx.facts.growing.worth.items(), key=lambda item: -item[1].worth):
        crop = ctx.facts.crops[crop_id]
        cold = cold_of(crop, ctx.facts)
        if row.kind == "perennial" or "green-manure" in crop.use or not cold.known or crop.growth is None or not crop.growth.stands_winter:
            continue
        chance = season.survival(cold.winter_kill_c, *span)
        (sure if chance >= SURE else fair if chance >= LIKELY else []).append(ctx.say.crop(crop_id))
    lines = [f"Most winters, with fleece by: {listing(fair[:6])}."] if fair else []
    lines.append(f"{winters(season, ctx)}.")
    head = f"These stand the winter here in the open: {listing(sure[:9])}." if sure else "Few vegetables stand the winter here in the open."
    return Reply(head, tuple(lines), sources=("computed:frost-dates-fit",), data={"hardy": {"stand": sure, "fair": fair}})


#: From these chances on it is a gamble, or seldom goes well.
_EVEN, _POOR = 0.4, 0.15
_TENTHS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def left_in_ground(request: Request, ctx: Context) -> bool:
    """Tell whether a message asks if a crop may stay where it grew, at no temperature named."""
    return bool(ctx.facts.asking.cold.left_in.search(request.text)) and request.temperature_c is None


def lifted(crop: Crop, ctx: Context) -> bool:
    """Tell whether a crop is out of the ground once it is ripe: bulbs and tubers that do not stand the winter."""
    row = ctx.facts.growing.worth.get(crop.id)
    stands = crop.growth is not None and crop.growth.stands_winter
    return row is not None and row.kind in ("tuber", "allium") and not stands


def through_winter(asked: ColdQuestion, chance: float, season: Season) -> str:
    """Answer whether a crop comes through the winter here, with its chance and what a cover changes."""
    cold, say, where = asked.cold, asked.say, asked.under(asked.cover)
    if cold.tender and cold.winter_kill_c >= -1.5 and chance < SURE and asked.cover not in ("heated", "indoors"):
        return _tender(asked, season)
    head = _verdict(asked, chance, where)
    asked.lines.append(f"About {say.temp(round(cold.winter_kill_c))} kills {'them' if asked.many else 'it'}; "
                       f"{small(winters(season, asked.ctx))}.")
    if cold.winter_kill_c < cold.kill_c:
        asked.lines.append(f"That is the roots or crowns; tops die back from about {say.temp(round(cold.kill_c))}.")
    growth = asked.crop.growth
    if growth and growth.chilling and "need" in growth.chilling and curves(season, None, asked.ctx.facts).two_seasons:
        asked.lines.insert(0, f"It is the lack of cold that may fail {'them' if asked.many else 'it'}: {say.prose(growth.chilling)}.")
    if chance < SURE and not asked.cover:
        asked.lines += _under_better(asked, chance)
    return head


def _verdict(asked: ColdQuestion, chance: float, where: str) -> str:
    cold = asked.cold
    hardiest = asked.chance(cold.kills[0], asked.cover) or 0.0
    if (chance < LIKELY <= hardiest + 0.2 and cold.kills[-1] - cold.kills[0] >= asked.ctx.facts.growing.number("cold.kinds_apart_c")
            and cold.winter_kill_c == cold.kill_c and hardiest >= _EVEN):
        rest = "softer kinds seldom" if chance < _POOR else f"others about {_of_ten(chance)}"
        kinds = f"the hardiest kinds of {asked.name}"
        return (f"It depends on the kind: {kinds} come through about {_of_ten(hardiest)} winters in ten "
                f"here{where}, {rest}.")
    if chance >= SURE:
        return f"Yes, {asked.name} should come through the winter here{where}."
    come = asked.does("come", "comes")
    if chance >= LIKELY:
        return f"{capital(come)} through about {_of_ten(chance)} winters in ten here{where}."
    if chance >= _EVEN:
        return f"It is a gamble: {come} through about {_of_ten(chance)} winters in ten here{where}."
    if chance >= _POOR:
        return f"Seldom: {come} through only about {_of_ten(chance)} winters in ten here{where}."
    return f"No, {asked.name} will hardly come through a winter here{where}."


def _under_better(asked: ColdQuestion, chance: float) -> list[str]:
    for cover in BETTER:
        better = asked.chance(asked.cold.winter_kill_c, cover)
        if better is not None and better >= max(LIKELY, chance + 0.15):
            return [f"{capital(asked.under(cover).strip())} it would be about {_of_ten(better)} in ten."]
    return []


def _tender(asked: ColdQuestion, season: Season) -> str:
    cold, say, where = asked.cold, asked.say, asked.under(asked.cover)
    gain = middle(asked.ctx.facts.climate.covers[asked.cover].night_c) if asked.cover else 0.0
    dates = season.frost_dates(cold.kill_c - gain)
    if dates.first.p10 is None:
        return f"Cold seldom kills {asked.name} here{where}."
    safe = say.day(day_in_year(asked.ctx.today.year, dates.first.p10))
    weeks = asked.crop.storage[0].weeks if asked.crop.storage else None
    if weeks and weeks[1] >= 8:
        asked.lines.append(f"Bring the crop in by about {safe}: one year in ten it is already too late then.")
    else:
        asked.lines.append(f"Pick what is left by about {safe}: one year in ten it is already too late then.")
    if dates.first.p50:
        asked.lines.append("The night that ends them comes about "
                           f"{say.day(day_in_year(asked.ctx.today.year, dates.first.p50))} in a usual year.")
    return f"No, about {say.temp(round(cold.kill_c))} kills {asked.name}, so the first frost ends them{where}."


def _of_ten(chance: float) -> str:
    return _TENTHS[round(chance * 10)]
