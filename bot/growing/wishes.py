"""What a gardener wishes for, as a weight on each crop: salads, quick things, no brassicas, something for children."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bot.facts.crop import Crop
from bot.growing.light import suits_shade
from bot.request import Request

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.growing.outcomes import Offer

#: Wishes that are a group of crops, by the group's id.
GROUPS = {
    "salads": ("salads", "salad-leaves", "winter-salads"),
    "kids": ("veg-for-kids",),
    "perennial": ("perennials",),
    "quick": ("quick-crops",),
    "storing": ("storing-roots",),
    "hungry-gap": ("hungry-gap-crops",),
}
#: Wishes that decide rather than lean: a crop that does not meet one is left out.
HARD = ("salads", "kids", "quick", "hungry-gap", "perennial", "shade", "winter", "storing")
_DRY = ("low",)
_STORES_WEEKS = 12


@dataclass(frozen=True, slots=True)
class Wishes:
    """Wishes of one message: those asked for, families and groups refused, and crops asked for by a group word."""

    wanted: tuple[str, ...] = ()
    refused: frozenset[str] = frozenset()
    only: frozenset[str] = frozenset()


NO_WISHES = Wishes()


#: Groups that say a wish: asking for hungry gap crops is wishing for the hungry gap, met by what crops then.
SAID = {
    "hungry-gap-crops": "hungry-gap",
    "veg-for-kids": "kids",
    "quick-crops": "quick",
    "catch-crops": "quick",
    "perennials": "perennial",
    "winter-veg": "winter",
}
_REFUSAL = re.compile(
    r"\b(?:no|not|without|except|hate|skip|avoid|nothing|(?:anything|everything) but|other than|rather than|instead of)"
    r"\b(.*)",
    re.I,
)
_WHICH = re.compile(r"\b(?:what|which|any|some|something)\b", re.I)
_WORDS = re.compile(r"[a-z']+")


def meant(request: Request, facts: Facts) -> Request:
    """Return a request with its wish and group words read as such.

    "Salads" is a wish even where the word is also a name of lettuces, unless lettuces are named too; a group word
    that was not marked ("what roots can I sow") is looked for in the text.
    """
    for wish, groups in GROUPS.items():
        if wish not in request.wishes or request.group or len(request.crops) != 1:
            continue
        members = {c for g in groups if (found := facts.groups.named(g)) is not None for c in found.crops}
        if request.crops[0] in members and not _names(request.crops[0], request.text, facts, but=wish):
            request = request.with_(crops=(), crop_choices=())
    open_question = bool(request.crop_choices) and bool(_WHICH.search(request.text))  # "what beans", "which greens"
    named = request.crops or request.unknown_crop or request.group or request.crop_choices and not open_question
    if named or _REFUSAL.search(request.text):
        return request
    words = _WORDS.findall(request.text.lower())
    for size in (3, 2, 1):
        for n in range(len(words) - size + 1):
            group = facts.groups.named(" ".join(words[n : n + size]))
            if group is not None and group.id not in SAID:
                return request.with_(group=group.id, crops=tuple(group.crops), crop_choices=())
    if open_question:
        return request.with_(group="kind", crops=request.crop_choices, crop_choices=())
    return request


def _names(crop_id: str, text: str, facts: Facts, but: str) -> bool:
    """Tell whether a text holds a name of a crop other than the word of a wish."""
    said = text.lower()
    forms = {form.lower() for name in facts.crops[crop_id].names for form in (name.name, name.plural or name.name)}
    return any(re.search(rf"\b{re.escape(form)}\b", said) for form in forms if but.rstrip("s") not in form)


def read_wishes(wishes: tuple[str, ...], crops: tuple[str, ...], facts: Facts) -> Wishes:
    """Turn wish words into a filter. `crops` are the crops of a group word ("salads", "roots"), if one was said."""
    wanted = tuple(w for w in wishes if not w.startswith("no:"))
    refused: set[str] = set()
    for wish in wishes:
        if wish.startswith("no:"):
            refused |= _crops_of(wish[3:], facts)
    return Wishes(wanted, frozenset(refused), frozenset(crops) - refused)


def wishes_of(request: Request, standing: tuple[str, ...], facts: Facts) -> Wishes:
    """Read a request's wishes with those the plot has set (`standing`): wish words, groups said, crops refused."""
    refused = _refused_in(request.text, facts)
    if refused and (request.crops and (request.group or set(request.crops) & refused)):
        refused |= set(request.crops)  # the group named is the one refused
    said = SAID.get(request.group or "")
    only: tuple[str, ...] = ()
    if (
        request.group
        and not said
        and not (refused & set(request.crops))
        and not any(w.startswith("no:") for w in request.wishes)
    ):
        only = request.crops
    found = read_wishes((*request.wishes, *((said,) if said else ()), *standing), only, facts)
    return Wishes(found.wanted, found.refused | refused, found.only)


def _refused_in(text: str, facts: Facts) -> set[str]:
    """Return the crops of group, family and crop words that follow a refusal ("no brassicas", "but no beans")."""
    match = _REFUSAL.search(text)
    if match is None:
        return set()
    words = _WORDS.findall(match[1].lower())[:6]
    refused: set[str] = set()
    for n, word in enumerate(words):
        for phrase in (" ".join(words[n : n + 2]), word, word.rstrip("s")):
            group = facts.groups.named(phrase)
            if group is not None:
                return refused | set(group.crops)
            named = {c.id for c in facts.crops.values() for x in c.names if phrase in (x.name.lower(), x.plural)}
            if named:
                return refused | named
    return refused


def refuses(wishes: Wishes, crop: Crop) -> bool:
    """Tell whether the wishes rule a crop out by name or family."""
    return crop.id in wishes.refused or bool(wishes.only) and crop.id not in wishes.only


def meets(wishes: Wishes, offer: Offer, facts: Facts) -> bool:
    """Tell whether an offer meets every wish that decides."""
    return all(_meets(wish, offer, facts) for wish in wishes.wanted if wish in HARD)


def weight(wishes: Wishes, offer: Offer, facts: Facts) -> float:
    """Return the factor of the wishes that only lean."""
    factor = 1.0
    leaning = facts.growing.number("rank.wished")
    for wish in wishes.wanted:
        if wish not in HARD and _meets(wish, offer, facts):
            factor *= leaning
    return factor


def suits(wishes: Wishes, crop: Crop, facts: Facts) -> bool:
    """Tell whether a crop could meet every wish that decides, going by its kind alone, whenever it is begun."""
    return all(_could(wish, crop, facts) for wish in wishes.wanted if wish in HARD)


def _could(wish: str, crop: Crop, facts: Facts) -> bool:
    listed = any(crop.id in _crops_of(group, facts) for group in GROUPS.get(wish, ()))
    if wish == "shade":
        return suits_shade(crop)
    if wish == "winter":
        return crop.growth is not None and crop.growth.stands_winter
    if wish == "storing":
        return listed or any(row.weeks and row.weeks[1] >= _STORES_WEEKS for row in crop.storage)
    if wish == "kids":
        row = facts.growing.worth.get(crop.id)
        return listed or (row is not None and row.kids)
    return listed


def _meets(wish: str, offer: Offer, facts: Facts) -> bool:
    crop = facts.crops[offer.crop]
    if wish == "quick":
        return offer.wait_days <= facts.growing.number("quick.days")
    if wish == "hungry-gap":
        return offer.in_hungry_gap
    if wish == "winter":
        return offer.in_winter
    if wish == "easy":
        return offer.method in ("direct", "sets", "tubers", "cloves") and offer.margin_days > 30
    if wish == "early":
        return offer.wait_days <= 90
    if wish == "autumn":
        return offer.in_autumn
    if wish == "dry":
        return crop.water is not None and crop.water.need in _DRY
    if wish == "small":
        return crop.light is not None and crop.light.spread_cm is not None and crop.light.spread_cm[1] <= 30
    if wish == "heavy":
        return crop.yields is not None and crop.yields.kg_per_m2 is not None and crop.yields.kg_per_m2[1] >= 3
    return _could(wish, crop, facts)


def _crops_of(word: str, facts: Facts) -> set[str]:
    """Return the crops of a group word, family, rotation group or crop id."""
    group = facts.groups.named(word)
    if group is not None:
        return set(group.crops)
    return {
        crop.id
        for crop in facts.crops.values()
        if word in (crop.id, crop.family.rotation_group, crop.family.family.lower(), crop.family.family)
    }
