"""What compiled code prints while a program is solved spoils no answer: asked of a new process."""

import subprocess
import sys

import pytest

SPEAKS = """
import ctypes
from lattermath.planning.quiet_solver import without_its_words

c = ctypes.CDLL(None)
print("before")
with without_its_words():
    c.printf(b"of its own\\n")
    c.puts(b"and more")
print("after")
"""


@pytest.mark.parametrize("listens", [True, False])
def test_only_our_words_are_answered(listens: bool) -> None:
    """Piped, the C library keeps them until the process ends; nobody listening is no fault."""
    program = SPEAKS if listens else "import os; os.close(1)\n" + SPEAKS.replace("print(", "str(")
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == ("before\nafter\n" if listens else "")
