"""Where POSIX modules and functions are missing, everything is imported and a catalogue is built all the same."""

from __future__ import annotations

import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import tablegen
from tests.processes import environment
from tests.small import small_catalogue

MISSING_MODULES = ("fcntl", "grp", "pty", "pwd", "readline", "resource", "spwd", "syslog", "termios", "tty")
MISSING_NAMES = (
    "chown fchmod fchown fork forkpty getegid geteuid getgid getgroups getloadavg getpgid getpgrp getpriority getsid "
    "getuid initgroups killpg lchown major makedev minor mkfifo mknod nice openpty pathconf pread preadv pwrite pwritev "
    "register_at_fork sched_getaffinity sched_setaffinity sched_yield sendfile setegid seteuid setgid setpgid setsid "
    "setuid statvfs sync sysconf tcgetpgrp ttyname uname wait3 wait4 "
    "O_ASYNC O_CLOEXEC O_DIRECTORY O_DSYNC O_NOCTTY O_NOFOLLOW O_NONBLOCK O_SYNC O_TMPFILE"
)
MISSING_SIGNALS = "SIGALRM SIGCHLD SIGCONT SIGHUP SIGKILL SIGPIPE SIGQUIT SIGSTOP SIGTSTP SIGUSR1 SIGUSR2"
# What other packages need of them, for they go by the name of the system, is loaded before the functions go.
BLOCK = f"""
import importlib.abc, os, signal, sys, warnings

class Blocked(importlib.abc.MetaPathFinder):
    def find_spec(self, name, path=None, target=None):
        if name in {MISSING_MODULES!r}:
            raise ModuleNotFoundError(f"No module named {{name!r}}", name=name)

for name in {MISSING_MODULES!r}:
    sys.modules.pop(name, None)
sys.meta_path.insert(0, Blocked())
warnings.filterwarnings("ignore", "only soft file lock is available")
import CoolProp, filelock, fontTools.ttLib, numpy, openpyxl, pandas, platformdirs, pydantic, reportlab, scipy, tqdm
import multiprocessing, subprocess, tempfile
import ruamel.yaml
for name in {MISSING_NAMES!r}.split():
    if hasattr(os, name):
        delattr(os, name)
for name in {MISSING_SIGNALS!r}.split():
    if hasattr(signal, name):
        delattr(signal, name)
# It looks at what there is when it is imported, and the package imports it by name.
sys.modules.pop("shutil", None)
"""
RUN = f"""
{BLOCK}
import importlib
for name in {MISSING_MODULES!r}:
    try:
        importlib.import_module(name)
    except ModuleNotFoundError:
        continue
    raise AssertionError(name)
assert not [name for name in {MISSING_NAMES!r}.split() if hasattr(os, name)]
assert filelock.FileLock is not filelock.UnixFileLock
modules, arguments = sys.argv[1].split(), sys.argv[2:]
for name in modules:
    importlib.import_module(name)
print("imported", len(modules))
sys.exit(sys.modules["tablegen.cli.main"].main(arguments))
"""


@pytest.mark.slow
def test_every_module_is_imported_and_a_catalogue_is_built(tmp_path: Path):
    """Into an empty cache, and over an earlier output."""
    names = [
        found.name
        for found in pkgutil.walk_packages(tablegen.__path__, "tablegen.")
        if not found.name.endswith("__main__")
    ]
    path = small_catalogue(tmp_path / "configs", ["alder"], {"pair": ("R404A", "R507A")}, ["walk_in_medium"])
    folder = tmp_path / "output" / "demo"
    folder.mkdir(parents=True)
    (folder / "manifest.json").write_text("earlier", encoding="utf-8")
    build = ["build", "--catalogue", str(path), "--output", str(tmp_path / "output"), "--workers", "1"]
    done = subprocess.run(
        [sys.executable, "-c", RUN, " ".join(names), *build],
        env=environment(HOME=str(Path.home()), TABLEGEN_CACHE=str(tmp_path / "cache")),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(f"imported {len(names)}\n")
    assert "windows of single refrigerants (" in done.stdout
    assert (folder / "manifest.json").read_text(encoding="utf-8") != "earlier"
    assert [p.name for p in (tmp_path / "output").iterdir()] == ["demo"]
