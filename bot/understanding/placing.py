"""What a message says where the plot is, when that was asked before anything else could be answered."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.request import Request, Spot
from bot.season.place import gazetteer
from bot.understanding.spots import read_spot

if TYPE_CHECKING:
    from bot.understanding.memory import Recall


def place_told(recall: Recall) -> tuple[Request, ...] | None:
    """Return what a message says that answers "Where is your plot?": the place, then what waits for it.

    None when nothing waits for a place, or the message names none.
    """
    waiting = _wants_place(recall)
    if waiting is None or recall.asks_itself() or any(f.kind in ("crop", "bed", "qty", "pest") for f in recall.slots()):
        return None
    spot = read_spot(recall.sheet)
    if spot is None or (spot.lat is None and not spot.name):
        spot = Spot(name=recall.sheet.text.strip(" .,!?"))
    if spot.lat is None:
        found = gazetteer(recall.reader.facts.root).find(spot.name or "")
        if not found.exact:
            return None
        if not found.sure:
            return (_placed(recall, spot),)
    return (_placed(recall, spot),) if waiting.intent == "set_location" else (_placed(recall, spot), waiting)


def place_unknown(recall: Recall) -> Request | None:
    """Return the request to look a place up that no list of towns knows, for a few words that mean nothing else."""
    short = 0 < len([t for t in recall.sheet.tokens if t.kind == "word"]) <= 3
    if _wants_place(recall) is None or not short or recall.asks_itself():
        return None
    return _placed(recall, Spot(name=recall.sheet.text.strip(" .,!?")))


def _wants_place(recall: Recall) -> Request | None:
    return recall.reply.waiting if recall.reply is not None and recall.reply.wants == "place" else None


def _placed(recall: Recall, spot: Spot) -> Request:
    return Request("set_location", 0.95, recall.sheet.text, spot=spot)
