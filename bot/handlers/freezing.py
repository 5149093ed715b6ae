"""Freezing and drying: whether, how, how much room, how many bags, how long it keeps."""

from __future__ import annotations

from bot.facts.preserving import Blanching, Drying
from bot.handlers import answers, handler_for
from bot.handlers.cold import is_many
from bot.handlers.context import Context
from bot.handlers.crop_asking import one_by_one, which_crop
from bot.handlers.keeping import cures
from bot.handlers.preserving import minutes_said, number_said, span_said
from bot.handlers.preserving_asks import keyed
from bot.preserving.altitude import height_of, to_feet
from bot.preserving.blanching import RULE_FEET, form_of, frozen_pints, rows_of, times
from bot.preserving.matching import find, words_of
from bot.preserving.measures import prose, small_length
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import number


@answers("freeze")
def freeze(request: Request, ctx: Context) -> Reply:
    """Say whether and how a crop is frozen: blanch or not, tray, headspace, bags from a weight, months."""
    several = tuple(c for c in request.crops if rows_of(c, ctx.facts.preserving))
    if len(request.crops) > 1 and several:
        return one_by_one(request.with_(crops=several), ctx, freeze, "freeze", "Freezing")
    known = which_crop(request, ctx, "Which crop do you want to freeze?", "freeze")
    if isinstance(known, Reply):
        return known
    if find(words_of(request), ("raw",)) and not find(words_of(request), ("fr[eo]z\\S*",)):
        return handler_for("crop_info")(request.with_(crops=(known.id,)), ctx)  # "raw chard safe?" asks of eating it
    return keyed("freeze", _frozen(request, ctx, known.id))


def _frozen(request: Request, ctx: Context, crop: str) -> Reply:
    facts, text, say = ctx.facts.preserving, words_of(request), ctx.say
    name, rows = say.crop(crop), rows_of(crop, facts)
    if not rows:
        return Reply(
            headline=f"I have no freezing advice for {name} that I can trust.",
            lines=("Ask me how to store, dry or pickle them instead.",),
            data={"crop": crop, "treatment": None},
        )
    row = form_of(rows, text)[0]
    if row.treatment == "unsuitable":
        return Reply(
            headline=f"No, {name} do not freeze well: they go limp and watery.",
            sources=tuple(row.source),
            lines=("Eat them fresh, or give some away.",),
            data={"crop": crop, "treatment": "unsuitable"},
        )
    metres = height_of(request, ctx.plot)
    lines = [f"{prose(say, row.preparation or '')}."]
    data: dict[str, object] = {
        "crop": crop,
        "treatment": row.treatment,
        "form": row.form,
        "months": list(row.months) if row.months else None,
    }
    if row.treatment == "blanch":
        time = times([row], metres)[0]
        cool = "twice as long" if crop == "sweetcorn" else "as long"
        lines.append(f"Blanch {minutes_said(time)}, then iced water {cool}, and drain well.")
        data |= {"water_min": time.as_json()["water_min"], "steam_min": time.as_json()["steam_min"]}
    lines.append("Dry them, freeze in one layer on a tray, then bag and press the air out.")
    if row.headspace_cm:
        lines.append(f"In a box leave {small_length(say, row.headspace_cm)} at the top.")
    kg = request.amount("kg")
    if kg is not None and kg.value > 0:
        lines.append(_bags_line(ctx, crop, kg.value, data))
    if row.months:
        months = f"{number(row.months[0], 1)}-{number(row.months[1], 1)} months"
        if find(text, facts.words.frozen_life):
            return Reply(
                f"Frozen {name} {'are at their' if is_many(ctx.facts.crops[crop], say.words) else 'is at its'} best for {months} at {say.temp(-18)} or colder.",
                lines=("Write the date on the bag and take the oldest first.",),
                more=("How they are frozen:", *lines),
                sources=tuple(row.source),
                data=data,
            )
        lines.append(f"Best within {months} at {say.temp(-18)} or colder; write the date on.")
    skipped = row.treatment == "blanch" and find(text, facts.words.unblanched)
    sources = [*row.source, "umn-blanching"]
    if skipped:
        why = facts.rule("blanch-safety")
        lines.insert(0, f"{why.rule}.")
        sources += why.source
    head = f"Better not: blanch {name} first, then freeze." if skipped else {
        "blanch": f"Yes: blanch {name} first, then freeze." if not ctx.facts.asking.keeping.way.search(text) else f"Blanch {name} first, then freeze.",
        "none": f"Yes: {name} freeze raw, no blanching.",
        "cook": f"Yes, but cook {name} through first.",
    }[row.treatment]
    more = [f"Also: {_other_form(r, metres)}." for r in rows if r is not row]
    more.append(
        f"Freeze no more at once than {say.mass(0.9 / 28.3 * 100)}-{say.mass(1.36 / 28.3 * 100)} for each "
        "100 litres of freezer."
        if not say.us
        else "Freeze no more at once than 2-3 lb for each cubic foot of freezer."
    )
    return Reply(
        headline=head,
        lines=tuple(lines),
        more=tuple(more),
        data=data,
        sources=tuple(dict.fromkeys(sources)),
        choices=(Choice("How long to blanch", f"how long do I blanch {name}"),) if row.treatment == "blanch" else (),
    )


def _other_form(row: Blanching, metres: float | None) -> str:
    if row.treatment == "blanch":
        return f"{row.form}, {minutes_said(times([row], metres)[0])}"
    return f"{row.form} ({'raw' if row.treatment == 'none' else 'cooked'})"


def _bags_line(ctx: Context, crop: str, kg: float, data: dict[str, object]) -> str:
    """Say how many half-litre (pint) bags a weight makes."""
    found = frozen_pints(crop, kg, ctx.facts.preserving)
    if found is None:
        return f"{ctx.say.mass(kg)}: I have no figure for how many bags that fills."
    low, high, _row = found
    fewest, most = max(1, round(low)), max(1, round(high))
    data["bags"] = [fewest, most]
    size = "pint" if ctx.say.us else "half-litre"
    count = f"{fewest}" if fewest == most else f"{fewest} to {most}"
    return f"{ctx.say.mass(kg)} as picked fills about {count} {size} bag{'s' if most > 1 else ''}."


@answers("dry")
def dry(request: Request, ctx: Context) -> Reply:
    """Say how a crop is dried: cut, blanch, temperature, hours, when it is done, how long it keeps."""
    several = tuple(c for c in request.crops if any(d.crop == c for d in ctx.facts.preserving.drying))
    if len(request.crops) > 1 and several:
        return one_by_one(request.with_(crops=several), ctx, dry, "dry", "Drying")
    known = which_crop(request, ctx, "Which crop do you want to dry?", "dry")
    if isinstance(known, Reply):
        return known
    if cures(known):
        cure = f"how do I cure {ctx.say.crop(known.id)}"
        if _whole(known.id, request, ctx) and not ctx.facts.asking.keeping.cut.search(request.text):
            return handler_for("store")(request.with_(intent="store", text=cure), ctx)  # just lifted, it is dried whole
        return keyed("dry", _dried(request, ctx, known.id)).with_(choices=(Choice("Cure them whole", cure),))
    return keyed("dry", _dried(request, ctx, known.id))


def _whole(crop: str, request: Request, ctx: Context) -> bool:
    """Tell whether drying means curing whole: it still stands, was lifted in this message or lately, or is to be kept as it is."""
    lately = any(h.crop == crop and 0 <= (ctx.today - h.day).days <= ctx.facts.growing.number("dry.lately_days") for h in ctx.plot.harvests)
    asks = ctx.facts.asking.keeping
    return lately or bool(ctx.plot.standing(crop=crop)) or bool(asks.lifted.search(str(request.extra.get("message", ""))) or asks.kept_whole.search(request.text))


def _dried(request: Request, ctx: Context, crop: str) -> Reply:
    facts, say = ctx.facts.preserving, ctx.say
    row = next((d for c in (crop, facts.words.stand_ins.get(crop)) for d in facts.drying if d.crop == c), None)
    name = say.crop(crop)
    if row is None:
        return Reply(
            headline=f"I have no drying times for {name}.",
            lines=("Ask me about freezing or storing them.",),
            data={"crop": crop},
        )
    return Reply(
        headline=_dry_headline(name, row, ctx),
        lines=tuple(_dry_lines(row, ctx, height_of(request, ctx.plot))),
        cautions=("Vegetables are not dried in the sun: too little sugar and acid to be safe while they dry slowly.",)
        if row.temp_c and row.temp_c[0] >= 55
        else (),
        sources=tuple(row.source),
        data={
            "crop": crop,
            "temp_c": list(row.temp_c) if row.temp_c else None,
            "hours": list(row.hours) if row.hours else None,
            "done": row.done,
        },
    )


def _dry_headline(name: str, row: Drying, ctx: Context) -> str:
    if row.hours is None or row.temp_c is None:
        return f"{name.capitalize()} dry on the plant: {row.done}."
    return (
        f"Dry {name} at {ctx.say.temp(*row.temp_c)} for "
        f"{number_said(row.hours[0])}-{number_said(row.hours[1])} hours, until {row.done}."
    )


def _dry_lines(row: Drying, ctx: Context, metres: float | None) -> list[str]:
    lines = [f"{prose(ctx.say, row.preparation)}."]
    if row.water or row.steam:
        added = 1.0 if metres is not None and to_feet(metres) >= RULE_FEET and row.pretreatment == "blanch" else 0.0
        water = (row.water[0] + added, row.water[1] + added) if row.water else None
        steam = (row.steam[0] + added, row.steam[1] + added) if row.steam else None
        what = "Dip in boiling water to skin" if "skin" in row.pretreatment else "Blanch first"
        said = [f"{span_said(water)} in water" if water else "", f"{span_said(steam)} in steam" if steam else ""]
        lines.append(f"{what}: {', '.join(s for s in said if s)}.")
    elif row.pretreatment not in ("nothing", "blanch") and "dip" not in row.preparation:
        lines.append(f"First: {row.pretreatment}.")
    if row.hours and row.hours[1] >= 3:
        lines.append("One layer on trays with moving air; turn or swap the trays now and then.")
    lines.append("Cool a piece before you test it; warm ones feel softer than they are.")
    if row.months_cool and row.months_room:
        lines.append(
            "In a closed jar in the dark: "
            f"{number_said(row.months_cool[0])}-{number_said(row.months_cool[1])} months at {ctx.say.temp(16)}, "
            f"{number_said(row.months_room[0])}-{number_said(row.months_room[1])} at {ctx.say.temp(21)}."
        )
    else:
        lines.append(
            "Keep in closed jars, cool and dark, and look after a week: any damp on the glass means dry it again."
        )
    if row.note:
        note = prose(ctx.say, row.note)
        lines.append(note[0].upper() + note[1:] + ".")
    return lines
