"""The word lists of knowledge/phrases/words, and the tries that find their entries in a message."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bot.facts.loading import read_yaml
from bot.understanding.text import Token, regular_plural, words_of


@dataclass(slots=True)
class Trie:
    """Find the longest entry of a word list that starts at a token."""

    root: dict[str, Any] = field(default_factory=dict)
    words: set[str] = field(default_factory=set)

    def add(self, name: str, value: Any) -> None:
        """Add an entry; the first value given to a name stays."""
        parts = words_of(name)
        if not parts:
            return
        node = self.root
        for part in parts:
            node = node.setdefault(part, {})
        node.setdefault("", value)
        self.words.update(parts)

    def longest(self, tokens: list[Token], at: int, raw: bool = False) -> tuple[int, Any] | None:
        """Return (end, value) of the longest entry from token `at`, or None. `raw` compares words as typed."""
        node: Any = self.root
        best = None
        i = at
        while i < len(tokens):
            token = tokens[i]
            if token.kind == "mark":
                if token.word == "-" and token.glued and i > at:
                    i += 1
                    continue
                break
            node = node.get(token.raw if raw else token.word)
            if node is None:
                break
            i += 1
            if "" in node:
                best = (i, node[""])
        return best

    def get(self, words: tuple[str, ...]) -> Any:
        """Return the value of an exact sequence of words, or None."""
        node: Any = self.root
        for word in words:
            node = node.get(word)
            if node is None:
                return None
        return node.get("")


@dataclass(frozen=True)
class Unit:
    """A unit of measure: the canonical unit and how many of it one is (`us` where the US size differs)."""

    unit: str
    size: float
    us: float | None = None


@dataclass
class Lexicon:
    """Every word list, loaded once."""

    language: dict[str, Any]
    units: dict[str, Unit]
    unit_trie: Trie
    numbers: dict[str, float]
    vague: set[str]
    short_forms: dict[str, list[str]]
    fillers: set[str]
    stems: dict[str, str]
    common: set[str]
    tries: dict[str, Trie]
    traps: Trie
    things: Trie
    varieties: Trie
    sets: dict[str, set[str]]
    follow: dict[str, Trie]
    rules: dict[str, Any]  # scoring.yaml
    beside: dict[str, frozenset[str]]  # words that tell by where they stand what is beside them
    sayings: dict[str, re.Pattern[str]]  # ways to say a thing, whole
    concepts: dict[str, Any] = field(default_factory=dict)
    everyday: set[str] = field(default_factory=set)  # stems of words met in all talk, telling nothing of its subject
    made_of: dict[str, list[str]] = field(default_factory=dict)
    named_in: dict[str, str] = field(default_factory=dict)  # words of a product that name its crop
    in_jars: set[str] = field(default_factory=set)  # products that are counted in jars
    # stems that phrases of at least two garden intents or three phrases use
    domain: set[str] = field(default_factory=set)
    _told: set[str] = field(default_factory=set)

    @property
    def told(self) -> set[str]:
        """Return every verb that tells of something done."""
        if not self._told:
            self._told |= {w for key, words in self.sets.items() if key.startswith("log_") for w in words}
        return self._told

    def stem(self, word: str) -> str:
        """Return the stem of a word: the table's for irregular forms, else common endings cut."""
        found = self.stems.get(word)
        if found is None:
            found = self.stems[word] = _stem(word)
        return found


KINDS = ("pests", "materials", "covers", "methods", "products", "wishes")


def load_lexicon(root: Path) -> Lexicon:
    """Read the word lists under `root`/phrases/words. Raises KnowledgeError for a broken file."""
    folder = root / "phrases" / "words"

    def read(name: str) -> dict[str, Any]:
        return read_yaml(folder / f"{name}.yaml", root)  # type: ignore[no-any-return]

    language, measures, rules = read("language"), read("units"), read_yaml(root / "phrases" / "scoring.yaml", root)
    units: dict[str, Unit] = {}
    unit_trie = Trie()
    for row in measures["units"]:
        unit = Unit(row["unit"], float(row["size"]), row.get("us"))
        for form in row["forms"]:
            unit_trie.add(form, unit)
            units[form] = unit
    for noun, forms in measures["counted"].items():
        for form in forms:
            unit_trie.add(form, Unit(noun, 1.0))
    tries = {kind: _trie(read(kind)["words"]) for kind in KINDS}
    traps = Trie()
    for saying in language["commands"]:
        traps.add(saying, "command")
    for saying in language["traps"]:
        traps.add(saying, "saying")
    with (folder / "common_words.csv").open(encoding="utf-8", newline="") as handle:
        listed = list(csv.DictReader(handle))
    common = {row["word"] for row in listed}
    lexicon = Lexicon(
        language=language, units=units, unit_trie=unit_trie,
        numbers={k: float(v) for k, v in measures["numbers"].items()}, vague=set(measures["vague"]),
        short_forms={k: str(v).split() for k, v in language["short_forms"].items()},
        fillers=set(language["fillers"]), stems=dict(language["stems"]), common=common, tries=tries, traps=traps,
        things=_list_trie(language["things"]), varieties=_varieties(read("varieties")["words"]),
        sets={key: set(language[key]) for key in ("question_words", "asking_verbs", "crop_verbs", "not_crops",
                                                  "plain_beds", "place_words", "shy_names", "very_shy", "wish_groups",
                                                  "valued_terms", "mere_places")}
        | {key: set(forms) for key, forms in language["told"].items()},
        follow={key: _list_trie(forms) for key, forms in language["follow"].items()},
        rules=rules, beside={key: frozenset(words) for key, words in rules["beside"].items()},
        sayings={key: re.compile(pattern, re.IGNORECASE) for key, pattern in rules["sayings"].items()},
    )
    lexicon.everyday = {lexicon.stem(row["word"]) for row in listed if row["everyday"]}
    products = read("products")
    lexicon.made_of, lexicon.named_in, lexicon.in_jars = (
        dict(products["made_of"]), dict(products["named_in"]), set(products["in_jars"]))
    for concept, forms in read("concepts")["concepts"].items():
        for form in forms:
            node = lexicon.concepts
            for part in words_of(form):
                node = node.setdefault(lexicon.stem(part), {})
            node.setdefault("", set()).add(concept)
    return lexicon


def _trie(words: dict[str, list[str]]) -> Trie:
    trie = Trie()
    for key, forms in words.items():
        for form in forms:
            trie.add(form, key)
    return trie


def _varieties(words: dict[str, list[str]]) -> Trie:
    """Return the varieties of each crop, one and many: "a kestrel", "the kestrels"."""
    trie = _trie(words)
    for crop, forms in words.items():
        for form in forms:
            if many := regular_plural(form):
                trie.add(many, crop)
    return trie


def _list_trie(forms: list[str]) -> Trie:
    trie = Trie()
    for form in forms:
        trie.add(form, form)
    return trie


def _stem(word: str) -> str:
    """Cut regular English endings; crude, but the same for phrases and messages."""
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 5 and word.endswith("ing"):
        base = word[:-3]
    elif len(word) > 4 and word.endswith("ed"):
        base = word[:-2]
    elif len(word) > 4 and word.endswith(("ches", "shes", "sses", "xes", "oes")):
        return word[:-2]
    elif len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us", "is")):
        return word[:-1]
    else:
        return word
    if len(base) > 3 and base[-1] == base[-2] and base[-1] not in "lsz":
        return base[:-1]
    if base.endswith(("at", "bl", "iz", "v", "g", "c", "os", "as", "is", "ur", "ak")) and len(base) > 2:
        return base + "e"
    return base
