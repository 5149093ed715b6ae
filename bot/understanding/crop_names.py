"""The names of crops and groups, and what each means."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from rapidfuzz import process
from rapidfuzz.distance import OSA

from bot.understanding.lexicon import Lexicon, Trie
from bot.understanding.text import regular_plural, words_of

if TYPE_CHECKING:
    from bot.facts import Facts


@dataclass(frozen=True, slots=True)
class Sense:
    """What a name means: a crop, the crops it may also mean, or a group of crops.

    `asks` is true for names that stand for several crops with none foremost; `slip` for known misspellings.
    """

    crop: str
    others: tuple[str, ...] = ()
    asks: bool = False
    shy: int = 0  # 1: also a plain word, so what stands beside it must tell; 2: needs a place where a crop is expected
    slip: bool = False
    heard: bool = False  # real words that dictation puts for the name
    group: str | None = None
    members: tuple[str, ...] = ()
    stranger: bool = False  # a plant that is no crop here, though its name holds one's
    name: str = ""
    regions: tuple[str, ...] = ()
    part: bool = False  # what a plant is sold or picked as: "sets", "crowns", "canes"
    local: tuple[tuple[str, str], ...] = ()  # (country, crop) of a name that means another crop in each country: "yam"

    def within(self, region: str) -> Sense:
        """Return what the name means in a country; a name of other countries only is asked about."""
        if not self.local:
            return self
        here = dict(self.local).get(region)
        return replace(self, crop=here, others=(), asks=False) if here else replace(self, asks=True)


class CropNames:
    """Every name by what it means. Built once from the crop files and group words.

    `slips` are the misspellings and mishearings that are words of their own; `words` weighs the words of names for the
    speller; `begun` tells what may be grown from "sets", "runners" or "crowns".
    """

    def __init__(self, facts: Facts, lexicon: Lexicon) -> None:
        self.lexicon = lexicon
        self.trie = Trie()
        self.slips = Trie()
        self.words: dict[str, float] = {}
        self.names: dict[str, str] = {}
        language = lexicon.language
        plain: Mapping[str, str] = language["plain_names"]
        asked = set(language["asked_names"])
        owners: dict[str, list[tuple[str, Any]]] = {}
        for crop in facts.crops.values():
            for name in crop.names:
                owners.setdefault(name.name.lower(), []).append((crop.id, name))
        for key, rows in owners.items():
            self._add_name(key, rows, plain, asked)
        for crop in facts.crops.values():
            for slip in crop.misspellings:
                self._add_slip(slip, crop.id)
            for heard in crop.misheard:
                self._add_heard(heard, crop.id)
        self.begun: dict[str, set[str]] = {}  # what a crop may be grown from: "sets", "runners", "crowns"
        for crop in facts.crops.values():
            for rule in crop.sowing.rules if crop.sowing else ():
                self.begun.setdefault(rule.method, set()).add(crop.id)
        for group in facts.groups.groups:
            for word in (group.name, *group.words):
                self.trie.add(word, Sense("", group=group.id, members=tuple(group.crops), name=word,
                                          shy=2 if word in lexicon.beside["shy_groups"] else 0))
                for part in words_of(word):
                    self.words.setdefault(part, 1.0)
        for stranger in facts.groups.strangers:
            for word in stranger.words:
                self.trie.add(word, Sense("", stranger=True, name=word))
        for key in self.names:
            many = "" if "(" in key else regular_plural(key)
            if many and not any(trie.get(words_of(many)) for trie in lexicon.tries.values()):  # "dills" are pickles
                self.trie.add(many, self.trie.get(words_of(key)))  # "okras", though the table has it as a mass noun; the first sense of a form stays
        for crop in facts.crops.values():
            for slip in crop.misspellings:
                if many := regular_plural(slip):
                    self._add_slip(many, crop.id)
        self._by_count: dict[int, list[str]] = {}
        for key in self.names:
            self._by_count.setdefault(len(words_of(key)), []).append(" ".join(words_of(key)))
        for one in [k for k in self.names if " " in k]:
            joined = one.replace(" ", "").replace("-", "")
            if joined.isalpha() and joined not in lexicon.common:
                self.trie.add(joined, self.trie.get(words_of(one)))

    def _add_name(self, key: str, rows: list[tuple[str, Any]], plain: Mapping[str, str], asked: set[str]) -> None:
        ids = list(dict.fromkeys([crop for crop, _ in rows] + [o for _, n in rows for o in n.may_mean]))
        singular = key
        owner = plain.get(singular, rows[0][0])
        others = tuple(i for i in ids if i != owner)
        shared = len({crop for crop, _ in rows}) > 1 and all(name.regions for _, name in rows)
        local = tuple((region, crop) for crop, name in rows for region in name.regions) if shared else ()
        very_shy, shy_words = self.lexicon.sets["very_shy"], self.lexicon.sets["shy_names"]
        for _, name in rows:
            for form in {name.name.lower(), (name.plural or "").lower()} - {""}:
                if name.kind == "botanical" and "(" in form:
                    continue
                sense = Sense(owner, others, singular in asked,
                              2 if form in very_shy else 1 if form in shy_words else 0,
                              part=name.kind == "part-or-stage", name=name.name, regions=tuple(name.regions), local=local)
                self.trie.add(form, sense)
                self.names.setdefault(form, owner)
                weight = 3.0 if name.kind == "standard" else 1.5
                for part in words_of(form):
                    self.words[part] = max(self.words.get(part, 0.0), weight)

    def _add_slip(self, slip: str, crop: str) -> None:
        parts = words_of(slip)
        real = all(p in self.lexicon.common or len(p) < 3 for p in parts)
        known = self.trie.get(parts)
        if known is None:
            (self.slips if real else self.trie).add(slip, Sense(crop, slip=True, name=slip))

    def _add_heard(self, heard: str, crop: str) -> None:
        for form in (heard, f"{heard}s", regular_plural(heard)):
            parts = words_of(form)
            if parts and self.trie.get(parts) is None and self.slips.get(parts) is None:
                self.slips.add(form, Sense(crop, slip=True, heard=True, name=heard))

    def a_slip_from(self, words: tuple[str, ...]) -> Sense | None:
        """Return what the name nearest to some words means, at most one slip away (two in a long name)."""
        said = " ".join(words)
        if len(said) < 4:
            return None
        allowed = 2 if len(said) >= 14 else 1
        names = self._by_count.get(len(words), [])
        hit = process.extractOne(said, names, scorer=OSA.distance, score_cutoff=allowed)
        return self.trie.get(tuple(hit[0].split())) if hit and hit[1] > 0 else None
