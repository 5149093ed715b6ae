"""Report how well messages are understood: `python -m tests.language.report [--misses] [--slots]`.

Both halves and the fresh set are scored; misses are listed of the development half only, so that the others stay unseen.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from dataclasses import dataclass, field

from bot.facts import Facts
from bot.preserving.alarm import alarm
from bot.understanding import Understander
from tests.language.rows import Row, Score, read_row, rows, score

RECORDS = ("log_", "undo", "correct_last", "delete_data", "set_", "add_bed")


@dataclass
class Half:
    """Scores of one half."""

    scored: list[tuple[Row, Score]] = field(default_factory=list)

    def rate(self, test: str, rows_: list[tuple[Row, Score]] | None = None) -> tuple[int, int]:
        """Return (right, all) of one field over rows that say something of it."""
        values = [getattr(s, test) for _, s in (self.scored if rows_ is None else rows_)]
        known = [v for v in values if v is not None]
        return sum(known), len(known)

    def figures(self) -> dict[str, tuple[int, int]]:
        """Return every figure of the report as (count, of)."""
        good = [(r, s) for r, s in self.scored if not r.out and r.want[0]["intent"] != "none"]
        single = [(r, s) for r, s in good if len(r.want) == 1 and not r.after]
        multi = [(r, s) for r, s in good if len(r.want) > 1]
        follow = [(r, s) for r, s in good if r.after]
        found = {"intent": self.rate("intent", single), "all parts": self.rate("intent", multi), "follow-ups": self.rate("intent", follow)}
        for name in ("crop", "bed", "quantity", "date"):
            found[name] = self.rate(name, [(r, s) for r, s in good if s.intent])
        for kind in ("near", "paraphrase", "natural", "typo"):
            found[f"intent, {kind}"] = self.rate("intent", [(r, s) for r, s in single if r.kind == kind])
        for kind in ("near-out", "far-out"):
            those = [(r, s) for r, s in self.scored if r.kind == kind]
            found[f"accepted, {kind}"] = (sum(not s.intent for _, s in those), len(those))
        found["good refused"] = (sum(s.got in ((), ("none",)) for _, s in good), len(good))
        found["asked back"] = (sum(s.asked for _, s in good), len(good))
        found["wrong record"] = (sum(wrong_record(r, s) for r, s in self.scored), len(self.scored))
        safety = [(r, s) for r, s in self.scored if r.safety]
        # Poisoning, illness and suspect jars are answered by the alarm before a message is read at all.
        found["safety reached"] = (sum(s.intent or s.asked or alarm(r.say) is not None for r, s in safety), len(safety))
        return found


def wrong_record(row: Row, result: Score) -> bool:
    """Tell whether something would have been written that the message did not say: an intent that records, and not wanted."""
    if result.asked:
        return False
    wanted = {w["intent"] for w in row.want} | set(row.accept)
    return any(g.startswith(RECORDS) and g not in wanted for g in result.got)


def halves(reader: Understander) -> tuple[Half, Half, Half]:
    """Score every row; return (development, sealed, fresh)."""
    development, sealed, fresh = Half(), Half(), Half()
    for row in rows():
        (sealed if row.sealed else development).scored.append((row, score(row, read_row(reader, row))))
    fresh.scored += [(row, score(row, read_row(reader, row))) for row in rows("fresh")]
    return development, sealed, fresh


def named(reader: Understander) -> Half:
    """Score the rows written for what they name: crops, beds, amounts and days. They were read to mend the marking."""
    return Half([(row, score(row, read_row(reader, row))) for row in rows("named")])


def main() -> None:
    """Print the report."""
    reader = Understander(Facts())
    scored = halves(reader)
    development, figures = scored[0], [half.figures() for half in scored]
    print(f"{'':22}{'development':>20}{'sealed':>20}{'fresh':>20}")
    for name in figures[0]:
        print(f"{name:22}" + "".join(f"{_rate(f[name]):>20}" for f in figures))
    marked = named(reader).figures()
    print("messages full of names: " + ", ".join(f"{name} {_rate(marked[name]).strip()}" for name in ("intent", "crop", "bed", "quantity", "date")))
    confused: Counter[tuple[str, str]] = Counter()
    missed: dict[str, int] = defaultdict(int)
    for row, result in development.scored:
        if not result.intent:
            wanted = "+".join(w["intent"] for w in row.want)
            confused[wanted, "+".join(result.got)] += 1
            missed[wanted] += 1
    print("\nworst confusions of the development half")
    for (wanted, got), n in confused.most_common(25):
        print(f"  {n:3}  {wanted} read as {got}")
    if "--misses" in sys.argv:
        print("\nmisses of the development half")
        for row, result in development.scored:
            if not result.intent:
                after = f"   [after: {' | '.join(row.after)}]" if row.after else ""
                print(f"  {row.kind[:4]} {'+'.join(w['intent'] for w in row.want)} <- {'+'.join(result.got)}{' ASKED' if result.asked else ''}: {row.say}{after}")
    if "--slots" in sys.argv:
        print("\nslots missed in the development half")
        for row, result in development.scored:
            if result.notes:
                print(f"  {row.say} :: {'; '.join(result.notes)}")


def _rate(pair: tuple[int, int]) -> str:
    right, of = pair
    return f"{100 * right / of:6.1f} % of {of}" if of else "-"


if __name__ == "__main__":
    main()
