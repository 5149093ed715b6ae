"""Time the reading of the longest junk there is: 4,096 characters with 300 bed names on the plot.

The floor, in the same run, is the reading of a usual question with the same names.
Run: python -m tests.benchmarks.bench_junk
"""

from __future__ import annotations

import random
from datetime import date

from bot.facts import Facts
from bot.handlers.context import Memory
from bot.understanding import PlotNames, Understander
from tests.benchmarks.bench_turns import median_us

WORDS = ("picked", "kg", "beans", "bed", "7", "and", "xqz", "tomatos", "sowed", "in", "march")


def main() -> None:
    """Print the ratios."""
    rng = random.Random(3)
    reader = Understander(Facts())
    names = PlotNames(beds={f"b{i}": (f"plot{i} long name {i} bed", f"nick {i}") for i in range(300)})
    letters = "".join(rng.choice("abcdefghijklmnopqrstuvwxyz      ,.?") for _ in range(4096))
    words = " ".join(rng.choice(WORDS) for _ in range(900))[:4096]

    def read(text: str) -> object:
        return reader.read(text, names, Memory(), date(2026, 6, 17))

    floor = median_us(lambda: read("how far apart do leeks go"))
    for name, text in (("letters", letters), ("garden words", words)):
        taken = median_us(lambda text=text: read(text), repeat=5)
        print(f"{name:14} {taken / 1000:7.1f} ms = {taken / floor:6.1f}x a usual question ({floor / 1000:.2f} ms)")


if __name__ == "__main__":
    main()
