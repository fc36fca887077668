"""`python -m tests.kept [WORD]`: keep what is printed now; the names with the word in them, or all.

Look at the difference before committing it: a figure that moved belongs in the changelog with its reason.
"""

import sys

from tests.kept.codes import ANSWERS_IN_CODES, PICTURES, ROWS_IN_CODES
from tests.kept.data import keep_answer, keep_text
from tests.kept.exampled import examples_answered
from tests.kept.outputs import ANSWERS, TEXTS


def main() -> None:
    """Write the kept figures anew."""
    word = sys.argv[1] if len(sys.argv) > 1 else ""
    answers, texts = (
        {**ANSWERS, **ANSWERS_IN_CODES, **PICTURES, "examples of the API": examples_answered},
        {**TEXTS, **ROWS_IN_CODES},
    )
    for name in (n for n in answers if word in n):
        keep_answer(name, dict(answers[name]()))
    for name in (n for n in texts if word in n):
        keep_text(name, texts[name]())


if __name__ == "__main__":
    main()
