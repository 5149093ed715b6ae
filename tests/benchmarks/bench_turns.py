"""Time a whole turn, reading alone, a cold start and memory, each as a ratio to a stated floor.

Floors, measured in the same run: one rapidfuzz pass of the message over all phrases (reading, turn); `python -c
"import yaml, rapidfuzz, pydantic"` (cold start, memory). Run: python -m tests.benchmarks.bench_turns
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

from rapidfuzz import fuzz, process

ROOT = Path(__file__).resolve().parents[2]
MESSAGES = (
    "what can I sow now", "what fits the empty bed this month", "how long do I blanch runner beans",
    "will the kale stand -9", "picked 2.3 kg of beans from the arch bed and pulled the sweetcorn", "undo",
    "what's in the freezer", "how far apart do leeks go", "when can I sow carots", "is it safe to bottle courgettes",
    "white maggots in the onions", "why",
)
FLOOR_IMPORTS = "import yaml, rapidfuzz, pydantic"


def median_us(work: Callable[[], object], repeat: int = 15) -> float:
    """Return the median time of a call in microseconds."""
    times = []
    for _ in range(repeat):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times) * 1e6


def process_cost(code: list[str], runs: int = 5) -> tuple[float, float]:
    """Run a fresh interpreter; return median seconds and its peak memory in MB."""
    seconds, peak = [], 0.0
    for _ in range(runs):
        start = time.perf_counter()
        subprocess.run([sys.executable, *code], cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        seconds.append(time.perf_counter() - start)
    probe = ("import resource,subprocess,sys;subprocess.run(sys.argv[1:],check=True,stdout=subprocess.DEVNULL);"
             "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)")
    out = subprocess.run([sys.executable, "-c", probe, sys.executable, *code], cwd=ROOT, check=True,
                         capture_output=True, text=True).stdout
    peak = int(out.split()[-1]) / 1024
    return statistics.median(seconds), peak


def main() -> None:
    """Print the table."""
    from bot.app import open_bot

    with open_bot(demo=True, today=date(2026, 6, 17)) as bot:
        phrases = list(bot.house.reader.phrases())  # type: ignore[attr-defined]
        plot, raw, memory = bot.look()
        del raw
        from bot.conversation import plot_names

        names = plot_names(plot)
        print(f"{'message':66} {'floor µs':>9} {'read':>7} {'turn':>8}   (ratios to the floor: one rapidfuzz pass over "
              f"{len(phrases)} phrases)")
        reads, turns = [], []
        for text in MESSAGES:
            floor = median_us(lambda text=text: process.extractOne(text, phrases, scorer=fuzz.WRatio))
            read = median_us(lambda text=text: bot.house.reader.read(text, names, memory, date(2026, 6, 17)))
            turn = median_us(lambda text=text: bot.turn(text), repeat=5)
            reads.append(read / floor)
            turns.append(turn / floor)
            print(f"{text:66} {floor:9.0f} {read / floor:6.2f}x {turn / floor:7.2f}x")
        print(f"{'median':66} {'':9} {statistics.median(reads):6.2f}x {statistics.median(turns):7.2f}x")
        here = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    os.environ.setdefault("PYTHONDONTWRITEBYTECODE", "")
    base_s, base_mb = process_cost(["-c", FLOOR_IMPORTS])
    cold_s, cold_mb = process_cost(["-m", "bot", "ask", "--demo", "how long do I blanch peas"])
    print(f"\ncold start  {cold_s:.2f} s = {cold_s / base_s:.1f}x the floor ({base_s:.2f} s: {FLOOR_IMPORTS})")
    print(f"memory      {cold_mb:.0f} MB = {cold_mb / base_mb:.1f}x the floor ({base_mb:.0f} MB); "
          f"this run {here:.0f} MB")


if __name__ == "__main__":
    main()
