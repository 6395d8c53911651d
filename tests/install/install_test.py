#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What `cmake --install` installs works from where it lies, serves another project, and goes away without a trace.

    install_test.py CMAKE BUILD [--without-qt]

Installs the build BUILD into a fresh prefix and, with DESTDIR, for /usr; builds docs/examples/use-the-library against both
and compares what it prints with the installed program's own result.
"""
import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = "share/doc/latchwright/docs/examples/use-the-library"
LAYERS = ["base", "model", "io", "physics", "sim", "bench", "verdict", "choose", "spread", "report"]
PROGRAM = [
    "bin/latchwright", "share/man/man1/latchwright.1.gz", "share/bash-completion/completions/latchwright",
    "share/zsh/site-functions/_latchwright", "share/fish/vendor_completions.d/latchwright.fish",
    "share/doc/latchwright/README.md", "share/doc/latchwright/LICENSE", "share/doc/latchwright/CHANGELOG.md",
    "share/doc/latchwright/copyright", "share/doc/latchwright/docs/files.md", "share/doc/latchwright/docs/licences.md",
    "share/doc/latchwright/docs/job.schema.json", "share/doc/latchwright/docs/examples/five-door-estate.json",
    "share/doc/latchwright/parts/wires.json", EXAMPLE + "/main.cpp", EXAMPLE + "/CMakeLists.txt",
    "include/latchwright/verdict/examine.h", "include/latchwright/io/files.h",
]  # fmt: skip
WINDOW = [
    "bin/latchwright-desk", "share/man/man1/latchwright-desk.1.gz", "share/bash-completion/completions/latchwright-desk",
    "share/zsh/site-functions/_latchwright-desk", "share/fish/vendor_completions.d/latchwright-desk.fish",
    "share/applications/latchwright-desk.desktop", "share/icons/hicolor/scalable/apps/latchwright.svg",
    "share/mime/packages/latchwright-mime.xml",
]  # fmt: skip
failures = []


def check(condition, text):
    if not condition:
        failures.append(text)


def run(*command, wanted=(0,), **more):
    environment = dict(os.environ, LC_ALL="C.UTF-8", QT_QPA_PLATFORM="offscreen", **more.pop("environment", {}))
    done = subprocess.run([str(w) for w in command], capture_output=True, text=True, check=False, env=environment, **more)
    if done.returncode not in wanted:
        sys.exit(f"FAILED: {' '.join(map(str, command))}: exit {done.returncode}\n{done.stdout[-2000:]}\n{done.stderr[-3000:]}")
    return done


def tree(folder):
    """Every file and folder below, with what links lead to."""
    return {
        (str(path.relative_to(folder)), os.readlink(path) if path.is_symlink() else path.is_dir())
        for path in folder.rglob("*")
    }


def files(folder):
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if not path.is_dir()}


def check_files(prefix, wanted):
    there = files(prefix)
    # Where libraries go depends on the system: lib, lib64, lib/x86_64-linux-gnu.
    for name in wanted:
        check(name in there, f"{name} is not installed")
    for layer in LAYERS:
        check(any(re.fullmatch(rf"lib[^.]*/liblatchwright_{layer}\.a", name) for name in there) or layer == "spread",
              f"no library of {layer}")  # fmt: skip
        for header in (ROOT / "src" / layer).glob("*.h"):
            check(f"include/latchwright/{layer}/{header.name}" in there, f"{layer}/{header.name} is not installed")
    for name in there:
        check(not re.search(r"/(cli|ui|tests|desk|charts)/|\.cpp$|Doxyfile", name) or name.startswith(EXAMPLE),
              f"{name} is nobody's business")  # fmt: skip
    return there


def check_links(documents):
    """Links between installed texts lead somewhere."""
    seen = 0
    for page in documents.rglob("*.md"):
        for target in re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            if "://" in target:
                continue
            seen += 1
            check((page.parent / target).exists(), f"{page.relative_to(documents)}: {target} leads nowhere")
    check(seen > 10, f"only {seen} links in the documentation")


def check_paths(prefix, build):
    """What other projects read can be moved: no path of this machine in it."""
    for page in prefix.rglob("*.cmake"):
        text = page.read_text(encoding="utf-8")
        for path in (str(build), str(ROOT), str(prefix)):
            check(path not in text, f"{page.name} names {path}")


def build_example(cmake, prefix, folder):
    """Configures, builds and runs the example as its user would; returns what it prints."""
    job = prefix / "share/doc/latchwright/docs/examples/five-door-estate.json"
    run(cmake, "-G", "Ninja", "-S", prefix / EXAMPLE, "-B", folder, f"-DCMAKE_PREFIX_PATH={prefix}",
        "-DCMAKE_CXX_FLAGS=-Wall -Wextra -Werror")  # fmt: skip
    run(cmake, "--build", folder)
    printed = run(folder / "weakest_link", job, wanted=(1,)).stdout
    result = json.loads(run(prefix / "bin/latchwright", "check", job, "--json", wanted=(1,)).stdout)
    weakest = result["weakest"]
    row = next(row for row in result["checks"] if all(row[key] == weakest[key] for key in ("id", "door", "part", "at")))
    check(row["why"] in printed and ": fails" in printed, f"the example says {printed}")
    check(row["change"] is None or row["change"]["text"] in printed, f"the example names no cure: {printed}")
    run(folder / "weakest_link", "/nonexistent/job.json", wanted=(2,))


def check_components(cmake, prefix, folder):
    """Only what is asked for is looked for, and what is not there is refused."""

    def configure(wanted, *more):
        folder.mkdir(exist_ok=True)
        (folder / "CMakeLists.txt").write_text(
            "cmake_minimum_required(VERSION 3.25)\nproject(asks LANGUAGES CXX)\n"
            f"find_package(latchwright {wanted})\n", encoding="utf-8")  # fmt: skip
        return run(cmake, "--fresh", "-G", "Ninja", "-S", folder, "-B", folder / "build", f"-DCMAKE_PREFIX_PATH={prefix}",
                   *more, wanted=(0, 1))  # fmt: skip

    no_ceres = "-DCMAKE_DISABLE_FIND_PACKAGE_Ceres=ON"
    check(configure("REQUIRED COMPONENTS verdict", no_ceres).returncode == 0, "verdict needs no Ceres")
    check(configure("REQUIRED COMPONENTS report", no_ceres).returncode != 0, "report must ask for Ceres")
    wrong = configure("REQUIRED COMPONENTS desk")
    check(wrong.returncode != 0 and "no component desk" in wrong.stderr, f"a component that is not there: {wrong.stderr[-300:]}")
    check(configure("REQUIRED COMPONENTS base OPTIONAL_COMPONENTS desk").returncode == 0, "what is optional may be missing")
    check(configure("0.1 REQUIRED COMPONENTS base").returncode == 0, "version 0.1 can be asked for")
    check(configure("0.2 REQUIRED COMPONENTS base").returncode != 0, "a later version is not here")


def main():
    cmake, build = sys.argv[1], Path(sys.argv[2])
    wanted = PROGRAM + ([] if "--without-qt" in sys.argv else WINDOW)
    with tempfile.TemporaryDirectory() as name:
        scratch = Path(name).resolve()
        prefix, stage = scratch / "prefix", scratch / "stage"
        # Somebody else's things, which must stay.
        (prefix / "share/man/man1").mkdir(parents=True)
        (prefix / "share/doc").mkdir()
        (prefix / "bin").mkdir()
        (prefix / "bin/other").write_text("other")
        before = tree(prefix)

        record = {"LATCHWRIGHT_INSTALLED": str(scratch / "installed.txt")}
        for _ in range(2):  # a second time over the first
            run(cmake, "--install", build, "--prefix", prefix, environment=record)
        installed = check_files(prefix, wanted)
        check_links(prefix / "share/doc/latchwright")
        check_paths(prefix, build)
        version = run(prefix / "bin/latchwright", "--version").stdout
        check(re.fullmatch(r"latchwright \d+\.\d+\.\d+\n", version), f"--version: {version}")
        if "--without-qt" not in sys.argv:
            run(prefix / "bin/latchwright-desk", "--version")
        build_example(cmake, prefix, scratch / "example")
        check_components(cmake, prefix, scratch / "asks")

        staged = {"LATCHWRIGHT_INSTALLED": str(scratch / "staged.txt"), "DESTDIR": str(stage)}
        run(cmake, "--install", build, "--prefix", "/usr", environment=staged)
        check(files(stage) == {"usr/" + file for file in installed - {"bin/other"}}, "DESTDIR gets other files")
        build_example(cmake, stage / "usr", scratch / "staged-example")

        uninstall = ROOT / "packaging/uninstall.cmake"
        run(cmake, f"-DRECORD={scratch / 'installed.txt'}", "-P", uninstall)
        check(tree(prefix) == before, f"uninstall leaves another prefix: {sorted(map(str, tree(prefix) ^ before))[:10]}")
        run(cmake, f"-DRECORD={scratch / 'staged.txt'}", "-P", uninstall)
        check(not stage.exists(), f"uninstall leaves {sorted(map(str, tree(stage)))[:10] if stage.exists() else ''}")
        # Nothing installed, nothing to take away.
        run(cmake, f"-DRECORD={scratch / 'installed.txt'}", "-P", uninstall, wanted=(1,))
    for text in failures:
        print(f"FAILED: {text}")
    print(f"{len(installed)} files installed and taken away")
    sys.exit(1 if failures else 0)


main()
