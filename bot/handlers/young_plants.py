"""How young plants are raised: pricking out, potting on, hardening off, and what to do for leggy ones."""

from __future__ import annotations

from datetime import timedelta

from bot.facts.crop import Crop
from bot.facts.needs import Act
from bot.growing.curves import curves
from bot.growing.need_words import act_of, words_in
from bot.growing.windows import windows
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.preserving.matching import plain
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital

_TENDER = ("tender", "half-hardy")
_NEXT = {"prick": ("Potting on", "how do I pot on {}"), "pot-on": ("Hardening off", "how do I harden off {}"), "harden": ("Can it stand frost?", "will {} stand a frost"),
         "leggy": ("Potting on", "how do I pot on {}")}


def young_plants(request: Request, ctx: Context) -> Reply | None:
    """Tell how one act is done, with what is otherwise for the crop named and, for hardening off, the days here."""
    act_id = act_of(plain(request.text), words_in(ctx.facts.root))
    act = next((each for each in ctx.facts.needs.raising.acts if each.id == act_id), None)
    if act is None:
        return None
    crop = ctx.facts.crops.get(request.crop or "")
    name = request.group or (ctx.say.crop(crop.id) if crop else "")
    data = {"raising": {"act": act.id, "crop": crop.id if crop else None}}
    but = next((each for each in act.but if crop and crop.id in each.crops), None)
    if but is not None and but.instead:
        return Reply(f"{capital(name)}: {ctx.say.prose(but.instead).rstrip('.')}.", sources=cited(act), data=data)
    head, lines = ctx.say.prose(act.head), [ctx.say.prose(step) for step in act.steps]
    own = [ctx.say.prose(but.say)] if but is not None and but.say else []
    lines = [*own, *_nights(act, crop, ctx), *_days(act, crop, ctx), *lines] if act.id == "harden" else [*own, *lines]
    lead = f"{act.title}{f' {name}' if name and act.id != 'leggy' else ''}: {head[:1].lower()}{head[1:]}"
    label, asks = _NEXT[act.id]
    choices = (Choice(label, asks.format(name)),) if name else ()
    return Reply(lead, lines=tuple(lines), sources=cited(act), choices=choices, data=data)


def _nights(act: Act, crop: Crop | None, ctx: Context) -> list[str]:
    """Say what nights a crop may be out in."""
    if crop is None or crop.sowing is None:
        return [ctx.say.prose(act.tender)] if act.tender else []
    said = act.tender if crop.sowing.hardiness_class in _TENDER else act.hardy
    return [ctx.say.prose(said)] if said else []


def _days(act: Act, crop: Crop | None, ctx: Context) -> list[str]:
    """Say from when to begin here, counted back from when the crop may go out."""
    if crop is None or ctx.season is None or act.days is None:
        return []
    found = [window for window in windows(crop, curves(ctx.season, None, ctx.facts)) if window.method == "plants"]
    if not found:
        return []
    first, last = min((window.dates(ctx.today, ctx.season.southern) for window in found), key=lambda span: span[0])
    begin = first - timedelta(days=act.days[1])
    if begin <= ctx.today <= last:
        return [f"Here they may go out until about {ctx.say.day(last, ctx.today)}, so begin now."]
    return [f"Here begin about {ctx.say.day(begin, ctx.today)}, to plant out from about {ctx.say.day(first, ctx.today)}."]
