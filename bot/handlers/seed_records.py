"""Writing down seed that comes into the tin: bought, given or saved."""

from __future__ import annotations

import re

from bot.handlers.checking import Doing, crops_of, day_of
from bot.handlers.context import Context
from bot.keeping.seedage import judge
from bot.plot.events import NewEvent
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import plural

_SEED = re.compile(r"\bseeds?\b|\b(?:packets?|packs?|sachets?) of\b", re.I)
_GOT = re.compile(
    r"\b(?:bought|buy|ordered|got|given|gave me|swapped|saved|kept|collected|gathered|harvested|put away|have|arrived|"
    r"came|new)\b", re.I)
_SAVED = re.compile(r"\b(?:saved|kept|collected|gathered|harvested|home.?saved|own)\b", re.I)
_YEAR = re.compile(r"\b(?:from|of|packed(?: in| for)?|dated)?\s*((?:19|20)\d\d)\b")
#: Words that put the crop itself away, whatever its seeds ("dried the sunflower seeds for eating").
_EATEN = re.compile(r"\b(?:froze|frozen|freezer|bottled|canned|pickled|jars?|for eating|to eat)\b", re.I)
_UNITS = {"count": "seed", "packet": "packet", "kg": "kg"}
_SAID = {"good": "It should be good", "last": "It is in the last year of its usual life",
         "test": "It is past its usual life: test a few", "spent": "It is long past its life: sow thickly"}


def seed_record(request: Request, ctx: Context) -> Reply | None:
    """Return the record of seed that came into the tin, or None when the message tells of none."""
    text = request.text
    if not _SEED.search(text) or not _GOT.search(text) or _EATEN.search(text):
        return None
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    crops = crops_of(request, ctx, Doing("bought seed of", "Put in the tin", "in"))
    if isinstance(crops, Reply) or not crops:
        return crops if isinstance(crops, Reply) else None
    saved = _SAVED.search(text) is not None
    written = _YEAR.search(text)
    year = int(written[1]) if written and int(written[1]) <= ctx.today.year else day.year
    amount = next((q for q in request.quantities if q.unit in _UNITS and q.value != year), None)
    if amount is not None and amount.value <= 0:
        return Reply(f"{amount.words} can't be right, so I recorded nothing.",
                     lines=("Send it again with the right amount.",))
    data: dict[str, object] = {"year": year, **({"source": "saved"} if saved else {})}
    events = tuple(
        NewEvent("seed_added", day, crop=crop, variety=request.variety, amount=amount.value if amount else None,
                 unit=_UNITS[amount.unit] if amount else None, words=text, data=data)
        for crop in crops)
    unit = _UNITS[amount.unit] if amount else ""
    much = "" if amount is None else ctx.say.mass(amount.value) if unit == "kg" else plural(amount.value, unit)
    name = ctx.say.crop(crops[0], 1) + (f" ({request.variety})" if request.variety else "")
    seed = f"{much} of {name}" if unit == "packet" else f"{much.split(' ')[0]} {name} seeds" if much else f"{name} seed"
    head = f"Put in the seed tin: {seed}, {'saved' if saved else 'of'} {year}."
    known = ctx.facts.crops.get(crops[0])
    age = judge(known, year, ctx.today.year) if known and year < ctx.today.year else None
    lines = (f"{_SAID[age.verdict]}.",) if age and age.verdict in _SAID else ()
    return Reply(head, lines=lines, events=events,
                 choices=(Choice("How long it keeps", f"how long does {ctx.say.crop(crops[0], 1)} seed keep"),),
                 data={"log_preserve": {"rows": [event.as_json() for event in events]}})
