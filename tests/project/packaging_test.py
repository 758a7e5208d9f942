#!/usr/bin/env python3
"""The manual page and the completion name every command and option of the help texts, and the package installs.

Usage: packaging_test.py PROGRAM PROJECT_FOLDER BUILD_FOLDER
"""
import os
import pathlib
import pty
import re
import select
import subprocess
import sys
import tempfile


def said(*command, **more):
    return subprocess.run(command, capture_output=True, text=True, check=False, **more)


def commands_of(program):
    return re.findall(r"^  ([a-z]+)  +\S", said(program, "--help").stdout, re.MULTILINE)


def options_of(program, command):
    """Long options, from lines such as `  -o [ --output ] FILE   ...`, read apart from cli/data/install."""
    found = set()
    for line in said(program, command, "--help").stdout.splitlines():
        if re.match(r"  -", line):
            found.add(re.search(r"--[a-z][a-z0-9-]*", line).group())
    return found


def completed(project, program, *words):
    """What bash offers for the last of the words."""
    script = (f"source {project}/cli/data/install/tierce.bash; COMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); _tierce; "
              "printf '%s\\n' \"${COMPREPLY[@]}\"")
    return set(said("bash", "-c", script, "bash", program, *words, cwd=project).stdout.split())


def check_completion(project, program, faults):
    commands = set(commands_of(program))
    wanted = {
        ("",): commands | {"--help", "--version"},
        ("fore",): {"forecast"},
        ("stock", "--units", ""): {"metric", "us"},
        ("stock", "--units", "u"): {"us"},
        ("age", "scenarios/am"): {"scenarios/amber.yaml"},
    }
    for command in commands:
        wanted[(command, "--")] = options_of(program, command)
    wanted[("record", "scenarios/amber.yaml", "")] = {verb.replace(" ", "-") for verb in verbs_of(program)}
    wanted[("record", "scenarios/amber.yaml", "ta")] = {"take-out"}
    wanted[("record", "scenarios/amber.yaml", "take-out", "--b")] = {"--because"}
    wanted[("record", "scenarios/amber.yaml", "draw", "--from", "x", "--vol")] = {"--volume"}
    for option in ("-o", "--output"):  # a report never goes over a book
        wanted[("stock", "scenarios/amber.yaml", option, "scenarios/am")] = set()
        wanted[("stock", "scenarios/amber.yaml", option, "scenarios/demo")] = {"scenarios/demo.sh"}
    for words, offers in wanted.items():
        if completed(project, program, *words) != offers:
            faults.append(f"completion of {words}: {completed(project, program, *words)}, not {offers}")


def verbs_of(program):
    line = re.search(r"^  VERB +what was done: (.*)$", said(program, "record", "--help").stdout, re.MULTILINE)
    return line.group(1).split(", ")


def check_that_nothing_typed_runs(project, program, faults):
    """In an interactive bash, with the Tab key, as somebody types or pastes it."""
    with tempfile.TemporaryDirectory() as folder:
        made = pathlib.Path(folder) / "made"
        typed = [f'-"z/x/;1e touch {made} #" ', f"-$(touch {made}) ", f"'$(touch {made})' ", f'"`touch {made}`" --', "-x/ ",
                 "--[ ", f"--units=$(touch {made})", f'record "$(touch {made})" ', f'record f "a;touch {made}" --',
                 f"-o '*$(touch {made})'"]
        for line in typed:
            shell, terminal = pty.fork()
            if shell == 0:
                os.chdir(folder)
                os.execvp("bash", ["bash", "--norc", "--noprofile", "-i"])
            talk(terminal, f"PS1='>'; tierce() {{ '{program}' \"$@\"; }}; source {project}/cli/data/install/tierce.bash; "
                           "echo rea''dy\n", "ready")
            seen = talk(terminal, f"tierce stock {line}\t\t", None)
            os.write(terminal, b"\x15exit\n")
            os.close(terminal)
            os.waitpid(shell, 0)
            if made.exists():
                faults.append(f"the completion of {line!r} runs what was typed")
                made.unlink()
            if "sed:" in seen or "bash:" in seen:
                faults.append(f"the completion of {line!r} says {seen!r}")


def talk(terminal, keys, until):
    """Types, and reads what comes until it was seen, or until nothing comes for a second."""
    os.write(terminal, keys.encode())
    seen = ""
    while select.select([terminal], [], [], 20 if until else 1)[0]:
        try:
            seen += os.read(terminal, 65536).decode(errors="replace")
        except OSError:
            break
        if until and until in seen:
            break
    return seen


def check_manual(program, page, faults):
    text = page.read_text("utf-8")
    for command in commands_of(program):
        section = re.search(rf"^\.SS {command}\n(.*?)(?=^\.S[SH] )", text, re.MULTILINE | re.DOTALL)
        if section is None:
            faults.append(f"{page}: no command {command}")
            continue
        named = set(re.findall(r"--[a-z][a-z0-9-]*", " ".join(
            line for line in section.group(1).replace("\\-", "-").splitlines() if line.startswith(".B -"))))
        if named != options_of(program, command):
            faults.append(f"{page}: {command}: options {named}, not {options_of(program, command)}")
    complaints = said("groff", "-man", "-Tutf8", "-ww", "-z", str(page)).stderr
    if complaints:
        faults.append(complaints)


def check_package(program, build, faults):
    """The .deb unpacks to a program that runs, and asks for every library that the program loads."""
    with tempfile.TemporaryDirectory() as folder:
        made = said("cpack", "-G", "DEB", "-B", folder, "--config", f"{build}/CPackConfig.cmake")
        packages = list(pathlib.Path(folder).glob("*.deb"))
        if len(packages) != 1:
            faults.append(f"cpack: {made.stdout}{made.stderr}")
            return
        root = pathlib.Path(folder) / "root"
        said("dpkg-deb", "-x", str(packages[0]), str(root))
        for path in ["usr/share/man/man1/tierce.1", "usr/share/bash-completion/completions/tierce",
                     "usr/share/doc/tierce/docs/model.md", "usr/share/doc/tierce/scenarios/amber.yaml"]:
            if not (root / path).exists():
                faults.append(f"{packages[0].name} does not hold {path}")
        installed = root / "usr/bin/tierce"
        if said(str(installed), "--version").stdout != said(program, "--version").stdout:
            faults.append("the program in the package does not run")
        page = said(str(installed), "report", str(root / "usr/share/doc/tierce/scenarios/amber.yaml")).stdout
        if not page.startswith("<!DOCTYPE html>"):
            faults.append("the program in the package makes no page")
        contact = said("dpkg-deb", "-f", str(packages[0]), "Maintainer").stdout.strip()
        if contact != "Tierce developers":  # no address that nobody reads
            faults.append(f"the package names '{contact}' to ask")
        needed = said("dpkg-deb", "-f", str(packages[0]), "Depends").stdout
        for path in re.findall(r"=> (/\S+)", said("ldd", str(installed)).stdout):
            owner = said("dpkg-query", "-S", str(pathlib.Path(path).resolve())).stdout.split(":")[0]
            direct = pathlib.Path(path).name in said("objdump", "-p", str(installed)).stdout
            if direct and owner not in needed:
                faults.append(f"the package does not depend on {owner}, which holds {path}: {needed}")


def main():
    program, project, build = sys.argv[1:]
    faults = []
    check_completion(project, program, faults)
    check_that_nothing_typed_runs(project, program, faults)
    check_manual(program, pathlib.Path(build) / "tierce.1", faults)
    check_package(program, build, faults)
    for fault in faults:
        print(fault)
    print(f"{len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
