"""HiGHS on one program: an MPS file in, an interval and pieces out.

HiGHS reads the file itself, so that every run also checks that its reader takes what `export` writes. One thread,
tolerances as tight as it offers without losing its footing, and a stop at the gap or the time that the caller gives.
"""

import dataclasses
import importlib.metadata

import highspy

# The smallest violation that HiGHS lets pass, kg or pieces: it allows 1e-10 to 1e-1; a thousandth of the usual 1e-6, for
# its plan is measured again exactly, and one that breaks a limit refutes nothing.
TOLERANCE = 1e-9


@dataclasses.dataclass
class Opinion:
    """What HiGHS says of a program. `status` is `closed`, `no plan`, `open` or, with its word, `failed: ...`."""

    status: str
    seconds: float
    primal: float | None = None
    dual: float | None = None
    pieces: dict | None = None


def version():
    return "HiGHS " + importlib.metadata.version("highspy")


def load(path, gap, seconds):
    """HiGHS with a program and all options set."""
    highs = highspy.Highs()
    for option, value in {
        "output_flag": False,
        "log_to_console": False,
        "threads": 1,
        "parallel": "off",
        "random_seed": 0,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": float(gap),
        "mip_feasibility_tolerance": TOLERANCE,
        "primal_feasibility_tolerance": TOLERANCE,
        "dual_feasibility_tolerance": TOLERANCE,
        "time_limit": float(seconds),
    }.items():
        if highs.setOptionValue(option, value) != highspy.HighsStatus.kOk:
            raise RuntimeError(f"HiGHS refuses the option {option}")
    # A warning counts as well: the format is meant to be read without any.
    if highs.readModel(str(path)) != highspy.HighsStatus.kOk:
        raise RuntimeError(f"HiGHS does not read {path}")
    return highs


def move_side(highs, row, inwards):
    """Makes a one-sided row harder to keep by so much; a move of None drops the row."""
    index = highs.getRowByName(row)[1]
    _, lower, upper, _ = highs.getRow(index)
    if inwards is None:
        lower, upper = -highspy.kHighsInf, highspy.kHighsInf
    elif lower > -highspy.kHighsInf:
        lower += inwards
    else:
        upper -= inwards
    highs.changeRowBounds(index, lower, upper)


def maximise(highs):
    """Turns the direction of the objective round."""
    highs.changeObjectiveSense(highspy.ObjSense.kMaximize)


def ask(highs, start=None):
    """Solves; `start` are pieces of an earlier program, by column."""
    columns = {highs.getColName(index)[1]: index for index in range(highs.getNumCol())}
    whole = [name for name, index in columns.items()
             if highs.getColIntegrality(index)[1] == highspy.HighsVarType.kInteger]
    if start is not None:
        chosen = [columns[name] for name in whole]
        highs.setSolution(len(chosen), chosen, [float(start.get(name, 0)) for name in whole])
    highs.run()
    seconds, status, info = highs.getRunTime(), highs.getModelStatus(), highs.getInfo()
    if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
        return Opinion("no plan", seconds)
    if status not in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kTimeLimit):
        return Opinion(f"failed: {highs.modelStatusToString(status)}", seconds)
    opinion = Opinion("closed" if status == highspy.HighsModelStatus.kOptimal else "open", seconds, dual=info.mip_dual_bound)
    if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        values = highs.getSolution().col_value
        opinion.primal = info.objective_function_value
        counts = {name: round(values[columns[name]]) for name in whole}
        opinion.pieces = {name: count for name, count in counts.items() if count}
    return opinion
