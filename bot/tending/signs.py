"""From a gardener's words to what was seen: ideas of the sign lexicon, joined to colours, with denials apart.

"white maggots in the base, no mould" becomes {white, maggot, larva, base, white+maggot, white+larva} and, as
denied, {mould}. Words outside the lexicon stay as bare stems, so that a rare word still counts.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from rapidfuzz import fuzz, process

from bot.facts.tending import SignWords

_DENIALS = """
    not without never doesnt didnt dont wont isnt arent hasnt havent none nor cant wasnt werent couldnt shouldnt
"""
_NEGATION = dict.fromkeys(_DENIALS.split(), "no")
_IRREGULAR = {
    "leaves": "leaf", "leafs": "leaf", "larvae": "larva", "pupae": "pupa", "mice": "mouse", "flies": "fly",
    "lice": "louse", "eaten": "eat", "ate": "eat", "dies": "die", "gnawed": "gnaw", "chewed": "chew", "shot":
    "shot", "ripened": "ripen", "died": "die", "dying": "die", "fallen": "fall", "fell": "fall", "came": "come",
    "coming": "come", "comes": "come", "ripped": "rip", "torn": "tear", "tore": "tear", "bitten": "bite",
    "bites": "bite", "dug": "dig", "digging": "dig", "cut": "cut", "spuds": "spud", "roots": "root", "mold":
    "mould", "moldy": "mould", "mouldy": "mould", "molds": "mould", "gray": "grey", "colour": "color",
    "woodlice": "woodlouse", "blackflies": "blackfly", "whiteflies": "whitefly", "greenflies": "greenfly",
    "thrips": "thrip", "aphids": "aphid", "kernals": "kernel", "goes": "go", "going": "go", "gone": "go",
    "went": "go", "slim": "slender", "slime": "slime", "knocked": "knock", "shrunk": "shrink", "worst": "worst",
}
_WINDOW = 3  # words between a colour and what it colours
_DENIED = 3  # words a denial reaches
_LONGEST = 5  # words in the longest phrase
_FUZZY_FROM = 5  # letters before a misspelling is mended
_FUZZY_AT = 86.0


_LOSE_E = frozenset({"bor", "scor", "stor", "shar", "scar", "tir", "danc", "surfac", "chang", "bulg"})


def stem(word: str) -> str:
    """Cut a word down to its plain form: 'tunnels', 'tunnelled' and 'tunnelling' meet; 'ripe' and 'rip' do not.

    >>> stem("tunnelling") == stem("tunnels"), stem("leaves"), stem("bored"), stem("ripped")
    (True, 'leaf', 'bore', 'rip')
    """
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("ches", "shes", "xes", "sses", "oes")) and len(word) > 4:
        return word[:-2]
    if word.endswith("s") and not word.endswith(("ss", "us", "is")) and len(word) > 3:
        return word[:-1]
    for ending in ("ing", "ed"):
        root = word[: -len(ending)]
        if word.endswith(ending) and len(root) >= 3 and re.search(r"[aeiouy]", root):
            return _whole(root)
    return word


def _whole(root: str) -> str:
    """Give a root cut from -ed or -ing its own ending back: 'bor' bore, 'ripp' rip, 'speckl' speckle."""
    if len(root) > 3 and root[-1] == root[-2] and root[-1] not in "aeious":
        return root if root in ("roll", "fell", "smell", "swell", "pull", "spill", "fill", "kill") else root[:-1]
    if re.search(r"[^aeiou]l$", root) and not root.endswith(("rl", "wl", "ll")):
        return root + "e"
    if len(root) <= 5 and re.fullmatch(r"[^aeiou]*[aeiou][^aeiouwxyr]", root):
        return root + "e"
    return root + "e" if root in _LOSE_E else root


def words_of(text: str) -> list[list[str]]:
    """Split a text into clauses of lower-case words; denials become 'no'."""
    clauses = []
    plain = text.lower().replace("’", "'").replace("'", "").replace("-", " ")
    for clause in re.split(r"[.,;:!?()\n]+| but ", plain):
        words = [_NEGATION.get(word, word) for word in re.findall(r"[a-zà-ÿ]+", clause)]
        if words:
            clauses.append(words)
    return clauses


@dataclass(frozen=True, slots=True)
class Seen:
    """What a text tells: `features` (ideas, colour+idea pairs, bare stems), `ideas` alone, and `denied` ideas."""

    features: frozenset[str] = frozenset()
    ideas: frozenset[str] = frozenset()
    denied: frozenset[str] = frozenset()
    stems: frozenset[str] = frozenset()


@dataclass
class Reader:
    """Reads texts by one lexicon. Build it once: it indexes every phrase by its stems."""

    words: SignWords
    _index: dict[tuple[str, ...], list[str]] = field(default_factory=dict)
    _group: dict[str, str] = field(default_factory=dict)
    _also: dict[str, list[str]] = field(default_factory=dict)
    _known: set[str] = field(default_factory=set)
    _whole: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        for word in self.words.words:
            self._group[word.id] = word.group
            self._also[word.id] = word.also
            if word.whole:
                self._whole.add(word.id)
            for phrase in word.words:
                key = tuple(self._stems([w for clause in words_of(phrase) for w in clause], phrase=True))
                if key:
                    ideas = self._index.setdefault(key, [])
                    if word.id not in ideas:
                        ideas.append(word.id)
                    self._known.update(key)
        self._mendable = sorted(w for w in self._known if len(w) >= _FUZZY_FROM)

    def group(self, idea: str) -> str | None:
        """Return the group of an idea, or None for a bare stem."""
        return self._group.get(idea)

    def learn(self, stems: Iterable[str]) -> None:
        """Take more stems as known words, so that they are not mended into lexicon words."""
        self._known.update(stems)

    def ideas(self, text: str) -> list[str]:
        """Return the lexicon ideas of a text in order, each once."""
        found: list[str] = []
        for clause in words_of(text):
            for _, _, idea in self._matches(self._stems(clause)):
                for one in (idea, *self._also.get(idea, ())):
                    if one not in found:
                        found.append(one)
        return found

    def read(self, text: str, ignore: frozenset[str] = frozenset()) -> Seen:
        """Read a text. `ignore` holds stems to skip (crop names)."""
        features: set[str] = set()
        ideas: set[str] = set()
        denied: set[str] = set()
        bare: set[str] = set()
        for clause in words_of(text):
            stems = self._mend(self._stems(clause))
            matches = self._matches(stems)
            positive, negative = _split_denied(stems, matches)
            for _, _, idea in positive:
                ideas.update((idea, *self._also.get(idea, ())))
            denied.update(idea for _, _, idea in negative)
            features.update(self._pairs(positive))
            covered = {n for start, size, _ in matches for n in range(start, start + size)}
            bare.update(s for n, s in enumerate(stems)
                        if n not in covered and len(s) > 3 and s not in self.words.inner and s not in ignore)
        return Seen(frozenset(features | ideas | bare), frozenset(ideas), frozenset(denied - ideas), frozenset(bare))

    def _stems(self, words: list[str], phrase: bool = False) -> list[str]:
        return [stem(w) for w in words if w in self.words.inner or w == "no" or w not in self.words.idle]

    def _mend(self, stems: list[str]) -> list[str]:
        return [self._mended(s) for s in stems]

    def _mended(self, word: str) -> str:
        if word in self._known or len(word) < _FUZZY_FROM:
            return word
        best = process.extractOne(word, self._mendable, scorer=fuzz.ratio, score_cutoff=_FUZZY_AT)
        return best[0] if best else word

    def _matches(self, stems: list[str]) -> list[tuple[int, int, str]]:
        """Return every (start, size, idea): longer phrases and the single words inside them."""
        found = []
        for start in range(len(stems)):
            for size in range(min(_LONGEST, len(stems) - start), 0, -1):
                for idea in self._index.get(tuple(stems[start:start + size]), ()):
                    found.append((start, size, idea))
        hidden = {n for start, size, idea in found if idea in self._whole for n in range(start, start + size)}
        return [m for m in found if m[2] in self._whole or not hidden & set(range(m[0], m[0] + m[1]))]

    def _pairs(self, matches: list[tuple[int, int, str]]) -> set[str]:
        """Join each colour with what stands close to it: white+maggot."""
        pairs = set()
        colours = [(s, i) for s, _, i in matches if self._group[i] == "colour"]
        for start, colour in colours:
            for other, size, idea in matches:
                near = 0 <= other - start <= _WINDOW or 0 <= start - (other + size - 1) <= 2
                if self._group[idea] in ("creature", "matter", "damage", "part") and near:
                    for one in (idea, *self._also.get(idea, ())):
                        pairs.add(f"{colour}+{one}")
        return pairs


def _split_denied(
    stems: list[str], matches: list[tuple[int, int, str]]
) -> tuple[list[tuple[int, int, str]], list[tuple[int, int, str]]]:
    """Part the matches into stated and denied. A phrase that itself begins with 'no' is stated, and hides its words."""
    stated_no = [(start, start + size) for start, size, _ in matches if "no" in stems[start:start + size]]
    positive: list[tuple[int, int, str]] = []
    negative: list[tuple[int, int, str]] = []
    for match in matches:
        start, size, _ = match
        if "no" in stems[start:start + size]:
            positive.append(match)
            continue
        if any(a <= start < b for a, b in stated_no):
            continue
        (negative if _reached(stems, start, stated_no) else positive).append(match)
    return positive, negative


def _reached(stems: list[str], start: int, stated_no: list[tuple[int, int]]) -> bool:
    """Tell whether a denial just before `start` reaches it: a few words, and not past 'just' or 'only'."""
    if stems[start] in ("just", "only"):
        return False
    for n in range(start - 1, max(-1, start - _DENIED - 1), -1):
        if stems[n] in ("just", "only"):
            return False
        if stems[n] == "no":
            return not any(a <= n < b for a, b in stated_no)
    return False
