"""Time reading the crops: from YAML, from the cache, and all of it in a fresh process, as ratios to a stated floor.

Floors, measured in the same run: parsing the same YAML with the plain C loader and no models (from YAML); `json.loads`
of the same plain values (from the cache); `python -c "import yaml, pydantic"` (fresh process).
Run: python -m tests.benchmarks.bench_knowledge
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import yaml

from bot.facts import Facts
from bot.facts.cache import Cache

ROOT = Path(__file__).resolve().parents[2]
FRESH = "from bot.facts import Facts; print(len(Facts().crops))"


def median_ms(work: Callable[[], object], repeat: int = 5) -> float:
    """Return the median time of a call in milliseconds."""
    times = []
    for _ in range(repeat):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times) * 1e3


def process_ms(code: str) -> float:
    """Return the median time of a fresh interpreter running `code`, in milliseconds."""
    return median_ms(lambda: subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True))


def main() -> None:
    """Print each time, its floor and their ratio."""
    texts = [path.read_text(encoding="utf-8") for path in sorted((Facts().root / "crops").glob("*.yaml"))]
    plain = [yaml.load(text, Loader=yaml.CSafeLoader) for text in texts]
    kept = json.dumps(plain)
    with tempfile.TemporaryDirectory() as folder:
        cache = Cache(Path(folder))
        _ = Facts(cache=cache).crops
        rows = [
            ("crops from YAML", median_ms(lambda: Facts(cache=Cache(None)).crops),
             median_ms(lambda: [yaml.load(text, Loader=yaml.CSafeLoader) for text in texts])),
            ("crops from the cache", median_ms(lambda: Facts(cache=cache).crops), median_ms(lambda: json.loads(kept))),
            ("fresh process", process_ms(FRESH), process_ms("import yaml, pydantic")),
        ]
    print(f"{len(texts)} crops, {sum(map(len, texts)) / 1000:.0f} kB")
    for name, took, floor in rows:
        print(f"{name:24}{took:8.0f} ms   floor {floor:6.0f} ms   ratio {took / floor:5.1f}")


if __name__ == "__main__":
    main()
