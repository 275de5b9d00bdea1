"""`compute`: any number on a sheet, recomputed from outside; JSON in, JSON out."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Annotated

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.vocabulary.errors import Fault, InputError


def compute(
    kernel: Annotated[str, Parameter(help="Which computation; --list names them.")] = "",
    /,
    *,
    list_kernels: Annotated[
        bool, Parameter(name="--list", negative=(), help="Show every kernel's input and output.")
    ] = False,
) -> int:
    """Read one JSON object, or an array of them, on standard input; write JSON."""
    from lattermath.desk import compute as desk_compute

    if list_kernels:
        answering.say(desk_compute.listing(kernel))
        return answering.DONE
    if not kernel:
        raise InputError(
            Fault("which kernel", "compute", "", "Name one; lattermath compute --list shows them.")
        )
    answering.say(desk_compute.answer(kernel, sys.stdin.buffer.read()))
    return answering.DONE


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (
        compute,
        "compute",
        'echo \'{"t_min": [7], "t_max": [20], "lower": 12}\' | lattermath compute degree-days',
    ),
)
