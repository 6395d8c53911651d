#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The manual pages and completions that are installed say what the programs say of themselves.

    texts_test.py PROGRAM FOLDER [WINDOW]    FOLDER: where the build has written them

What must be there is taken from what the programs print: --help of every verb, faults of wrong values. Pages are read by
man and groff, completions by their shells, where these are installed; what is not is named.
"""
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "docs/examples/five-door-estate.json"
ENVIRONMENT = dict(os.environ, QT_QPA_PLATFORM="offscreen", LC_ALL="C.UTF-8", TERM="dumb")
failures = []
not_checked = []


def check(condition, text):
    if not condition:
        failures.append(text)


def run(*command, **more):
    return subprocess.run([str(word) for word in command], capture_output=True, text=True, check=False, env=ENVIRONMENT, **more)


def options_of(help_text):
    """Names of all options of a help text, and the words of its arguments."""
    options, arguments, section = set(), [], ""
    for line in help_text.splitlines():
        if line and not line.startswith(" "):
            section = line.rstrip(":")
        match = re.match(r"  ([^\s,]+(?:, ?-[^\s,]+)*)", line)
        if match and section == "Options":
            options.update(re.findall(r"(?<!\w)--?[a-z][a-z-]*", match[1]))
        elif match and section in ("Positionals", "Arguments"):
            arguments.append(match[1])
    return options, arguments


class Said:
    """What a program says of itself."""

    def __init__(self, program):
        self.program = program
        top = run(program, "--help").stdout
        self.options, _ = options_of(top)
        self.verbs = {}
        listed = top.split("erbs:\n" if "erbs:\n" in top else "Subcommands:\n")[1].split("\n\n")[0]
        for verb in re.findall(r"^  (\w+) ", listed, re.MULTILINE):
            text = run(program, verb, "--help").stdout
            self.verbs[verb] = (*options_of(text), text)
        codes = top.split("Exit code:")[1]
        self.exits = set(re.findall(r"(?:^|, |\s)(\d+)\s[a-z]", codes.split(".\n")[0]))


def plain(roff):
    """A page's text without its macros' escapes."""
    text = re.sub(r"\\f[BIR]", "", roff)
    text = re.sub(r"\\\[u([0-9A-F]+)\]", lambda match: chr(int(match[1], 16)), text)
    return text.replace("\\-", "-").replace("\\(aq", "'").replace("\\&", "").replace("\\e", "\\")


def has_word(text, word):
    return re.search(r"(?<![\w-])" + re.escape(word) + r"(?![\w-])", text) is not None


def check_page(path):
    """man and groff have nothing to complain of, and the page can be read in UTF-8."""
    for name, command in {
        "man": ["man", "--warnings", "-E", "UTF-8", "-l", path],
        "groff": ["groff", "-man", "-ww", "-Tutf8", path],
    }.items():
        if shutil.which(name) is None:
            not_checked.append(f"{path.name} by {name}")
            continue
        read = run(*command)
        check(read.returncode == 0 and read.stderr == "", f"{name} {path.name}: {read.stderr}")
        check("latchwright" in re.sub(r".\x08|\x1b\[\d*m", "", read.stdout), f"{name} {path.name}: nothing to read")
    check(path.read_bytes().isascii(), f"{path.name} must be ASCII for every reader of pages")


def check_manual(said, folder):
    path = folder / "latchwright.1"
    check_page(path)
    page = plain(path.read_text(encoding="utf-8"))
    version = run(said.program, "--version").stdout.split()[1]
    check(f'"Latchwright {version}"' in page, "latchwright.1: the version is missing")
    sections = {part.split("\n", 1)[0]: part for part in re.split(r"^\.SS ", page, flags=re.MULTILINE)[1:]}
    shared = page.split(".SH OPTIONS OF SEVERAL VERBS")[1].split(".SH EXIT STATUS")[0]
    check(set(sections) == set(said.verbs), f"latchwright.1: verbs {sorted(sections)}, not {sorted(said.verbs)}")
    for verb, (options, arguments, text) in said.verbs.items():
        section = sections.get(verb, "").split("\n.SH ")[0]
        for word in arguments:
            check(has_word(section, word), f"latchwright.1: {verb}: argument {word} is missing")
        for option in options:
            if option == "-h":
                check(has_word(shared, option), "latchwright.1: -h is missing")
                continue
            check(has_word(section, option), f"latchwright.1: {verb}: {option} is missing")
            entry = rf"^(?:-\w, )?{re.escape(option)}(?: .*)?$"
            explained = re.search(entry, section, re.MULTILINE) or re.search(entry, shared, re.MULTILINE)
            check(explained, f"latchwright.1: {verb}: {option} is not explained")
        example = re.search(r"Example: (.*?)(?:  |\n)", text)
        check(example is None or example[1] in page, f"latchwright.1: the example of {verb} is missing")
    check(said.exits == set(re.findall(r"^\.TP\n(\d+)\n", page, re.MULTILINE)), f"latchwright.1: exit codes {said.exits}")
    # Ranges as the program's own faults name them.
    for verb, option, text in (("stall", "--limit", "0.1 to 36000 s"), ("new", "--doors", None)):
        fault = run(said.program, verb, DEMO, option, "1e9").stderr
        printed = re.search(r"permitted range \((.*?)\)", fault)
        check(printed is not None, f"{verb} {option} 1e9: {fault}")
        check(text is None or (printed and printed[1] == text), f"{verb} {option}: {fault}")
        check(printed and printed[1] in page, f"latchwright.1: the range of {option} is missing")
    for caution in re.search(r"Before you touch it\n((?:  .*\n)+)", run(said.program, "check", DEMO).stdout)[1].splitlines():
        check(caution.strip() in page, f"latchwright.1: a caution is missing: {caution}")


class Bash:
    """Completes as bash would, by the function that it would call."""

    def __init__(self, path, function, here):
        self.path, self.function, self.here = path, function, here
        read = run("bash", "-n", path)
        check(read.returncode == 0 and read.stderr == "", f"bash -n {path.name}: {read.stderr}")

    def complete(self, *words):
        """What is offered for the last of the words, which are as typed."""
        script = (
            'source "$1" || exit 1\nshift\nfunction=$1\nshift\nCOMP_WORDS=("$@")\nCOMP_CWORD=$(($# - 1))\n'
            '"$function"\nfor k in "${!COMPREPLY[@]}"; do printf "%s\\n" "${COMPREPLY[k]}"; done'
        )
        done = run("bash", "--norc", "-c", script, "bash", self.path, self.function, *words, cwd=self.here)
        check(done.stderr == "", f"bash: {words}: {done.stderr}")
        return set(done.stdout.splitlines())

    def expect(self, words, wanted):
        offered = self.complete(*words)
        check(offered == set(wanted), f"bash: {' '.join(words)}: {sorted(offered)}, not {sorted(wanted)}")


def check_bash(said, folder, here):
    bash = Bash(folder / "latchwright.bash", "_latchwright", here)
    bash.expect(["latchwright", ""], set(said.verbs) | said.options)
    bash.expect(["latchwright", "ch"], {"check"})
    for verb, (options, _, _) in said.verbs.items():
        bash.expect(["latchwright", verb, "-"], options)
    # An option once given is not offered again, unless it may be.
    once = bash.complete("latchwright", "check", "job.json", "--json", "--door", "x", "--")
    check("--json" not in once and "--door" in once, f"bash: given once: {sorted(once)}")
    bash.expect(["latchwright", "new", "--body", ""], {"hatch", "saloon", "estate", "van"})
    bash.expect(["latchwright", "new", "--body", "=", "s"], {"saloon"})
    bash.expect(["latchwright", "check", ""], {"job.json", "my parts.json", "folder"})
    bash.expect(["latchwright", "check", "job.json", ""], bash.complete("latchwright", "check", "job.json", "-"))
    bash.expect(["latchwright", "check", "job.json", "--plot", ""], {"old.svg", "folder"})
    bash.expect(["latchwright", "fit", "a.csv", ""], {"a.csv", "b.CSV", "folder"})
    bash.expect(["latchwright", "stall", "job.json", "--limit", ""], [])
    # Door names have blanks.
    bash.expect(["latchwright", "stall", "job.json", "--door", "front"], {r"front\ left", r"front\ right"})
    bash.expect(["latchwright", "stall", "job.json", "--door", r"front\ l"], {r"front\ left"})
    bash.expect(["latchwright", "stall", "job.json", "--door", '"front l'], {"front left"})
    actuators = parts_listed(said.program, "actuator")
    bash.expect(["latchwright", "triage", ""], actuators)
    bash.expect(["latchwright", "fit", "a.csv", "--like", "act-o"], {i for i in actuators if i.startswith("act-o")})
    bash.expect(["latchwright", "parts", "fuse-m"], {i for i in parts_listed(said.program) if i.startswith("fuse-m")})
    bash.expect(["latchwright", "bench", "--parts", "job.json", "mine"], {"mine-of-this-job"})
    bash.expect(["latchwright", "nosuchverb", ""], [])


def parts_listed(program, kind=None):
    listed = run(program, "parts", *(["--kind", kind] if kind else [])).stdout.splitlines()[1:]
    return {line.split()[0] for line in listed if re.match(r"[a-z]\S* ", line)}


def check_others(said, folder):
    zsh = (folder / "_latchwright").read_text(encoding="utf-8")
    fish = (folder / "latchwright.fish").read_text(encoding="utf-8")
    for verb, (options, _, _) in said.verbs.items():
        case = re.search(rf"^        {verb}\)\n(.*?);;$", zsh, re.MULTILINE | re.DOTALL)
        check(case is not None and f"    '{verb}:" in zsh, f"zsh: {verb} is missing")
        lines = [line for line in fish.splitlines() if f"'__latchwright_verb {verb}'" in line]
        check(f"-a {verb} -d" in fish, f"fish: {verb} is missing")
        for option in options:
            check(case and re.search(rf"'\*?(?:\([^)]*\))?{option}[=\[]", case[1]), f"zsh: {verb} {option} is missing")
            word = f" -l {option[2:]} " if option.startswith("--") else f" -s {option[1:]} "
            check(any(word in line for line in lines), f"fish: {verb} {option} is missing")


def check_shells(folder, names, here):
    """Shells that are installed can read their files; fish is asked what it offers."""
    for shell, files in {"zsh": [f"_{name}" for name in names], "fish": [f"{name}.fish" for name in names]}.items():
        if shutil.which(shell) is None:
            not_checked.append(f"{' '.join(files)} by {shell}")
            continue
        for name in files:
            read = run(shell, "-n", folder / name)
            check(read.returncode == 0 and read.stderr == "", f"{shell} -n {name}: {read.stderr}")
    if shutil.which("fish") is None:
        return
    for typed, wanted in {
        "latchwright ch": {"check"},
        "latchwright new --body ": {"hatch", "saloon", "estate", "van"},
        "latchwright stall job.json --door rear": {"rear left", "rear right"},
        "latchwright check ": {"job.json", "my parts.json", "folder/"},
        "latchwright check job.json --plot ": {"old.svg", "folder/"},
        "latchwright bench --parts job.json mine": {"mine-of-this-job"},
        "latchwright check --all": {"--all-corners"},
    }.items():
        offered = run("fish", "--no-config", "-c", f"source {folder}/latchwright.fish; complete -C '{typed}'", cwd=here)
        words = {line.split("\t")[0] for line in offered.stdout.splitlines()}
        check(words == wanted and offered.stderr == "", f"fish: {typed}: {sorted(words)}, not {sorted(wanted)} {offered.stderr}")


def check_window(window, folder, here):
    help_text = run(window, "--help").stdout
    options, arguments = options_of(help_text)
    check("--help" in options and arguments == ["FILE"], f"the window's help: {help_text}")
    check_page(folder / "latchwright-desk.1")
    page = plain((folder / "latchwright-desk.1").read_text(encoding="utf-8"))
    zsh = (folder / "_latchwright-desk").read_text(encoding="utf-8")
    fish = (folder / "latchwright-desk.fish").read_text(encoding="utf-8")
    for option in options:
        check(has_word(page, option), f"latchwright-desk.1: {option} is missing")
        check(f"){option}[" in zsh, f"zsh: latchwright-desk {option} is missing")
        check(f" -{'l' if option[1] == '-' else 's'} {option.lstrip('-')} " in fish, f"fish: latchwright-desk {option}")
    for word in arguments:
        check(has_word(page, word), f"latchwright-desk.1: {word} is missing")
    bash = Bash(folder / "latchwright-desk.bash", "_latchwright_desk", here)
    bash.expect(["latchwright-desk", "-"], options)
    bash.expect(["latchwright-desk", ""], {"job.json", "my parts.json", "folder"})
    # As its page says.
    exits = set(re.findall(r"^\.TP\n(\d+)\n", page, re.MULTILINE))
    check(exits == {"0", "1", "2"}, f"latchwright-desk.1: exit codes {exits}")
    check(run(window, "--nosuchoption").returncode == 1, "the window's exit code for an option that it does not know")
    check(run(window, DEMO, DEMO).returncode == 2, "the window's exit code for two files")
    check(run(window, "--version").returncode == 0, "the window's exit code for --version")


def main():
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
    said = Said(program)
    check(len(said.verbs) >= 10 and len(said.exits) == 5, f"read from --help: {sorted(said.verbs)}, {sorted(said.exits)}")
    with tempfile.TemporaryDirectory() as name:
        here = Path(name)
        (here / "folder").mkdir()
        job = DEMO.read_text(encoding="utf-8").rstrip().removesuffix("}")
        (here / "job.json").write_text(job + ', "parts": [{"id": "mine-of-this-job"}] }', encoding="utf-8")
        for other in ("my parts.json", "a.csv", "b.CSV", "old.svg", "letter.txt"):
            (here / other).touch()
        check_manual(said, folder)
        check_bash(said, folder, here)
        check_others(said, folder)
        check_shells(folder, ["latchwright"] + (["latchwright-desk"] if len(sys.argv) > 3 else []), here)
        if len(sys.argv) > 3:
            check_window(Path(sys.argv[3]).resolve(), folder, here)
    for text in not_checked:
        print(f"not checked, not installed: {text}")
    for text in failures:
        print(f"FAILED: {text}")
    print(f"{len(said.verbs)} verbs, {sum(len(options) for options, _, _ in said.verbs.values())} options")
    sys.exit(1 if failures else 0)


main()
