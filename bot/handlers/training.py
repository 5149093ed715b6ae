"""Pinching out, side shoots, stopping, and the leaves and flowers of crops grown afresh each year.

Most such words are read as pruning; some come as using up, saving seed and more, so a request that names pinching out of a crop
of the table is answered here whatever it was read as.
"""

from __future__ import annotations

from bot.facts.tending_training import PARTS, Part, Training
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital

#: How a part is called where it is told after another.
_TITLES: dict[Part, str] = {"side_shoots": "Side shoots", "stopping": "Stopping", "leaves": "Leaves", "flowers": "Flowers"}
#: Parts told with the whole of it when none was asked of by itself.
_USUAL: tuple[Part, ...] = ("side_shoots", "stopping")


def training_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer a request that names pinching out of one crop, or of none where such crops stand; None when it is of something else."""
    asks = ctx.facts.asking.tending
    if request.intent not in asks.pinched_as or not asks.pinching.search(request.text):
        return None
    plant = ctx.facts.tending.training.of_plant(request.text)
    if plant is not None:
        return trained(request, plant, plant.name or "", ctx)
    crops = request.crops or (() if request.crop_choices or request.unknown_crop or request.intent != "prune" else (_spoken_of(request, ctx),))
    row = ctx.facts.tending.training.of_crop(crops[0]) if len(crops) == 1 else None
    return trained(request, row, ctx.say.crop(crops[0]), ctx) if row is not None else None


def trained(request: Request, row: Training, name: str, ctx: Context) -> Reply:
    """Say how a crop is trained: what was asked of by itself first, then the whole of it."""
    asked = [part for part in _asked(request, ctx) if row.part(part)]
    kind = next((each.say for each in row.kinds if each.words.search(request.text)), None)
    told = [] if kind else asked
    first, *others = [ctx.say.prose(said) for said in (kind, *(row.part(part) for part in told)) if said] or [ctx.say.prose(row.say)]
    rest = {part: f"{_TITLES[part]}: {ctx.say.prose(said)}" for part in PARTS if part not in told and (said := row.part(part))}
    usual = [] if kind or told else [rest.pop(part) for part in _USUAL if part in rest]
    whole = [f"Pinching out: {ctx.say.prose(row.say)}"] if kind or told else []
    return Reply(f"{capital(name)}: {first}", lines=(*map(capital, others), *usual, *map(ctx.say.prose, row.more)), more=(*whole, *rest.values()),
                 sources=cited(row), data={"training": {"crop": request.crop, "row": row.id, "parts": asked}})


def _asked(request: Request, ctx: Context) -> list[Part]:
    asks = ctx.facts.asking.tending
    words = {"side_shoots": asks.side_shoots, "stopping": asks.stopping, "leaves": asks.leaves, "flowers": asks.flowers}
    return [part for part in PARTS if words[part].search(request.text)]


def _spoken_of(request: Request, ctx: Context) -> str:
    """Return the crop meant where none is named: the plain one if it stands here or none of them does, else one that stands."""
    table, asked = ctx.facts.tending.training, _asked(request, ctx)
    rows = {p.crop: row for p in ctx.plot.standing() if (row := table.of_crop(p.crop)) is not None}
    standing = [crop for crop, row in rows.items() if all(row.part(part) for part in asked)]
    return table.plain if table.plain in standing or not standing else standing[0]
