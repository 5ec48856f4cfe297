#!/usr/bin/env python3
"""The schema that the program prints, against an independent validator: every scenario that the program accepts validates,
and of the refused ones those do not whose fault a schema can see; and every document of a command is as the schema of it says. Takes the program and the scenarios of the project. Does not know
the format."""

import datetime
import json
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "benches"))

import packages  # noqa: E402

packages.ensure("jsonschema==4.26.0", "ruamel.yaml==0.19.1")

import jsonschema  # noqa: E402
from ruamel.yaml import YAML  # noqa: E402
from ruamel.yaml.error import YAMLError  # noqa: E402

SCENARIOS = ROOT / "scenarios"

# Faults that show in a file alone, value by value: units, keys, kinds of values, missing settings.
STRUCTURAL = {"K005", "K006", "K008", "K010", "K012"}
# Refused files with such a code whose fault a schema cannot see all the same, each with its reason.
UNSEEN = {
    "adjuster-called-seat.yaml": "a name that means something is a name like any other",
    "bolts-without-lengths.yaml": "the schema does not say that a list must hold something",
    "bolts-missing.yaml": "bolts are needed only if a rule counts them",
    "driver-called-none.yaml": "a name that means something is a string like any other",
    "driver-mass-missing.yaml": "a mass may follow from weighings",
    "driver-mass-missing-everywhere.yaml": "a mass may follow from weighings",
    "front-without-a-tolerance.yaml": "the tolerance may come from the targets of the class",
    "official-alone.yaml": "the four readings may stand in an earlier weighing",
    "half-a-place.yaml": "x and y are each optional for a driver",
    "height-unknown.yaml": "the height of the kart is needed only where one is aimed at",
    "how-high.yaml": "heights of places are needed only where one is aimed at",
    "name-too-long.yaml": "length of names",
    "name-unprintable.yaml": "characters of names",
    "only-to-learn.yaml": "that one weighing is of the kart as raced is a matter of the whole list",
    "pads-not-four.yaml": "each of the four once is not said of lists here",
    "seat-hole-missing.yaml": "needed only if the kart describes a seat",
    "seat-of-nobody.yaml": "who sat in it is needed only if several are listed",
    "settings-then-missing.yaml": "how things were set is needed only if they can be set",
    "tank-missing.yaml": "the names of the tanks stand elsewhere",
    "thickness-missing.yaml": "needed only if a mount limits room",
}


def tree(text):
    yaml = YAML(typ="safe", pure=True)
    yaml.version = (1, 2)
    value = yaml.load(text)

    def plain(node):
        # Keys such as `7` are names; JSON has no other keys than text.
        if isinstance(node, dict):
            return {str(key): plain(inner) for key, inner in node.items()}
        if isinstance(node, datetime.date):
            return node.isoformat()
        return [plain(item) for item in node] if isinstance(node, list) else node

    return plain(value)


def codes(program, path):
    told = subprocess.run([*program, "check", str(path), "--message-format", "json"], capture_output=True, text=True)
    return {json.loads(line)["code"] for line in told.stdout.splitlines()}, told.returncode


def answers(program):
    """What the documents of commands have that their own schemas do not allow."""
    wrong = []
    for command, scenarios in (("plan", "*"), ("weigh", "*"), ("check", "*"), ("swap", "three-drivers"), ("card", "oval"),
                               ("reach", "oval"), ("pack", "trip")):
        printed = subprocess.run([*program, "schema", "--answer", command], capture_output=True, text=True, check=True)
        schema = json.loads(printed.stdout)
        jsonschema.Draft202012Validator.check_schema(schema)
        validator = jsonschema.Draft202012Validator(schema)
        for path in sorted(SCENARIOS.glob(f"{scenarios}.yaml")):
            told = subprocess.run([*program, command, str(path), "--json", "--quiet"], capture_output=True, text=True)
            errors = validator.iter_errors(json.loads(told.stdout))
            wrong += [f"{command} {path.name}: {error.message}" for error in errors]
    return wrong


def main():
    program = sys.argv[1:] or ["cargo", "run", "--quiet", "--"]
    schema = json.loads(subprocess.run([*program, "schema"], capture_output=True, text=True, check=True).stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    wrong = answers(program)
    accepted = refused = 0
    for path in sorted([*SCENARIOS.rglob("*.yaml"), *(ROOT / "src" / "starter").glob("*.yaml")]):
        found, exit_code = codes(program, path)
        if "K024" in found:
            # Its grammar is refused before any value is read; one such file would unfold to a billion values here.
            continue
        try:
            errors = [error.message for error in validator.iter_errors(tree(path.read_text()))]
        except (YAMLError, ValueError) as error:
            if exit_code == 0:
                wrong.append(f"{path.name} is accepted, but is not YAML to an independent reader: {error}")
            continue
        if exit_code == 0:
            accepted += 1
            wrong += [f"{path.name} is accepted, but does not validate: {message}" for message in errors]
        elif found & STRUCTURAL and path.name not in UNSEEN:
            refused += 1
            if not errors:
                wrong.append(f"{path.name} is refused for {' '.join(sorted(found))}, but validates")
        elif path.name in UNSEEN and errors:
            wrong.append(f"{path.name} is listed as unseen by a schema, but it is seen: {errors[0]}")
    for line in wrong:
        print(line)
    print(f"{accepted} accepted files validate, {refused} refused ones do not, {len(wrong)} are otherwise")
    # A check that looked at nothing must not pass.
    return 1 if wrong or accepted < 15 or refused < 10 else 0


if __name__ == "__main__":
    sys.exit(main())
