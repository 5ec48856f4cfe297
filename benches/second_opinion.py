"""Lets HiGHS solve what `tests/crosscheck.rs` wrote, and compares: python3 benches/second_opinion.py FOLDER

For every goal, `solve` claims that under the holds of the earlier goals nothing lies below its bound and that a plan of its
value exists. Three things are checked of each program, and one more where no legal plan exists:

1. the plan, measured in the program itself in exact fractions, keeps every row and lies between bound and hold;
2. the plan that HiGHS finds, measured in the same way, does not lie below the bound (no tolerance: it is exact);
3. what HiGHS proves as its own bound does not lie above the value;
4. no legal plan if and only if HiGHS finds none; and then the most that fits without the minimum, by HiGHS, lies between
   the shortfall that was found and the least that is proved.

Prints the scenario of every disagreement and exits with 1 if there is one.
"""

import multiprocessing
import sys

import packages

packages.ensure(packages.HIGHS)

import highs  # noqa: E402  (the environment comes first)
import programs  # noqa: E402

# HiGHS computes its bound in floating point: kilograms, or changes. Everything else is compared exactly.
TOLERANCE = programs.Fraction(1, 10**6)

# Of equals the first is the plan, and equals may differ by the nanograms that coefficients are rounded by, in kg.
ROUNDING = programs.Fraction(1, 10**9)

# A plan of HiGHS may break a row by its tolerance, or its tolerance may lose a plan. The rows are then moved by this much,
# far above the tolerance and far below a gram, and HiGHS is asked again.
STEP = 1e-6
MOST_STEPS = 10


class Tally:
    """What became of the programs of one case."""

    def __init__(self):
        self.faults = []
        self.closed = self.open = self.denied = self.beyond = 0

    def blame(self, goal, sentence):
        self.faults.append(f"{goal}: {sentence}")


def exact_value(goal, case, gap, opinion, program):
    """The value of a plan of HiGHS that keeps every row exactly; None if it gives no such plan."""
    harder = []
    while opinion.pieces is not None:
        try:
            return program.least(opinion.pieces)
        except programs.Broken as broken:
            if broken.name not in program.rows or len(harder) == MOST_STEPS:
                return None
            harder.append(broken.name)
        opinion = highs.ask(moved(goal, case, gap, harder, STEP))
    return None


def moved(goal, case, gap, rows, inwards):
    """A program with some rows made harder to keep; easier if `inwards` is negative."""
    program = highs.load(goal.path, gap, case.seconds)
    for row in rows:
        highs.move_side(program, row, inwards)
    return program


def compare_plan(goal, case, program, tally):
    """The plan of `solve` in the program of a goal."""
    try:
        value = program.least(case.pieces)
    except (programs.Broken, KeyError) as broken:
        tally.blame(goal.name, f"the plan breaks the program: {broken}")
        return
    if not goal.bound <= value <= goal.held_at:
        tally.blame(goal.name, f"the plan has {float(value)}, not within {float(goal.bound)} to {float(goal.held_at)}")
    if goal is case.goals[-1] and abs(value - goal.value) > ROUNDING:
        tally.blame(goal.name, f"the plan has {float(value)}, but {float(goal.value)} is claimed")
    if goal.proved and goal.value - goal.bound > goal.resolution:
        tally.blame(goal.name, "called proved, but value and bound are further apart than the resolution")


def compare_goal(goal, case, tally):
    program = programs.Program(goal.path)
    has_plan = case.answer == "plan"
    if has_plan:
        compare_plan(goal, case, program, tally)
    gap = goal.resolution if has_plan and case.gap == "resolution" else 0
    opinion = highs.ask(highs.load(goal.path, gap, case.seconds))
    lost = opinion.status == "no plan" or (opinion.dual is not None and has_plan and opinion.dual > goal.value + TOLERANCE)
    if lost and has_plan:
        # Where holds leave no room at all, its presolve may lose the plan that was just measured; with a little room it
        # has to find one, and what it then proves holds for the tighter program too.
        tally.denied += 1
        holds = [row for row in program.rows if row.startswith("held_")]
        opinion = highs.ask(moved(goal, case, gap, holds, -STEP))
    if opinion.status.startswith("failed"):
        tally.blame(goal.name, f"HiGHS {opinion.status}")
        return
    tally.closed += opinion.status != "open"
    tally.open += opinion.status == "open"
    if opinion.status == "no plan":
        if has_plan:
            tally.blame(goal.name, "HiGHS finds no plan where there is one")
        return
    exact = exact_value(goal, case, gap, opinion, program)
    if case.answer == "no legal plan":
        # Masses and limits are coarse here: HiGHS's tolerance cannot make a plan legal that is not.
        if exact is not None or opinion.status == "closed":
            tally.blame(goal.name, f"HiGHS has a legal plan where none is said to exist: {opinion.pieces}")
    elif has_plan:
        compare_bounds(goal, opinion, exact, tally)


def compare_bounds(goal, opinion, exact, tally):
    """What HiGHS found and proved against bound and value."""
    if exact is not None and exact < goal.bound:
        tally.blame(goal.name, f"bound {float(goal.bound)}, but HiGHS has a plan of {float(exact)}: {opinion.pieces}")
    if exact is None and opinion.primal is not None and opinion.primal < goal.bound - TOLERANCE:
        tally.beyond += 1
    if opinion.dual > goal.value + TOLERANCE:
        tally.blame(goal.name, f"value {float(goal.value)}, but HiGHS proves {opinion.dual}")


def compare_shortfall(case, tally):
    """The heaviest lead that fits without the minimum, where no legal plan exists."""
    (goal,) = case.goals
    required, resolution, short, least = (
        programs.kilograms(case.shortfall[key])
        for key in ("required_ng", "resolution_ng", "short_ng", "short_at_least_ng")
    )
    program = programs.Program(goal.path)
    del program.rows["minimum"]
    relaxed = highs.load(goal.path, 0 if case.gap == "zero" else resolution, case.seconds)
    highs.move_side(relaxed, "minimum", None)
    highs.maximise(relaxed)
    opinion = highs.ask(relaxed)
    if opinion.status == "no plan" or case.pieces is None:
        if (opinion.status == "no plan") != (case.pieces is None):
            tally.blame("shortfall", f"lead that fits: HiGHS says {opinion.status}, solve says {case.pieces}")
        return
    if opinion.status.startswith("failed"):
        tally.blame("shortfall", f"HiGHS {opinion.status}")
        return
    tally.closed += opinion.status == "closed"
    tally.open += opinion.status == "open"
    if required - program.least(case.pieces) != short:
        tally.blame("shortfall", "the heaviest lead is not short by what is said")
    # The values are masses in whole grams or coarser, so that its rounded plan either fits or is truly wrong.
    if opinion.pieces is not None and required - program.least(opinion.pieces) < least:
        tally.blame("shortfall", f"at least {float(least)} kg short, but HiGHS fits more: {opinion.pieces}")
    if required - opinion.dual > short + TOLERANCE:
        tally.blame("shortfall", f"{float(short)} kg short, but HiGHS proves {float(required - opinion.dual)}")


def compare(case):
    """Everything about one case."""
    tally = Tally()
    for goal in case.goals:
        compare_goal(goal, case, tally)
    if case.shortfall is not None:
        compare_shortfall(case, tally)
    return case, tally


def main():
    if len(sys.argv) != 2:
        sys.exit("usage: python3 benches/second_opinion.py FOLDER")
    cases = programs.read_cases(sys.argv[1])
    tallies, failed, answers = [], 0, {}
    # One HiGHS thread in each process; the order of the results is that of the cases.
    with multiprocessing.Pool() as pool:
        for case, tally in pool.imap(compare, cases):
            tallies.append(tally)
            answers[case.answer] = answers.get(case.answer, 0) + 1
            if tally.faults:
                failed += 1
                print(f"--- case {case.name} ({case.family}) disagrees\n{case.scenario}", end="")
                print("\n".join(f"  {fault}" for fault in tally.faults), flush=True)
    total = {key: sum(getattr(tally, key) for tally in tallies) for key in ("closed", "open", "denied", "beyond")}
    unproved = sum(not goal.proved for case in cases if case.answer == "plan" for goal in case.goals)
    print(f"{highs.version()}, one thread per case; answers: " + ", ".join(f"{n} {word}" for word, n in sorted(answers.items())))
    print(f"programs that HiGHS closed: {total['closed']}; left open, so that only bounds are compared: {total['open']}")
    print(f"plans that it denied until the holds had {STEP} more room: {total['denied']}")
    print(f"plans of it below a bound that break a row by its tolerance, and so refute nothing: {total['beyond']}")
    print(f"goals that solve left unproved: {unproved}")
    print(f"{len(cases) - failed} passed, {failed} failed")
    sys.exit(1 if failed or not cases else 0)


if __name__ == "__main__":
    main()
