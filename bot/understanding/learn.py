"""Learn from the phrases and keep what was learned beside them: `python -m bot.understanding.learn`.

Without this the bot still learns by itself when the phrases changed, and keeps it in the cache folder; it only takes
some seconds at the first start.
"""

from __future__ import annotations

from bot.facts import Facts
from bot.understanding import model
from bot.understanding.reader import SHIPPED, Understander


def main() -> None:
    """Write the shipped file."""
    facts = Facts()
    reader = Understander(facts)
    path = facts.root / "phrases" / SHIPPED
    model.save(path, reader.key, reader.model)
    print(f"{path.name}: {path.stat().st_size / 1e6:.1f} MB, {len(reader.model.labels)} phrases, {len(reader.model.index)} features")


if __name__ == "__main__":
    main()
