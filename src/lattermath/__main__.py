"""The command `lattermath`, also as `python -m lattermath`; Ctrl-C ends it quietly at once."""

import os
import sys

INTERRUPTED = 130


def main() -> None:
    """Load the command and run it; an interruption while it still loads leaves no traceback."""
    # The matrices here are small: more threads wait for each other longer than they reckon, and a
    # sum should not hang on how many cores there are. Before numpy loads, or it is not heard.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        from lattermath.doors import command

        command.main()
    except KeyboardInterrupt:
        sys.stdout = sys.stderr = open(os.devnull, "w")  # noqa: SIM115, PTH123  # open to the end
        sys.exit(INTERRUPTED)


if __name__ == "__main__":
    main()
