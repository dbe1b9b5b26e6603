"""Runs a long import with a terminal on standard error and a pipe on standard output, and the other way round.

Argument: the program and an empty folder to work in.
"""
import json
import os
import pty
import subprocess
import sys
import threading

program, folder = sys.argv[1:3]
sheet = os.path.join(folder, "long.csv")
with open(sheet, "w", encoding="utf-8") as file:
    file.write("Maker,Style number,Name,Heel stack mm,Forefoot stack mm\n")
    for row in range(60_000):
        file.write(f"Orrelby,OR-{row},Sound {row},32.5,24.5\n")


def run(arguments, terminal_on):
    """Standard output and standard error of a run, one of them (or none) a terminal."""
    main, terminal = pty.openpty()
    streams = {name: terminal if name == terminal_on else subprocess.PIPE for name in ("stdout", "stderr")}
    child = subprocess.Popen([program, *arguments], stdin=subprocess.DEVNULL, cwd=folder, **streams)
    os.close(terminal)
    seen = []

    def watch():
        while True:
            try:
                read = os.read(main, 65536)
            except OSError:
                return
            if not read:
                return
            seen.append(read)

    watcher = threading.Thread(target=watch)
    watcher.start()
    piped = child.communicate(timeout=120)
    watcher.join()
    shown = b"".join(seen).decode()
    told = {"stdout": piped[0], "stderr": piped[1]}
    text = {name: shown if name == terminal_on else (told[name] or b"").decode() for name in told}
    assert child.returncode == 0, (arguments, child.returncode, text)
    return text


look = ["import", "--check", "--json", "--data", "data", "long.csv"]
seen = run(look, "stderr")
assert json.loads(seen["stdout"])["new"] == 60_000, seen["stdout"]
assert seen["stdout"].count("\n") == 1 and "\x1b" not in seen["stdout"], "one document and nothing else"
assert "reading" in seen["stderr"] or "comparing" in seen["stderr"], f"progress is shown on a terminal: {seen['stderr']!r}"
quiet = run([*look, "--quiet"], "stderr")
assert quiet["stderr"] == "" and json.loads(quiet["stdout"]), quiet["stderr"]
piped = run(look, "stdout")
assert piped["stderr"] == "", f"nothing of it reaches a pipe: {piped['stderr']!r}"
assert json.loads(piped["stdout"]) == json.loads(seen["stdout"])
