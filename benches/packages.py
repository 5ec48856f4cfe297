"""The Python packages of the comparisons, in an environment of their own below `target`.

`ensure(...)` makes the environment once, installs the pinned packages by name, and starts the script again in it.
Knows nothing of karts or programs; needs `python3` with `venv` and `pip`, and the package index.
"""

import os
import pathlib
import subprocess
import sys

HIGHS = "highspy==1.16.0"
CP_SAT = "ortools==9.15.6755"

TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR") or pathlib.Path(__file__).resolve().parent.parent / "target")


def ensure(*packages):
    """Returns if the script runs where the packages are; otherwise starts it there and does not return."""
    home = TARGET / "comparisons" / "-".join(package.replace("==", "-") for package in packages)
    if pathlib.Path(sys.prefix).resolve() == home.resolve():
        return
    python = home / "bin" / "python3"
    # Written last, so that an environment whose installation was cut short is made again.
    done = home / "installed"
    if not done.exists():
        print(f"installing {', '.join(packages)}", file=sys.stderr, flush=True)
        subprocess.run([sys.executable, "-m", "venv", "--clear", home], check=True)
        subprocess.run([python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", *packages], check=True)
        done.write_text("\n".join(packages) + "\n")
    os.execv(python, [str(python), *sys.argv])
