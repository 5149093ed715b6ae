"""Whether a message is about holding plants up, drawing soil up to them, or plants that rock, whatever it was read as."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from bot.facts.loading import load
from bot.facts.tending_support import WORDS_FILE, SupportWords
from bot.preserving.matching import find, plain
from bot.request import Request

if TYPE_CHECKING:
    from bot.facts import Facts

Topic = Literal["support", "earthing", "rocking", "chitting"]


@lru_cache(maxsize=2)
def words_in(root: Path) -> SupportWords:
    """Return the words table alone: every message is held against it, and few need the room's other tables."""
    words: SupportWords = load(root / WORDS_FILE, SupportWords, root)
    return words


def topic_of(request: Request, facts: Facts) -> Topic | None:
    """Return what a request asks of supports and earthing up, or None when it is of something else."""
    words, flat = words_in(facts.root), plain(request.text)
    if find(flat, words.chitting) and request.intent in words.chitting_read_as:
        return "chitting"
    if request.intent not in words.read_as or find(flat, words.others):
        return None
    if request.intent in words.keeps_when_sure and request.confidence >= words.sure:
        return None
    if not request.crops and (find(flat, words.meaning) or not _of_plants(request, flat, words, facts)):
        return None
    if find(flat, words.earthing):
        return "earthing"
    if find(flat, words.supports):
        return "support"
    if find(flat, words.shy_supports):
        rows = [facts.tending.supports.support(crop) for crop in (*crops_of(request, facts), *request.crop_choices)]
        tied = find(flat, words.ties) is not None
        if any(row is not None and (tied or not row.plain_only) for row in rows):
            return "support"
    if find(flat, words.rocking):
        room, crops = facts.tending.supports, crops_of(request, facts)
        if not crops or any(room.firmed(crop) or room.support(crop) for crop in crops):
            return "rocking"
    return None


def _of_plants(request: Request, flat: str, words: SupportWords, facts: Facts) -> bool:
    """Tell whether a request that names no crop is about growing at all, and asks more than what a word means."""
    if request.intent == "glossary":
        return find(flat, (*words.when, *words.late, *words.often)) is not None
    if request.intent != "none" or find(flat, words.plants):
        return True
    spoken = find(flat, (*words.supports, *words.earthing, *words.rocking, *words.shy_supports)) is not None
    return spoken and bool(crops_of(request, facts))


def crops_of(request: Request, facts: Facts) -> tuple[str, ...]:
    """Return the crops of a request, else those its words bring to mind ("bean poles"), before those of an earlier turn."""
    if "crops" not in request.inherited and (request.crops or request.crop_choices):
        return request.crops
    flat = plain(request.text)
    things = tuple(crop for crop, patterns in words_in(facts.root).things.items() if find(flat, patterns))
    return things or request.crops or _named(flat, facts)


def _named(flat: str, facts: Facts) -> tuple[str, ...]:
    """Return the crop named by the longest of its standard names, among those the tables speak of."""
    room = facts.tending.supports
    return crop_named(flat, {crop for table in (room.supports, room.earthing, room.firming) for row in table for crop in row.crops}, facts)


def crop_named(flat: str, known: set[str], facts: Facts) -> tuple[str, ...]:
    """Return the one of some crops that plain words name, by the longest of its standard names."""
    forms = [(form, crop) for crop in known for name in facts.crops[crop].names if name.kind == "standard"
             for form in (name.plural, name.name) if form]
    found = [(len(form), crop) for form, crop in forms if find(flat, [re.escape(plain(form))])]
    return (max(found)[1],) if found else ()


def _known(request: Request, facts: Facts) -> bool:
    room, topic = facts.tending.supports, topic_of(request, facts)
    tables = {"support": room.support, "earthing": room.earthed, "rocking": room.firmed}
    return topic in tables and tables[topic](request.crops[0]) is not None


def unplaced(text: str, facts: Facts, before: tuple[Request, ...] = ()) -> Request | None:
    """Return the request of a question about supports that the reader could not place, else None.

    `before` are the requests of lately: "them" and "the stakes" stand for the last crop that something is known of, first of those told with such words.
    """
    request, words = Request("none", text=text), words_in(facts.root)
    told = (*words.supports, *words.shy_supports, *words.earthing)
    lately = sorted(reversed(before), key=lambda r: not find(plain(r.text), told))
    leaning = [request.with_(crops=(crop,), inherited=("crops",)) for r in lately for crop in r.crops]
    if leaning and find(plain(text), words.leaning) and not crops_of(request, facts):
        request = next((r for r in leaning if _known(r, facts)), leaning[0])
    if not find(plain(text), words.asking) or topic_of(request, facts) is None:
        return None
    return request.with_(intent="crop_info", crops=crops_of(request, facts))
