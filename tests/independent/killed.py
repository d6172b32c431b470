"""Kills a closing at every call that writes, one after the other, and looks at what is left: whole as before, or closed.

strace delivers SIGKILL at the n-th of those calls, so the process has no chance to clean up behind itself.

    killed.py PROGRAM BASE WORK
"""

import re
import shutil
import subprocess
import sys
from pathlib import Path

CALLS = "mkdir,mkdirat,write,pwrite64,fsync,fdatasync,rename,renameat,renameat2,unlink,unlinkat,rmdir"
PERIOD = "\n[[periods]]\nnumber = 2\nthrough = 2031-08-31\n"


def main():
    program, base, work = Path(sys.argv[1]).resolve(), Path(sys.argv[2]), Path(sys.argv[3])
    shutil.rmtree(work, ignore_errors=True)
    folder = work / "contract"
    shutil.copytree(base, folder)
    contract = folder / "contract.toml"
    contract.write_text(contract.read_text() + PERIOD)
    closed(program, folder, 1)
    (folder / "field" / "august.csv").write_text("Item,Date,Location,Length (ft),Width (ft)\n2,8/6/2031,house 14,18,10\n")
    before, after, kills = 0, 0, 0
    while True:
        kills += 1
        copy = work / "copy"
        shutil.rmtree(copy, ignore_errors=True)
        shutil.copytree(folder, copy)
        inject = f"inject={CALLS}:signal=SIGKILL:when={kills}"
        command = ["strace", "-f", "-qq", "-e", f"trace={CALLS}", "-e", inject, "-o", str(work / "calls.txt")]
        run = subprocess.run(command + [program, "close", copy, "2"], capture_output=True, text=True)
        killed = "killed by SIGKILL" in (work / "calls.txt").read_text()
        if not killed:
            assert run.returncode == 0, run.stderr
            break
        said = subprocess.run([program, "verify", copy], capture_output=True, text=True)
        periods = re.findall(r"^period (\d+), through \S+: the same today$", said.stdout, re.M)
        assert said.returncode == 0, f"killed at call {kills}: {said.stdout}{said.stderr}"
        assert periods in (["1"], ["1", "2"]), f"killed at call {kills}: {said.stdout}"
        if periods == ["1"]:
            before += 1
            closed(program, copy, 2)
        else:
            after += 1
    assert before > 20 and after > 0, f"{before} kills left period 2 open, {after} closed"
    print(f"killed at each of {kills - 1} calls that write: {before} left the old state, {after} the new one, none another")


def closed(program, folder, period):
    run = subprocess.run([program, "close", folder, str(period)], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr


main()
