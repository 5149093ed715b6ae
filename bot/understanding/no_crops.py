"""Take back what has the name of a crop and is none: a thing called after it ("onion bag"), a person ("Rosemary picked 3 lettuces")."""

from __future__ import annotations

from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon

_NAMES = ("crop", "variety", "group")


def no_crops(sheet: Sheet, lexicon: Lexicon) -> None:
    """Mark a crop and the thing called after it as that thing, and leave the name of a person unmarked."""
    for found in [f for f in sheet.found if f.kind in _NAMES]:
        one = not sheet.word(found.end - 1).endswith("s") or sheet.word(found.end - 1) in ("asparagus", "brassicas")
        if one and found.kind != "variety" and sheet.word(found.end) in lexicon.beside["kit"] and not sheet.taken[found.end] and not _is_done_to(sheet, found.end, lexicon):
            sheet.unmark(found)
            sheet.mark(Found("thing", found.start, found.end + 1, sheet.said(found.start, found.end + 1)))
        elif found.end == found.start + 1 and sheet.word(found.start) in lexicon.beside["given_names"] and _is_somebody(sheet, found, lexicon):
            sheet.unmark(found)


def _is_done_to(sheet: Sheet, at: int, lexicon: Lexicon) -> bool:
    """Tell whether the word after a crop is something done or asked of it, and no thing: "garlic press on", "rhubarb show signs"."""
    return sheet.word(at) in lexicon.beside["kit_deeds"] and sheet.word(at + 1) in lexicon.beside["after_kit_deeds"]


def _is_somebody(sheet: Sheet, found: Found, lexicon: Lexicon) -> bool:
    """Tell whether a name that is a crop's too is a person's: "our daughter rosemary", "basil gave me 6 leeks", "Rosemary picked 3 lettuces", "hazel and I"."""
    before, after, then = sheet.word(found.start - 1), sheet.word(found.end), sheet.word(found.end + 1)
    if before in lexicon.beside["kin"] or (after in ("and", "&") and then in ("i", "me", "we")) or (before in ("and", "&") and sheet.word(found.start - 2) in ("me", "i")):
        return True
    if after == "from" and then in lexicon.beside["where_from"]:
        return True  # "basil from next door"
    if after in lexicon.beside["people_do"]:
        return True
    if after not in lexicon.told:
        return False
    at = found.end + 1
    while at < len(sheet.tokens) and sheet.at(at, *_NAMES) is None and (
            sheet.tokens[at].kind == "number" or sheet.word(at) in lexicon.numbers or sheet.word(at) in lexicon.units or sheet.word(at) in ("a", "an", "some", "the", "of", "up", "out", "in", "my", "our", "more")):
        at += 1
    return sheet.at(at, *_NAMES) is not None and sheet.at(at, *_NAMES) is not found
