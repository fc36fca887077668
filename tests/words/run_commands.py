"""Run commands one after the other in this process: lists of words in, exit codes and outputs out, as JSON."""

import contextlib
import io
import json
import sys

from polewright.cli.app import main


def run(words: list[str]) -> dict[str, object]:
    out, errors = io.StringIO(), io.StringIO()
    sys.argv = ["polewright", *words]
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(errors):
        try:
            main()
            code: object = 0
        except SystemExit as left:
            code = left.code or 0
    return {"words": words, "code": code, "out": out.getvalue(), "errors": errors.getvalue()}


json.dump([run(words) for words in json.load(sys.stdin)], sys.stdout)
