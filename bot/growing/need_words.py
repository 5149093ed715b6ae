"""Whether a message asks what a crop wants to do well, or what suits a wish, whatever it was read as.

The reader has no intent of these: such words come as spacing, day length, seed saving and more. So a request is held against the words of the
table before its own handler is asked.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from bot.facts.asking import NeedWords
from bot.facts.loading import load
from bot.facts.needs import row_of
from bot.preserving.matching import plain
from bot.request import Request

if TYPE_CHECKING:
    from bot.facts import Facts

Crops = tuple[str, ...]
Topic = Literal["raised", "raising", "partner", "time", "kinds", "pots", "sun", "soil", "ease", "wishes", "net"]


@lru_cache(maxsize=2)
def words_in(root: Path) -> NeedWords:
    """Return the words table alone: every message is held against it, and few need the room's other tables."""
    words: NeedWords = load(root / "asking/needs.yaml", NeedWords, root)
    return words


def topic_of(request: Request, facts: Facts, told: Topic | None = None) -> Topic | None:
    """Return what a request asks of a crop's needs, or None when it is of something else or its own handler knows better.

    `told` is the topic of the answer before: "and pears?" goes on with it.
    """
    words, flat = words_in(facts.root), plain(request.text)
    if request.intent not in words.read_as or "not_done" in request.flags:
        return None
    named = crops_of(request, facts)
    for topic, said in _TOPICS:
        if said(flat, named, request, facts) and (request.intent not in words.keeps[topic] or _overrules(topic, flat, request, words)):
            return topic
    goes_on = words.going_on.search(flat) or told == "pots" and words.more_of_pots.search(flat)
    return told if told and named and goes_on else None


def crops_of(request: Request, facts: Facts) -> tuple[str, ...]:
    """Return the crops a request names, or those it leans on; none where it asks which crops there are."""
    words, flat = words_in(facts.root), plain(request.text)
    asks_which = words.list_asked.search(flat) and words.grows.search(flat) and not words.leaning.search(flat)
    if (request.crops or request.crop_choices) and not ("crops" in request.inherited and asks_which):
        return request.crops or request.crop_choices
    said = crop_said(request.text, facts)
    return (said,) if said else ()


def _overrules(topic: Topic, flat: str, request: Request, words: NeedWords) -> bool:
    """Tell whether words are so plain that they overrule what an intent would keep: a window box is no store."""
    if request.intent == "plot" and topic in ("pots", "sun"):
        return not words.of_the_plot.search(flat)
    if topic == "pots":
        sure = bool(words.sure_pots.search(flat))
        return {"store": sure, "how_many": sure, "can": sure and bool(words.how_big.search(flat)), "depth": bool(words.of_room.search(flat))}.get(request.intent, False)
    if topic == "time":
        return request.intent == "when_harvest" and bool(words.time_plainly.search(flat)) and not words.own.search(flat)
    return topic == "raising" and request.intent == "pest" and act_of(flat, words) == "leggy"


def _raised(flat: str, _named: Crops, request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    if not words.raised.search(flat) or request.intent in ("add_bed", "set_bed") and not words.asks.search(flat):
        return False
    if request.intent == "fits_bed":
        return bool(words.raised_deep.search(flat) or words.shallow.search(flat)) and request.amount("m") is not None
    return bool(words.raised_deep.search(flat) or words.raised_fill.search(flat) and not words.filled.search(flat))


def act_of(flat: str, words: NeedWords) -> str | None:
    """Return which act of raising young plants words are of, or None."""
    return next((act for act, said in words.acts.items() if said.search(flat)), None)


def _raising(flat: str, named: Crops, request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    act = act_of(flat, words)
    if act is None or words.not_acts.search(flat) or words.meaning.search(flat) or not (words.act_asked.search(flat) or act == "leggy"):
        return False
    if request.intent == "glossary":
        return bool(words.act_how.search(flat))
    seedlings = bool(words.seedlings.search(flat))
    return seedlings if act == "leggy" else bool(named) or seedlings or act != "pot-on" or request.intent != "none"


def _partner(flat: str, named: Crops, request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    if not named or words.not_partner.search(flat):
        return False
    if words.partner.search(flat):
        return True
    if not (words.shy_partner.search(flat) or words.blocks.search(flat)) or request.intent in words.keeps_shy or words.not_shy_partner.search(flat):
        return False
    row = row_of(facts.needs.partners.rows, named[0])
    return row is not None and (row.fruit and bool(words.shy_partner.search(flat)) or row.blocks and bool(words.blocks.search(flat)))


def _time(flat: str, named: Crops, request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    if not named or not words.time.search(flat) or words.not_time.search(flat):
        return False
    found = facts.crops[named[0]].germination if request.intent == "germination" and named[0] in facts.crops else None
    return found is None or bool(words.time_plainly.search(flat))  # "how long do they take" is of coming up, where that is known


def _kinds(flat: str, named: Crops, _request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    if not named or words.not_kinds.search(flat):
        return False
    if words.kinds.search(flat):
        return True
    by_name = words.kinds_by_name.search(flat)
    return by_name is not None and words.kinds_better.search(flat) is not None and crop_said(by_name[0], facts) is not None


def _pots(flat: str, named: Crops, request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    if not (words.sure_pots.search(flat) or words.shy_pots.search(flat)) or words.not_pots.search(flat):
        return False
    if not named:
        return bool(words.how_big.search(flat) or words.list_asked.search(flat) and words.grows.search(flat)) and not request.beds
    told = request.size_m or request.intent == "spacing" and request.amount("m")  # how many fit so much room is reckoned
    return bool(words.pots_asked.search(flat)) and not told


def _sun(flat: str, named: Crops, request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    if request.intent == "companion" and len(request.crops) > 1 or request.intent == "fits_bed" and named:
        return False
    if not words.sun.search(flat) and not (named and words.hours.search(flat) and "sun" in flat) or words.not_sun.search(flat):
        return False
    if named or not (words.list_asked.search(flat) and words.grows.search(flat)):
        return bool(named)
    # Tied to a bed or to days it is for their own handlers, which must be told of the shade where they have not heard it.
    return not settled(flat, request, words) or request.intent in ("fits_bed", "sow_now") and "shade" not in request.wishes


def ground_of(flat: str, words: NeedWords) -> str | None:
    """Return which kind of ground words name, or None."""
    return next((ground for ground, said in words.grounds.items() if said.search(flat)), None)


def _soil(flat: str, named: Crops, request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    if words.not_soil.search(flat) or not words.soil.search(flat):
        return False
    return bool(named) or ground_of(flat, words) is not None and bool(words.grows.search(flat)) and not settled(flat, request, words)


def _ease(flat: str, named: Crops, _request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    return bool(named) and bool(words.ease.search(flat)) and not words.not_lists.search(flat)


def settled(flat: str, request: Request, words: NeedWords) -> bool:
    """Tell whether a wish is tied to days or to a bed, so that what can be begun then or there is the answer."""
    return bool(request.beds or request.when or request.size_m or request.group or request.intent == "fits_bed" or words.tied.search(flat))


def wish_of(flat: str, words: NeedWords) -> str | None:
    """Return which wish words tell, or None."""
    return next((wish for wish, said in words.wishes.items() if said.search(flat)), None)


def _wishes(flat: str, named: Crops, request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    if named or wish_of(flat, words) is None or words.not_lists.search(flat) or settled(flat, request, words):
        return False
    return bool(words.list_asked.search(flat)) and (request.intent == "sow_now" or bool(words.grows.search(flat)))


def _net(flat: str, named: Crops, request: Request, facts: Facts) -> bool:
    words = words_in(facts.root)
    # Of a cover asked for, one against the cold may be meant; of anything else, that it asks at all must be heard.
    sure = words.plainly_net.search(flat) if request.intent in ("protect", "wildlife") else words.act_asked.search(flat)
    return bool(named) and bool(sure) and bool(words.net.search(flat)) and not words.not_net.search(flat)


_TOPICS: tuple[tuple[Topic, Callable[[str, Crops, Request, Facts], bool]], ...] = (
    ("raised", _raised), ("raising", _raising), ("partner", _partner), ("kinds", _kinds), ("time", _time), ("pots", _pots),
    ("sun", _sun), ("soil", _soil), ("net", _net), ("ease", _ease), ("wishes", _wishes))


@lru_cache(maxsize=1)
def _forms(facts: Facts) -> tuple[re.Pattern[str], dict[str, str]]:
    """Return one pattern of all names of crops, the longer first, and the crop of each name."""
    named: dict[str, str] = {}
    names = [(name, crop.id) for crop in facts.crops.values() for name in crop.names if name.kind == "standard"]
    for name, crop in sorted(names, key=lambda item: bool(item[0].may_mean)):  # a name that can mean nothing else stands first
        for form in (name.name, name.plural or name.name):
            named.setdefault(plain(form), crop)
    return re.compile(rf"\b(?:{'|'.join(re.escape(form) for form in sorted(named, key=len, reverse=True))})\b"), named


def crop_said(text: str, facts: Facts) -> str | None:
    """Return the crop that a text names by the longest of its standard names, or None."""
    pattern, named = _forms(facts)
    found = pattern.findall(plain(text))
    return named[max(found, key=len)] if found else None


def unplaced(text: str, facts: Facts) -> Request | None:
    """Return the request of a question about what a crop needs that the reader could not place, else None."""
    request = Request("crop_info", text=text)
    request = request.with_(crops=crops_of(request, facts))
    return request if topic_of(request, facts) is not None else None
