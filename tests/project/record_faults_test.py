#!/usr/bin/env python3
"""What can go wrong while a file is written: the old or the new file stands whole, and the error is plain.

Usage: record_faults_test.py PROGRAM [--kills N] [--seed N]

Kills writers at random moments (60 unless --kills says otherwise), fills the disk, takes away the right to write,
lets many write at once. The expected files are put together here, line by line.
"""
import argparse
import fcntl
import os
import pathlib
import random
import resource
import shutil
import signal
import struct
import subprocess
import sys
import tempfile
import time

BOOK = """# The book of a reserve, in a file of more than one block.
reserve: Amber
tiers:
  - {name: floor, vessels: [{name: F, count: 4, capacity: 225 L}], evaporation: 3 %/yr, vapour: 10 %vol}
lots:
  - {name: GG21, vintage: 2021, alcohol: 18 %vol}
log:
  - {date: 2021-11-05, do: add, lot: GG21, to: floor, volume: 900 L}
""" + "  # a remark that makes the file longer, so that a torn write would show\n" * 200
LAST = "  - {date: 2022-11-02, do: gauge, tier: floor, volume: 880 L}   # the last one\n"
START = BOOK + LAST
NOBODY = 65534


def entry(ref):
    return f"  - {{date: 2022-11-03, do: draw, from: floor, volume: 0.1 L, ref: {ref}}}\n"


class Failure(Exception):
    pass


def expect(holds, what):
    if not holds:
        raise Failure(what)


class Book:
    """A file in a folder of its own, and the program that writes into it."""

    def __init__(self, program, folder):
        self.program, self.folder = program, pathlib.Path(folder)
        self.path = self.folder / "book.yaml"
        self.path.write_text(START, "utf-8")

    def command(self, ref, file=None):
        return [self.program, "record", str(file or self.path), "draw", "--from", "floor", "--volume", "0.1 L",
                "--date", "2022-11-03", "--entered", "2022-11-03", "--ref", ref]

    def record(self, ref, **how):
        return subprocess.run(self.command(ref), capture_output=True, text=True, check=False, **how)

    def text(self):
        return self.path.read_text("utf-8")

    def names(self):
        return sorted(path.name for path in self.folder.iterdir())


def killed_writers(program, folder, kills, rng):
    """SIGKILL at random moments: each time the file is the old one or the new one, to the byte."""
    book = Book(program, folder)
    begin = time.monotonic()
    expect(book.record("R0").returncode == 0, "the first entry is not recorded")
    span = 1.3 * (time.monotonic() - begin)  # follows the speed of the machine, so that about half of them come too late
    old, killed, new_files, tries = START + entry("R0"), 0, 0, 0
    while killed < kills:
        tries += 1
        expect(tries < 20 * kills + 100, "the writers are never killed in time")
        ref = f"R{tries}"
        with subprocess.Popen(book.command(ref), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as writer:
            time.sleep(rng.uniform(0.0, span))
            writer.send_signal(signal.SIGKILL)
            writer.wait()
            killed += writer.returncode == -signal.SIGKILL
            span *= 1.1 if writer.returncode == -signal.SIGKILL else 0.93
        now = book.text()
        expect(now in (old, old + entry(ref)), f"after kill {killed} the file is neither the old nor the new one")
        new_files += now != old
        if len(now) > len(START) + 4000:  # so that it does not grow for ever
            book.path.write_text(START, "utf-8")
            now = START
        old = now
    expect(book.record("Rlast").returncode == 0, "a lock of a killed writer stays")
    expect(book.text() == old + entry("Rlast"), "the entry after the kills is not at the end")
    expect(book.names() == ["book.yaml"], f"files are left behind: {book.names()}")
    return f"{killed} of {tries} writers killed; {new_files} times the new file stood"


def full_disk(program, folder, _kills, _rng):
    """A file that may grow no further, and a device without space."""
    book = Book(program, folder)
    for limit in (0, 1, len(START) // 2, len(START)):
        said = book.record("R1", preexec_fn=lambda most=limit: resource.setrlimit(resource.RLIMIT_FSIZE, (most, most)))
        expect(said.returncode == 2, f"exit status {said.returncode} with {limit} bytes left: {said.stderr}")
        expect("File too large" in said.stderr and "nothing was written" in said.stderr, f"the error is not plain: {said.stderr}")
        expect(book.text() == START, "the old file does not stand")
        expect(book.names() == ["book.yaml"], f"files are left behind: {book.names()}")
    report = book.folder / "report.txt"
    report.write_text("old\n", "utf-8")
    said = subprocess.run([program, "stock", str(book.path), "-o", str(report)], capture_output=True, text=True, check=False,
                          preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (20, 20)))
    expect(said.returncode == 2 and "File too large" in said.stderr, f"-o with a full disk: {said.stderr}")
    expect(report.read_text("utf-8") == "old\n", "-o tore the old report")
    said = subprocess.run([program, "stock", str(book.path), "-o", "/dev/full"], capture_output=True, text=True, check=False)
    expect(said.returncode == 2 and "No space left" in said.stderr, f"-o /dev/full: {said.returncode} {said.stderr}")
    with open("/dev/full", "w", encoding="utf-8") as full:
        said = subprocess.run([program, "stock", str(book.path)], stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    expect(said.returncode == 2 and "No space left" in said.stderr, f"stdout full: {said.returncode} {said.stderr}")
    return "refused, the old file stands"


def without_rights(program, folder, _kills, _rng):
    """A folder that nobody may write to."""
    book = Book(program, folder)
    os.chmod(book.folder, 0o555)
    how = {}
    if os.geteuid() == 0:  # root may write anywhere
        how = {"preexec_fn": lambda: (os.setgid(NOBODY), os.setuid(NOBODY))}
    said = book.record("R1", **how)
    os.chmod(book.folder, 0o755)
    expect(said.returncode == 2, f"exit status {said.returncode}: {said.stderr}")
    expect("Permission denied" in said.stderr and "nothing was written" in said.stderr, f"the error is not plain: {said.stderr}")
    expect(book.text() == START and book.names() == ["book.yaml"], "the folder has changed")
    os.chmod(book.path, 0o444)  # a file locked against writing, in a folder that is not
    os.chmod(book.folder, 0o777)
    said = book.record("R1", **how)
    expect(said.returncode == 2 and "Permission denied" in said.stderr, f"a locked file: {said.returncode} {said.stderr}")
    expect(book.text() == START and book.names() == ["book.yaml"], "a locked file has changed")
    return "refused, the old file stands"


def many_writers(program, folder, _kills, _rng):
    """Twelve at once: what each of them was told is true, and the file holds exactly that."""
    book = Book(program, folder)
    writers = {f"R{i}": subprocess.Popen(book.command(f"R{i}"), stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
               for i in range(12)}
    errors = {ref: writer.communicate()[1] for ref, writer in writers.items()}
    done = [ref for ref, writer in writers.items() if writer.returncode == 0]
    for ref, writer in writers.items():
        expect(writer.returncode in (0, 2), f"exit status {writer.returncode}: {errors[ref]}")
        expect(writer.returncode == 0 or "being written by process" in errors[ref], f"the error is not plain: {errors[ref]}")
    now = book.text()
    expect(now.startswith(START), "what stood in the file has changed")
    expect(sorted(now[len(START):].splitlines(True)) == sorted(entry(ref) for ref in done),
           "the file does not hold what the writers were told")
    expect(book.names() == ["book.yaml"], f"files are left behind: {book.names()}")
    return f"{len(done)} of 12 written, the others were told why not"


def lock_held(program, folder, _kills, _rng):
    """Somebody else holds the lock for long: one is told who; then it goes on."""
    book = Book(program, folder)
    lock = book.folder / ".book.yaml.tierce-lock"
    with open(lock, "w", encoding="utf-8") as held:
        held.write("process 7 (record add) since 2022-11-03 10:00:00")
        held.flush()
        fcntl.flock(held, fcntl.LOCK_EX)
        said = book.record("R1")
    expect(said.returncode == 2, f"exit status {said.returncode}")
    expect("being written by process 7 (record add) since 2022-11-03 10:00:00" in said.stderr, said.stderr)
    expect(book.text() == START, "it wrote in spite of the lock")
    (book.folder / ".book.yaml.tierce-new").write_text("half of a fi", "utf-8")  # of a writer that was killed
    expect(book.record("R1").returncode == 0 and book.text() == START + entry("R1"), "it does not go on")
    expect(book.names() == ["book.yaml"], f"files are left behind: {book.names()}")
    return "told who holds it"


def links_and_modes(program, folder, _kills, _rng):
    """A link stays a link; the file keeps its mode."""
    book = Book(program, folder)
    (book.folder / "far").mkdir()
    real = book.folder / "far" / "real.yaml"
    book.path.rename(real)
    book.path.symlink_to(os.path.join("far", "real.yaml"))
    os.chmod(real, 0o640)
    expect(book.record("R1").returncode == 0, "a link is not followed")
    expect(book.path.is_symlink() and real.read_text("utf-8") == START + entry("R1"), "the link is gone")
    expect(real.stat().st_mode & 0o777 == 0o640, "the mode has changed")
    expect([path.name for path in real.parent.iterdir()] == ["real.yaml"], "files are left behind")
    return "kept"


def group_list_and_attributes(program, folder, _kills, _rng):
    """The group, the access list and the attributes of the old file, also where its owner cannot be kept."""
    book = Book(program, folder)
    os.setxattr(book.path, "user.cellar", b"north")
    # Version 2; owner rw-, user 1234 r--, group r--, mask rw-, others ---: <linux/posix_acl_xattr.h>.
    listed = struct.pack("<I", 2) + b"".join(struct.pack("<HHI", tag, may, who) for tag, may, who in [
        (0x01, 6, 0xFFFFFFFF), (0x02, 4, 1234), (0x04, 4, 0xFFFFFFFF), (0x10, 6, 0xFFFFFFFF), (0x20, 0, 0xFFFFFFFF)])
    try:
        os.setxattr(book.path, "system.posix_acl_access", listed)
    except OSError:
        listed = None  # a file system without such lists
    expect(book.record("R1").returncode == 0, "it is not recorded")
    expect(os.getxattr(book.path, "user.cellar") == b"north", "an attribute is lost")
    expect(listed is None or os.getxattr(book.path, "system.posix_acl_access") == listed, "the access list is lost")
    if os.geteuid() != 0:
        return "kept; the group needs a second user, which only root can play"
    book.path.unlink()
    book.path.write_text(START, "utf-8")
    os.chown(book.folder, 0, 5000)
    os.chmod(book.folder, 0o775)
    os.chown(book.path, 1001, 5000)
    os.chmod(book.path, 0o664)
    for user in (1002, 1001):
        said = book.record(f"R{user}", user=user, group=user, extra_groups=[5000])
        now = book.path.stat()
        expect(said.returncode == 0, f"user {user}: {said.stderr}")
        expect((now.st_uid, now.st_gid, now.st_mode & 0o777) == (user, 5000, 0o664), f"user {user}: {now}")
    os.chmod(book.folder, 0o777)
    os.chmod(book.path, 0o666)
    said = book.record("Rnobody", user=NOBODY, group=NOBODY, extra_groups=[])
    expect(said.returncode == 0 and "its group could not be kept" in said.stderr, f"a lost group is not told: {said.stderr}")
    return "kept, or told"


def layouts(program, folder, _kills, _rng):
    """The last entry on a line of its own, its brace ends the line, the bracket stands below."""
    book = Book(program, folder)
    head = START[:START.index("log:")] + "log: [\n"
    last = "    {date: 2021-11-05, do: add, lot: GG21, to: floor, volume: 900 L}"
    added = "    {date: 2022-11-03, do: draw, from: floor, volume: 0.1 L, ref: R1}"
    for end in ("\n", "\r\n"):
        book.path.write_bytes((head + last + "\n  ]\n").replace("\n", end).encode())
        said = book.record("R1")
        expect(said.returncode == 0, said.stderr)
        expect(book.path.read_bytes() == (head + last + ",\n" + added + "\n  ]\n").replace("\n", end).encode(), book.text())
    return "recorded"


def no_locks(program, folder, _kills, _rng):
    """A file system that knows no locks is no other writer."""
    book = Book(program, folder)
    shim = book.folder.parent / "flock.c"
    shim.write_text("#include <errno.h>\nint flock(int file, int how) { (void)file; (void)how; errno = ENOLCK; return -1; }\n")
    made = subprocess.run(["cc", "-shared", "-fPIC", "-o", str(shim.with_suffix(".so")), str(shim)], check=False)
    expect(made.returncode == 0, "no C compiler")
    begin = time.monotonic()
    said = book.record("R1", env={**os.environ, "LD_PRELOAD": str(shim.with_suffix(".so"))})
    expect(said.returncode == 2 and "knows no locks" in said.stderr and "being written" not in said.stderr, said.stderr)
    expect(time.monotonic() - begin < 60, "it waits for nobody")
    expect(book.text() == START and book.names() == ["book.yaml"], f"the folder has changed: {book.names()}")
    return "told apart"


def mounted_alone(program, folder, _kills, _rng):
    """A file that is mounted by itself, as containers do it, cannot be replaced; it is told what to do."""
    book = Book(program, folder)
    inside = (f"mount --bind {book.path} {book.path} 2>/dev/null || exit 77; " + " ".join(f"'{word}'" for word in book.command("R1")))
    said = subprocess.run(["unshare", "-m", "bash", "-c", inside], capture_output=True, text=True, check=False)
    if said.returncode in (1, 77):
        return "not tried: mounting is not allowed here"
    expect(said.returncode == 2 and "mount its folder instead" in said.stderr, f"{said.returncode} {said.stderr}")
    expect(book.text() == START and book.names() == ["book.yaml"], f"the folder has changed: {book.names()}")
    return "told"


def appears_meanwhile(program, folder, _kills, _rng):
    """A report to a name that is free, and a file that appears there while it is written: that file stays."""
    book = Book(program, folder)
    target = book.folder / "report.txt"
    shim = book.folder.parent / "appear.c"  # the last sync before the rename lets somebody else write
    shim.write_text('#include <fcntl.h>\n#include <stdlib.h>\n#include <sys/syscall.h>\n#include <unistd.h>\n'
                    'int fsync(int file) { int other = open(getenv("APPEARS"), O_WRONLY | O_CREAT, 0644); '
                    'if (write(other, "mine\\n", 5) != 5) abort(); close(other); return (int)syscall(SYS_fsync, file); }\n')
    made = subprocess.run(["cc", "-shared", "-fPIC", "-o", str(shim.with_suffix(".so")), str(shim)], check=False)
    expect(made.returncode == 0, "no C compiler")
    said = subprocess.run([program, "stock", str(book.path), "-o", str(target)], capture_output=True, text=True, check=False,
                          env={**os.environ, "LD_PRELOAD": str(shim.with_suffix(".so")), "APPEARS": str(target)})
    expect(said.returncode == 2 and "meanwhile" in said.stderr, f"{said.returncode} {said.stderr}")
    expect(target.read_text("utf-8") == "mine\n", "it was written over")
    expect(book.names() == ["book.yaml", "report.txt"], f"files are left behind: {book.names()}")
    return "it stays"


TESTS = [killed_writers, full_disk, without_rights, many_writers, lock_held, links_and_modes, group_list_and_attributes, layouts, no_locks,
         mounted_alone, appears_meanwhile]


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("program")
    arguments.add_argument("--kills", type=int, default=60)
    arguments.add_argument("--seed", type=int, default=2027)
    asked = arguments.parse_args()
    failed = 0
    with tempfile.TemporaryDirectory(prefix="tierce-faults-") as top:
        os.chmod(top, 0o755)
        program = shutil.copy(asked.program, pathlib.Path(top) / "tierce")  # where those without rights reach it too
        for test in TESTS:
            folder = pathlib.Path(top) / test.__name__
            folder.mkdir()
            try:
                print(f"{test.__name__}: {test(str(program), folder, asked.kills, random.Random(asked.seed))}")
            except Failure as failure:
                failed += 1
                print(f"{test.__name__}: FAILED: {failure}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
