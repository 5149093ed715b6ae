"""Keeping the fresh crop."""

from __future__ import annotations

import re
from typing import Any

from bot.facts.crop import Crop, Storage
from bot.handlers import answers, handler_for
from bot.handlers.cold import is_many
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.crop_lines import if_left
from bot.handlers.jar_keeping import asks_of_keeping, kept_jars
from bot.handlers.winter_standing import left_in_ground, lifted
from bot.keeping.company import clashes, feels, gives, longest
from bot.keeping.spans import how_long
from bot.preserving.ledger import product_in
from bot.preserving.matching import find, plain
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing, small

#: Degrees by which the best warmth of two crops may differ in one store.
_NEAR_C = 4.0


def _left_standing(crop: Crop, request: Request, ctx: Context) -> Reply:
    """Tell whether a crop may be left in the ground: whether it stands the winter, and what comes of leaving it too long."""
    reply = handler_for("hardy")(request.with_(crops=(crop.id,)), ctx)
    return reply.with_(lines=(*reply.lines, *if_left(crop, ctx)), sources=tuple(dict.fromkeys((*reply.sources, *cited(crop.harvest)))))


@answers("store")
def store(request: Request, ctx: Context) -> Reply:
    """Tell how to keep a fresh crop: where, how cold, how damp, how long, and away from what."""
    asks = ctx.facts.asking.keeping
    named = request.crop_choices or request.unknown_crop or (request.crops and not ("crops" in request.inherited and asks.till.search(request.text)))
    if request.product and not named and any(lot.left > 0 and lot.product == request.product for lot in ctx.plot.lots):
        return _of_product(request, ctx)
    if len(request.crops) == 2 and asks.side_by_side.search(plain(request.text)):
        return _side_by_side(request, ctx)
    if len(request.crops) > 1:
        return one_by_one(request, ctx, store, "store", "Keeping")
    crop = which_crop(request, ctx, "What would you like to keep?", "how do I store")
    if isinstance(crop, Reply):
        return crop
    if asks.curing.search(request.text) and not cures(crop):
        namesake = _cured_namesake(request, ctx)
        if namesake is None:
            return _not_cured(crop, request, ctx)
        crop = namesake
    left = left_in_ground(request, ctx) and not asks.curing.search(request.text)
    if left and not lifted(crop, ctx):
        return _left_standing(crop, request, ctx)
    name = ctx.say.crop(crop.id)
    if asks.till.search(request.text) and any(lot.left > 0 and lot.crop == crop.id and lot.product == "stored" for lot in ctx.plot.lots):
        return handler_for("stores")(request.with_(intent="stores", product="stored", inherited=()), ctx)  # whether what lies there is enough
    put_up = _just_put_up(request, crop, ctx)
    if put_up is not None:
        return put_up
    if not crop.storage:
        return Reply(
            f"I have no storage figures for {name}.",
            lines=("Cool, clean and out of the light is a fair start; use it soon.",),
            sources=("common-practice",),
            data={"store": {"crop": crop.id, "forms": []}},
        )
    rows = _chosen(crop, request, ctx)
    first = rows[0]
    if len(rows) > 1 and _said_of(first, request) and not _own_words(crop) & _form_words(first):
        name = f"{name} ({first.form})"
    lines = [_conditions(first, ctx).replace(f" ({first.form})", "", 1 if first.form in name else 0)]
    curing = _curing(first, ctx) if first.curing_days or first.curing_temp_c else ""
    if curing and not asks.curing.search(request.text):
        lines.append(curing)
    if first.home_note:
        lines.append(ctx.say.prose(first.home_note))
    company = _company(crop, first, ctx)
    if company and not ("apples" in (first.home_note or "") and "ripe apples" in company):
        lines.append(company)
    if first.chill_below_c is not None and first.chill_below_c > 0:
        lines.append(f"Colder than {ctx.say.temp(first.chill_below_c)} harms {'them' if is_many(crop, ctx.say.words) else 'it'}.")
    others = [f"{capital(row.form)}: {_life(row)}{_where(row, ctx)}." for row in rows[1:4]]
    head = (
        f"{capital(name)} {'keep' if is_many(crop, ctx.say.words) else 'keeps'} {_life(first)}{_where(first, ctx)}."
        if first.weeks else f"Keep {name}{_where(first, ctx)}."
    )
    if left:
        head = f"No, lift {'them' if is_many(crop, ctx.say.words) else 'it'}: {small(head)}"
        lines = [*if_left(crop, ctx), *lines]
    if asks.fridge.search(request.text) and "fridge" not in (first.home_method or "") and (told := _not_in_a_fridge(crop, first, ctx)):
        lines, head, others = [head, company], told, []
    asked = request.temperature_c
    if asked is not None and first.temp_c:  # asked of the warmth alone: neither how it is cured nor kept otherwise
        lines, others = [head, company], []
        head = _at_warmth(name, asked, first.temp_c, ctx)
    if curing and asks.curing.search(request.text):
        lines.insert(0, head)
        head = curing.replace("Cure first", f"Cure {name}", 1)
    cautions = (
        tuple(ctx.say.prose(c) for c in crop.cautions if "green" in c.lower()) if crop.id.startswith("potato") else ()
    )
    return Reply(
        head,
        lines=tuple(line for line in [*lines, *others] if line),
        cautions=cautions,
        working=tuple(f"{row.form}: {row.note}" for row in rows if row.note),
        sources=cited(*rows),
        choices=_next_steps(crop, ctx),
        data={"store": {"crop": crop.id, "forms": [_figures(row) for row in rows]}},
    )


def _of_product(request: Request, ctx: Context) -> Reply:
    """Answer for a product that is in store: where it is kept, opened or not, or what there is of it ("will the chutney last till March")."""
    assert request.product is not None
    if asks_of_keeping(request, ctx):
        lots = [lot for lot in ctx.plot.lots if lot.left > 0 and lot.product == request.product]
        lot = lots[0] if len({each.crop for each in lots}) == 1 else None
        told = kept_jars(request.product, lot.crop if lot else None, lot, request, ctx)
        if told is not None:
            return told
    return handler_for("stores")(request.with_(intent="stores", crops=()), ctx)


def _just_put_up(request: Request, crop: Crop, ctx: Context) -> Reply | None:
    """Answer "how long will they last" right after something was frozen, bottled or dried: that, and not the fresh crop."""
    told = any(before.intent in ("log_preserve", "log_use") for before in ctx.memory.requests[-2:])
    product = request.product or product_in(plain(str(request.extra.get("message", ""))), None, None, ctx.facts.preserving)
    if "crops" not in request.inherited or not (told or product):
        return None
    lots = [lot for lot in ctx.plot.lots if lot.crop == crop.id and lot.product != "stored" and lot.best_before is not None and product in (None, lot.product)]
    if not lots:
        return None
    lot = max(lots, key=lambda each: each.id)
    return kept_jars(lot.product, crop.id, lot, request, ctx)


def cures(crop: Crop) -> bool:
    """Tell whether a crop is cured before it is stored."""
    return any(row.curing_days or row.curing_temp_c for row in crop.storage)


def _cured_namesake(request: Request, ctx: Context) -> Crop | None:
    """Return the crop that is cured and may go by a name in the message: of the squashes, the hard-skinned one."""
    words = plain(request.text)
    meant = [
        known
        for crop in ctx.facts.crops.values()
        for name in crop.names
        if find(words, [re.escape(form.lower()) for form in (name.name, name.plural) if form])
        for known in (crop.id, *name.may_mean)
        if known in ctx.facts.crops and cures(ctx.facts.crops[known])
    ]
    here = {p.crop for p in ctx.plot.standing()} | {lot.crop for lot in ctx.plot.lots}
    mine = [known for known in meant if known in here]
    return ctx.facts.crops[(mine or meant)[0]] if meant else None


def _not_cured(crop: Crop, request: Request, ctx: Context) -> Reply:
    many = is_many(crop, ctx.say.words)
    lines: tuple[str, ...] = ()
    if crop.storage:
        row = _chosen(crop, request, ctx)[0]
        lines = (f"{'They keep' if many else 'It keeps'} {_life(row)}{_where(row, ctx)}.",)
    return Reply(f"{capital(ctx.say.crop(crop.id))} need{'' if many else 's'} no curing.", lines=lines,
                 sources=cited(*crop.storage[:1]), data={"store": {"crop": crop.id, "cured": False}})


def _at_warmth(name: str, asked: float, best: tuple[float, float], ctx: Context) -> str:
    """Judge a store's temperature, °C, by the best range of what is to be kept."""
    said, wanted = ctx.say.temp(asked), ctx.say.temp(*best)
    if asked > best[1] + _NEAR_C / 2:
        return f"Too warm for long: {said}, and {name} keep best at {wanted}."
    if asked < best[0] - _NEAR_C / 4:
        return f"Too cold: {said}, and {name} keep best at {wanted}."
    return f"Yes, {said} suits {name}: best is {wanted}."


def _not_in_a_fridge(crop: Crop, row: Storage, ctx: Context) -> str:
    """Say why a fridge is too cold for what is kept elsewhere; '' where it is not."""
    many = is_many(crop, ctx.say.words)
    if row.chill_below_c is not None and row.chill_below_c > ctx.facts.growing.number("store.fridge_c"):
        return f"No, not in the fridge: colder than {ctx.say.temp(row.chill_below_c)} harms {'them' if many else 'it'}."
    if row.temp_c is not None and row.temp_c[0] > ctx.facts.growing.number("store.fridge_c"):
        return f"Better not in the fridge: {ctx.say.crop(crop.id)} {'keep' if many else 'keeps'} best at {ctx.say.temp(*row.temp_c)}."
    return ""


def _chosen(crop: Crop, request: Request, ctx: Context) -> list[Storage]:
    """Return the ways of keeping, the one asked for first, then the one the crop is named by, else the longest keeper."""
    rows = longest(crop.storage)
    if ctx.facts.asking.keeping.fridge.search(request.text):
        rows.sort(key=lambda row: "fridge" not in (row.home_method or ""))
    rows.sort(key=lambda row: (-len(_said_of(row, request)), -len(_own_words(crop) & _form_words(row))))
    return rows


def _said_of(row: Storage, request: Request) -> set[str]:
    """Return the words of a message that name this form of a crop."""
    return set(f"{request.product or ''} {request.text}".lower().replace(",", " ").split()) & _form_words(row)


def _own_words(crop: Crop) -> set[str]:
    return set(crop.names[0].name.lower().split())


def _form_words(row: Storage) -> set[str]:
    return set(row.form.lower().replace(",", " ").split()) - {"with", "or", "and"}


def _life(row: Storage) -> str:
    return how_long(row.weeks) if row.weeks else "for a while"


def _where(row: Storage, ctx: Context) -> str:
    way = ctx.facts.keeping.store_way(row.home_method)
    return f" {way.say}" if way else ""


def _conditions(row: Storage, ctx: Context) -> str:
    parts = []
    if row.temp_c:
        parts.append(f"{ctx.say.temp(*row.temp_c)}")
    if row.humidity_pct:
        parts.append(_damp(row.humidity_pct))
    return f"Best at {' and '.join(parts)} ({row.form})." if parts else ""


def _damp(pair: tuple[float, float]) -> str:
    return f"{pair[0]:g} % humidity" if pair[0] == pair[1] else f"{pair[0]:g}-{pair[1]:g} % humidity"


def _curing(row: Storage, ctx: Context) -> str:
    warmth = f" at {ctx.say.temp(*row.curing_temp_c)}" if row.curing_temp_c else ""
    damp = f", {_damp(row.curing_humidity_pct)}" if row.curing_humidity_pct else ""
    if row.curing_days:
        low, high = row.curing_days
        days = f"{low:g} days" if low == high else f"{low:g} to {high:g} days"
        return f"Cure first for {days}{warmth}{damp}."
    return f"Cure first{warmth}{damp}."


def _company(crop: Crop, row: Storage, ctx: Context) -> str:
    there = [
        ctx.facts.crops[lot.crop]
        for lot in ctx.plot.lots
        if lot.left > 0 and lot.product == "stored" and lot.crop in ctx.facts.crops
    ]
    bad = list(dict.fromkeys(clashes(crop, row, there)))
    if bad:
        return f"Not beside your {listing([ctx.say.crop(c) for c in bad[:3]])}: ripening gas spoils one or the other."
    if feels(row) and not gives(crop):
        it = "them" if is_many(crop, ctx.say.words) else "it"
        return f"Keep {it} away from ripe apples, pears and tomatoes: their ripening gas spoils {it}."
    return "Keep it apart from greens, carrots and potatoes: it gives off ripening gas." if gives(crop) else ""


def _side_by_side(request: Request, ctx: Context) -> Reply:
    """Say whether two crops may lie in one store: by ripening gas, and by the cold and damp each wants."""
    one, other = (ctx.facts.crops[crop] for crop in request.crops)
    names = [ctx.say.crop(crop.id) for crop in (one, other)]
    if not one.storage or not other.storage:
        return one_by_one(request, ctx, store, "store", "Keeping")
    here, there = longest(one.storage)[0], longest(other.storage)[0]
    lines = [f"{capital(name)}: {low(_conditions(row, ctx))}."
             for name, row in zip(names, (here, there), strict=True) if row.temp_c]
    if clashes(one, here, [other]):
        giver = names[0] if gives(one) else names[1]
        head = f"No: keep {listing(names)} apart; ripening gas from the {giver} spoils the others."
        verdict = "apart"
    elif here.temp_c and there.temp_c and (
            max(here.temp_c[0], there.temp_c[0]) - min(here.temp_c[1], there.temp_c[1]) > _NEAR_C):
        head = f"Better not: {listing(names)} want different warmth."
        verdict = "apart"
    else:
        head = f"Yes, {listing(names)} may lie in one store."
        verdict = "together"
    return Reply(head, lines=tuple(lines), sources=cited(here, there),
                 data={"store": {"crops": list(request.crops), "verdict": verdict}})


def _figures(row: Storage) -> dict[str, Any]:
    return {
        "form": row.form,
        "temp_c": row.temp_c,
        "humidity_pct": row.humidity_pct,
        "weeks": row.weeks,
        "curing_temp_c": row.curing_temp_c,
        "curing_days": row.curing_days,
        "home": row.home_method,
    }


def _next_steps(crop: Crop, ctx: Context) -> tuple[Choice, ...]:
    name = ctx.say.crop(crop.id)
    return tuple(
        Choice(label, f"{says} {name}")
        for route, label, says in (
            ("freeze", "Freeze instead", "how do I freeze"),
            ("pickle", "Pickle", "pickle"),
            ("dry", "Dry", "how do I dry"),
        )
        if route in crop.preserving
    )


def low(text: str) -> str:
    """Return a sentence as it stands inside another: no capital, no full stop."""
    return text if text[:2].isupper() else small(text).rstrip(".")
