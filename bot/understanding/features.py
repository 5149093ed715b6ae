"""Turn the slotted words of a clause into the features intents are told apart by."""

from __future__ import annotations

from typing import Any

from bot.understanding.lexicon import Lexicon

#: Weight of each family of features.
_WORD, _STEM, _PAIR, _SKIP, _START, _SHAPE, _CONCEPT, _PIECE = 1.0, 1.0, 1.0, 0.5, 0.8, 0.6, 1.0, 3.0
#: Weight of what is said before a clause in the same message (its intent, that with how the clause opens and asks, what it speaks of) and after it.
_BEFORE, _BEFORE_AND, _BEFORE_OF, _AFTER_OF = 0.4, 0.2, 0.15, 0.1


def features(words: list[str], extra: list[str], lexicon: Lexicon, asks: bool) -> dict[str, float]:
    """Return the features of a clause, scaled to unit length.

    `words` are lower-case words and slots in order; `extra` are words kept beside their slot ("blight" of `<pest>`).
    """
    kept = [w for w in words if w not in lexicon.fillers] or words
    stems = [w if w.startswith("<") else lexicon.stem(w) for w in kept]
    found: dict[str, float] = {}
    for word, stem in zip(kept, stems, strict=True):
        found[stem] = _STEM
        if word != stem:
            found["=" + word] = _WORD * 0.6
    for word in extra:
        found[lexicon.stem(word)] = _STEM
    padded = ["^", *stems, "$"]
    for left, right in zip(padded, padded[1:], strict=False):
        found[f"{left} {right}"] = _PAIR
    for left, right in zip(stems, stems[2:], strict=False):
        found[f"{left} _ {right}"] = _SKIP
    for a, b, c in zip(padded, padded[1:], padded[2:], strict=False):
        found[f"{a} {b} {c}"] = _SKIP
    if stems:
        found["^" + stems[0]] = _START
    found["?" if asks else "!"] = _SHAPE
    found[f"#{min(len(stems), 5)}"] = _SHAPE * 0.7
    if sum(1 for s in stems if s == "<crop>") > 1:
        found["<crop>s"] = _SHAPE
    asked = question_kind(words)
    found[f"Q={asked}"] = _SHAPE
    concepts = concepts_of(words, extra, lexicon)
    slots = sorted({s for s in stems if s.startswith("<")})
    for concept in concepts:
        found[f"@{concept}"] = _CONCEPT
        found[f"Q={asked} @{concept}"] = _CONCEPT * 0.8
        for slot in slots:
            found[f"{slot} @{concept}"] = _CONCEPT * 0.4
    ordered = sorted(concepts)
    for n, a in enumerate(ordered):
        for b in ordered[n + 1:]:
            found[f"@{a} @{b}"] = _CONCEPT * 0.4
    for slot in slots:
        found[f"Q={asked} {slot}"] = _SHAPE
        found[f"has {slot}"] = _SHAPE * 0.6
    strange = sum(1 for s in stems if not s.startswith("<") and s not in lexicon.domain and s not in _PLAIN and s not in lexicon.everyday)
    anchored = any(s in ("<crop>", "<bed>", "<pest>", "<material>", "<group>", "<product>", "<cover>") for s in stems)
    found[f"strange {min(strange, 3)}"] = _SHAPE
    found[f"strange {min(strange, 2)} {'anchored' if anchored else 'adrift'}"] = _SHAPE
    found.update(_pieces([*kept, *extra]))
    length = sum(v * v for v in found.values()) ** 0.5
    return {k: v / length for k, v in found.items()}


def among(found: dict[str, float], before: tuple[str, dict[str, float]] | None, after: dict[str, float] | None) -> dict[str, float]:
    """Return the features of a clause among the clauses of its message: `before` is the intent and the features of the one before it, `after` the features of the one after.

    "and how deep" after "how far apart" asks of sowing; "and 3 kg" after a picking was picked.
    """
    full = dict(found)
    if before is not None:
        intent, told = before
        full[f"before {intent}"] = _BEFORE
        full |= {f"before {intent} {k}": _BEFORE_AND for k in found if " " not in k[1:] and (k[0] == "^" or k.startswith("Q="))}
        full |= {f"before {k}": _BEFORE_OF for k in told if _speaks(k)}
    if after is not None:
        full |= {f"after {k}": _AFTER_OF for k in after if _speaks(k)}
    return full


def _speaks(key: str) -> bool:
    """Tell whether a feature is a concept or a slot by itself."""
    return (key[0] == "@" and " " not in key) or key.startswith("has <")


def _pieces(words: list[str]) -> dict[str, float]:
    """Return the three to five letter pieces of the words: slips and strange forms still look like what they are.

    They weigh as one block, however long the words are. Their names begin with "~".
    """
    pieces: set[str] = set()
    for word in words:
        if not word.startswith("<"):
            edged = f" {word} "
            pieces.update(f"~{edged[i:i + size]}" for size in (3, 4, 5) for i in range(len(edged) - size + 1))
    weight = _PIECE / max(1, len(pieces)) ** 0.5
    return dict.fromkeys(pieces, weight)


def asks(words: list[str], lexicon: Lexicon, mark: bool) -> bool:
    """Tell whether a clause is a question: by its mark, its opening, or a question word inside."""
    if mark:
        return True
    kept = [w for w in words if w not in lexicon.fillers]
    if not kept:
        return False
    question, verbs = lexicon.sets["question_words"], lexicon.sets["asking_verbs"]
    if kept[0] in question or (kept[0] in verbs and len(kept) > 1 and (kept[1] in _SUBJECTS or kept[1].startswith("<") or kept[0] in (
            "any", "is", "are", "do", "does", "can", "should", "will", "would", "could"))):
        return True
    if any(a in ("what", "how", "which", "where", "why") for a in kept[1:]):
        return True
    return any(a in verbs and b in ("i", "we", "you", "it", "they") for a, b in zip(kept[1:], kept[2:], strict=False))


_PLAIN = frozenset(("i", "we", "you", "it", "they", "he", "she", "me", "us", "them", "to", "in", "on", "at", "for", "with", "and", "or", "but", "if",
                    "from", "by", "be", "do", "have", "not", "so", "too", "up", "out", "off", "all", "any", "will", "can"))
_SUBJECTS = ("i", "we", "you", "it", "they", "there", "he", "she", "anything", "anyone", "not", "these", "those", "this", "that")


_LONG = {"how": {"long", "many", "much", "far", "deep", "often", "close", "big", "do", "hardy", "cold", "old", "thick"}}


def question_kind(words: list[str]) -> str:
    """Return the kind of question by its first question word: "when", "how long", "yes-no", or "none"."""
    for i, word in enumerate(words):
        if word in ("what", "when", "where", "which", "why", "who"):
            return word
        if word == "how":
            follows = words[i + 1] if i + 1 < len(words) else ""
            return f"how {follows}" if follows in _LONG["how"] else "how"
    if words and words[0] in ("can", "do", "does", "is", "are", "will", "should", "would", "could", "did", "have", "has", "any", "was", "were", "shall"):
        return words[0]
    return "none"


def concepts_of(words: list[str], extra: list[str], lexicon: Lexicon) -> set[str]:
    """Return the concepts that the words of a clause point to."""
    found: set[str] = set()
    stems = [w if w.startswith("<") else lexicon.stem(w) for w in words]
    for i in range(len(stems)):
        node: Any = lexicon.concepts
        j = i
        while j < len(stems):
            node = node.get(stems[j])
            if node is None:
                break
            found.update(node.get("", ()))
            j += 1
    for word in extra:
        found.update(lexicon.concepts.get(lexicon.stem(word), {}).get("", ()))
    return found
