#!/usr/bin/env python3
"""Set up and run everything, with nothing but Python 3.11 or newer.

    python3 dev.py demo     run the main job on an invented plot and real weather
    python3 dev.py test     every check and every test
    python3 dev.py check    format, lint, types, import contracts, sizes, docs
    python3 dev.py bench    measure speed, as ratios
    python3 dev.py clean    remove the environment and everything made

Each command makes what it needs in `.venv` first. Only the standard library is used here.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
REQUIREMENTS = ROOT / "requirements"
DEMO_FOLDER = ROOT / "lattermath-demo"
# Bytecode that no run of the program loads: the packages' own tests, and what installs packages.
NOT_COMPILED = r"site-packages[\\/](.*[\\/])?(tests|pip|setuptools|wheel|lexers)[\\/]"


def say(words: str) -> None:
    """Tell what is happening, at once."""
    print(words, file=sys.stderr, flush=True)


def run(*words: str | Path, quiet: bool = False) -> int:
    """Run one command in the checkout and give its exit status."""
    output = subprocess.DEVNULL if quiet else None
    try:
        return subprocess.call([str(w) for w in words], cwd=ROOT, env=around(), stdout=output)
    except FileNotFoundError:
        return 127


def begin(*words: str | Path) -> subprocess.Popen[str]:
    """Start one command in the checkout, beside what else is run; what it prints is kept."""
    output, both = subprocess.PIPE, subprocess.STDOUT
    command = [str(w) for w in words]
    return subprocess.Popen(command, cwd=ROOT, env=around(), stdout=output, stderr=both, text=True)


def around() -> dict[str, str]:
    """The environment without what of the caller's would change what is measured or tested."""
    return {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "PYTHONHOME")}


def must(*words: str | Path, doing: str) -> None:
    """Run one command; stop with one clear line when it fails."""
    status = run(*words)
    if status:
        say(f"dev.py: {doing} failed (exit status {status}).")
        raise SystemExit(status)


def make_environment() -> None:
    """Make `.venv`, or stop with what to install."""
    if PYTHON.exists():
        return
    say("Making .venv ...")
    try:
        venv.EnvBuilder(with_pip=True, clear=VENV.exists()).create(VENV)
        for cache in list(VENV.rglob("__pycache__")):  # of pip, which is seldom run: 7 MB
            shutil.rmtree(cache, ignore_errors=True)
    except (subprocess.CalledProcessError, OSError, ImportError) as fault:
        say(f"dev.py: no virtual environment could be made ({fault}).")
        say("On Debian or Ubuntu: apt-get install python3-venv. Then run this again.")
        raise SystemExit(1) from fault


def digest(files: list[Path]) -> str:
    """Tell whether the pinned requirements changed since they were installed."""
    total = hashlib.sha256()
    for file in files:
        total.update(file.read_bytes())
    return total.hexdigest()


def install(level: str, files: list[tuple[str, list[str]]]) -> None:
    """Install pinned, hashed requirements and the package itself, once."""
    make_environment()
    paths = [REQUIREMENTS / name for name, _ in files]
    mark = VENV / f"installed-{level}"
    wanted = digest([*paths, ROOT / "pyproject.toml"])
    if mark.exists() and mark.read_text() == wanted:
        return
    say("Installing what is pinned in requirements/ (a minute or two the first time) ...")
    for name, extra in [("build.txt", []), *files]:
        pip = [PYTHON, "-B", "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
        must(
            *[*pip, "--no-compile", "--require-hashes", *extra, "-r", REQUIREMENTS / name],
            doing=f"installing {name}",
        )
    must(
        *[PYTHON, "-B", "-m", "pip", "install", "--quiet", "--disable-pip-version-check"],
        *["--no-deps", "--no-build-isolation", "-e", ROOT],
        doing="installing lattermath itself",
    )
    say("Compiling bytecode and kernels ...")
    compiling = [PYTHON, "-m", "compileall", "-q", "-j", "0", "-x", NOT_COMPILED]
    run(*compiling, VENV / "lib", ROOT / "src", quiet=True)
    must(PYTHON, "-c", "from lattermath.desk.warm_up import warm_up; warm_up()", doing="warm-up")
    mark.write_text(wanted)


def install_for_growers() -> None:
    """What running the program needs, with all that its pages offer: paper and a calendar too."""
    install("web", [("web.txt", []), ("print.txt", []), ("calendar.txt", [])])


def install_for_developers() -> None:
    """What checking and testing it needs; open datasets come without their dependencies."""
    install("dev", [("dev.txt", []), ("data.txt", ["--no-deps"])])


def demo(words: list[str]) -> int:
    """Run the main job on the invented plot."""
    install_for_growers()
    return run(PYTHON, "-m", "lattermath", "demo", *(words or [str(DEMO_FOLDER.name)]))


def check(_: list[str]) -> int:
    """Format, lint, types, contracts, and the tests about the house itself."""
    install_for_developers()
    steps: list[tuple[str, list[str | Path]]] = [
        ("format", [PYTHON, "-m", "ruff", "format", "--check", "--no-cache", "."]),
        ("lint", [PYTHON, "-m", "ruff", "check", "--no-cache", "."]),
        ("import contracts", [BIN / "lint-imports", "--no-cache"]),
        ("house", [PYTHON, "-m", "pytest", "tests/house"]),
    ]
    failed = []
    # Types take a core for as long as all the rest takes the other.
    types = begin(PYTHON, "-m", "mypy", "--no-incremental", "--cache-dir", os.devnull)
    for name, words in steps:
        say(f"-- {name}")
        if run(*words):
            failed.append(name)
    say("-- types")
    print(types.communicate()[0], end="", flush=True)
    if types.returncode:
        failed.append("types")
    if failed:
        say(f"dev.py: failed: {', '.join(failed)}.")
    return 1 if failed else 0


def test(words: list[str]) -> int:
    """Run check, then every other test."""
    if status := check([]):
        return status
    say("-- tests")
    # Whole files go to a worker: what the tests of one share is made once, and for all of them.
    shared = ["--dist", "loadfile", "--no-loadscope-reorder"]
    # Each worker reads all test files; to rewrite their assertions too takes it longer than that.
    # What fails shows its variables instead, and run by its name it shows all.
    plain = ["--assert=plain", "--showlocals"]
    wanted = words or ["-n", "2", *shared, *plain, "--ignore=tests/house", "tests"]
    return run(PYTHON, "-m", "pytest", *wanted)


def bench(words: list[str]) -> int:
    """Measure; nothing here can fail for being slow."""
    install_for_developers()
    scripts = [ROOT / "bench" / f"{w}.py" for w in words] or sorted((ROOT / "bench").glob("*.py"))
    return max((run(PYTHON, script) for script in scripts), default=0)


def clean(_: list[str]) -> int:
    """Remove the environment, caches and the demo's folder."""
    for folder in [VENV, DEMO_FOLDER, ROOT / "build", *ROOT.glob("src/*.egg-info")]:
        shutil.rmtree(folder, ignore_errors=True)
    for cache in [*ROOT.rglob("__pycache__"), *ROOT.glob(".*_cache"), ROOT / ".hypothesis"]:
        shutil.rmtree(cache, ignore_errors=True)
    return 0


COMMANDS = {"demo": demo, "test": test, "check": check, "bench": bench, "clean": clean}


def main(words: list[str]) -> int:
    """Do what was asked, or say what can be asked."""
    if sys.version_info < (3, 11):  # noqa: UP036 -- whoever runs this may have an older one
        say("dev.py: Lattermath needs Python 3.11 or newer.")
        return 1
    if not words or words[0] not in COMMANDS:
        print(__doc__)
        return 0 if words and words[0] in ("-h", "--help", "help") else 2
    try:
        return COMMANDS[words[0]](words[1:])
    except KeyboardInterrupt:
        say("Stopped. What was installed so far stays; run the same command again to go on.")
        return 130


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
