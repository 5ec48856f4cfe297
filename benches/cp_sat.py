"""CP-SAT on one program: rows and columns in whole numbers, an interval and pieces out.

CP-SAT knows whole numbers only. Pieces and changes are whole anyway; misses and distances are counted in milligrams, and so
are the rows of masses. Factors that are no whole milligrams are rounded, and such a row gets so much more room that it
refuses no exact plan: a milligram for every piece there is. One thread, and a stop at the gap or the time that the caller
gives.
"""

import importlib.metadata
import math

from ortools.sat.python import cp_model

from highs import Opinion

# Units of a kilogram: a fifty-thousandth of the usual resolution.
PER_KG = 10**6

# Misses and distances above this are of no interest, kg; the domain of a variable must be finite.
MOST_KG = 1000


def version():
    return "CP-SAT of OR-Tools " + importlib.metadata.version("ortools")


def per_unit(name, column):
    """Steps of a column in one unit of it."""
    return 1 if column.whole or not name.startswith(("targets_", "close_")) else PER_KG


class Loaded:
    """The model, its variables by column, and the steps of its objective in a unit; `start` are pieces of an earlier plan."""

    def __init__(self, program, start=None):
        self.program, self.model, self.variables = program, cp_model.CpModel(), {}
        for name, column in program.columns.items():
            steps = per_unit(name, column)
            most = int(column.most * steps) if column.most is not None else MOST_KG * steps
            self.variables[name] = self.model.new_int_var(int(column.least * steps), most, name)
            if start is not None and column.whole:
                self.model.add_hint(self.variables[name], start.get(name, 0))
        pieces = sum(int(column.most) for column in program.columns.values() if column.whole)
        for row in program.rows.values():
            scale, exact = self.scaled(row.terms, [row.side])
            room = 0 if all(factor.denominator == 1 for factor in exact.values()) else pieces
            total = self.sum_of(exact)
            if row.sense != "G":
                self.model.add(total <= math.ceil(row.side * scale) + room)
            if row.sense != "L":
                self.model.add(total >= math.floor(row.side * scale) - room)
        objective = {name: column.objective for name, column in program.columns.items() if column.objective}
        self.scale, exact = self.scaled(objective)
        self.model.minimize(self.sum_of(exact))

    def scaled(self, terms, others=()):
        """Steps in a unit of a sum, and its factors in steps: counts stay counts, all else is counted in millionths."""
        steps = {name: per_unit(name, self.program.columns[name]) for name in terms}
        counted = all(number.denominator == 1 for number in [*terms.values(), *others])
        scale = max([1 if counted else PER_KG, *steps.values()])
        return scale, {name: factor * scale / steps[name] for name, factor in terms.items()}

    def sum_of(self, factors):
        return sum(round(factor) * self.variables[name] for name, factor in factors.items())


def ask(loaded, gap, seconds):
    """Solves, until value and bound are within the gap or the time is over."""
    program, solver = loaded.program, cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.max_time_in_seconds = float(seconds)
    solver.parameters.absolute_gap_limit = float(gap * loaded.scale)
    status = solver.solve(loaded.model)
    taken = solver.wall_time
    if status == cp_model.INFEASIBLE:
        return Opinion("no plan", taken)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.UNKNOWN):
        return Opinion(f"failed: {solver.status_name(status)}", taken)
    dual = float(program.constant) + solver.best_objective_bound / loaded.scale
    opinion = Opinion("closed" if status == cp_model.OPTIMAL else "open", taken, dual=dual)
    if status != cp_model.UNKNOWN:
        opinion.primal = float(program.constant) + solver.objective_value / loaded.scale
        whole = [name for name, column in program.columns.items() if column.whole]
        counts = {name: solver.value(loaded.variables[name]) for name in whole}
        opinion.pieces = {name: count for name, count in counts.items() if count}
    return opinion
