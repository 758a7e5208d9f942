#!/usr/bin/env python3
"""The manual page and the completion name every command and option of the help texts, and the package installs.

Usage: packaging_test.py PROGRAM PROJECT_FOLDER BUILD_FOLDER
"""
import pathlib
import re
import subprocess
import sys
import tempfile


def said(*command, **more):
    return subprocess.run(command, capture_output=True, text=True, check=False, **more)


def commands_of(program):
    return re.findall(r"^  ([a-z]+)  +\S", said(program, "--help").stdout, re.MULTILINE)


def options_of(program, command):
    """Long options, from lines such as `  -o [ --output ] FILE   ...`, read apart from packaging/."""
    found = set()
    for line in said(program, command, "--help").stdout.splitlines():
        if re.match(r"  -", line):
            found.add(re.search(r"--[a-z][a-z0-9-]*", line).group())
    return found


def completed(project, program, *words):
    """What bash offers for the last of the words."""
    script = (f"source {project}/packaging/tierce.bash; COMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); _tierce; "
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
    for words, offers in wanted.items():
        if completed(project, program, *words) != offers:
            faults.append(f"completion of {words}: {completed(project, program, *words)}, not {offers}")


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
    check_manual(program, pathlib.Path(build) / "tierce.1", faults)
    check_package(program, build, faults)
    for fault in faults:
        print(fault)
    print(f"{len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
