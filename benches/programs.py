"""The cases that the Rust side writes, and exact arithmetic on their programs.

Takes a folder of cases; gives what was found, and for given pieces the exact least value of a program, or the row they
break. Holds no solver, and rounds nothing: every decimal of an MPS file is read as a fraction.
"""

import dataclasses
import fractions
import json
import pathlib

Fraction = fractions.Fraction


class Broken(Exception):
    """Pieces that a program refuses, and the row or column that refuses them."""

    def __init__(self, name, by):
        super().__init__(f"{name} is broken by {float(by):.3g}")
        self.name = name


@dataclasses.dataclass
class Column:
    whole: bool
    objective: Fraction = Fraction(0)
    least: Fraction = Fraction(0)
    most: Fraction | None = None


@dataclasses.dataclass
class Row:
    sense: str
    terms: dict
    side: Fraction = Fraction(0)


class Program:
    """A program in free MPS, as `export` writes it."""

    def __init__(self, path):
        self.columns, self.rows, self.constant = {}, {}, Fraction(0)
        section, objective, whole = None, None, False
        for line in pathlib.Path(path).read_text().splitlines():
            words = line.split()
            if not words or line.startswith("*"):
                continue
            if not line.startswith(" "):
                section = words[0]
                continue
            if section == "ROWS":
                sense, name = words
                if sense == "N":
                    objective = name
                else:
                    self.rows[name] = Row(sense, {})
            elif section == "COLUMNS" and words[1] == "'MARKER'":
                whole = words[2] == "'INTORG'"
            elif section == "COLUMNS":
                column, row, factor = words
                entry = self.columns.setdefault(column, Column(whole))
                if row == objective:
                    entry.objective = Fraction(factor)
                else:
                    self.rows[row].terms[column] = Fraction(factor)
            elif section == "RHS":
                _, row, side = words
                if row == objective:
                    self.constant = -Fraction(side)
                else:
                    self.rows[row].side = Fraction(side)
            elif section == "BOUNDS":
                kind, _, column, *number = words
                entry = self.columns[column]
                if kind == "LO":
                    entry.least = Fraction(number[0])
                elif kind == "UP":
                    entry.most = Fraction(number[0])
                elif kind == "FX":
                    entry.least = entry.most = Fraction(number[0])
                elif kind != "PL":
                    raise ValueError(f"{path}: bound {kind} is not read here")
            else:
                raise ValueError(f"{path}: section {section} is not read here")

    def whole_columns(self):
        """Names of the columns that count pieces."""
        return [name for name, column in self.columns.items() if column.whole]

    def least(self, pieces):
        """The exact least value with these pieces (by column, zero if missing); `Broken` if a row or bound refuses them.

        Every real column stands for a miss or a change and is wanted small, but only `≥` rows push it up, each row one
        column: raising columns until all those rows hold therefore gives the least values of all of them at once.
        """
        values = {name: Fraction(pieces.get(name, 0)) if column.whole else column.least
                  for name, column in self.columns.items()}
        for name, count in pieces.items():
            column = self.columns[name]
            beyond = max(column.least - count, count - column.most)
            if beyond > 0:
                raise Broken(name, beyond)
        raised = True
        while raised:
            raised = False
            for row in self.rows.values():
                real = [name for name, factor in row.terms.items() if factor > 0 and not self.columns[name].whole]
                if row.sense != "G" or not real:
                    continue
                (name,) = real
                missing = row.side - self.sum_of(row, values)
                if missing > 0:
                    values[name] += missing / row.terms[name]
                    raised = True
        for name, row in self.rows.items():
            over = self.sum_of(row, values) - row.side
            if (over > 0 and row.sense != "G") or (over < 0 and row.sense != "L"):
                raise Broken(name, abs(over))
        return self.constant + sum(column.objective * values[name] for name, column in self.columns.items())

    @staticmethod
    def sum_of(row, values):
        return sum(factor * values[name] for name, factor in row.terms.items())


@dataclasses.dataclass
class Goal:
    """A goal as solve left it, in kilograms or changes, exactly; only `name` and `path` where there is no legal plan."""

    name: str
    path: pathlib.Path
    value: Fraction | None = None
    bound: Fraction | None = None
    held_at: Fraction | None = None
    resolution: Fraction | None = None
    proved: bool = False


@dataclasses.dataclass
class Case:
    """A case as the Rust side wrote it."""

    name: str
    family: str
    scenario: str
    gap: str
    seconds: float
    elapsed: float
    answer: str
    goals: list
    pieces: dict | None
    shortfall: dict | None


def kilograms(nanograms):
    return Fraction(nanograms, 10**12)


def read_goal(folder, goal):
    path = folder / goal["program"]
    if "value" not in goal:
        return Goal(goal["goal"], path)
    number = kilograms if goal["unit"] == "ng" else Fraction
    numbers = (number(goal[key]) for key in ("value", "bound", "held_at", "resolution"))
    return Goal(goal["goal"], path, *numbers, goal["proved"])


def read_cases(folder):
    """All cases that `cases.json` lists, in its order."""
    folder = pathlib.Path(folder)
    cases = []
    for name in json.loads((folder / "cases.json").read_text()):
        found = json.loads((folder / name / "found.json").read_text())
        cases.append(Case(
            name=name,
            family=found["family"],
            scenario=(folder / name / "scenario.yaml").read_text(),
            gap=found["gap"],
            seconds=found["seconds"],
            elapsed=found["elapsed_us"] * 1e-6,
            answer=found["answer"],
            goals=[read_goal(folder / name, goal) for goal in found["goals"]],
            pieces=found["pieces"],
            shortfall=found["shortfall"],
        ))
    return cases
