"""Say a recorded event in one line, as it is echoed, taken back and listed."""

from __future__ import annotations

from collections.abc import Callable

from bot.handlers.context import Context
from bot.handlers.naming import bed_said, material_said, said, said_of
from bot.handlers.rain_records import rain_said
from bot.plot.events import NewEvent
from bot.preserving.ledger import kept_name
from bot.request import Quantity
from bot.wording import capital, number, plural

_PLANT_WORDS = {
    "cloves": "clove",
    "sets": "set",
    "tubers": "tuber",
    "crowns": "crown",
    "runners": "runner",
    "slips": "slip",
}
_PRODUCTS = {
    "frozen": "froze",
    "bottled": "bottled",
    "pickled": "pickled",
    "dried": "dried",
    "stored": "put in store",
    "fermented": "fermented",
}


def told(event: NewEvent, ctx: Context, *, day: bool = True) -> str:
    """Say an event as a clause without its subject: 'picked 2.3 kg of runner beans from Bed 2, today'."""
    what = _TELL.get(event.kind, _other)(event, ctx)
    return f"{what}, {ctx.say.day(event.day, ctx.today)}" if day else what


def quantity_of(event: NewEvent) -> Quantity | None:
    """Return the amount of an event as a quantity."""
    if event.amount is None:
        return None
    return Quantity(event.amount, event.unit or "count")


def _crop(event: NewEvent, ctx: Context) -> str:
    name = ctx.say.crop(event.crop) if event.crop else "something"
    return f"{name} ({capital(event.variety)})" if event.variety else name


def _harvested(event: NewEvent, ctx: Context) -> str:
    quantity = quantity_of(event)
    what = said_of(quantity, event.crop or "", ctx)
    if event.amount is None and event.data.get("said"):
        what = f"{event.data['said']} {ctx.say.crop(event.crop or '')}"
    weight = event.data.get("kg")
    if weight and event.unit != "kg":
        what += f" ({ctx.say.mass(weight)})"
    return f"picked {what}{_from(event, ctx)}"


def _from(event: NewEvent, ctx: Context) -> str:
    return f" from {bed_said(event.bed, ctx)}" if event.bed else ""


def _in(event: NewEvent, ctx: Context) -> str:
    return f" in {bed_said(event.bed, ctx)}" if event.bed else ""


def _sown(event: NewEvent, ctx: Context) -> str:
    method = event.data.get("method")
    where = _in(event, ctx)
    if method == "indoors":
        where = " indoors" + where
    elif method == "module":
        where = " in modules" + where
    return f"sowed {_crop(event, ctx)}{where}{extent(event, ctx)}"


def _planted(event: NewEvent, ctx: Context) -> str:
    return f"planted {_crop(event, ctx)}{_in(event, ctx)}{extent(event, ctx)}"


def _moved(event: NewEvent, ctx: Context) -> str:
    return f"moved {_crop(event, ctx)} from {bed_said(event.data.get('from'), ctx)} to {bed_said(event.bed, ctx)}{extent(event, ctx)}"


def extent(event: NewEvent, ctx: Context) -> str:
    """Say how much was put in, led by a comma, or nothing."""
    data, parts = event.data, []
    count = data.get("count")
    if count:
        noun = _PLANT_WORDS.get(str(data.get("method")), "seed" if event.unit == "seed" else "plant")
        if event.kind == "sown" and noun == "plant":
            parts.append(f"{count:g} of them")
        else:
            parts.append(plural(count, noun))
    rows = data.get("rows")
    row_m = data.get("row_m")
    if rows:
        parts.append(plural(rows, "row"))
    if row_m:
        length = ctx.say.length(row_m * 100) if ctx.say.us or row_m < 1 else f"{number(row_m, 0.1)} m"
        parts.append(f"{length} in all" if rows else f"{length} of row")
    if data.get("area_m2"):
        parts.append(ctx.say.area(data["area_m2"]))
    if not parts and event.amount is not None:
        parts.append(said(Quantity(event.amount, event.unit or "count"), ctx))
    return f", {', '.join(parts)}" if parts else ""


def _cleared(event: NewEvent, ctx: Context) -> str:
    if event.crop is None:
        return f"cleared {bed_said(event.bed, ctx)}"
    return f"cleared {ctx.say.crop(event.crop)}{_from(event, ctx)}"


def _preserved(event: NewEvent, ctx: Context) -> str:
    product = str(event.data.get("product", "stored"))
    quantity = quantity_of(event)
    counted = quantity is not None and quantity.unit == "count"
    amount = f"{said(quantity, ctx)}{'' if counted else ' of'} " if quantity else ""
    name = ctx.say.crop(event.crop) if event.crop else "produce"
    if product not in _PRODUCTS:
        return f"made {amount}{ctx.say.crop(event.crop, count=1) + ' ' if event.crop else ''}{product}"
    done = ctx.say.pick("bottled", "canned") if product == "bottled" else _PRODUCTS[product]
    return f"{done} {amount}{name}"


def _used(event: NewEvent, ctx: Context) -> str:
    quantity = quantity_of(event)
    product = event.data.get("product")
    if not product and event.crop:
        return f"used {said_of(quantity, event.crop, ctx)}"
    what = kept_name(event.crop, str(product), ctx.say) if product else "the stores"
    if quantity is None:
        return f"used {what}"
    joined = "" if quantity.unit == "count" else " of"
    return f"used {said(quantity, ctx)}{joined if product else ' from'} {what}"


def _pest(event: NewEvent, ctx: Context) -> str:
    pest = str(event.data.get("pest") or "a pest").replace("-", " ")
    on = f" on {ctx.say.crop(event.crop)}" if event.crop else ""
    return f"saw {pest}{on}{_in(event, ctx)}"


def _frost(event: NewEvent, ctx: Context) -> str:
    degrees = event.amount if event.amount is not None else event.data.get("temperature_c")
    return f"saw a frost of {ctx.say.temp(degrees)}" if degrees is not None else "saw a frost"


def _fed(event: NewEvent, ctx: Context) -> str:
    material = material_said(event.data.get("material"), ctx)
    quantity = quantity_of(event)
    amount = f"{said(quantity, ctx)} of " if quantity else ""
    where = f" to {bed_said(event.bed, ctx)}" if event.bed else f" to the {ctx.say.crop(event.crop)}" if event.crop else ""
    return f"gave {amount}{material}{where}"


def _noted(event: NewEvent, ctx: Context) -> str:
    about = bed_said(event.bed, ctx) if event.bed else ctx.say.crop(event.crop) if event.crop else ""
    return f"noted{' with ' + about if about else ''}: {event.words}"


def _bed_added(event: NewEvent, ctx: Context) -> str:
    return f"added {event.data.get('name') or event.bed}"


def _bed_set(event: NewEvent, ctx: Context) -> str:
    return f"changed {bed_said(event.bed, ctx)}"


def _bed_removed(event: NewEvent, ctx: Context) -> str:
    return f"took away {event.words or event.bed}"


def _other(event: NewEvent, ctx: Context) -> str:
    about = _crop(event, ctx) if event.crop else bed_said(event.bed, ctx) if event.bed else ""
    words = event.words or event.kind.replace("_", " ")
    return f"{words} ({about})" if about and not event.words else words


_TELL: dict[str, Callable[[NewEvent, Context], str]] = {
    "harvested": _harvested,
    "sown": _sown,
    "planted_out": _planted,
    "moved": _moved,
    "cleared": _cleared,
    "preserved": _preserved,
    "used": _used,
    "pest_seen": _pest,
    "frost_seen": _frost,
    "fed": _fed,
    "noted": _noted,
    "bed_added": _bed_added,
    "bed_set": _bed_set,
    "bed_removed": _bed_removed,
    "plot_set": lambda event, ctx: "changed the settings",
    "watered": lambda event, ctx: f"watered {bed_said(event.bed, ctx) if event.bed else 'the plot'}",
    "job_done": lambda event, ctx: f"ticked off: {event.words}",
    "photo": lambda event, ctx: f"kept a photo{_in(event, ctx)}",
    "rain_seen": lambda event, ctx: f"measured {rain_said(event.amount or 0, ctx)} of rain",
    "seed_used": lambda event, ctx: f"used seed of {_crop(event, ctx)}",
    "seed_added": lambda event, ctx: f"added seed of {_crop(event, ctx)}",
    "person_added": lambda event, ctx: f"let {event.words or 'someone'} in",
    "person_removed": lambda event, ctx: f"took {event.words or 'someone'} off the plot",
}


def sentence(text: str) -> str:
    """Begin with a capital and end with a full stop."""
    return f"{capital(text)}{'' if text.endswith(('.', '?')) else '.'}"
