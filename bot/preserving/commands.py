"""Messages that are the kitchen's whatever else their words could mean: timers, labels, named recipes, canners."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from bot.facts import Facts
from bot.facts.loading import load
from bot.facts.preserving import FILES, Vocabulary
from bot.preserving.canning import named_product
from bot.preserving.eating import not_to_eat
from bot.preserving.matching import find, plain
from bot.preserving.recipes import named_recipe, recipes_for
from bot.request import Request

#: Words in a message that may still lean on the crop of the one before it, and what points to that crop.
SHORT = 9


def kitchen_request(
    text: str, read: Sequence[Request], facts: Facts, before: Request | None = None
) -> Request | None:
    """Return the one kitchen request a message is, or None to leave the reading alone.

    "Start" sows elsewhere and "water" waters; beside "timer" and "bath" they do not. Crops and amounts stay as read;
    a short message that names no crop ("can I just use a water bath") is of the crop of `before`, the last request.
    """
    # A choice taken by its number is read in its own words.
    said = read[0].text if len(read) == 1 and read[0].text and len(text) < 4 else text
    intent = _intent(plain(said[:500]), read, facts)
    if len(read) > 1 and intent in {r.intent for r in read}:
        return None  # it was heard, and so was what else the message tells: "lifted 42 garlic. How do I dry it"
    crops = next((r.crops for r in read if r.crops), ())
    of_before = before.crops if before is not None and not crops and len(said.split()) <= SHORT else ()
    told = len(read) > 1 or any(r.intent.startswith("log_") for r in read)
    if len(read) == 1 and (intent or read[0].intent) in ("can", "use_up", "pickle"):
        intent = _jam_of(said, crops or of_before, facts) or intent
    pointed = of_before if find(plain(said), _words(facts.root).leaning) else ()
    if intent is None and not told and not_to_eat(said, crops or pointed, facts.root):
        intent = "use_up"
    if intent is None and len(read) == 1 and read[0].intent == "can" and of_before and not read[0].product:
        intent = "can"
    if intent is None and before and before.intent in ("can", "pickle", "ferment") and _disputes(said, read, _words(facts.root)):
        return before.with_(text=f"{before.text}. {said}", confidence=0.9)  # the answer stands, and its reason with it
    if intent is None:
        return None
    first = next((r for r in read if r.crops or r.crop_choices), read[0] if read else Request(intent, text=said))
    if intent == "use_up" and pointed:
        first = first.with_(crops=pointed, crop_choices=())
    if intent in ("pickle", "can") and find(plain(said[:500]), ["recipes?"]) and not _jam_of(said, crops, facts):
        first = first.with_(crops=(), crop_choices=())  # the recipe's name says the crop
    elif intent == "can" and of_before and before and before.intent in _words(facts.root).kitchen_intents:
        first = first if first.crop_choices or first.product else first.with_(crops=of_before)
    return first.with_(intent=intent, text=said, confidence=max(first.confidence, 0.9), alternatives=())


def _jam_of(text: str, crops: Sequence[str], facts: Facts) -> str | None:
    """Return what a message about jam of a fruit asks of: a tested recipe, which gives its time too, or the time alone."""
    if not crops or find(plain(text), _words(facts.root).kinds["jam"]) is None:
        return None
    if any(recipe.kind == "jam" for recipe in recipes_for(crops[0], facts.preserving)):
        return "pickle"
    return "can" if any(p.kind == "jam" and crops[0] in p.crops for p in facts.preserving.canning) else None


def _disputes(text: str, read: Sequence[Request], words: Vocabulary) -> bool:
    """Tell whether a message that means nothing else argues with the kitchen answer before it."""
    return all(r.intent in ("none", "why") for r in read) and find(plain(text), words.argued) is not None


@lru_cache(maxsize=4)
def _words(root: Path) -> Vocabulary:
    """Read the word lists alone: most messages need none of the tables."""
    return load(root / FILES["words"], Vocabulary, root)


def _intent(flat: str, read: Sequence[Request], facts: Facts) -> str | None:
    words = _words(facts.root)
    for intent, patterns in words.commands.items():
        if find(flat, patterns):
            return intent
    taken = {request.intent for request in read}
    if find(flat, ["recipes?"]) and not taken & {"pickle", "can"}:
        if named_recipe(flat, facts.preserving) is not None:
            return "pickle"
        if named_product(flat, (), facts.preserving) is not None:
            return "can"
    if (
        find(flat, words.canner_words)
        and not find(flat, ["blanch(?:ed|ing)?"])
        and not taken & set(words.kitchen_intents)
    ):
        return "can"
    return None
