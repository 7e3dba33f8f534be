"""All outside checks: run.py BUILD.  Ends with "N passed, N failed"."""

import importlib
import pathlib
import sys
import tempfile
import traceback

import frame


def main(build):
    checks = frame.Checks()
    for path in sorted(pathlib.Path(__file__).parent.glob("check_*.py")):
        print(f"\n{path.stem.removeprefix('check_')}")
        with tempfile.TemporaryDirectory(prefix="outside.") as work:
            try:
                importlib.import_module(path.stem).run(checks, frame.Place(build, work))
            except Exception:  # whatever it is, the other files are run
                checks.broken(path.stem, traceback.format_exc().rstrip())
    print(f"\n{checks.passed} passed, {checks.failed} failed")
    return checks.failed > 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
