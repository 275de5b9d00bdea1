"""`python -m lattermath` is the command itself."""

from lattermath.doors.command import main

if __name__ == "__main__":
    main()
