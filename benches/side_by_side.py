"""Kentledge beside HiGHS and CP-SAT: python3 benches/side_by_side.py [CASES [SECONDS]] [WORD]...

Lets `cargo bench --bench families` (a release build) draw, solve and write CASES cases of every family with the words in its
name, then gives the programs that it wrote, goal by goal, to both other solvers, and prints one table. The same for all
three: one thread, one case at a time, each goal to the same resolution, earlier goals held at the same values, the plan of
the goal before as a start, at most SECONDS (for the other solvers per goal, for kentledge per case).

Times are processor time of solving alone, so that neighbours on a shared machine do not count; reading files and stating
programs is left out for everybody. Limits are by the wall. A goal that a solver leaves open counts with the time it used, so
that the ratios are then too small. Every plan and every bound is compared on the way; a
disagreement is printed with its scenario and ends in exit code 1.
"""

import datetime
import math
import os
import pathlib
import platform
import statistics
import subprocess
import sys
import time

import packages

packages.ensure(packages.HIGHS, packages.CP_SAT)

import cp_sat  # noqa: E402  (the environment comes first)
import highs  # noqa: E402
import programs  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parent.parent
USAGE = "usage: python3 benches/side_by_side.py [CASES [SECONDS]] [WORD]..."

# Solvers compute their bounds in floating point, and a plan may break a row of theirs by their tolerance: kilograms, or
# changes. CP-SAT's rows are rounded to milligrams on top of that.
TOLERANCE = 1e-3


class HighsSolver:
    name = "HiGHS"

    @staticmethod
    def prepared(goal, seconds, start):
        loaded = highs.load(goal.path, goal.resolution, seconds)
        return lambda: highs.ask(loaded, start)


class CpSatSolver:
    name = "CP-SAT"

    @staticmethod
    def prepared(goal, seconds, start):
        loaded = cp_sat.Loaded(programs.Program(goal.path), start)
        return lambda: cp_sat.ask(loaded, goal.resolution, seconds)


class Times:
    """What one solver needed for the cases of one family."""

    def __init__(self):
        self.seconds, self.open_cases, self.open_goals, self.ratios = [], 0, 0, []
        self.wall = self.cpu = 0.0

    def add(self, seconds, open_goals, reference):
        self.seconds.append(seconds)
        self.open_goals += open_goals
        self.open_cases += open_goals > 0
        self.ratios.append(seconds / reference)

    def columns(self):
        """Median and worst in milliseconds, cases with an open goal."""
        median, worst = statistics.median(self.seconds), max(self.seconds)
        return f"{median * 1e3:10.2f} {worst * 1e3:10.1f} {self.open_cases:5}"

    def ratio(self):
        """Geometric mean of how many times longer than kentledge; `>=` if open goals make it too small."""
        mean = math.exp(statistics.fmean(math.log(ratio) for ratio in self.ratios))
        return f"{'>=' if self.open_goals else '  '}{mean:8.0f}"


def faults_of(goal, opinion, program):
    """What in an answer contradicts the goal as kentledge left it."""
    value, bound = float(goal.value), float(goal.bound)
    if opinion.status.startswith("failed"):
        return [opinion.status]
    if opinion.status == "no plan":
        return ["finds no plan where there is one"]
    faults = []
    if opinion.dual is not None and opinion.dual > value + TOLERANCE:
        faults.append(f"proves {opinion.dual}, but there is a plan of {value}")
    if opinion.pieces is not None:
        try:
            exact = program.least(opinion.pieces)
        except programs.Broken:
            return faults  # Within its tolerance, not within the rows: it refutes nothing.
        if exact < goal.bound:
            faults.append(f"has a plan of {float(exact)} below the bound {bound}: {opinion.pieces}")
    return faults


def solve_goals(solver, case, seconds, times):
    """Seconds for all goals of a case, how many stayed open, and what contradicts kentledge."""
    total, open_goals, faults, start = 0.0, 0, [], None
    for goal in case.goals:
        solve = solver.prepared(goal, seconds, start)
        wall, cpu = time.perf_counter(), time.process_time()
        opinion = solve()
        times.wall += time.perf_counter() - wall
        used = time.process_time() - cpu
        times.cpu += used
        total += used
        open_goals += opinion.status != "closed"
        faults += [f"{solver.name}, {goal.name}: {fault}" for fault in faults_of(goal, opinion, programs.Program(goal.path))]
        start = opinion.pieces or start
    return total, open_goals, faults


def header(cases, seconds):
    processor = platform.processor() or platform.machine()
    info = pathlib.Path("/proc/cpuinfo")
    if info.exists():
        names = [line.split(":", 1)[1].strip() for line in info.read_text().splitlines() if line.startswith("model name")]
        processor = names[0] if names else processor
    commit = subprocess.run(["git", "-C", ROOT, "rev-parse", "--short", "HEAD"], capture_output=True, text=True).stdout.strip()
    rustc = subprocess.run(["rustc", "--version"], capture_output=True, text=True).stdout.strip()
    manifest = (ROOT / "Cargo.toml").read_text()
    version = next(line.split('"')[1] for line in manifest.splitlines() if line.startswith("version"))
    load = "load {:.1f} {:.1f} {:.1f}".format(*os.getloadavg())
    print(f"{datetime.date.today()}; {processor}, {os.cpu_count()} processors, {platform.system()}; {load} at the start")
    print(f"kentledge {version} ({commit or 'no commit'}, release build, {rustc}); {highs.version()}; {cp_sat.version()}; "
          f"Python {platform.python_version()}")
    print(f"{cases} cases per family; one thread; at most {seconds:g} s per goal (kentledge: per case)")


def drawn(cases, seconds, words):
    """The cases, drawn and solved by a release build of the library."""
    folder = packages.TARGET / "side-by-side"
    command = ["cargo", "bench", "--quiet", "--bench", "families", "--", str(cases), str(seconds), *words, "--write", str(folder)]
    subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    return [case for case in programs.read_cases(folder) if not case.family.startswith("growth")]


def main():
    numbers, words = [], []
    for argument in sys.argv[1:]:
        if argument.startswith("-"):
            sys.exit(USAGE)
        try:
            numbers.append(float(argument))
        except ValueError:
            words.append(argument)
    cases, seconds = (*numbers, *(12, 20)[len(numbers):]) if len(numbers) <= 2 else sys.exit(USAGE)
    cases = int(cases)
    header(cases, seconds)
    families = {}
    for case in drawn(cases, seconds, words):
        families.setdefault(case.family, []).append(case)
    solvers = [HighsSolver(), CpSatSolver()]
    print("processor time in ms; open: cases with a goal that was not proved to its resolution; ratio: geometric mean over kentledge's time")
    print(f"{'family pieces/mounts':36}   n" + "".join(f" |{name:^27}" for name in ["kentledge", *(s.name for s in solvers)])
          + " |" + "".join(f"{s.name + ' ratio':>14}" for s in solvers))
    print(f"{'':36}    " + f" |{'median':>10} {'worst':>10} {'open':>5}" * 3 + " |")
    failed, wall, cpu = 0, 0.0, 0.0
    for family, members in families.items():
        # Without a plan there are no holds and no later goals; there is nothing to compare goal by goal.
        with_plan = [case for case in members if case.answer == "plan"]
        if not with_plan:
            print(f"{family:36} {0:3} | no case with a plan", flush=True)
            continue
        own, others = Times(), [Times() for _ in solvers]
        for case in with_plan:
            own.add(case.elapsed, sum(not goal.proved for goal in case.goals), case.elapsed)
            for solver, times in zip(solvers, others):
                total, open_goals, faults = solve_goals(solver, case, seconds, times)
                times.add(total, open_goals, case.elapsed)
                if faults:
                    failed += 1
                    print(f"--- case {case.name} disagrees\n{case.scenario}" + "\n".join(f"  {fault}" for fault in faults), flush=True)
        wall += sum(times.wall for times in others)
        cpu += sum(times.cpu for times in others)
        print(f"{family:36} {len(with_plan):3}" + "".join(f" |{times.columns()}" for times in [own, *others])
              + " |" + "".join(f"{times.ratio():>14}" for times in others), flush=True)
    share = f"; the other solvers had {cpu / wall:.0%} of a processor" if wall else ""
    print("load {:.1f} {:.1f} {:.1f} at the end".format(*os.getloadavg()) + share)
    print(f"cases with a disagreement: {failed}")
    sys.exit(1 if failed or not families else 0)


if __name__ == "__main__":
    main()
