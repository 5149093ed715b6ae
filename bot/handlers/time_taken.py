"""How long a crop takes from sowing or planting to the first picking."""

from __future__ import annotations

from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, which_crop
from bot.handlers.needs_saying import name_of, sentences
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, number, plural

_DAYS_A_WEEK = 7
_FROM = {"sowing": "sowing", "transplant": "planting out", "planting": "planting"}


def time_taken(request: Request, ctx: Context) -> Reply:
    """Say how many weeks, or years, a crop takes."""
    crop = which_crop(request, ctx, "Which crop's time do you want to know?", "how long from planting for")
    if isinstance(crop, Reply):
        return crop
    name, growth, say, times = name_of(request, crop, ctx), crop.growth, ctx.say, ctx.facts.needs.times
    ready = (Choice("When would they be ready here?", f"when will {say.crop(crop.id)} be ready if I start now"),) if ctx.season else ()
    data = {"crop": crop.id, "days": list(growth.days_to_maturity) if growth and growth.days_to_maturity else None, "from": growth.counted_from if growth else None,
            "years": growth.first_crop_years if growth else None}
    if growth is None or not (growth.days_to_maturity and growth.counted_from) and growth.first_crop_years is None:
        return Reply(f"{name}: I hold no figure for how long they take.", lines=("The label is the best guide.",), data={"time": data})
    sign = (f"Ready when: {say.prose(crop.harvest.sign)[:1].lower()}{say.prose(crop.harvest.sign)[1:]}",) if crop.harvest else ()
    if growth.lasting and growth.first_crop_years is not None:
        years = growth.first_crop_years
        head = f"{name}: about {plural(int(years), 'year')} from planting to the first real picking."
        return Reply(head, lines=sentences([*sign, times.waits if years >= times.waits_years else None], ctx),
                     sources=cited(growth, times), data={"time": data})
    assert growth.days_to_maturity and growth.counted_from
    low, high = growth.days_to_maturity
    weeks = f"{number(low / _DAYS_A_WEEK, 1)} to {number(high / _DAYS_A_WEEK, 1)} weeks" if round(low / _DAYS_A_WEEK) != round(high / _DAYS_A_WEEK) else f"{number(low / _DAYS_A_WEEK, 1)} weeks"
    began = _FROM[growth.counted_from]
    lines: list[str | None] = [f"First leaves can be cut after about {growth.days_to_leaves[0]:g} days" if growth.days_to_leaves else None]
    lines.append(times.raised if growth.counted_from == "transplant" else None)
    lines += [f"{capital(say.crop(kin.id))}: {kin.growth.days_to_maturity[0]:g} to {kin.growth.days_to_maturity[1]:g} days" for kin in ctx.facts.written_crops.values()
              if kin.like == crop.id and kin.growth and kin.growth.days_to_maturity and kin.growth.days_to_maturity != growth.days_to_maturity][:2]
    lines += [times.season, *sign]
    return Reply(f"{name}: about {weeks} from {began} ({low:g} to {high:g} days).", lines=sentences(lines, ctx), sources=cited(growth, crop.harvest, times), choices=ready, data={"time": data})
