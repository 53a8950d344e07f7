"""How many small changes of the code the tests notice, in a random sample of them.

python -m tests.mutation harmonics --size 1000 --seed 1
"""

import argparse
import json
import math
import os
import sys
import tempfile
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path

from tests.mutation.mutants import Mutant, named, sample
from tests.mutation.reach import reached
from tests.mutation.trials import Bench, Verdict, copy_of, load

ROOT = Path(__file__).parents[2]
WORK = ROOT / ".mutation"
HARMLESS = Path(__file__).parent / "survivors.md"
TESTS = {"harmonics": ["tests/harmonics"], "windows": ["tests/windows"]}
ROOMS = {"windows/cli": ["tests/cli"], "windows/app": ["tests/app"]}
"""Rooms whose own tests are elsewhere than those of the package."""
WIDE = {
    "harmonics": [
        "tests/test_guide.py",
        "tests/cli/test_import*.py",
        "tests/cli/test_fit*.py",
        "tests/cli/test_texts.py",
    ],
    "windows": ["tests/test_guide.py", "tests/cli", "tests/app"],
}
LEFT_OUT = ("windows/render/",)


def paths_of(package: str, within: str) -> list[str]:
    """Modules to change."""
    found = (path.relative_to(ROOT).as_posix() for path in (ROOT / package).rglob("*.py"))
    return [path for path in found if not path.startswith(LEFT_OUT) and path.startswith(within)]


def explained() -> set[str]:
    """Names of the survivors that were looked at and do not matter."""
    lines = HARMLESS.read_text(encoding="utf-8").splitlines() if HARMLESS.exists() else []
    return {line.removeprefix("- `").removesuffix("`") for line in lines if line.startswith("- `")}


def interval(caught: int, tried: int) -> tuple[float, float]:
    """Wilson's 95 % interval of a share."""
    z = 1.959964
    middle = (caught + z * z / 2.0) / (tried + z * z)
    half = z / (tried + z * z) * math.sqrt(caught * (tried - caught) / tried + z * z / 4.0)
    return middle - half, middle + half


def told(outcomes: list[tuple[str, str]]) -> str:
    """The share caught, and each survivor that nobody has explained."""
    counted = Counter(verdict for _, verdict in outcomes)
    survivors = sorted({name for name, verdict in outcomes if verdict == Verdict.SURVIVED})
    harmless = explained()
    tried, caught = len(outcomes), len(outcomes) - counted[Verdict.SURVIVED]
    low, high = interval(caught, tried)
    lines = [f"survived, unexplained: {name}" for name in survivors if name not in harmless]
    known = sum(name in harmless for name in survivors)
    lines += [
        f"{caught} of {tried} caught ({counted[Verdict.SLOW]} by time): {caught / tried:.1%}, "
        f"95 % interval {low:.1%} to {high:.1%}; {known} of {len(survivors)} survivors explained"
    ]
    return "\n".join(lines)


def tried_before(kept: Path) -> dict[str, str]:
    """Outcomes of a run that was cut short."""
    if not kept.exists():
        return {}
    return dict(json.loads(line) for line in kept.read_text(encoding="utf-8").splitlines())


def main() -> None:
    """Draw, try, tell."""
    parser = argparse.ArgumentParser(description="Change the code a little, and see whether a test fails.")
    parser.add_argument("package", choices=sorted(TESTS))
    parser.add_argument("--size", type=int, default=1000, help="how many changes to try")
    parser.add_argument("--seed", type=int, default=1, help="which sample")
    parser.add_argument("--within", default="", help="only modules whose path begins so")
    parser.add_argument("--again", action="store_true", help="only those that survived in the kept outcome")
    parser.add_argument(
        "--wide", action="store_true", help="what the nearest tests miss meets other rooms' tests"
    )
    parser.add_argument(
        "--budget", type=float, help="seconds of tests that a change meets at most, of each kind"
    )
    parser.add_argument("--tests", nargs="+", help="files of tests instead of all that are of the modules")
    asked = parser.parse_args()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    WORK.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="copy-", dir=WORK) as place:
        bench = _bench(copy_of(ROOT, Path(place)), asked)
        inside = asked.within.strip("/").replace("/", "-") or asked.package
        kept = WORK / f"{inside}-{asked.size}-{asked.seed}.jsonl"
        before = tried_before(kept)
        survived = [name for name, end in before.items() if end == Verdict.SURVIVED]
        mutants = _drawn(asked, bench.copy, survived)
        bench.check_that_tests_pass(bench.reach.within_budget(bench.reach.tests))
        outcomes = _outcomes(mutants, bench, kept, {} if asked.again else before)
        bench.check_that_tests_pass(bench.reach.in_turn(bench.reach.tests))
        if asked.again:
            outcomes += [(name, end) for name, end in before.items() if end != Verdict.SURVIVED]
    sys.stdout.write(told(outcomes) + "\n")


def _drawn(asked: argparse.Namespace, copy: Path, survived: list[str]) -> list[Mutant]:
    """The changes to try."""
    if asked.again:
        return list(named(copy, survived))
    return list(sample(copy, paths_of(asked.package, asked.within), asked.size, asked.seed))


def _bench(copy: Path, asked: argparse.Namespace) -> Bench:
    package = asked.package
    room = next((room for room in ROOMS if asked.within.startswith(room)), package)
    tests = ROOMS.get(room, TESTS[package])
    near = reached(copy, room, asked.tests or tests, WORK / f"reach-{room.replace('/', '-')}.json")
    others = [place for place in WIDE[package] if place not in tests]
    far = (
        reached(copy, room, others, WORK / f"reach-{room.replace('/', '-')}-wide.json")
        if asked.wide
        else None
    )
    load(near.libraries)
    if asked.budget:
        near, far = replace(near, budget=asked.budget), far and replace(far, budget=asked.budget)
    return Bench(copy, near, far, all_near=not asked.budget)


def _outcomes(
    mutants: list[Mutant], bench: Bench, kept: Path, before: dict[str, str]
) -> list[tuple[str, str]]:
    """Of each change, as it is known or as found now."""
    outcomes = []
    for place, mutant in enumerate(mutants, 1):
        outcome = before.get(mutant.name)
        if outcome is None:
            outcome = _tried(mutant, bench, f"{place}/{len(mutants)}")
            with kept.open("a", encoding="utf-8") as stream:
                stream.write(json.dumps([mutant.name, outcome]) + "\n")
        outcomes.append((mutant.name, outcome))
    return outcomes


def _tried(mutant: Mutant, bench: Bench, which: str) -> str:
    begun = time.monotonic()
    outcome = bench.verdict_on(mutant)
    sys.stdout.write(f"{which} {outcome} {time.monotonic() - begun:.1f} s {mutant.name[:200]}\n")
    sys.stdout.flush()
    return outcome


if __name__ == "__main__":
    main()
