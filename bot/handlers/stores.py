"""What is in the freezer, on the shelves, in the shed and in the seed tin; counting it; labels."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bot.handlers import answers, handler_for
from bot.handlers.context import Context
from bot.handlers.jar_keeping import kept_jars, of_an_opened_one
from bot.handlers.lasting_out import how_long_left
from bot.handlers.stock_taking import stock_take
from bot.handlers.store_finding import named_lots, where_in
from bot.handlers.stores_past import stores_past
from bot.plot.state import Lot, SeedLot
from bot.preserving.ledger import amount_said, in_place, in_store, label, lot_name, nearly_out
from bot.preserving.matching import find, plain, words_of
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import listing, number, plural

#: Rows shown before "more".
SHOWN = 9


@answers("stores")
def stores(request: Request, ctx: Context) -> Reply:
    """List what is in store, by place and crop, with what is nearly out; take a count; write a label."""
    place = where_in(plain(str(request.extra.get("message", ""))), ctx) if ctx.facts.asking.keeping.in_there.search(request.text) else None
    if place is not None:  # "took a bag out of the freezer, what else is in there"
        request = request.with_(text=f"{request.text} ({place})")
    text = words_of(request)
    words = ctx.facts.preserving.words
    if find(text, words.label):
        return _label(request, ctx, text)
    if ctx.facts.asking.records.of_past_stores(request.text):
        return stores_past(request, ctx)
    if find(text, words.miscounted) and not request.quantities:
        return Reply(
            "Tell me what is really there and I'll set it.",
            lines=("For example: there are 3 bags of frozen peas left.",),
        )
    if request.quantities and find(text, words.stocktake) and not find(text, ["how (?:many|much)"]):
        return stock_take(request, ctx)
    if find(text, words.seed_tin) and not find(text, ["freezer", "jars?"]):
        return _seeds(request, ctx)
    if request.product and of_an_opened_one(request, ctx) and (kept := kept_jars(request.product, request.crop, None, request, ctx)) is not None:
        return kept
    if request.amount("kg") and request.crop and find(text, words.how_many_jars) and not find(text, words.there):
        return handler_for("can")(request, ctx)  # how many a weight will fill, and not how many there are
    lots = _wanted(request, ctx, text)
    if not lots:
        return _empty(request, ctx)
    groups = _grouped(lots)
    if find(text, words.low):
        return _running_out(groups, ctx)
    if find(text, words.past_it):
        return _gone_over(lots, ctx)
    lines = [_line(group, ctx) for group in groups]
    low = [lot_name(g[0], ctx.say) for g in groups if nearly_out(g)]
    if low:
        lines.append(f"Nearly out: {', '.join(low[:4])}.")
    head = _headline(request, groups, ctx, text)
    if len(groups) == 1 and find(text, words.enough):
        told = how_long_left(groups[0], request, ctx)
        lines, head = [*told[1:], *lines], told[0]
    return Reply(
        head,
        lines=tuple(lines[:SHOWN]),
        more=tuple(lines[SHOWN:]),
        choices=(Choice("What to eat first", "what needs eating first", "use_up"),),
        data={"stores": {"rows": [_row(lot) for lot in lots]}},
    )


def _running_out(groups: list[list[Lot]], ctx: Context) -> Reply:
    """Say what is nearly out, and nothing else."""
    low = [group for group in groups if nearly_out(group)]
    data = {"stores": {"rows": [_row(lot) for group in low for lot in group]}}
    if not low:
        return Reply("Nothing is nearly out.", data=data)
    head = f"Nearly out: {listing([lot_name(group[0], ctx.say) for group in low[:4]])}."
    return Reply(head, lines=tuple(_line(group, ctx) for group in low[:SHOWN]), data=data)


def _gone_over(lots: Sequence[Lot], ctx: Context) -> Reply:
    """Say what is past its best-before date, the oldest first, and nothing else."""
    past = sorted((lot for lot in lots if lot.best_before and lot.best_before < ctx.today), key=lambda lot: lot.best_before or lot.made)
    data = {"stores": {"rows": [_row(lot) for lot in past]}}
    if not past:
        dated = [lot.best_before for lot in lots if lot.best_before]
        return Reply("Nothing there is past its best.", data=data,
                     lines=(f"The next is best before {ctx.say.month(min(dated).month)} {min(dated).year}.",) if dated else ())
    groups = _grouped(past)
    return Reply(f"Past its best: {_names(groups, ctx)}.", lines=tuple(_line(group, ctx) for group in groups[:SHOWN]), data=data)


def _wanted(request: Request, ctx: Context, text: str) -> list[Lot]:
    crops, words = request.crops or request.crop_choices, ctx.facts.preserving.words
    if not crops and find(text, words.everything):
        return in_store(ctx.plot.lots)
    if crops or request.product or find(text, words.some_stores):
        found = named_lots(request, ctx, text)
        if find(text, words.in_jars) and any(lot.unit == "jar" for lot in found):
            found = [lot for lot in found if lot.unit == "jar"]
        return found
    lots = in_store(ctx.plot.lots)
    if find(text, words.in_jars):
        return [lot for lot in lots if lot.unit in ("jar", "bottle")]
    return lots


def _grouped(lots: Sequence[Lot]) -> list[list[Lot]]:
    groups: dict[tuple[str, str, str, str], list[Lot]] = {}
    for lot in lots:
        groups.setdefault((lot.where or "", lot.product, lot.crop, lot.unit), []).append(lot)
    return sorted(groups.values(), key=lambda g: (g[0].where or "~", min((x.best_before or x.made) for x in g)))


def _line(group: list[Lot], ctx: Context) -> str:
    left = sum(lot.left for lot in group)
    name = lot_name(group[0], ctx.say)
    where = f", {group[0].where}" if group[0].where else ""
    # A weight is said only where it is that of all of them.
    weighed = all(lot.kg and lot.made_count for lot in group)
    kg = sum((lot.kg or 0) * lot.left / lot.made_count for lot in group) if weighed else 0
    weight = f" ({ctx.say.mass(kg)})" if kg and group[0].unit != "kg" else ""
    best = _best_before(group, ctx)
    return f"{name[0].upper()}{name[1:]}: {amount_said(left, group[0].unit, ctx.say)}{weight}{where}{best}."


def _best_before(group: list[Lot], ctx: Context) -> str:
    """Say by when a group is best eaten, and how much of it is past that."""
    dated = sorted((lot for lot in group if lot.best_before), key=lambda lot: lot.best_before or lot.made)
    past = [lot for lot in dated if lot.best_before and lot.best_before < ctx.today]
    fresh = [lot.best_before for lot in dated[len(past):] if lot.best_before]
    best = f"; best before {ctx.say.month(fresh[0].month)} {fresh[0].year}" if fresh else ""
    if not past:
        return best
    since = past[0].best_before or ctx.today
    year = f" {since.year}" if since.year != ctx.today.year else ""
    old = sum(lot.left for lot in past)
    weighed = group[0].unit == "kg"
    said = f"past {'its' if weighed or old == 1 else 'their'} best since {ctx.say.month(since.month)}{year}"
    if len(past) == len(group):
        return f"; {said}"
    part = f"{amount_said(old, 'kg', ctx.say)} of it" if weighed else f"{number(old, 0.5)} of them"
    return f"; {part} {said}{best.replace(';', ', the rest')}"


def _headline(request: Request, groups: list[list[Lot]], ctx: Context, text: str) -> str:
    if len(groups) == 1:
        left = sum(lot.left for lot in groups[0])
        verb = "is" if left == 1 else "are"
        return (
            f"There {verb} {amount_said(left, groups[0][0].unit, ctx.say)} of {lot_name(groups[0][0], ctx.say)} left."
        )
    places = {g[0].where for g in groups}
    if len(places) == 1 and None not in places:
        return f"{in_place(next(iter(places))).strip().capitalize()}: {_names(groups, ctx)}."
    return f"In store: {_names(groups, ctx)}."


def _names(groups: Sequence[list[Lot]], ctx: Context) -> str:
    """Name what there is, the first few when it is much."""
    names = list(dict.fromkeys(lot_name(group[0], ctx.say) for group in groups))
    return listing(names) if len(names) <= 5 else f"{', '.join(names[:4])} and {len(names) - 4} more"


def _row(lot: Lot) -> dict[str, object]:
    return {
        "lot": lot.id,
        "crop": lot.crop,
        "product": lot.product,
        "left": lot.left,
        "made_count": lot.made_count,
        "unit": lot.unit,
        "kg": lot.kg,
        "where": lot.where,
        "made": lot.made.isoformat(),
        "best_before": lot.best_before.isoformat() if lot.best_before else None,
    }


def _empty(request: Request, ctx: Context) -> Reply:
    data: dict[str, Any] = {"stores": {"rows": []}}
    crops = request.crops or request.crop_choices
    if crops:
        gone = [lot for lot in ctx.plot.lots if lot.crop in crops]
        name = ctx.say.crop(crops[0])
        if gone:
            last = max(gone, key=lambda lot: lot.made)
            return Reply(
                f"No {name} left in the stores.",
                lines=(
                    f"The last were {amount_said(last.made_count, last.unit, ctx.say)}, put away "
                    f"{ctx.say.day(last.made, ctx.today)}.",
                ),
                data=data,
            )
        return Reply(f"No {name} in the stores.", data=data)
    if request.unknown_crop:
        return Reply(f"I have nothing called {request.unknown_crop} in the stores.", data=data)
    return Reply(
        "Nothing there, as far as I have been told.",
        lines=(f"Tell me what you put away, for example: froze 4 bags of {ctx.say.bean}.",),
        data=data,
    )


def _seeds(request: Request, ctx: Context) -> Reply:
    crops = request.crops or request.crop_choices
    seeds = [s for s in ctx.plot.seeds if not s.used_up and (not crops or s.crop in crops)]
    rows = [{"crop": s.crop, "variety": s.variety, "year": s.year, "amount": s.amount, "unit": s.unit} for s in seeds]
    if not seeds:
        what = f"{ctx.say.crop(crops[0], 1)} seed" if crops else "seed"
        return Reply(f"No {what} in the tin, as far as I have been told.", data={"stores": {"rows": rows}})
    seeds.sort(key=lambda s: (s.year or 9999, s.crop))
    lines = [_seed_line(s, ctx) for s in seeds]
    return Reply(
        f"In the seed tin: {len(seeds)} lot{'s' if len(seeds) > 1 else ''}, oldest first.",
        lines=tuple(lines[:SHOWN]),
        more=tuple(lines[SHOWN:]),
        choices=(Choice("Is it still good?", "is my old seed still good"),),
        data={"stores": {"rows": rows}},
    )


def _seed_line(seed: SeedLot, ctx: Context) -> str:
    name = ctx.say.crop(seed.crop, 1)
    variety = f" {seed.variety}" if seed.variety else ""
    amount = f", {plural(seed.amount, seed.unit or 'seed')}" if seed.amount else ""
    return f"{name[0].upper()}{name[1:]}{variety}{f', {seed.year}' if seed.year else ''}{amount}."


def _label(request: Request, ctx: Context, text: str) -> Reply:
    lots = named_lots(request, ctx, text) or (
        [max(in_store(ctx.plot.lots), key=lambda lot: lot.id)] if in_store(ctx.plot.lots) else []
    )
    if not lots:
        return Reply("Nothing is in store yet, so there is nothing to label.")
    newest = max(lots, key=lambda lot: (lot.made, lot.id))
    return Reply(
        label(newest, ctx.say, ctx.today),
        lines=(f"Write that on each of the {amount_said(newest.made_count, newest.unit, ctx.say)}.",),
        data={"stores": {"label": label(newest, ctx.say, ctx.today), "lot": newest.id}},
    )
