"""Kills a closing at every call that writes, one after the other, and looks at what is left: whole as before, or closed.

strace delivers SIGKILL at the n-th of those calls, so the process has no chance to clean up behind itself.

    killed.py PROGRAM BASE WORK
"""

import re
import shutil
import subprocess
import sys
from pathlib import Path

CALLS = ["mkdir", "mkdirat", "write", "pwrite64", "fsync", "fdatasync", "rename", "renameat", "renameat2", "unlink", "unlinkat", "rmdir"]
PERIOD = "\n[[periods]]\nnumber = 2\nthrough = 2031-08-31\n"
LATE = "Item,Date,Location,Length (ft),Width (ft)\n2,8/6/2031,house 14,18,10\n"


def main():
    program, base, work = Path(sys.argv[1]).resolve(), Path(sys.argv[2]), Path(sys.argv[3])
    shutil.rmtree(work, ignore_errors=True)
    folder = work / "contract"
    shutil.copytree(base, folder)
    contract = folder / "contract.toml"
    contract.write_text(contract.read_text() + PERIOD)
    closed(program, folder, 1)
    (folder / "field" / "august.csv").write_text(LATE)
    before, after = 0, 0
    for call in CALLS:
        n = 1
        while (periods := killed(program, folder, work, call, n)) is not None:
            if periods == ["1"]:
                before += 1
                closed(program, work / "copy", 2)
            else:
                after += 1
            n += 1
    assert before > 20 and after > 0, f"{before} kills left period 2 open, {after} closed"
    print(f"killed at each of {before + after} calls that write: {before} left the old state, {after} the new one, none another")


def killed(program, folder, work, call, n):
    """The periods that are closed after a kill at the n-th such call; None where there was no such call."""
    copy, calls = work / "copy", work / "calls.txt"
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(folder, copy)
    inject = ["-e", f"trace={call}", "-e", f"inject={call}:signal=SIGKILL:when={n}"]
    command = ["strace", "-f", "-qq", *inject, "-o", calls, program, "close", copy, "2"]
    run = subprocess.run(command, capture_output=True, text=True)
    if "killed by SIGKILL" not in calls.read_text():
        assert run.returncode == 0, run.stderr
        return None
    said = subprocess.run([program, "verify", copy], capture_output=True, text=True)
    periods = re.findall(r"^period (\d+), through \S+: the same today$", said.stdout, re.M)
    assert said.returncode == 0, f"killed at {call} {n}: {said.stdout}{said.stderr}"
    assert periods in (["1"], ["1", "2"]), f"killed at {call} {n}: {said.stdout}"
    return periods


def closed(program, folder, period):
    run = subprocess.run([program, "close", folder, str(period)], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr


main()
