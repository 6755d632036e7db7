"""Commands, options, golden cases and documents go together:
- each command has a golden case and a row in docs/commands.md;
- each option is used by a golden case: one of a single command by a case of
  that command, one of a group that several take by a case of any of them;
- an option that a row of docs/commands.md names is one of that command;
- with --run, and then that alone: each command in a block of README.md and
  docs/*.md runs, on the demo market.
What there is, the program says itself: rushlight --help and COMMAND --help.

usage: commands_test.py PROGRAM [--run]
"""

import glob
import os
import re
import subprocess
import sys
import tempfile

ROOT = os.path.abspath(os.path.join(os.path.dirname(__file__), ".."))
PROGRAM = os.path.abspath(sys.argv[1])
EVERY = "Options of every command"


def read(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def help_of(*words):
    return subprocess.run(
        [PROGRAM, *words, "--help"], check=True, capture_output=True, text=True
    ).stdout


def options_of(command):
    """The options of each heading."""
    groups, heading = {}, None
    for line in help_of(command).splitlines():
        if line.endswith(":") and not line.startswith(" "):
            heading = line[:-1]
        option = re.match(r"  (?:-o, )?--([a-z-]+)", line)
        if option and heading:
            groups.setdefault(heading, []).append(option.group(1))
    return groups


def spelled_out(script):
    """The script with its comments gone, its variables and loops filled in, and each
    call of a function that hands its words on as a call of what it hands them to."""
    script = re.sub(r"^\s*#.*$", "", script, flags=re.M).replace("\\\n", " ")
    given = re.findall(r"^\s*(\w+)=(?:'([^']*)'|\"([^\"]*)\")", script, re.M)
    given = [(name, quoted or double) for name, quoted, double in given]
    for name, words in given + re.findall(r"\bfor (\w+) in (.*?);", script):
        script = re.sub(rf"\$\{{?{name}\b\}}?", lambda _, words=words: words, script)
    for name, body in re.findall(r"^(\w+)\(\) [{(](.*?)[})]$", script, re.M | re.S):
        call = re.search(r"(rushlight\b[^\n|;]*?)\"?\$(?:@|\*)", body)
        if call:
            script = re.sub(rf"^\s*{name} ", lambda _, call=call: call.group(1) + " ", script, flags=re.M)
    # What separates calls does not in quotes, unless a call stands in them.
    return re.sub(r"'[^']*'|\"[^\"$]*(?:\$(?!\()[^\"$]*)*\"",
                  lambda quoted: re.sub(r"[|;()`&\n]", " ", quoted.group()), script)


def used():
    """(command, option) of every golden case; the command itself with ''. An option
    counts for the command that it is given to."""
    pairs = set()
    for path in glob.glob(os.path.join(ROOT, "tests/cli/*/*/command")):
        for call in re.split(r"\n|;|\|\|?|&&|\$\(|\)|`", spelled_out(read(path))):
            name = re.search(r"(?:^|[\s\"'/{(])(?:rushlight|\$RUSHLIGHT)\"? +([a-z]+)\b", call)
            if not name:
                continue
            options = set(re.findall(r"(?<![^\s'\"])--([a-z-]+)", call)) | {""}
            if re.search(r"(?<!\S)-o(?!\S)", call):
                options.add("output")
            pairs |= {(name.group(1), option) for option in options}
    return pairs


def check_golden(faults):
    pairs = used()
    takers = {}
    for command, groups in COMMANDS.items():
        if (command, "") not in pairs:
            faults.append(f"{command}: no golden case in tests/cli uses it")
        for heading, options in groups.items():
            for option in options:
                takers.setdefault((heading, tuple(options), option), []).append(command)
    for (heading, _, option), commands in takers.items():
        if not any((command, option) in pairs for command in commands):
            faults.append(f"{commands[0]} --{option} ({heading}): no golden case uses it")


def check_rows(faults):
    rows = dict(re.findall(r"^\| `([a-z]+)[^|`]*(?:\\\|[^|`]*)*`(.*)$", read(os.path.join(ROOT, "docs/commands.md")), re.M))
    for command in COMMANDS:
        if command not in rows:
            faults.append(f"docs/commands.md: no row of {command}")
    for command, row in rows.items():
        if command not in COMMANDS:
            faults.append(f"docs/commands.md: a row of {command}, which is no command")
            continue
        known = {option for options in COMMANDS[command].values() for option in options} | GLOBAL
        # `study --forward` in the row of seal is an option of study.
        row = re.sub(r"`[a-z]+ --[a-z-]+`|for `[a-z]+ --[^`]*`", "", row)
        for option in re.findall(r"--([a-z-]+)", row):
            if option not in known:
                faults.append(f"docs/commands.md: {command} has no option --{option}")


def blocks(text):
    """Lines of code blocks: indented by four spaces, or fenced."""
    fenced = False
    for line in text.splitlines():
        if line.startswith("```"):
            fenced = not fenced
        elif line.startswith("    ") or fenced:
            yield line.strip().removeprefix("$ ")


def check_documents(faults):
    count = 0
    with tempfile.TemporaryDirectory() as folder:
        os.symlink(os.path.join(ROOT, "setups"), os.path.join(folder, "setups"))
        environment = {**os.environ, "HOME": folder, "XDG_DATA_HOME": os.path.join(folder, "data"),
                       "PATH": os.path.dirname(PROGRAM) + ":" + os.environ["PATH"]}
        subprocess.run([PROGRAM, "demo", "--quiet"], cwd=folder, env=environment, check=True,
                       capture_output=True)
        for path in [os.path.join(ROOT, "README.md"), *sorted(glob.glob(os.path.join(ROOT, "docs/*.md")))]:
            for line in blocks(read(path)):
                if not re.match(r"rushlight( |$)", line):
                    continue
                count += 1
                # A page is served until it is stopped; here on any port, without a browser.
                if line.startswith("rushlight serve"):
                    line = "timeout --preserve-status -s TERM 15 " + line.replace(" --open", " --port 0")
                done = subprocess.run(["sh", "-c", line], cwd=folder, env=environment, text=True,
                                      capture_output=True, stdin=subprocess.DEVNULL)
                if done.returncode not in (0, 1):
                    name = os.path.relpath(path, ROOT)
                    faults.append(f"{name}: {line}\n  {done.stderr.strip()}")
    if count < 10:
        faults.append(f"only {count} commands found in the documents")
    return count


def main():
    faults = []
    if sys.argv[2:] == ["--run"]:
        print(f"{check_documents(faults)} lines of documents, {len(faults)} faults")
    else:
        if len(COMMANDS) <= 10:
            faults.append("rushlight --help lists no commands")
        check_golden(faults)
        check_rows(faults)
        print(f"{len(COMMANDS)} commands, {len(faults)} faults")
    print("\n".join(faults))
    return 1 if faults else 0


if sys.argv[2:] != ["--run"]:
    GLOBAL = set(options_of("demo")[EVERY])
    COMMANDS = {
        command: {h: o for h, o in options_of(command).items() if h != EVERY}
        for command in re.findall(r"^  ([a-z]+) ", help_of().split("Commands:")[1].split("\n\n")[0], re.M)
    }
sys.exit(main())
